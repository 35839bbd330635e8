# SPDX-License-Identifier: GPL-3.0-or-later
"""Rows of a C table from a list in data/: rows.py FILE ELEMENT COLUMN…, each row to standard output.

A column is an attribute, "text" for what stands in the element, or the name of an element within it; as a C string, or
with ":plain" behind it as it is, with ":words" as a braced list of strings, with ":count" as how many words, with ":offset" as
where a member of a struct lies; NULL, 0 or −1 where there is none. Several with "/" between are a struct or an array.
A row that has an attribute "kind" stands at that place in the table."""
import sys
from xml.etree import ElementTree


def quoted(text):
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def cell(element, column):
    if "/" in column:
        return "{ " + ", ".join(cell(element, part) for part in column.split("/")) + " }"
    name, _, form = column.partition(":")
    text = element.text if name == "text" else element.get(name, element.findtext(name))
    if text is None:
        return {"plain": "0", "offset": "-1"}.get(form, "NULL")
    if form == "plain":
        return text
    if form == "offset":
        return f"offsetof ({text})"
    if form == "words":
        return "{ " + ", ".join(map(quoted, text.split())) + " }"
    return str(len(text.split())) if form == "count" else quoted(text)


path, tag, *columns = sys.argv[1:]
sys.stdout.reconfigure(encoding="utf-8")
for row in ElementTree.parse(path).getroot().findall(tag):
    place = f"[{row.get('kind')}] = " if row.get("kind") else ""
    cells = ", ".join(cell(row, column) for column in columns)
    print(f"{place}{cells}," if len(columns) == 1 else f"{place}{{ {cells} }},")
