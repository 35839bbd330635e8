#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""What the command-line program prints for programs: JSON by its schema, row by row what the CSV says; of many files, in their order, however many are
worked on at once; of standard input, and onto standard output.

answers.py PROGRAM SOURCE_ROOT; speaks TAP. JSON is judged by Python's parser and JSON-GLib's, both by RFC 8259, and by data/sidelong-calc.schema.json
with jsonschema's validator of draft 2020-12."""

import copy
import csv
import io
import json
import os
import pathlib
import pty
import random
import re
import shutil
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ElementTree
from xml.sax.saxutils import quoteattr

sys.dont_write_bytecode = True
from program import DONE, FAULT, FILE, HEADER, USAGE, Tap, paths, read_schema
from terminal import RAW

ROWS = ("compute", "plan", "history", "photos")
FORMULA = ("=", "+", "-", "@", "−", "＝", "＋", "－", "＠")
TEXTS = ['"quoted" \\back\\', "\n", "line\nline\r\ttab", "\x85\x9b31m", "\u2028\u2029", "\u202egpj.\u2066\u200f", "e\u0301 漢字 \U0001f3b8", "=1+1", "null", "</script>", "\ufeff\ufffd", "%s %n"]
LESS = float(os.environ.get("SL_TEST_ROUNDS", 1)) < 1  # with sanitizers: fewer files at once, which the run without them has in full
SAD = "".join(TEXTS)[:64]  # as long as an id may be


def one_line(text):
    """A text of the document as the manual says that CSV has it."""
    def shown(c):
        n = ord(c)
        return {"\n": "\\n", "\r": "\\r", "\t": "\\t"}.get(c) or (f"\\x{n:02x}" if n < 0x20 or 0x7f <= n < 0xa0 else f"\\u{n:04x}")
    line = "".join(shown(c) if RAW.match(c) or c == "\n" else c for c in text)
    return "'" + line if line.startswith(FORMULA) else line


def as_csv(value):
    """A value of the JSON, its numbers as they were spelled, as the CSV has it."""
    if value is None:
        return ""
    return value[1] if isinstance(value, tuple) else one_line(value)


class Case:
    def __init__(self, folder):
        self.tap = Tap()
        self.program, self.root = paths()
        self.schema = read_schema(self.root)
        self.folder = folder
        self.example = self.root / "tests" / "example.sidelong"
        self.text = self.example.read_text(encoding="utf-8")
        self.profiles = sorted([*self.root.glob("data/demo/*.sidelong"), *self.root.glob("data/starting/*.sidelong"), self.example])
        self.broken = self.write("broken.sidelong", self.text.replace("<saddle ", "<sadle ", 1).replace('gap="0.10"', 'gap="much"', 1))

    def write(self, name, text):
        path = self.folder / name
        path.write_text(text, encoding="utf-8")
        return path

    def json(self, *arguments, status=DONE, **extra):
        """The document that a call prints, held to the schema; numbers are pairs with their spelling."""
        done = self.program.run(*arguments, "--format=json", **extra)
        name = ascii(" ".join(pathlib.Path(str(a)).name for a in arguments[:3]))
        number = lambda text: ("number", text)
        try:
            document = json.loads(done.stdout)
            spelled = json.loads(done.stdout, parse_float=number, parse_int=number)
        except ValueError as error:
            self.tap.check(False, f"{name}: JSON", [str(error), done.stdout[:200], done.stderr[:200]])
            return {"files": []}, done
        faults = [f"{'/'.join(map(str, e.absolute_path))}: {e.message[:200]}" for e in self.schema(arguments[0]).iter_errors(document)]
        self.tap.check(not faults and done.returncode == status, f"{name}: as the schema has it", [f"status {done.returncode}", *faults[:5], done.stderr[:300]])
        return spelled, done


def rows_of(document):
    return [[as_csv(v) for v in row.values()] for file in document["files"] for row in file["rows"]]


