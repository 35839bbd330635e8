#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Makes what the program shows of the user guide from its Markdown: for every language a page of widgets a page of text, and an index with
the text that is searched. cmark-gfm reads the Markdown; what it reads becomes GtkBuilder's XML.

to-ui.py GUIDE OUT.c; a page, a place or a picture that is named and missing, and Markdown that has no widget, end it with a message."""

import pathlib
import struct
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ET
from xml.sax.saxutils import escape, quoteattr

NS = "{http://commonmark.org/xml/1.0}"
PREFIX = "/org/sidelong/guide"
LANGUAGES = {"en": ".", "de": "de", "es": "es"}  # folders below the guide
INDEX = "index.md"
MOST_CHARS = 78   # of a line: common practice for reading
PICTURE_WIDTH = 600  # at most, and as narrow as the window may be
CELL_CHARS = 22  # of a column that isn't the last
INLINE = {"emph": "i", "strong": "b", "link": "a"}


class Fault(Exception):
    pass


def parse(path):
    text = subprocess.run(["cmark-gfm", "-e", "table", "-t", "xml", path], check=True, capture_output=True, text=True).stdout
    return ET.fromstring(text)


def tag(node):
    return node.tag.removeprefix(NS)


def target(destination, folder):
    """A link as the window has it: "work#rod"; only to pages of the guide."""
    page, _, place = destination.partition("#")
    if not page.endswith(".md") or not (folder / page).is_file():
        raise Fault(f"no page {destination}")
    if place and f'<a id="{place}"></a>' not in (folder / page).read_text(encoding="utf-8"):
        raise Fault(f"no place {destination}")
    return page.removesuffix(".md") + (f"#{place}" if place else "")


def markup(node, folder):
    """What stands in a line, as Pango's markup."""
    parts = []
    for child in node:
        name = tag(child)
        if name == "text":
            parts.append(escape(child.text or ""))
        elif name in ("softbreak", "linebreak"):
            parts.append(" " if name == "softbreak" else "\n")
        elif name == "code":
            parts.append(f"<tt>{escape(child.text)}</tt>")
        elif name in INLINE:
            attribute = f" href={quoteattr(target(child.get('destination'), folder))}" if name == "link" else ""
            parts.append(f"<{INLINE[name]}{attribute}>{markup(child, folder)}</{INLINE[name]}>")
        else:
            raise Fault(f"no widget for {name} {child.text or ''}")
    return "".join(parts)


def plain(node):
    """The words of a node, in a row."""
    text = " ".join(part.strip() for part in node.itertext() if part.strip())
    return text


def widget(kind, properties=(), children=(), classes=(), accessibility=(), layout=(), role=None):
    lines = [f'<object class="Gtk{kind}">']
    if role:
        lines.append(f'<property name="accessible-role">{role}</property>')
    lines += [f'<property name="{name}">{escape(str(value))}</property>' for name, value in properties]
    for outer, pairs in (("accessibility", accessibility), ("layout", layout)):
        if pairs:
            lines += [f"<{outer}>"] + [f'<property name="{name}">{escape(str(value))}</property>' for name, value in pairs] + [f"</{outer}>"]
    if classes:
        lines += ["<style>"] + [f'<class name="{name}"/>' for name in classes] + ["</style>"]
    lines += [f"<child>{child}</child>" for child in children]
    return "\n".join(lines + ["</object>"])


def box(children, spacing, orientation="vertical", **more):
    return widget("Box", [("orientation", orientation), ("spacing", spacing)] + more.pop("properties", []), children, **more)


def label(text, properties=(), **more):
    fixed = [("use-markup", "true"), ("label", text), ("wrap", "true"), ("xalign", 0), ("halign", "start")]
    return widget("Label", fixed + [("max-width-chars", MOST_CHARS)] * ("max-width-chars" not in dict(properties)) + list(properties), **more)


