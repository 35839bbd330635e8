#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""needed.py BUILD [--suite NAME]... [--no-suite NAME]...: prints the files in a build folder that those tests need, as targets for ninja."""

import argparse
import json
import os
import pathlib


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("build", type=pathlib.Path)
    parser.add_argument("--suite", action="append", default=[])
    parser.add_argument("--no-suite", action="append", default=[])
    options = parser.parse_args()
    known = options.build / "meson-info"
    files = {target["id"]: target["filename"] for target in json.loads((known / "intro-targets.json").read_text())}
    needed = set()
    for test in json.loads((known / "intro-tests.json").read_text()):
        suites = {suite.partition(":")[2] for suite in test["suite"]}
        if (not options.suite or suites & set(options.suite)) and not suites & set(options.no_suite):
            needed |= {os.path.relpath(file, options.build.resolve()) for target in test["depends"] for file in files[target]}
    print(*sorted(needed))


if __name__ == "__main__":
    main()