def check_rows(case):
    """The same columns, figures and digits in CSV and JSON."""
    for command, more in [*((c, []) for c in ROWS), ("photos", ["--detail"])]:
        table = list(csv.reader(io.StringIO(case.program.run(command, *case.profiles, "--format=csv", *more).stdout)))
        document, done = case.json(command, *case.profiles, *more)
        keys = {tuple(row) for file in document["files"] for row in file["rows"]}
        case.tap.check(keys == {tuple(table[0][1:])}, f"{command}: the CSV's columns", [str(keys)[:300], str(table[0])])
        named = [[file["file"], *(as_csv(v) for v in row.values())] for file in document["files"] for row in file["rows"]]
        unlike = [(a, b) for a, b in zip(named, table[1:]) if a != b]
        case.tap.check(len(named) == len(table) - 1 > 0 and not unlike, f"{command} {' '.join(more)}: {len(named)} rows say what the CSV says", [f"{len(table) - 1} rows of CSV", *map(str, unlike[:2])])
    document, _ = case.json("compute", case.example, "--detail")
    table = list(csv.reader(io.StringIO(case.program.run("compute", case.example, "--detail", "--format=csv").stdout)))
    case.tap.check(rows_of(document) == table[1:] and table[0] == HEADER, "compute --detail: too")
    shelf = case.folder / "shelf"
    shelf.mkdir()
    for path in (*case.profiles, case.broken):
        shutil.copy(path, shelf)
    document, done = case.json("list", shelf, case.root / "data" / "demo", status=FAULT)
    table = list(csv.reader(io.StringIO(case.program.run("list", shelf, case.root / "data" / "demo", "--format=csv").stdout)))
    case.tap.check(rows_of(document) == table[1:] and list(document["files"][0]["rows"][0]) == table[0], "list of two folders: too", [str(rows_of(document)[:1]), str(table[:2])])
    case.tap.check(sum(row["fault"] is not None for file in document["files"] for row in file["rows"]) == 1, "list: the broken one has its fault")


def check_schema(case):
    """The schema is one, is as strict as the program, and refuses what is not what was printed."""
    schema = json.loads((case.root / "data" / "sidelong-calc.schema.json").read_text(encoding="utf-8"))
    loose = [name for name, part in schema["$defs"].items() if "properties" in part and (part.get("additionalProperties") is not False or set(part["required"]) != set(part["properties"]))]
    case.tap.check(not loose, "no object of the schema takes or leaves out a key", loose)
    rows = ElementTree.parse(case.root / "data" / "built-in.ui").getroot()
    quantities = [row.get("name") for row in rows.findall("quantity")] + ["gap", "swing", "margin", "suspect"]
    row = schema["$defs"]["compute-row"]["properties"]
    case.tap.check(row["quantity"]["enum"] == quantities, "the schema's quantities are the program's, in their order")
    case.tap.check(set(row["unit"]["enum"]) == {row.get("unit") or None for row in rows.findall("quantity")} | {"1"}, "and their units", row["unit"]["enum"])
    operations = {row.get("element") for row in rows.findall("operation")}
    case.tap.check(set(schema["$defs"]["operation"]["properties"]["operation"]["enum"]) == operations, "and the kinds of work", sorted(operations))
    rand = random.Random(int(os.environ.get("SL_TEST_SEED", 12)))
    for command in ROWS:
        good = json.loads(case.program.run(command, case.root / "data/demo/anchor-street-flat-top.sidelong", "--format=json").stdout)
        file = good["files"][0]
        file["rows"] = file["rows"][:1] + file["rows"][-1:]
        accepted = []
        for _ in range(40):
            bad = copy.deepcopy(good)
            place = rand.choice([bad, bad["files"][0], *bad["files"][0]["rows"] * 3])
            key = rand.choice(list(place))
            change = rand.choice(["drop", "add", "other"])
            if change == "drop":
                del place[key]
            elif change == "add":
                place["gloss"] = place[key]
            else:
                place[key] = rand.choice([{}, True, [[]]])
            if case.schema(command).is_valid(bad):
                accepted.append(f"{change} {key}")
        case.tap.check(case.schema(command).is_valid(good) and not accepted, f"{command}: a key too few, too many or of another kind is refused", accepted)


