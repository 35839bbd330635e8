#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""How much of each layer its tests run: lines and branches, from a build with -Db_coverage=true whose tests have run.

coverage.py SOURCE_ROOT BUILD [--missed]; speaks TAP. Fails where less than LEAST of the lines of a layer in HELD were run; branches are reported.
--missed lists the lines that were not. Uses gcov, which comes with the compiler."""

import collections
import json
import pathlib
import subprocess
import sys

sys.dont_write_bytecode = True
from tap import Tap

HELD = ("setup", "words", "file", "bench")
TOLD = ("draw", "calc")  # reported only: pictures are judged by what they show
LEAST = 0.95


def counts_of(root, build):
    """{layer: {file: {line: (runs, {branch: runs})}}} of what was compiled for src."""
    found = collections.defaultdict(lambda: collections.defaultdict(dict))
    sources = (root / "src").resolve()
    for notes in sorted((build / "src").rglob("*.gcno")):
        done = subprocess.run(["gcov", "--branch-probabilities", "--json-format", "--stdout", notes.resolve()], cwd=build, capture_output=True, text=True, check=True)
        for answer in map(json.loads, done.stdout.splitlines()):
            for entry in answer["files"]:
                path = pathlib.Path(answer["current_working_directory"], entry["file"]).resolve()
                if not path.is_relative_to(sources):
                    continue
                lines = found[path.relative_to(sources).parts[0]][str(path.relative_to(root.resolve()))]
                for line in entry["lines"]:
                    runs, branches = lines.get(line["line_number"], (0, collections.Counter()))
                    for i, branch in enumerate(line["branches"]):
                        branches[notes.name, i] += branch["count"]
                    lines[line["line_number"]] = (runs + line["count"], branches)
    return found


def shares_of(files):
    """How many lines and branches were run, of how many."""
    lines = [runs > 0 for file in files.values() for runs, _ in file.values()]
    branches = [runs > 0 for file in files.values() for _, counter in file.values() for runs in counter.values()]
    return sum(lines), len(lines), sum(branches), len(branches)


def missed_of(lines):
    """The lines that were not run, as "3-5 9"."""
    runs = []
    for number in sorted(n for n, (count, _) in lines.items() if count == 0):
        if runs and number - runs[-1][1] <= 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return " ".join(str(a) if a == b else f"{a}-{b}" for a, b in runs)


def main():
    root, build = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2])
    found = counts_of(root, build)
    tap = Tap()
    print("# layer      lines run of          branches run of")
    for layer in HELD + TOLD:
        run, lines, taken, branches = shares_of(found[layer])
        print(f"# {layer:<8} {run / max(lines, 1):6.1%} {lines:10} {taken / max(branches, 1):10.1%} {branches:10}")
        if "--missed" in sys.argv:
            for path, file in sorted(found[layer].items()):
                if any(count == 0 for count, _ in file.values()):
                    part = shares_of({path: file})
                    print(f"#   {part[0] / part[1]:6.1%} {path}: {missed_of(file)}")
        if layer in HELD:
            tap.check(lines > 0 and run >= LEAST * lines, f"{layer}: {LEAST:.0%} of its lines are run", [f"{run} of {lines}"])
    return tap.done()


sys.exit(main())
