# SPDX-License-Identifier: GPL-3.0-or-later
"""Rows of a C table from a list in data/: rows.py FILE ELEMENT COLUMN…, each row to standard output.

A column is an attribute, "text" for what stands in the element, or the name of an element within it; as a C string, or
with ":plain" behind it as it is, with ":words" as a braced list of strings, with ":count" as how many words; NULL where there is
none."""
import sys
from xml.etree import ElementTree


def quoted(text):
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def cell(element, column):
    name, _, form = column.partition(":")
    text = element.text if name == "text" else element.get(name, element.findtext(name))
    if text is None:
        return "NULL"
    if form == "plain":
        return text
    if form == "words":
        return "{ " + ", ".join(map(quoted, text.split())) + " }"
    return str(len(text.split())) if form == "count" else quoted(text)


path, tag, *columns = sys.argv[1:]
sys.stdout.reconfigure(encoding="utf-8")
for row in ElementTree.parse(path).getroot().iter(tag):
    print("{ " + ", ".join(cell(row, column) for column in columns) + " },")
