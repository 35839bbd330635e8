#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Runs each example of docs/scripts.md, and holds it to the output that stands behind it.

scripts.py PROGRAM SOURCE_ROOT; speaks TAP."""

import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

sys.dont_write_bytecode = True
from program import Tap, paths

EXAMPLE = re.compile(r"^```(?P<kind>sh|python)\n(?P<code>.*?)^```\n\n^```text\n(?P<wanted>.*?)^```\n", re.MULTILINE | re.DOTALL)


def main():
    program, root = paths()
    tap = Tap()
    page = (root / "docs" / "scripts.md").read_text(encoding="utf-8")
    examples = list(EXAMPLE.finditer(page))
    tap.check(len(examples) == len(re.findall(r"^```(?:sh|python)$", page, re.MULTILINE)) > 5, "every example has its output")
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        (folder / "bin").mkdir()
        (folder / "bin" / "sidelong-calc").symlink_to(pathlib.Path(program.path).resolve())
        shutil.copytree(root / "data" / "demo", folder / "shelf")
        environment = dict(os.environ, LC_ALL="C.UTF-8", LANGUAGE="", PATH=f"{folder / 'bin'}:{os.environ['PATH']}")
        for example in examples:
            command = ["sh", "-c"] if example["kind"] == "sh" else [sys.executable, "-c"]
            done = subprocess.run([*command, example["code"]], cwd=folder, env=environment, stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=120)
            told = done.stdout if done.stdout.endswith("\n") or not done.stdout else done.stdout + "\n"
            tap.check(told == example["wanted"], f"{example['kind']}: {example['code'].strip().splitlines()[-1][:70]}", [*told.splitlines(), *done.stderr.splitlines()])
    return tap.done()


if __name__ == "__main__":
    sys.exit(main())
