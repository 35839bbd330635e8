#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""What comes from names of files, options and documents reaches a terminal as harmless text, and a spreadsheet as no formula.

terminal.py PROGRAM SOURCE_ROOT; speaks TAP."""

import csv
import io
import pathlib
import re
import sys
import tempfile

sys.dont_write_bytecode = True
from program import DONE, Tap, paths

# C0 but line feed, DEL, C1 (ECMA-48); marks of the bidirectional algorithm (UAX #9, table 4); line and paragraph separators (Unicode chapter 23.2).
RAW = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069\u2028\u2029]")
IN_NAMES = "\x1b]0;title\x07\x9b31m\u202egpj.\u2066\u200f\u061c\nforged,row\r\u2028"
IN_DOCUMENTS = "\x9b31m\x85\u202egpj.\u2066\u200e\u200f\u061c&#10;forged,row&#13;&#9;\u2028\u2029"  # XML holds no C0 but tab and line breaks
FORMULAS = ("=1+1", "+1", "-1", "−1", "@SUM(A1)", "\t=1", "\r=1", "＝1")


class Case:
    def __init__(self, folder):
        self.tap = Tap()
        self.program, self.root = paths()
        self.folder = folder
        self.text = (self.root / "tests" / "example.sidelong").read_text(encoding="utf-8")

    def harmless(self, name, *arguments, lines=None):
        done = self.program.run(*arguments)
        for stream, text in (("output", done.stdout), ("error", done.stderr)):
            found = RAW.search(text)
            self.tap.check(found is None, f"{name}: standard {stream} holds nothing a terminal acts on", [ascii(text[max(0, found.start() - 40) :][:80])] if found else [])
        forged = [line for line in (done.stdout + done.stderr).splitlines() if line.startswith("forged")]
        self.tap.check(not forged, f"{name}: no line is forged", forged)
        if lines is not None:
            n = len(done.stdout.splitlines())
            self.tap.check(n == lines, f"{name}: {lines} lines", [f"{n} lines"])
        return done


def documents(case):
    broken = case.text.replace('label="Worked example"', f'label="{IN_DOCUMENTS}"').replace('owner=""', f'owner="{IN_DOCUMENTS}"')
    for name in ("maker", "model", "serial", "year"):
        broken = re.sub(rf'\b{name}="[^"]*"', f'{name}="{IN_DOCUMENTS}"', broken, count=1)
    broken = broken.replace('visit id="v1"', f'visit id="{IN_DOCUMENTS}"').replace('readings id="r1"', f'readings id="{IN_DOCUMENTS}"')
    return broken


def check_streams(case):
    inside = case.folder / "inside"
    inside.mkdir()
    good = inside / f"a{IN_NAMES}.sidelong"
    good.write_text(documents(case), encoding="utf-8")
    for command in ("check", "compute", "plan", "history"):
        case.harmless(command, command, good)
    case.harmless("history as text", "history", "--format=text", good)
    for command in ("compute", "plan"):
        case.harmless(f"{command} as CSV", command, "--format=csv", good)
    several = case.harmless("compute of two as CSV", "compute", "--format=csv", good, good)
    case.tap.check(all(len(row) == 10 for row in csv.reader(io.StringIO(several.stdout))), "compute of two: every row has its columns")
    case.harmless("list", "list", inside, lines=3)
    case.harmless("list as CSV", "list", "--format=csv", inside, lines=2)
    case.tap.check("\\x1b" in case.program.run("list", inside).stdout, "what was left out of a name can still be read")

    bad = inside / f"b{IN_NAMES}.sidelong"
    bad.write_text(documents(case).replace('<neck scale-length="632"', f'<neck scale-length="{IN_DOCUMENTS}"').replace("<fretwire ", f'<fretwire material="{IN_DOCUMENTS}" '), encoding="utf-8")
    for command in (("check",), ("list",), ("list", "--format=csv")):
        case.harmless(" ".join(command) + " of a broken document", *command, bad if command[0] == "check" else inside)
    case.harmless("a file that is not there", "check", inside / f"no{IN_NAMES}")


def check_options(case):
    example = case.root / "tests" / "example.sidelong"
    for arguments in (["check", f"--{IN_NAMES}"], [IN_NAMES], ["compute", f"--format={IN_NAMES}", example], ["draw", example, "-o", f"x{IN_NAMES}"],
                      ["draw", example, "-o", "x.svg", f"--string={IN_NAMES}"], ["draw", example, "-o", "x.svg", f"--other={IN_NAMES}"], ["plan", example, f"x{IN_NAMES}"],
                      ["sheet", example, "-o", "x.pdf", f"--paper={IN_NAMES}"], ["compute", example, "--shop", f"x{IN_NAMES}"],
                      ["pitch", f"x{IN_NAMES}", "--expect=110"], ["pitch", "x.wav", f"--expect={IN_NAMES}"], ["pitch", example, "x.wav", f"--string={IN_NAMES}"]):
        done = case.harmless(f"{arguments[0][:8]!a} {str(arguments[-1])[:10]!a}", *arguments)
        case.tap.check(done.returncode != DONE, "it is refused")
    shop = case.folder / f"shop{IN_NAMES}"
    shop.write_text("[shop]\ncut-step=0.05\n", encoding="utf-8")
    case.harmless("the shop's file", "compute", example, "--shop", shop)


def check_formulas(case):
    for i, formula in enumerate(FORMULAS):
        shelf = case.folder / f"shelf{i}"
        shelf.mkdir()
        escaped = formula.replace("\t", "&#9;").replace("\r", "&#13;")
        text = case.text.replace('label="Worked example"', f'label="{escaped}"').replace('owner=""', f'owner="{escaped}"')
        text = text.replace('model="Small jumbo"', f'model="{escaped}"').replace('visit id="v1"', f'visit id="{escaped}"').replace('readings id="r1"', f'readings id="{escaped}"')
        (shelf / "one.sidelong").write_text(text, encoding="utf-8")
        rows = list(csv.DictReader(io.StringIO(case.program.run("list", "--format=csv", shelf).stdout)))
        history = list(csv.DictReader(io.StringIO(case.program.run("history", shelf / "one.sidelong").stdout)))
        cells = [rows[0][k] for k in ("label", "owner", "model")] + [history[0][k] for k in ("visit", "set")]
        wanted = {"\t=1": "\\t=1", "\r=1": "\\r=1"}.get(formula, "'" + formula)
        case.tap.check(set(cells) == {wanted}, f"{formula!a} is no formula in list and history", cells)
    numbers = [row["value"] for row in csv.DictReader(io.StringIO(case.program.run("compute", "--format=csv", case.root / "tests" / "example.sidelong").stdout))]
    case.tap.check(any(n.startswith("-") for n in numbers) and not any(n.startswith("'") for n in numbers), "numbers below 0 stay numbers")


def main():
    with tempfile.TemporaryDirectory() as folder:
        case = Case(pathlib.Path(folder))
        for check in (check_streams, check_options, check_formulas):
            check(case)
        return case.tap.done()


if __name__ == "__main__":
    sys.exit(main())