def check_parsers(case):
    """JSON-GLib reads it to the same values."""
    try:
        import gi
        gi.require_version("Json", "1.0")
        from gi.repository import Json
    except (ImportError, ValueError) as error:
        case.tap.skip("JSON-GLib reads it", str(error))
        return
    for command in ROWS:
        text = case.program.run(command, case.example, sad_profile(case), "--format=json").stdout
        parser = Json.Parser.new()
        parser.load_from_data(text, -1)
        again = Json.to_string(parser.get_root(), False)
        case.tap.check(json.loads(again) == json.loads(text), f"{command}: JSON-GLib reads the same from it as Python", [text[:200], again[:200]])


def sad_profile(case):
    everything = quoteattr(SAD, {"\n": "&#10;", "\r": "&#13;", "\t": "&#9;"})
    text = case.text
    for old in ('label="Worked example"', 'owner=""', 'model="Small jumbo"', 'visit id="v1"', 'readings id="r1"'):
        text = text.replace(old, old.partition("=")[0] + "=" + everything)
    return case.write("sad.sidelong", text)


def check_texts(case):
    sad = sad_profile(case)
    document, done = case.json("history", sad)
    row = document["files"][0]["rows"][0]
    case.tap.check(row["visit"] == row["set"] == SAD, "a text of any kind is whole", [ascii(row["visit"])])
    case.tap.check(not RAW.search(done.stdout), "and holds nothing a terminal acts on", [ascii(done.stdout[:300])])
    folder = case.folder / "sad"
    folder.mkdir()
    for i, text in enumerate([*TEXTS, ""]):
        attribute = quoteattr(text, {"\n": "&#10;", "\r": "&#13;", "\t": "&#9;"})
        (folder / f"{i:02}.sidelong").write_text(case.text.replace('owner=""', f"owner={attribute}").replace('model="Small jumbo"', f"model={attribute}"), encoding="utf-8")
    document, _ = case.json("list", folder)
    for text, row in zip([*TEXTS, ""], document["files"][0]["rows"]):
        case.tap.check(row["owner"] == row["model"] == (text or None), f"{ascii(text)} is what the list says", [ascii(row)])
    for name in ['"\\\n\u202e.sidelong', "\x1b]0;\x07é.sidelong"]:
        path = case.write(name, case.text)
        document, _ = case.json("compute", path)
        case.tap.check(document["files"][0]["file"] == str(path), f"the file {ascii(name)} is named")
    raw = os.fsencode(case.folder) + b"/\xff\xfe.sidelong"
    shutil.copy(os.fsencode(case.example), raw)
    document, _ = case.json("compute", os.fsdecode(raw))
    case.tap.check(len(document["files"]) == 1 and document["files"][0]["rows"], "a name that is not UTF-8 leaves a sound document")


def check_faults(case):
    missing = case.folder / "missing.sidelong"
    for command in ROWS:
        document, done = case.json(command, case.broken, case.example, missing, status=FILE)
        files = document["files"]
        case.tap.check([f["file"] for f in files] == [str(case.broken), str(case.example), str(missing)], f"{command}: every file has its place")
        told = [f"{f['file']}:{fault['line'][1]}: {fault['message']}" if fault["line"] else f"{f['file']}: {fault['message']}" for f in files for fault in f["faults"]]
        case.tap.check(told == done.stderr.splitlines(), f"{command}: its faults are those on standard error", [*told, *done.stderr.splitlines()])
        lines = [fault["line"] and int(fault["line"][1]) for f in files for fault in f["faults"]]
        where = [n for n, line in enumerate(case.broken.read_text().splitlines(), 1) if "<sadle" in line or "much" in line]
        case.tap.check(lines == [*where, None], f"{command}: with their lines", [str(lines), str(where)])
        case.tap.check(not files[0]["rows"] and not files[2]["rows"] and (files[1]["rows"] or command == "photos"), f"{command}: the sound one has its rows, the others none")
        for alone, status in ((case.broken, FAULT), (missing, FILE)):
            document, _ = case.json(command, alone, status=status)
            case.tap.check(document["files"][0]["faults"] and not document["files"][0]["rows"], f"{command} {alone.name}: alone, too")


