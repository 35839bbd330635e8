# SPDX-License-Identifier: GPL-3.0-or-later
"""What the tests of the command-line program share: running it, and reading what it prints."""

import csv
import io
import json
import locale
import os
import pathlib
import subprocess
import sys

sys.dont_write_bytecode = True
sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent))
from tap import Tap  # noqa: F401  (the tests take it from here)

HEADER = ["state", "quantity", "string", "held", "fret", "value", "uncertainty", "unit", "basis"]
SECONDS = 120  # far more than any call takes: a test that hangs fails here, no test depends on the clock

DONE, FAULT, USAGE, FILE = 0, 1, 2, 3


class Program:
    def __init__(self, path):
        self.path = path

    def run(self, *arguments, **extra):
        """Runs the program without a display and in the C locale unless extra says otherwise; never through a shell."""
        environment = {k: v for k, v in os.environ.items() if k not in ("DISPLAY", "WAYLAND_DISPLAY", "LANGUAGE")}
        environment["LC_ALL"] = extra.pop("locale", "C.UTF-8")
        stdout = extra.pop("stdout", subprocess.PIPE)
        if "input" not in extra:
            extra.setdefault("stdin", subprocess.DEVNULL)
        return subprocess.run([self.path, *map(str, arguments)], stdout=stdout, stderr=subprocess.PIPE, text=True,
                              encoding="utf-8", errors="replace", env=environment, timeout=SECONDS, **extra)

    def rows(self, *arguments):
        """The rows of compute --format=csv as dictionaries; fails loudly where the call does."""
        done = self.run("compute", "--format=csv", *arguments)
        if done.returncode != 0:
            raise SystemExit(f"Bail out! compute ends with {done.returncode}: {done.stderr}")
        return list(csv.DictReader(io.StringIO(done.stdout)))


def key(row):
    return row["state"], row["quantity"], row["string"], row["held"], row["fret"]


def by_key(rows):
    return {key(row): row for row in rows}


COMMA_LOCALE = "de_DE.UTF-8"


def has_comma_locale(folder):
    """Whether there is a locale with a decimal comma for calls from now on; where none is installed it is built in the folder from the C library's sources."""
    try:
        locale.setlocale(locale.LC_ALL, COMMA_LOCALE)
    except locale.Error:
        try:
            subprocess.run(["localedef", "-i", "de_DE", "-f", "UTF-8", pathlib.Path(folder) / COMMA_LOCALE], capture_output=True, timeout=SECONDS)
        except FileNotFoundError:
            return False
        os.environ["LOCPATH"] = str(folder)
        try:
            locale.setlocale(locale.LC_ALL, COMMA_LOCALE)
        except locale.Error:
            return False
    locale.setlocale(locale.LC_ALL, "C")
    return True


def read_schema(root):
    """A function from a command's name to the validator of its JSON."""
    import jsonschema  # only the tests of JSON need it
    schema = json.loads((root / "data" / "sidelong-calc.schema.json").read_text(encoding="utf-8"))
    whole = jsonschema.Draft202012Validator
    whole.check_schema(schema)
    by_name = {part["$ref"].rpartition("/")[2]: {"$defs": schema["$defs"], **part} for part in schema["oneOf"]}
    return lambda command: whole(by_name[command])


def paths():
    """The program and the source root, from the command line."""
    if len(sys.argv) != 3:
        raise SystemExit("usage: PROGRAM SOURCE_ROOT")
    return Program(sys.argv[1]), pathlib.Path(sys.argv[2])
