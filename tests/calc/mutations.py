#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Profiles changed by chance, along the schema, through every command: values at their bounds and beyond, numbers spelled otherwise, elements left out,
doubled, moved or of another kind, texts of all sorts, as many of a thing as the format takes.

mutations.py PROGRAM SOURCE_ROOT; speaks TAP. Whatever comes, a call ends with a status of the manual's and tells a fault a line; what is accepted by
check is taken by every command, nothing printed or drawn of it is "nan" or "inf", and with its plan stored it is still accepted. From SL_TEST_SEED or a
fixed seed, as often as SL_TEST_ROUNDS has it; a document that fails is kept, and named."""

import json
import math
import os
import pathlib
import random
import re
import shutil
import struct
import sys
import tempfile
import wave
import xml.etree.ElementTree as ElementTree
import zlib

sys.dont_write_bytecode = True
from program import DONE, FAULT, FILE, USAGE, Tap, paths, read_schema

USUAL_SEED = 12
DOCUMENTS = 40  # at SL_TEST_ROUNDS=1; a share of them is accepted
FOLLOWED = 10  # of those accepted, how many go through every command
NS = "urn:sidelong:profile:1"
XS = "{http://www.w3.org/2001/XMLSchema}"
FAULT_LINE = re.compile(r"^(?P<file>.*\.sidelong):(?P<line>[1-9]\d*): \S.*$")
MESSAGE_LINE = re.compile(r"^(?P<file>.*\.(sidelong|pdf)): \S.*$")
NO_NUMBER = re.compile(r"(?<![^\W\d_])[-+−]?(nan|inf|∞)(?![^\W\d_])", re.IGNORECASE)
# Numbers are no words: a "nan" amid what a PDF or an SVG draws by.
NO_COORDINATE = re.compile(rb"(?<![A-Za-z])-?(nan|inf)(?![A-Za-z])")
STREAM = re.compile(rb"stream\r?\n(.*?)endstream", re.DOTALL)
SPELLINGS = ["NaN", "nan", "INF", "-INF", "inf", "1e400", "-1e400", "1e-320", "-0", "0x10", "1,5", " 2.5 ", "+1", "1.", ".5", "2.50000000000000000001", "1e0", "", " ", "٣",
             "1 2", "--1", "1e", "9" * 400, "0." + "0" * 300 + "1"]
TEXTS = ["", " ", "Æ ø", "漢字", "\U0001f3b8", "e\u0301\u0301\u0301", "\u202eright to left", "a & b < c > d \"e\" 'f'", "line\nline", "tab\tand\rreturn", "]]>", "%s %n %d",
         "x" * 2000, "\ufeff", "\ufffd", "\x01", "=1+1", "a;b,c\"d", "–", "../../x"]
DATES = ["2026-03-02", "2026-03-02T10:00:00Z", "2026-03-02T10:00:00+14:00", "2026-02-30", "0001-01-01", "9999-12-31T23:59:59Z", "yesterday", "2026-03-02T24:00:00", "1970-01-01T00:00:00Z",
         "2026-03-02T10:00:00.123456789-03:30", "-0044-03-15", "2026-W10-1", "20260302"]
SIZES = ["--width=200", "--width=10000", "--height=200", "--height-factor=1", "--height-factor=100"]
PICTURES = [[], ["--view=side", "--string=all"], ["--view=nut"], ["--view=fret-12"], ["--view=bridge"], ["--sheet=strings"], ["--sheet=pitch"], ["--sheet=frets"], ["--sheet=frets", "--replace"],
            ["--sheet=gaps"], ["--sheet=gaps", "--measured"], ["--dark"], ["--units=64ths"], ["--units=inch", "--held=3"]]


class Schema:
    """What the format takes, from the schema and from the rows of bounds."""

    def __init__(self, root):
        tree = ElementTree.parse(root / "data" / "profile.xsd").getroot()
        self.choices = {t.get("name"): [e.get("value") for e in t.iter(XS + "enumeration")] for t in tree.iter(XS + "simpleType")}
        types = {t.get("name"): t for t in tree.iter(XS + "complexType")}
        self.attributes, self.children = {}, {}
        self._walk("profile", types["profile"], types)
        rows = ElementTree.parse(root / "data" / "built-in.ui").getroot()
        self.bounds = {(row.get("element"), row.get("attribute")): (float(row.get("least")), float(row.get("most")))
                       for tag in ("bound", "reading", "operation") for row in rows.findall(tag)
                       if re.fullmatch(r"-?[\d.]+", row.get("least", "")) and re.fullmatch(r"-?[\d.]+", row.get("most", ""))}

    def _walk(self, name, of, types):
        if name in self.attributes:
            return
        self.attributes[name] = {a.get("name"): (a.get("type") or "").removeprefix("p:") for a in of.iter(XS + "attribute")}
        self.children[name] = [e.get("name") for e in of.iter(XS + "element")]
        for child in of.iter(XS + "element"):
            kind = (child.get("type") or "").removeprefix("p:")
            if kind in types:
                self._walk(child.get("name"), types[kind], types)

    def value(self, rand, element, attribute):
        """A value such as might stand there."""
        kind = self.attributes[element].get(attribute, "")
        if self.choices.get(kind):
            return rand.choice(self.choices[kind] + ["other"] * (rand.random() < 0.1))
        if kind in ("number", "whole"):
            if rand.random() < 0.15:
                return rand.choice(SPELLINGS)
            least, most = self.bounds.get((element, attribute), (0, 24))
            step = 1 if kind == "whole" else 10 ** rand.uniform(-6, 0)
            value = rand.choice([least, most, rand.uniform(least, most), rand.uniform(least, most), rand.uniform(least, most), least + step, most - step, least - step, most + step,
                                 0.0, -least, (least + most) / 2])
            return str(round(value)) if kind == "whole" else rand.choice(["%g", "%.2f", "%r", "%.3e"]) % value
        if attribute in ("opened", "closed", "taken", "done"):
            return rand.choice(DATES)
        if attribute == "note" and element == "string":
            return rand.choice(["E4", "C0", "B8", "H2", "F#3", "Bb2", "", "E44", "e2"])
        return rand.choice(TEXTS)


def name_of(element):
    return element.tag.partition("}")[2]


class Mutator:
    def __init__(self, schema, rand):
        self.schema, self.rand = schema, rand

    def change(self, root):
        """One change; says which."""
        parents = {child: parent for parent in root.iter() for child in parent}
        change = self.rand.choices([self.set_value, self.drop_value, self.drop, self.double, self.move, self.other_kind, self.write, self.many, self.add], [12, 2, 2, 2, 1, 2, 1, 1, 3])[0]
        element = self.rand.choice(list(root.iter()))
        return f"{change.__name__} {name_of(element)}: {change(element, parents)}"

    def set_value(self, element, parents):
        known = list(self.schema.attributes.get(name_of(element), {})) or ["gloss"]
        attribute = self.rand.choice(list(element.keys()) or known) if self.rand.random() < 0.7 else self.rand.choice(known + ["gloss"] * (self.rand.random() < 0.1))
        value = self.schema.value(self.rand, name_of(element), attribute) if name_of(element) in self.schema.attributes else "1"
        element.set(attribute, value)
        return f"{attribute}={value!r:.60}"

    def drop_value(self, element, parents):
        if not element.keys():
            return "none"
        attribute = self.rand.choice(list(element.keys()))
        del element.attrib[attribute]
        return attribute

    def drop(self, element, parents):
        if element in parents:
            parents[element].remove(element)

    def double(self, element, parents, times=1):
        parent = parents.get(element)
        if parent is None:
            return
        place = list(parent).index(element)
        for _ in range(times):
            parent.insert(place, ElementTree.fromstring(ElementTree.tostring(element)))

    def many(self, element, parents):
        times = self.rand.choice([11, 12, 35, 200])
        self.double(element, parents, times)
        return times

    def move(self, element, parents):
        if element in parents and not len(element):
            parents[element].remove(element)
            to = self.rand.choice([e for e in set(parents.values()) if e is not element])
            to.insert(self.rand.randint(0, len(to)), element)

    def other_kind(self, element, parents):
        if element in parents:
            siblings = self.schema.children.get(name_of(parents[element])) or ["gloss"]
            element.tag = f"{{{NS}}}{self.rand.choice(siblings)}"
            return name_of(element)

    def write(self, element, parents):
        element.text = self.rand.choice(TEXTS)

    def add(self, element, parents):
        children = self.schema.children.get(name_of(element))
        if not children:
            return "none"
        name = self.rand.choice(children)
        child = ElementTree.Element(f"{{{NS}}}{name}")
        for attribute in self.schema.attributes.get(name, {}):
            if self.rand.random() < 0.8:
                child.set(attribute, self.schema.value(self.rand, name, attribute))
        same = [i for i, e in enumerate(element) if name_of(e) == name]
        element.insert(same[-1] + 1 if same else self.rand.randint(0, len(element)), child)
        return name


def drawn_numbers(path):
    """What a picture is drawn by."""
    data = path.read_bytes()
    if path.suffix == ".svg":
        return re.sub(rb"<!\[CDATA.*?\]\]>|<text.*?</text>", b"", data, flags=re.DOTALL)
    streams = []
    for match in STREAM.finditer(data):
        try:
            plain = zlib.decompress(match[1])
        except zlib.error:
            continue
        if b"\0" not in plain:  # fonts and the like are none of ours
            streams.append(plain)
    return b"\n".join(streams)


def pluck(path, frequency=329.628, seconds=1.2, rate=22050):
    """A recording of one note that dies away, of eight partials of a stiff string."""
    partials = [(2 * math.pi * k * frequency * math.sqrt(1 + 2e-5 * k * k), k) for k in range(1, 9)]
    samples = (sum(math.sin(w * i / rate) / k for w, k in partials) * math.exp(-2 * i / rate) for i in range(round(seconds * rate)))
    with wave.open(str(path), "wb") as out:
        out.setparams((1, 2, rate, 0, "NONE", ""))
        out.writeframes(bytes(rate // 2) + b"".join(struct.pack("<h", round(9000 * x)) for x in samples))
    return path


class Trial:
    def __init__(self, tap, program, root, folder):
        self.tap, self.program, self.folder = tap, program, folder
        self.schema = read_schema(root)
        self.sound = pluck(folder / "sound.wav")
        self.failures = []

    def expect(self, good, document, what, done):
        if good:
            return True
        kept = pathlib.Path(tempfile.gettempdir()) / f"sidelong-{document.name}"
        shutil.copy(document, kept)
        self.failures.append(f"{what}, {kept}: status {done.returncode}, {done.stderr[:1500]!r}")
        return False

    def follow(self, document, rand):
        """What is accepted, through every command."""
        run, expect = self.program.run, self.expect
        for arguments in (["compute", "--detail"], ["compute", "--format=csv", "--detail"], ["plan"], ["plan", "--format=csv"], ["history"], ["history", "--format=text"], ["photos"], ["photos", "--format=csv", "--detail"], ["pitch", "--string=1"], ["pitch", "--string=1", "--format=csv"]):
            done = run(*arguments, document, *[self.sound] * (arguments[0] == "pitch"))
            # a string may be tuned to a note that is no more heard, and its frets with it
            silent = arguments[0] == "pitch" and done.returncode in (DONE, USAGE) and ("no note" in done.stderr or "over 5000" in done.stderr)
            # its photographs are not beside a changed document, and each is told
            missing = arguments[0] == "photos" and done.returncode == FILE and all(map(MESSAGE_LINE.match, done.stderr.splitlines()))
            expect(done.returncode == DONE and done.stderr == "" or silent or missing, document, " ".join(arguments), done)
            found = NO_NUMBER.search(done.stdout)
            expect(found is None, document, f"{' '.join(arguments)} says {done.stdout[max(0, found.start() - 60):found.end() + 20] if found else ''!r}", done)
        for arguments in (["compute"], ["plan"], ["history"], ["photos"], ["photos", "--detail"], ["pitch", "--string=1"]):
            self.hold(document, arguments, run(*arguments, "--format=json", document, *[self.sound] * (arguments[0] == "pitch")))
        written = self.folder / "written.sidelong"
        shutil.copy(document, written)
        has_visit = b"<visit" in document.read_bytes() or b":visit" in document.read_bytes()
        done = run("plan", "--write", written)
        expect(done.returncode == DONE if has_visit else done.returncode == FAULT, document, "plan --write", done)
        checked = run("check", written)
        expect(checked.returncode == DONE and checked.stderr == "", document, "check of what plan --write wrote", checked)
        self.draw(document, rand)

    def hold(self, document, arguments, done):
        """JSON to its schema; a call that is wrong for this instrument prints none."""
        if done.returncode == USAGE and done.stdout == "":
            return
        try:
            faults = [f"{'/'.join(map(str, e.absolute_path))}: {e.message}" for e in self.schema(arguments[0]).iter_errors(json.loads(done.stdout))]
        except ValueError as error:
            faults = [str(error)]
        self.expect(not faults, document, f"{' '.join(arguments)} as JSON: {faults[:2]!r:.600}", done)

    def draw(self, document, rand):
        run, expect = self.program.run, self.expect
        for ending in ("svg", "png", "pdf"):
            out = self.folder / f"out.{ending}"
            options = rand.choice(PICTURES) + ([rand.choice(SIZES)] if ending != "png" else [])
            done = run("draw", document, "-o", out, *options)
            good = expect(done.returncode == DONE and done.stderr == "", document, f"draw {ending} {' '.join(options)}", done)
            if good and ending != "png":
                expect(NO_COORDINATE.search(drawn_numbers(out)) is None, document, f"draw {ending} {' '.join(options)}: draws by no number", done)
        for command, statuses in ([["sheet", "--charges"], (DONE,)], [["template", rand.choice(["--part=all", "--half-tiles", "--part=rule", "--paper=letter"])], (DONE, FAULT)]):
            out = self.folder / "out.pdf"
            out.unlink(missing_ok=True)
            done = run(*command, document, "-o", out)
            told = [line for line in done.stderr.splitlines() if "without the photograph" not in line]
            good = expect(done.returncode in statuses and len(told) <= 1 and all(map(MESSAGE_LINE.match, told)) and (command[0] == "template" or not told), document, " ".join(command), done)
            if good and done.returncode == DONE:
                expect(NO_COORDINATE.search(drawn_numbers(out)) is None, document, f"{' '.join(command)}: draws by no number", done)


def refused_of(trial, done, documents, what):
    """The documents a call of several names as at fault."""
    lines = [(text, FAULT_LINE.match(text)) for text in done.stderr.splitlines()]
    names = {str(d): d for d in documents}
    astray = [text for text, match in lines if match is None or match["file"] not in names]
    for text in astray[:1]:
        trial.expect(False, documents[0], f"{what}: a line that is no fault: {text:.300}", done)
    refused = {names[match["file"]] for _, match in lines if match and match["file"] in names}
    if done.returncode != (FAULT if refused else DONE):
        trial.expect(False, documents[0], f"{what}: the status", done)
    return refused


def main():
    tap = Tap()
    program, root = paths()
    seed = int(os.environ.get("SL_TEST_SEED", USUAL_SEED))
    factor = float(os.environ.get("SL_TEST_ROUNDS", "1"))
    rand = random.Random(seed)
    schema = Schema(root)
    tap.check(len(schema.attributes) > 30 and len(schema.bounds) > 60, "the schema and the table of bounds are read", [f"{len(schema.attributes)} elements, {len(schema.bounds)} bounds"])
    mutator = Mutator(schema, rand)
    sources = sorted((root / "data" / "demo").glob("*.sidelong")) + [root / "tests" / "example.sidelong"]
    ElementTree.register_namespace("", NS)
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        trial = Trial(tap, program, root, folder)
        shelf = folder / "shelf"
        shelf.mkdir()
        documents, changes = [], {}
        for i in range(max(8, round(DOCUMENTS * factor))):
            tree = ElementTree.parse(rand.choice(sources))
            made = [mutator.change(tree.getroot()) for _ in range(rand.choice([1, 1, 2, 3, 6]))]
            documents.append(shelf / f"mutation-{seed}-{i}.sidelong")
            changes[documents[-1]] = made
            tree.write(documents[-1], encoding="UTF-8", xml_declaration=True)
        accepted = []
        for first in range(0, len(documents), 200):
            lot = documents[first : first + 200]
            refused = refused_of(trial, program.run("check", *lot), lot, "check")
            computed = program.run("compute", "--format=csv", *lot)
            if refused_of(trial, computed, lot, "compute") != refused:
                trial.expect(False, lot[0], "compute refuses others than check", computed)
            trial.expect(NO_NUMBER.search(computed.stdout) is None, lot[0], "compute: a figure that is none", computed)
            trial.hold(lot[0], ["plan", "of all"], program.run("plan", "--format=json", *lot))
            accepted += [d for d in lot if d not in refused]
        for form in ("text", "csv"):
            listed = program.run("list", f"--format={form}", shelf)
            told = [line for line in listed.stderr.splitlines() if ": note: " not in line]  # notes: of files with one id
            trial.expect(listed.returncode == (FAULT if len(accepted) < len(documents) else DONE) and len(told) == len(documents) - len(accepted), documents[0], f"list {form}", listed)
        trial.hold(documents[0], ["list"], program.run("list", "--format=json", shelf))
        for document in accepted[: max(2, round(FOLLOWED * factor))]:
            before = len(trial.failures)
            trial.follow(document, rand)
            trial.failures += [f"  changed by {change}" for change in changes[document] * (len(trial.failures) > before)]
        tap.check(0 < len(accepted) < len(documents), f"of {len(documents)} changed profiles some are accepted, some refused (seed {seed})", [str(len(accepted))])
        tap.check(not trial.failures, "every command ends well with all of them", trial.failures)
        print(f"# {len(accepted)} accepted")
    return tap.done()


sys.exit(main())