def check_input(case):
    """"-" as a file, and as what is written."""
    for arguments in (["compute", "--format=csv"], ["compute"], ["plan"], ["plan", "--format=csv"], ["history"], ["history", "--format=text"], ["check"]):
        file = case.program.run(*arguments, case.example)
        with case.example.open() as stream:
            told = case.program.run(*arguments, "-", stdin=stream)
        case.tap.check(told.stdout.replace("standard input", str(case.example)) == file.stdout and told.stderr == "" and told.returncode == DONE,
                       f"{' '.join(arguments)}: standard input is a profile like another", [told.stdout[:200], told.stderr])
    for name, content, status, says in [("nothing", "", FAULT, "standard input:1: the document is empty"), ("a fault", case.broken.read_text(), FAULT, "standard input:"),
                                        ("too much", "<" * (8 * 1024 * 1024 + 10), FAULT, "8 MiB")]:
        done = case.program.run("check", "-", input=content)
        case.tap.check(done.returncode == status and says in done.stderr, f"{name} on standard input", [str(done.returncode), done.stderr[:300]])
    done = case.program.run("compute", case.example, "-", "--format=csv", input=case.text)
    case.tap.check({row["file"] for row in csv.DictReader(io.StringIO(done.stdout))} == {str(case.example), "-"}, "among several files its column says “-”")
    for arguments in (["compute", "-", "-"], ["check", "-", "--files-from=-"], ["plan", "-", "--write"]):
        done = case.program.run(*arguments, input=case.text)
        case.tap.check(done.returncode == USAGE and done.stdout == "" and "standard input" in done.stderr, f"{' '.join(arguments)} is wrong usage", [done.stderr])
    closed = case.program.run("check", "-", preexec_fn=lambda: os.close(0))
    case.tap.check(closed.returncode == FILE and closed.stderr.startswith("standard input: "), "standard input that is closed can't be read", [closed.stderr])


def check_output(case):
    for arguments, name in [(["draw", "--type=svg"], "o.svg"), (["draw", "--type=png"], "o.png"), (["draw", "--type=pdf"], "o.pdf"), (["sheet"], "o.pdf"), (["template"], "o.pdf")]:
        out = case.folder / name
        case.program.run(arguments[0], case.example, "-o", out)
        with case.example.open() as stream:
            done = subprocess.run([case.program.path, *arguments, "-", "-o", "-"], stdin=stream, capture_output=True, timeout=120)
        case.tap.check(done.returncode == DONE and done.stdout == out.read_bytes(), f"{' '.join(arguments)} from standard input to standard output: the same bytes", [done.stderr.decode()])
    here = case.program.run("draw", case.example, "-o", "-")
    case.tap.check(here.returncode == USAGE and here.stdout == "" and "--type" in here.stderr, "a picture on standard output needs its type", [here.stderr])
    named = case.folder / "picture.of"
    done = case.program.run("draw", case.example, "-o", named, "--type=png")
    case.tap.check(done.returncode == DONE and named.read_bytes().startswith(b"\x89PNG"), "--type decides where the ending says nothing", [done.stderr])
    for arguments in (["draw", "--type=svg"], ["sheet"], ["template"]):
        ours, theirs = pty.openpty()
        done = case.program.run(*arguments, case.example, "-o", "-", stdout=theirs)
        os.close(theirs), os.close(ours)
        case.tap.check(done.returncode == USAGE and "terminal" in done.stderr, f"{arguments[0]}: no picture onto a terminal", [done.stderr])


def check_lists(case):
    names = [str(path) for path in case.profiles[:5]]
    wanted = case.program.run("compute", "--format=csv", *names).stdout
    for what, content in (("lines", "\n".join(names) + "\n"), ("a last line without an end", "\n\n".join(names)), ("NULs", "\0".join(names) + "\0")):
        listed = case.write("list", content)
        for source, extra in ((listed, {}), ("-", {"input": content})):
            done = case.program.run("compute", "--format=csv", f"--files-from={source}", **extra)
            case.tap.check(done.stdout == wanted and done.returncode == DONE, f"files from {what} in {'standard input' if source == '-' else 'a file'}", [done.stderr, done.stdout[:200]])
    odd = case.write("new\nline.sidelong", case.text)
    done = case.program.run("check", "--files-from=-", input=f"{odd}\0{case.broken}\0")
    case.tap.check(done.returncode == FAULT and all("broken" in line for line in done.stderr.splitlines()), "between NULs a name may have lines", [done.stderr])
    done = case.program.run("compute", "--format=csv", names[4], f"--files-from={case.write('list', names[0])}")
    order = list(dict.fromkeys(row["file"] for row in csv.DictReader(io.StringIO(done.stdout))))
    case.tap.check(order == [names[4], names[0]], "named files come before listed ones", order)
    done = case.program.run("compute", "--format=csv", "--files-from=-", input=names[0])
    case.tap.check(done.stdout.startswith("file,state,"), "the column of the file is there for a list of one")
    document, _ = case.json("compute", "--files-from=-", input="")
    case.tap.check(document["files"] == [], "an empty list is no fault")
    for source, status in ((case.folder / "none", FILE), (case.folder, FILE)):
        done = case.program.run("compute", f"--files-from={source}")
        case.tap.check(done.returncode == status and str(source) in done.stderr and done.stdout == "", f"a list that can't be read: {source.name}", [done.stderr])
    many = case.program.run("check", "--files-from=-", input=f"{case.example}\n" * (1000 if LESS else 5000))
    case.tap.check(many.returncode == DONE and not many.stderr, "more files than a shell passes", [many.stderr[:200]])


