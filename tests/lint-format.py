#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Every C file of the sources and of the tests is laid out as .clang-format says.

lint-format.py SOURCE_ROOT; speaks TAP. "clang-format -i FILE" lays a file out."""

import pathlib
import subprocess
import sys

sys.dont_write_bytecode = True
from tap import Tap


def complaints(root, files, text=None):
    """What clang-format would change in files, or in a text as if it were one of them."""
    arguments = [f"--assume-filename={root / 'src' / 'a.c'}"] if text else files
    done = subprocess.run(["clang-format", "--dry-run", "-Werror", *arguments], cwd=root, input=text, capture_output=True, text=True)
    return (done.stderr or f"ended with {done.returncode}").splitlines() if done.returncode else []


def main():
    tap, root = Tap(), pathlib.Path(sys.argv[1])
    files = sorted(path.relative_to(root) for folder in ("src", "tests") for path in (root / folder).rglob("*.[ch]"))
    wrong = complaints(root, files)
    tap.check(files and not wrong, f"{len(files)} files are laid out by .clang-format", wrong[:40])
    tap.check(not complaints(root, [], "static int\nf (void)\n{\n  return 1;\n}\n"), "what is laid out passes")
    tap.check(complaints(root, [], "static int f(void) { return 1; }\n"), "what isn't is found")
    return tap.done()


if __name__ == "__main__":
    sys.exit(main())
