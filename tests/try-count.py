#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Tries the counting of tests/count.py on logs as Meson writes them: what failed, crashed, or never ran must not be lost. Speaks TAP."""

import contextlib
import importlib.util
import io
import json
import pathlib
import sys
import tempfile

sys.dont_write_bytecode = True
from tap import Tap

spec = importlib.util.spec_from_file_location("count", pathlib.Path(__file__).with_name("count.py"))
count = importlib.util.module_from_spec(spec)
spec.loader.exec_module(count)

# The tests of one log, the last line, the exit status.
CASES = [
    ("single results", [{"name": "a", "result": "OK", "stdout": ""}], "1 passed, 0 failed", 0),
    ("TAP", [{"name": "a", "result": "OK", "stdout": "TAP version 13\n1..2\nok 1 /a\nok 2 /b\n"}], "2 passed, 0 failed", 0),
    ("a failed line", [{"name": "a", "result": "FAIL", "stdout": "ok 1 /a\nnot ok 2 /b\n"}], "1 passed, 1 failed", 1),
    ("a crash after good lines", [{"name": "a", "result": "FAIL", "stdout": "ok 1 /a\n"}], "1 passed, 1 failed", 1),
    ("too little time", [{"name": "a", "result": "TIMEOUT"}], "0 passed, 1 failed", 1),
    ("an error", [{"name": "a", "result": "ERROR", "stdout": "ok 1\n"}], "1 passed, 1 failed", 1),
    ("skipped lines", [{"name": "a", "result": "OK", "stdout": "ok 1 /a # SKIP no\nok 2 /b\n"}], "1 passed, 0 failed", 0),
    ("all skipped", [{"name": "a", "result": "SKIP", "stdout": ""}], "0 passed, 0 failed", 1),
    ("two tests", [{"name": "a", "result": "OK", "stdout": "ok 1\n"}, {"name": "b", "result": "OK"}], "2 passed, 0 failed", 0),
    ("no log", None, "0 passed, 1 failed", 1),
    ("empty log", [], "0 passed, 1 failed", 1),
]


def count_logs(folder, *logs):
    """What is printed for logs of these tests, by lines, and the exit status."""
    paths = []
    for number, tests in enumerate(logs):
        path = pathlib.Path(folder, f"build-{number}", "meson-logs", "testlog.json")
        paths.append(path)
        if tests is not None:
            path.parent.mkdir(parents=True)
            path.write_text("".join(json.dumps(test) + "\n" for test in tests))
    output = io.StringIO()
    with contextlib.redirect_stdout(output):
        status = count.main(paths)
    return output.getvalue().splitlines(), status


def main():
    tap = Tap()
    for name, tests, line, status in CASES:
        with tempfile.TemporaryDirectory() as folder:
            lines, result = count_logs(folder, tests)
            tap.check(lines[-1] == line and result == status, name, [f"{lines[-1]}, status {result}; expected {line}, status {status}"])
    with tempfile.TemporaryDirectory() as folder:
        lines, result = count_logs(folder, [{"name": "a", "result": "OK"}], None)
        tap.check(lines[-1] == "1 passed, 1 failed" and result == 1, "one log of two is missing", lines)
    with tempfile.TemporaryDirectory() as folder:
        lines, _ = count_logs(folder, [{"name": f"t{i}", "result": "OK", "duration": i} for i in range(7)], [{"name": f"u{i}", "result": "OK", "duration": i + 0.5} for i in range(7)])
        slow = [line.split()[-1] for line in lines[lines.index("The slowest tests:") + 1:-1]]
        tap.check(slow == ["u6", "t6", "u5", "t5", "u4", "t4", "u3", "t3", "u2", "t2"], "the ten slowest of all logs, slowest first", lines)
    return tap.done()


if __name__ == "__main__":
    sys.exit(main())
