#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Names, one a line, the tests of the suite "desk" that failed in the build folder named: those drive a real window and wait for it, and on a busy machine it can
come too late. tests/all.sh runs them once more; what they say then counts, and tests/count.py tells of it."""

import sys

from count import GOOD, read_log


def late(folder):
    tests = read_log(folder, "testlog.json") + read_log(folder, "desk.json")
    # Meson names a test "project:suite+suite / name".
    parts = [(test["name"].rpartition(" / "), test["result"]) for test in tests]
    return [name for (suites, _, name), result in parts if "desk" in suites.partition(":")[2].split("+") and result not in GOOD | {"SKIP"}]


if __name__ == "__main__":
    print("\n".join(late(sys.argv[1])))
