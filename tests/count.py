#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Counts what the logs of Meson's test runs say, single checks where a test speaks TAP, names the slowest tests, and ends with one line.

Exit status 1 where anything failed, a log is missing or empty, or nothing ran."""

import json
import pathlib
import re
import sys

# A TAP result: "ok 3 - name # SKIP why". Lines set in belong to a subtest, which its parent's line sums up.
TAP = re.compile(r"^(not )?ok\b(?P<rest>.*)$", re.MULTILINE)
DIRECTIVE = re.compile(r"#\s*(SKIP|TODO)\b", re.IGNORECASE)
GOOD = {"OK", "EXPECTEDFAIL"}
# Of a test that failed, so much of what it said on standard error is shown again.
LAST_LINES = 40
SLOWEST = 10


def count_test(test):
    """Passed, failed and skipped checks of one test of Meson's log."""
    passed = failed = skipped = 0
    for match in TAP.finditer(test.get("stdout") or ""):
        directive = DIRECTIVE.search(match["rest"])
        if directive:
            skipped += 1
        elif match[1]:
            failed += 1
        else:
            passed += 1
    if test["result"] == "SKIP":
        return passed, failed, max(skipped, 1)
    if test["result"] in GOOD:
        # One that speaks no TAP is one check.
        return (passed if passed + skipped else 1), failed, skipped
    # Crashed, timed out or left early: at least one check failed, whatever it printed before.
    return passed, max(failed, 1), skipped


def show_failure(test):
    """The failed checks with what they say, which Meson leaves out where a test speaks TAP, and the end of standard error."""
    shown = False
    for line in (test.get("stdout") or "").splitlines():
        if not line.startswith("#"):
            shown = line.startswith(("not ok", "Bail out!"))
        if shown:
            print(f"    {line}")
    for line in (test.get("stderr") or "").splitlines()[-LAST_LINES:]:
        print(f"    {line}")


def read_log(log):
    return [json.loads(line) for line in log.read_text().splitlines()] if log.exists() else []


def show_slowest(tests):
    """Where the time goes."""
    print("The slowest tests:")
    for seconds, name in sorted(((test.get("duration", 0), name) for name, test in tests), reverse=True)[:SLOWEST]:
        print(f"{seconds:7.1f} s  {name}")


def main(logs):
    totals, ran = [0, 0, 0], []
    for log in map(pathlib.Path, logs):
        tests = read_log(log)
        if not tests:
            print(f"{log}: no test ran")
            totals[1] += 1
        for test in tests:
            name = f"{log.parent.parent.name}: {test['name']}"
            ran.append((name, test))
            counts = count_test(test)
            totals = [a + b for a, b in zip(totals, counts)]
            if counts[1]:
                print(f"{name}: {test['result']}, {counts[1]} failed")
                show_failure(test)
            if counts[2]:
                print(f"{name}: {counts[2]} skipped")
    show_slowest(ran)
    print(f"{totals[0]} passed, {totals[1]} failed")
    return 0 if totals[0] and not totals[1] else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
