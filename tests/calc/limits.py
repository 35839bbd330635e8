#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Holds the reader to every bound that data/profile.xsd and docs/format.md state of texts and counts: at the bound a document is accepted, one beyond it is
refused with its line, its name and what would be accepted. The bounds are taken from the XSD, so that none is forgotten here.

limits.py PROGRAM SOURCE_ROOT; speaks TAP."""

import pathlib
import re
import sys
import tempfile
import xml.etree.ElementTree as ET

sys.dont_write_bytecode = True
from program import DONE, FAULT, Tap, paths

XS = "{http://www.w3.org/2001/XMLSchema}"
NS = "urn:sidelong:profile:1"
ET.register_namespace("", NS)
CHECKED = {"note": "string", "id": None, "baseline": None, "set": "fit-strings"}  # what these hold is checked more narrowly than how long they are
DATES = ("opened", "closed", "taken", "done", "fitted")
DATE = "2026-03-02T10:00:00."  # and as many decimals of a second as there is room for
READINGS = ("relief", "tongue", "first-gap", "action", "exposure", "setback", "crown-gap", "crown-height", "crown-wear", "pitch")
# Together, which an XSD can't say: element, what is counted, how many.
TOTALS = (("readings", "reading", 1000), ("visit", "reading", 2000), ("profile", "reading", 4000), ("profile", "readings", 300), ("plan", "operation", 500), ("profile", "operation", 2000), ("profile", "check", 3000), ("profile", "charge", 3000), ("profile", "photo", 3000), ("visit", "character of its checks", 65536))


def q(name):
    return f"{{{NS}}}{name}"


def types(root):
    """Complex types, and the most characters of simple ones."""
    complex_types = {t.get("name"): t for t in root.findall(f"{XS}complexType")}
    lengths = {t.get("name"): int(facet.get("value")) for t in root.findall(f"{XS}simpleType") for facet in t.iter(f"{XS}maxLength")}
    return complex_types, lengths


class Case:
    def __init__(self, folder):
        self.tap = Tap()
        self.program, self.root = paths()
        self.folder = folder
        self.example = (self.root / "tests" / "example.sidelong").read_text(encoding="utf-8")
        self.xsd = ET.parse(self.root / "data" / "profile.xsd").getroot()
        self.format = (self.root / "docs" / "format.md").read_text(encoding="utf-8")

    def document(self, built=False):
        """The example with one of everything that a text or a count stands in; where @built also work of which some constructions have none."""
        text = self.example.replace('serial="014" year="2011"/>', 'serial="014" year="2011"><note>n</note></identity>', 1)
        text = text.replace('opened="2026-03-02">', 'opened="2026-03-02" closed="2026-03-03"><note>n</note>', 1)
        text = text.replace("    </plan>\n", '      <replace-frets from="1" to="1"/><shape-crest string="1" by="0.1"/><bench-step name="polish"/>\n    </plan>\n'
                            '    <check name="c"><note>n</note></check>\n    <charge what="w" minutes="1" amount="1" currency="EUR"/>\n'
                            '    <photo id="p1" file="f.jpg" taken="2026-03-02" stage="received" about="nut"><note>n</note><known x1="1" y1="1" x2="9" y2="1" length="1"/>'
                            '<mark of="action" x1="1" y1="1" x2="9" y2="1" readings="r1"/></photo>\n', 1)
        if built:
            text = text.replace("    </plan>\n", '<move-saddle bass="1" done="2026-03-02"/><shift-bridge bass="1" done="2026-03-02"/><set-neck-angle by="1"/>'
                                '<make-nut><slot string="1" height="0.4"/></make-nut><make-saddle bass="3" treble="3"/><fit-strings set="acoustic-light"/></plan>', 1)
        return ET.fromstring(text)

    def judge(self, name, tree, accepted, *said, line=None):
        path = self.folder / "tried.sidelong"
        text = ET.tostring(tree, encoding="unicode").replace("><", ">\n<")
        path.write_text(text, encoding="utf-8")
        done = self.program.run("check", path)
        first = done.stderr.splitlines()[:1]
        if accepted:
            self.tap.check(done.returncode == DONE and not first, f"{name}: accepted", first)
            return
        good = done.returncode == FAULT and first and all(part in first[0] for part in said) and "facet" not in done.stderr
        found = re.match(r".*:(\d+): ", first[0]) if first else None
        self.tap.check(good and found is not None, f"{name}: refused in words of our own", first)
        if found:
            there = text.splitlines()[int(found.group(1)) - 1]
            self.tap.check(f"<{line or said[0]}" in there, f"{name}: the line is that of <{line or said[0]}>", [there[:100]])


def filled(length, date):
    """A text of that many characters, not bytes."""
    return DATE + "0" * (length - len(DATE) - 1) + "Z" if date else "é" * length


def texts(case):
    """Every attribute and note whose length the XSD bounds: name of the element, how to find it, the attribute (None: its text), the most."""
    complex_types, lengths = types(case.xsd)

    def walk(type_name, element, path):
        for attribute in complex_types[type_name].findall(f"{XS}attribute"):
            kind = attribute.get("type").removeprefix("p:")
            if kind in lengths:
                yield element, path, attribute.get("name"), lengths[kind]
        for child in complex_types[type_name].iter(f"{XS}element"):
            name, kind = child.get("name"), child.get("type").removeprefix("p:")
            if kind in lengths:
                yield element, [*path, name], None, lengths[kind]
            elif kind in complex_types:
                yield from walk(kind, name, [*path, name])

    yield from walk("profile", "profile", [])


def find(tree, path):
    return tree.find("/".join(q(name) for name in path)) if path else tree


def check_texts(case):
    seen = 0
    for element, path, attribute, most in texts(case):
        name = attribute if attribute is not None else "note"
        if attribute is not None and name in CHECKED and (element == CHECKED[name] or element == "profile"):
            continue  # a note of the scale, a UUID
        for length in (most, most + 1):
            tree = case.document(built=True)
            node = find(tree, path)
            value = filled(length, name in DATES)
            if attribute is not None:
                node.set(attribute, value)
            else:
                node.text = value
            if name == "opened":
                node.attrib.pop("closed", None)
            case.judge(f"{element} {name} of {length} characters", tree, length == most, element, name, str(length), str(most))
        case.tap.check(f"{most:,}" in case.format, f"docs/format.md states {most:,}")
        seen += 1
    case.tap.check(seen >= 25, f"{seen} texts are bounded")
    unbounded = [a.get("name") for a in case.xsd.iter() if a.tag in (f"{XS}attribute", f"{XS}element") and a.get("type") == "xs:string"]
    case.tap.check(not unbounded, "no text is without a bound", unbounded)


def counts(case):
    complex_types, _ = types(case.xsd)
    for type_name, complex_type in complex_types.items():
        for child in complex_type.iter(f"{XS}element"):
            if int(child.get("maxOccurs", "1")) > 1:
                yield type_name, child.get("name"), int(child.get("maxOccurs"))


def numbered(node, i):
    if "id" in node.attrib:
        node.set("id", f"x{i}")
    for inner in node.iter():
        if inner is not node and "id" in inner.attrib:
            inner.set("id", f"x{i}-{inner.get('id')}")
    return node


def check_counts(case):
    for parent_name, child_name, most in counts(case):
        if child_name in ("post", "anchor", "string", "tool", "slot") or parent_name == "work-make-saddle":
            continue  # one a string, or a thing measured: held to by what they name
        for n in (most, most + 1):
            tree = case.document()
            for visit in tree.findall(q("visit")) if parent_name == "profile" else []:
                for readings in visit.findall(q("readings")):
                    visit.remove(readings)
            parent = tree if parent_name == "profile" else next(tree.iter(q(parent_name)))
            for node in [x for x in list(parent) if parent_name == "readings" and x.tag != q("tool")]:
                if node.tag != q(child_name) or n > 2:
                    parent.remove(node)
            children = parent.findall(q(child_name)) or case.document().findall(f".//{q(child_name)}")
            if not children and child_name in ("crown-height", "crown-wear"):
                children = [ET.Element(q(child_name), {"crown-height": {"fret": "1", "height": "1"}, "crown-wear": {"fret": "1", "string": "1", "depth": "0.1"}}[child_name])]
            place = list(parent).index(children[-1]) + 1 if children[-1] in list(parent) else len(parent)
            have = len(parent.findall(q(child_name)))
            source = ET.tostring(children[-1])
            for i in range(n - have):
                parent.insert(place + i, numbered(ET.fromstring(source), i))
            case.judge(f"{n} × {child_name} in {parent_name}", tree, n == most, child_name, parent_name, str(most))
        case.tap.check(f"{most:,}" in case.format, f"docs/format.md states {most:,}")


def grow(case, element, what, n):
    """The example with @n of what is counted in all, no more than is accepted of any part of it."""
    tree = case.document()
    visit = tree.find(q("visit"))
    sets = visit.findall(q("readings"))
    if what == "reading":
        alike, pitch = sets[0].findall(q("action"))[-1], sets[0].find(q("pitch"))
        for child in list(sets[0]):
            if child.tag != q("tool"):
                sets[0].remove(child)
        visits = [visit]
        a_set, a_visit = ET.tostring(sets[0]), ET.tostring(visit)
        left, i = n, 0
        while left > 0:
            i += 1
            here = min(left, 1000)
            if i > 1 and (i - 1) % 2 == 0 and element == "profile":
                visits.append(numbered(ET.fromstring(a_visit), i))
                tree.append(visits[-1])
                readings = visits[-1].find(q("readings"))
            elif i > 1:
                readings = numbered(ET.fromstring(a_set), i)
                visits[-1].insert(list(visits[-1]).index(visits[-1].findall(q("readings"))[-1]) + 1, readings)
            else:
                readings = sets[0]
            if element == "readings":
                here = n
            for k in range(here):
                readings.append(ET.fromstring(ET.tostring(alike if k + 1 < here else pitch)))
            left -= here
    elif element == "profile" and what != "readings":
        parent, each = (visit.find(q("plan")), 500) if what == "operation" else (visit, 200)
        tags = {child.tag for child in parent} if what == "operation" else {q(what)}
        kinds = [ET.tostring(child) for child in parent if child.tag in tags]
        place = [child.tag in tags for child in parent].index(True)
        for child in [child for child in parent if child.tag in tags]:
            parent.remove(child)
        bare = ET.tostring(visit)
        tree.remove(visit)
        for i in range(n):
            if i % each == 0:
                tree.append(numbered(ET.fromstring(bare), i))
                for readings in tree[-1].findall(q("readings"))[1:]:
                    tree[-1].remove(readings)
                at = tree[-1].find(q("plan")) if what == "operation" else tree[-1]
                here = place if what == "operation" else place - len(sets) + 1
            at.insert(here + i % each, numbered(ET.fromstring(kinds[i % min(3, len(kinds))]), i))
    elif what == "readings":
        for child in list(sets[0]):
            sets[0].remove(child)
        a_set = ET.tostring(sets[0])
        visit.remove(sets[0])
        a_visit = ET.tostring(visit)
        tree.remove(visit)
        for i in range(n):
            if i % 16 == 0:
                tree.append(numbered(ET.fromstring(a_visit), i))
            tree[-1].insert(1, numbered(ET.fromstring(a_set), i))
    elif what == "operation":
        plan = visit.find(q("plan"))
        while len(plan) < n:
            plan.append(ET.fromstring(ET.tostring(plan[len(plan) % 3])))
    else:
        check = visit.find(q("check"))
        check.find(q("note")).text = ""
        check.set("name", "é" * 200)
        left = n - 200
        while left > 0:
            here = min(left, 4000)
            more = ET.fromstring(ET.tostring(check))
            more.set("name", "é")
            more.find(q("note")).text = "é" * (here - 1)
            visit.insert(list(visit).index(check), more)
            left -= here
    return tree


def check_totals(case):
    for element, what, most in TOTALS:
        case.judge(f"{most} × {what} in {element}", grow(case, element, what, most), True)
        case.judge(f"{most + 1} × {what} in {element}", grow(case, element, what, most + 1), False, element, what, f"{most + 1}", f"at most {most}", line="visit" if element == "plan" else None)
        case.tap.check(f"{most:,}" in case.format, f"docs/format.md states {most:,}")


def main():
    with tempfile.TemporaryDirectory() as folder:
        case = Case(pathlib.Path(folder))
        for check in (check_texts, check_counts, check_totals):
            check(case)
        return case.tap.done()


if __name__ == "__main__":
    sys.exit(main())
