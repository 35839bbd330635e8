#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Every command deals with the heaviest documents that pass check (worst.py), within 200 MB of memory of their own (RLIMIT_DATA: threads only reserve address space).

heaviest.py PROGRAM SOURCE_ROOT; speaks TAP. How long that takes is no matter of a test: tests/setup/test-suspects.c counts the work."""

import os
import pathlib
import resource
import sys
import tempfile

sys.dont_write_bytecode = True
import worst
from program import DONE, Tap, paths

MOST_MB = 200
STACK_MB = 1  # of a thread, which is reserved whole and hardly used
COMMANDS = (("check",), ("compute", "--format=csv"), ("plan",), ("history",), ("sheet", "--charges", "-o", "out.pdf"), ("template", "-o", "out.pdf"), ("draw", "-o", "out.svg"))
WITH_TEXT = ("check", "sheet", "template")  # the others leave notes out, or cut them before they are shaped
ORDINARY = ("large-sets", "text-arabic", "text-only-accents", "notes-han")  # the rest where there is time: tests/all.sh --full


def bounded():
    resource.setrlimit(resource.RLIMIT_STACK, (STACK_MB * 1000 * 1000, resource.getrlimit(resource.RLIMIT_STACK)[1]))
    resource.setrlimit(resource.RLIMIT_DATA, (MOST_MB * 1000 * 1000, MOST_MB * 1000 * 1000))


def main():
    tap = Tap()
    program, _ = paths()
    sanitized = b"__asan_init" in pathlib.Path(program.path).read_bytes()  # takes address space of its own, and looks at every access instead
    with tempfile.TemporaryDirectory() as folder:
        everything = float(os.environ.get("SL_TEST_ROUNDS", "1")) > 1
        for name, text in worst.documents():
            if not everything and name not in ORDINARY:
                continue
            path = pathlib.Path(folder) / f"{name}.sidelong"
            path.write_text(text, encoding="utf-8")
            for command in [c for c in COMMANDS if not name.startswith(("text", "notes")) or c[0] in WITH_TEXT]:
                arguments = [a if not a.startswith("out.") else f"{folder}/{a}" for a in command[1:]]
                done = program.run(command[0], path, *arguments, preexec_fn=None if sanitized else bounded)
                tap.check(done.returncode == DONE, f"{command[0]}: {name}", [f"status {done.returncode}"] + done.stderr.splitlines()[:3])
        done = program.run("list", folder, preexec_fn=None if sanitized else bounded)
        tap.check(done.returncode == DONE, "list of them all", done.stderr.splitlines()[:3])
    return tap.done()


if __name__ == "__main__":
    sys.exit(main())
