#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""How many profiles a second one call of compute gets through: on one core, against a bare parse of the same files; and on two against one.

bench-compute.py PROGRAM SOURCE_ROOT. Prints files a second and the ratios to xmllint --noout and to one job; fails only where the program does."""

import itertools
import os
import pathlib
import re
import subprocess
import sys
import tempfile
import time

sys.dont_write_bytecode = True
from program import paths

FILES = 1000
RUNS = 3
GOAL = 3000  # files a second on one core: the program's promise


def generate(root, folder):
    """Profiles that differ in a reading each, from the worked example and the demonstration profiles."""
    sources = [root / "tests" / "example.sidelong", *sorted((root / "data" / "demo").glob("*.sidelong"))]
    files = []
    for i, source in zip(range(FILES), itertools.cycle(sources)):
        text = source.read_text(encoding="utf-8")
        text = re.sub(r'(<relief string="1" fret="\d+" gap=")[^"]*', rf"\g<1>0.{10 + i % 30}", text)
        path = folder / f"{i:04}.sidelong"
        path.write_text(text, encoding="utf-8")
        files.append(str(path))
    return files


def best_of(command, n_cores=1):
    """The shortest of some runs, output thrown away, on so many cores."""
    cores = sorted(os.sched_getaffinity(0))[:n_cores]
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        subprocess.run(command, stdout=subprocess.DEVNULL, check=True, preexec_fn=lambda: os.sched_setaffinity(0, cores))
        times.append(time.perf_counter() - start)
    return min(times)


def main():
    program, root = paths()
    with tempfile.TemporaryDirectory() as name:
        files = generate(root, pathlib.Path(name))
        parse = best_of(["xmllint", "--noout", *files])
        print(f"bare parse     {FILES / parse:8.0f} files/s")
        for what, options in (("check", ["check"]), ("compute text", ["compute"]), ("compute csv", ["compute", "--format=csv"]), ("compute json", ["compute", "--format=json"])):
            seconds = best_of([program.path, *options, "--jobs=1", *files])
            print(f"{what:14} {FILES / seconds:8.0f} files/s, {seconds / parse:5.1f} × a bare parse" + (f" (goal {GOAL})" if "compute" in what else ""))
        if len(os.sched_getaffinity(0)) < 2:
            return
        for what in ("csv", "json"):
            one, two = (best_of([program.path, "compute", f"--format={what}", f"--jobs={jobs}", *files], 2) for jobs in (1, 2))
            print(f"{what}, two cores {FILES / two:8.0f} files/s with --jobs=2, {one / two:5.2f} × --jobs=1")


main()