class Page:
    def __init__(self, path, pictures):
        self.folder, self.pictures, self.place = path.parent, pictures, None

    def named(self):
        """The place that the next heading is, as a property."""
        place, self.place = self.place, None
        return [("name", place)] if place else []

    def paragraph(self, node):
        if len(node) and tag(node[0]) == "html_inline":
            self.place = node[0].text.split('"')[1]
            return None
        if len(node) == 1 and tag(node[0]) == "image":
            name = node[0].get("destination")
            if not (self.folder / name).is_file():
                raise Fault(f"no picture {name}")
            self.pictures.add(name)
            width, height = struct.unpack(">II", (self.folder / name).read_bytes()[16:24])  # where a PNG has them
            shown = min(width, PICTURE_WIDTH)
            picture = widget("Picture", [("paintable", pathlib.PurePath(name).name), ("can-shrink", "true"), ("width-request", shown),
                                         ("height-request", height * shown // width), ("alternative-text", plain(node[0]))],
                             classes=["sl-guide-picture"])
            return box([picture], 0, "horizontal")  # in which it grows no larger than it is
        return label(markup(node, self.folder), [("selectable", "true")] + self.named())

    def items(self, node):
        first, rows = int(node.get("start", 1)), []
        for i, item in enumerate(node):
            mark = f"{first + i}." if node.get("type") == "ordered" else "•"
            rows.append(box([label(mark, [("yalign", 0), ("width-chars", 2)]), box(self.blocks(item), 6)], 6, "horizontal"))
        return box(rows, 4)

    def table(self, node):
        rows = [[markup(cell, self.folder) for cell in row] for row in node]
        words = [[plain(cell) for cell in row] for row in node]
        cells = []
        for r, row in enumerate(rows):
            for c, text in enumerate(row):
                longest = max(len(line[c]) for line in words)
                last = c == len(row) - 1
                room = [("max-width-chars", MOST_CHARS - CELL_CHARS)] if last else [("width-chars", min(longest, CELL_CHARS)), ("max-width-chars", CELL_CHARS)]
                # A row is one stop of the keyboard, but links are to be reached.
                stop = [] if c == 0 or "<a " in text else [("can-focus", "false")]
                cells.append(label(f"<b>{text}</b>" if r == 0 else text, room + [("yalign", 0), ("selectable", "true"), *stop], layout=[("column", c), ("row", r)]))
        return widget("Grid", [("column-spacing", 18), ("row-spacing", 6)], cells, classes=["sl-guide-table"])

    def block(self, node):
        name = tag(node)
        if name == "heading":
            level = int(node.get("level"))
            return label(markup(node, self.folder), self.named(), role="heading", accessibility=[("level", level)], classes=[f"sl-guide-{level}"])
        if name == "paragraph":
            return self.paragraph(node)
        if name == "list":
            return self.items(node)
        if name == "table":
            return self.table(node)
        if name == "block_quote":
            return box(self.blocks(node), 6, classes=["sl-notice"])
        raise Fault(f"no widget for {name}")

    def blocks(self, node):
        return [made for made in map(self.block, node) if made is not None]


def pages_of(folder):
    """The pages in the order of the index: their names and titles."""
    links = [link for link in parse(folder / INDEX).iter(NS + "link")]
    return [(target(link.get("destination"), folder), plain(link)) for link in links]


def language(folder, out, pictures):
    """Writes the pages of one language."""
    index = []
    for name, title in pages_of(folder):
        path = folder / f"{name}.md"
        try:
            root = parse(path)
            page = Page(path, pictures)
            body = box(page.blocks(root), 12, classes=["sl-guide"])
        except Fault as fault:
            raise Fault(f"{path}: {fault}") from None
        body = body.replace('<object class="GtkBox">', '<object class="GtkBox" id="page">', 1)
        (out / f"{name}.ui").write_text(f'<?xml version="1.0" encoding="UTF-8"?>\n<interface>\n{body}\n</interface>\n', encoding="utf-8")
        index.append(f"{name}\t{title}\t{plain(root)}\n")
    (out / "index").write_text("".join(index), encoding="utf-8")


def main(guide, out):
    with tempfile.TemporaryDirectory() as made:
        resources = []
        for code, below in LANGUAGES.items():
            folder, place, pictures = guide / below, pathlib.Path(made, code), set()
            place.mkdir()
            language(folder, place, pictures)
            names = [f'<file alias="{path.name}" preprocess="xml-stripblanks">{path}</file>' if path.suffix == ".ui" else f'<file alias="{path.name}">{path}</file>'
                     for path in sorted(place.iterdir())]
            names += [f'<file alias="{pathlib.PurePath(name).name}">{(folder / name).resolve()}</file>' for name in sorted(pictures)]
            resources.append(f'<gresource prefix="{PREFIX}/{code}">' + "".join(names) + "</gresource>")
        listed = pathlib.Path(made, "guide.gresource.xml")
        listed.write_text("<gresources>" + "".join(resources) + "</gresources>", encoding="utf-8")
        subprocess.run(["glib-compile-resources", "--generate-source", f"--target={out}", "--c-name=sl_guide", listed], check=True)


if __name__ == "__main__":
    try:
        main(pathlib.Path(sys.argv[1]), sys.argv[2])
    except Fault as found:
        sys.exit(str(found))
