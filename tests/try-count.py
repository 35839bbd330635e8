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
    ("late, then good", [{"name": "a", "result": "FAIL", "stdout": "not ok 1\n"}, {"name": "a", "result": "OK", "stdout": "ok 1\n", "again": 1}], "1 passed, 0 failed", 0),
    ("bad twice", [{"name": "a", "result": "FAIL", "stdout": "not ok 1\n"}, {"name": "a", "result": "FAIL", "stdout": "not ok 1\n", "again": 1}], "0 passed, 1 failed", 1),
    ("no log", None, "0 passed, 1 failed", 1),
    ("empty log", [], "0 passed, 1 failed", 1),
]


def main():
    tap = Tap()
    for name, tests, line, status in CASES:
        with tempfile.TemporaryDirectory() as folder:
            if tests is not None:
                logs = pathlib.Path(folder, "meson-logs")
                logs.mkdir()
                (logs / "testlog.json").write_text("".join(json.dumps(test) + "\n" for test in tests if "again" not in test))
                (logs / "again.json").write_text("".join(json.dumps(test) + "\n" for test in tests if "again" in test))
            output = io.StringIO()
            with contextlib.redirect_stdout(output):
                result = count.main([folder])
            last = output.getvalue().splitlines()[-1]
            tap.check(last == line and result == status, name, [f"{last}, status {result}; expected {line}, status {status}"])
    return tap.done()


if __name__ == "__main__":
    sys.exit(main())
