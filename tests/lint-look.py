#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Holds the window and the pictures to one scale of type, one of space and three widths of lines, and every window to the style sheet.

lint-look.py SOURCE_ROOT; speaks TAP. The rules are tried on made-up faults first, so that a rule that finds nothing can't pass."""

import pathlib
import re
import sys

sys.dont_write_bytecode = True
from tap import Tap

TYPE = {0.8, 0.9, 1.0, 1.2, 1.7, 2.8}  # of the usual size
SPACE = {0, 1, 3, 6, 12, 18, 24, 48}  # px
SIZE = re.compile(r"font-size: (?P<size>[\d.]+)(?P<unit>rem|%)?")
DISTANCES = re.compile(r"\b(?:padding|margin|border-spacing)(?:-\w+)?: (?P<values>[^;}]*)")
PIXELS = re.compile(r"(?<![\w.-])(\d+)px")
PROPERTY = re.compile(r'<property name="(?:margin-\w+|spacing|row-spacing|column-spacing)">(?P<value>\d+)<')
WINDOW = re.compile(r'<(?:object class|template class="\w+" parent)="Gtk(?:Application|Shortcuts)?(?:Window|MessageDialog|Dialog)"')
# In the source: a distance or a width that is a plain number. A width that is drawn to scale is none of the three.
IN_CODE = re.compile(r"sl_flow \([^;]*, [1-9]\d*\)|gtk_box_new \(\w+, [1-9]\d*\)|"
                     r"sl_stroke(?:_line|_path)? \([^;]*?, \d+\.\d+[,)]|sl_text \([^;]*?, \d+\.\d+, ")
CONSTANT = re.compile(r"#define SL_(?P<what>SPACE|TEXT_SIZE)_\w+ \(?(?P<value>[\d.]+)")


def faults_of_style(text):
    for match in SIZE.finditer(text):
        size = float(match["size"]) / (100 if match["unit"] == "%" else 1)
        if match["unit"] is None or size not in TYPE:
            yield f"{match[0]} is no step of the scale of type"
    for match in DISTANCES.finditer(text):
        if any(int(value) not in SPACE for value in PIXELS.findall(match["values"])):
            yield f"{match[0]} is no step of the scale of space"


def faults_of_interface(text):
    for match in PROPERTY.finditer(text):
        if int(match["value"]) not in SPACE:
            yield f"{match[0]} is no step of the scale of space"
    if WINDOW.search(text) and '<class name="sidelong"/>' not in text:
        yield "a window that the style sheet leaves out"


def faults_of_code(text):
    return [f"{match[0]}: a named step is meant" for match in IN_CODE.finditer(text)]


def faults_of_constants(text):
    for match in CONSTANT.finditer(text):
        if float(match["value"]) not in (SPACE if match["what"] == "SPACE" else TYPE):
            yield f"{match[0]} is no step of the style sheet's"


def try_rules(tap):
    cases = [
        (faults_of_style, "a { font-size: 0.9rem; padding: 3px 6px 12px; margin: -6px; }", False), (faults_of_style, "a { font-size: 94%; }", True),
        (faults_of_style, "a { font-size: 13px; }", True), (faults_of_style, "a { padding: 5px 6px; }", True), (faults_of_style, "a { margin-top: 0.5em; }", False),
        (faults_of_interface, '<property name="spacing">6</property>', False), (faults_of_interface, '<property name="margin-top">10</property>', True),
        (faults_of_interface, '<object class="GtkWindow" id="w"/>', True),
        (faults_of_interface, '<object class="GtkWindow"><style><class name="sidelong"/></style></object>', False),
        (faults_of_code, "sl_flow (line, SL_SPACE);", False), (faults_of_code, "sl_flow (line, 8);", True), (faults_of_code, "gtk_box_new (VERTICAL, 0)", False),
        (faults_of_code, "gtk_box_new (GTK_ORIENTATION_VERTICAL, 2)", True), (faults_of_code, "sl_stroke (cr, palette, ink, 1.5);", True),
        (faults_of_code, "sl_stroke (cr, palette, ink, SL_LINE_THIN);", False), (faults_of_code, "sl_text (words, 9.0, TRUE)", True),
        (faults_of_constants, "#define SL_SPACE_WIDE 12", False), (faults_of_constants, "#define SL_SPACE_WIDE 14", True),
        (faults_of_constants, "#define SL_TEXT_SIZE_SMALL (0.9 * SL_TEXT_SIZE)", False), (faults_of_constants, "#define SL_TEXT_SIZE_SMALL (0.85 * X)", True),
    ]
    wrong = [text for rule, text, faulty in cases if bool(list(rule(text))) != faulty]
    tap.check(not wrong, "made-up faults are told from what is right", wrong)


def main(root):
    tap = Tap()
    root = pathlib.Path(root)
    try_rules(tap)
    for name, files, rule in (
        ("the style sheets", sorted((root / "ui").glob("*.css")), faults_of_style),
        ("the templates", sorted((root / "ui").glob("*.ui")), faults_of_interface),
        ("the source", sorted((root / "src" / "draw").rglob("*.c")) + sorted((root / "src" / "desk").rglob("*.c")), faults_of_code),
        ("the pictures' constants", [root / "src" / "draw" / "base" / "style.h"], faults_of_constants),
    ):
        found = [f"{path.relative_to(root)}: {fault}" for path in files for fault in rule(path.read_text())]
        tap.check(files and not found, f"{name} keep to the scales ({len(files)} files)", found)
    return tap.done()


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