def check_jobs(case):
    """However many are worked on at once: the same bytes, in the order of the files."""
    files = []
    for i in range(30 if LESS else 60):
        source = case.profiles[i % len(case.profiles)] if i % 7 else case.broken
        files.append(shutil.copy(source, case.folder / f"{i:02}.sidelong") if i % 13 else case.folder / f"missing-{i}.sidelong")
    for arguments in (["check"], ["compute"], ["compute", "--format=csv", "--detail"], ["compute", "--format=json"], ["plan"], ["plan", "--format=json"], ["history"], ["photos"]):
        alone = case.program.run(*arguments, *files, "--jobs=1")
        case.tap.check(alone.returncode == FILE and len(alone.stderr.splitlines()) > 10, f"{' '.join(arguments)}: alone", [alone.stderr[:200]])
        for jobs in (["-j", "7"],) if LESS else (["--jobs=2"], ["-j", "7"], []):
            done = case.program.run(*arguments, *files, *jobs)
            case.tap.check((done.stdout, done.stderr, done.returncode) == (alone.stdout, alone.stderr, alone.returncode), f"{' '.join(arguments)} {' '.join(jobs) or 'on every core'}: the same",
                           [f"status {done.returncode}"] + [f"{a} | {b}" for a, b in zip(alone.stdout.splitlines(), done.stdout.splitlines()) if a != b][:3])
    for jobs in ("0", "-1", "many", "1000"):
        done = case.program.run("check", case.example, f"--jobs={jobs}")
        case.tap.check(done.returncode == USAGE and f"“{jobs}”" in done.stderr, f"--jobs={jobs} is wrong usage", [done.stderr])
    twice = case.write("twice.sidelong", case.text)
    done = case.program.run("plan", "--write", twice, twice, "--jobs=8")
    case.tap.check(done.returncode == DONE and done.stdout.count("Stored in the visit") == 2, "what is stored is stored one after the other", [done.stdout[-300:], done.stderr])
    case.tap.check(case.program.run("check", twice).returncode == DONE, "and is sound")


def check_text(case):
    """Several files as text: each under its name, the shop once."""
    for command in ("plan", "history"):
        done = case.program.run(command, *case.profiles[:3], *(["--format=text"] if command == "history" else []))
        lines = done.stdout.splitlines()
        case.tap.check(all(str(path) in lines for path in case.profiles[:3]) and lines[-1].startswith("Shop:") and done.stdout.count("Shop:") == 1, f"{command} of several as text", lines[-2:])
        alone = case.program.run(command, case.profiles[0], *(["--format=text"] if command == "history" else [])).stdout
        body = re.sub(r"Shop:.*\n\Z", "", alone)
        case.tap.check(f"{case.profiles[0]}\n{body}\n" in done.stdout, f"{command}: what it says of each is what it says of one", [body[:200]])


def main():
    with tempfile.TemporaryDirectory() as folder:
        case = Case(pathlib.Path(folder))
        for check in (check_rows, check_schema, check_parsers, check_texts, check_faults, check_input, check_output, check_lists, check_jobs, check_text):
            check(case)
        return case.tap.done()


if __name__ == "__main__":
    sys.exit(main())
