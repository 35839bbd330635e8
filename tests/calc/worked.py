#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Holds the program to the worked example: every figure of worked-example.md, to the digits printed there.

worked.py PROGRAM SOURCE_ROOT; speaks TAP. The figures were computed apart from the program, from the equations of docs/model.md."""

import re
import sys

sys.dont_write_bytecode = True
from program import Tap, by_key, paths

NUMBER = r"[-+]?\d+(?:\.\d+)?"
# The search for the best relief is only as fine as the step named beside the figure.
BEST_RELIEF = re.compile(rf"best-relief ({NUMBER}) \(search step ({NUMBER})\)")
LEAST_MARGIN = re.compile(rf"^({NUMBER}) \((\d+), (\d+)\)$")
SUSPECT = re.compile(rf"^Suspect: (\S+) of string (\d+) at fret (\d+), normalised residual ({NUMBER})\.", re.MULTILINE)


def half_digit(text):
    """Half of the last digit printed, and a little for the machine's own rounding."""
    places = len(text.partition(".")[2])
    return 0.5 * 10**-places * (1 + 1e-6)


class Worked:
    def __init__(self, tap, rows):
        self.tap = tap
        self.rows = by_key(rows)
        self.checked = 0

    def expect(self, place, text, column="value", within=None):
        self.checked += 1
        name = " ".join(part for part in place if part) + ("" if column == "value" else f" {column}")
        row = self.rows.get(place)
        got = row[column] if row else None
        within = half_digit(text) if within is None else within
        good = got not in (None, "") and abs(float(got) - float(text)) <= within
        self.tap.check(good, f"{name} is {text}", [f"got {got}"])

    def expect_none(self, place):
        self.checked += 1
        self.tap.check(place not in self.rows, " ".join(part for part in place if part) + " is not given", [str(self.rows.get(place))])


def tables(section):
    """Each table of a section as (heads, rows of cells)."""
    found, heads = [], None
    for line in section.splitlines():
        cells = [cell.strip() for cell in line.strip().strip("|").split("|")] if line.startswith("|") else None
        if cells is None:
            heads = None
        elif heads is None:
            heads = cells
            found.append((heads, []))
        elif not set("".join(cells)) <= set("- "):
            found[-1][1].append(cells)
    return found


def check_cell(worked, state, head, previous, string, text):
    """One cell under its head; a bare number for a head is a further fret of the quantity before it. Returns the quantity."""
    fret = re.fullmatch(r"(?:(action|pitch-error) )?(\d+)", head)
    if fret:
        quantity = fret[1] or previous
        worked.expect((state, quantity, string, "", fret[2]), text)
        return quantity
    place = re.fullmatch(r"(gap|swing) held (\d+) at (\d+)", head)
    if place:
        worked.expect((state, place[1], string, place[2], place[3]), text)
    elif head.startswith("least-margin"):
        margin = LEAST_MARGIN.match(text)
        worked.expect((state, "least-margin", string, margin[2], margin[3]), margin[1])
    elif text:
        worked.expect((state, head, string, "", ""), text)
    else:
        worked.expect_none((state, head, string, "", ""))
    return head


def check_tables(worked, state, section):
    for heads, rows in tables(section):
        for cells in rows:
            quantity = ""
            for head, text in zip(heads[1:], cells[1:]):
                quantity = check_cell(worked, state, head, quantity, cells[0], text)


def check_sentences(worked, state, section):
    for name, text in re.findall(rf"\b(base-cut-\w+) ({NUMBER})", section):
        worked.expect((state, name, "", "", ""), text)
    for name, list_ in re.findall(r"^U of (\S+(?: \d+)?): (.*)\.$", section, re.MULTILINE):
        quantity, _, fret = name.partition(" ")
        for string, text in re.findall(rf"(\d+) ± ({NUMBER})", list_):
            worked.expect((state, quantity, string, "", fret), text, "uncertainty")
    for string, text in re.findall(rf"crest-move of string (\d+): ({NUMBER})", section):
        worked.expect((state, "crest-move", string, "", ""), text.rstrip("."))
    best = BEST_RELIEF.search(section)
    if best:
        worked.expect((state, "best-relief", "", "", ""), best[1], within=float(best[2]))


def check_suspects(tap, worked, rows, text):
    kind, string, fret, residual = SUSPECT.search(text).groups()
    suspects = [row for row in rows if row["quantity"] == "suspect"]
    tap.check(len(suspects) == 1, "one reading is suspect, and nothing else", [str(suspects)])
    worked.expect(("measured", "suspect", string, "0" if kind == "action" else "", fret), residual)


def main():
    tap = Tap()
    program, root = paths()
    rows = program.rows("--detail", root / "tests" / "example.sidelong")
    text = (root / "tests" / "calc" / "worked-example.md").read_text(encoding="utf-8")
    worked = Worked(tap, rows)
    check_suspects(tap, worked, rows, text)
    for state in ("measured", "planned"):
        section = re.search(rf"^## {state}\n(.*?)(?=^## |\Z)", text, re.MULTILINE | re.DOTALL)[1]
        check_tables(worked, state, section)
        check_sentences(worked, state, section)
    # 2 states × (6 strings × 20 cells) + 4 cuts + 12 uncertainties + crest move, best relief, suspect: a table that fails to parse can't pass
    tap.check(worked.checked == 2 * 6 * 20 + 4 + 12 + 3, "every figure of the worked example was checked", [f"{worked.checked} were"])
    return tap.done()


sys.exit(main())
