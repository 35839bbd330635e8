#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Holds the command-line program to its manual: exit statuses, messages, CSV, wrong usage, broken and hostile documents.

cli.py PROGRAM SOURCE_ROOT; speaks TAP."""

import csv
import io
import os
import pathlib
import re
import subprocess
import sys
import tempfile

sys.dont_write_bytecode = True
from program import COMMA_LOCALE, DONE, FAULT, FILE, HEADER, USAGE, Tap, has_comma_locale, key, paths

NUMBER = re.compile(r"-?(?:\d+(?:\.\d+)?)(?:e[-+]?\d+)?")
FAULT_LINE = re.compile(r"^(?P<file>.*):(?P<line>[1-9]\d*): \S.*$")
TOOLKIT = re.compile(r"lib(gtk|gdk(?!_pixbuf)|gsk)[-_0-9.]")

# The order in which the manual lists the quantities; the last four only with --detail, or for a reading that disagrees. Turns of the rod are counted in check_neck().
QUANTITIES = ["fret-position", "relief", "tongue", "nut-height", "crest-height", "first-gap", "action", "exposure", "board-line", "unit-mass", "tension",
              "tension-total", "nut-break", "nut-force", "saddle-break", "saddle-force", "saddle-resultant", "saddle-push", "need", "base-cut-bass", "base-cut-treble", "first-pass-bass",
              "first-pass-treble", "pluck-force", "least-margin", "lowest-clean-action", "best-relief", "pitch-error", "setback-needed", "crest-move", "moisture-content",
              "rod-crest-factor", "rod-nut-factor", "gap", "swing", "margin", "suspect"]
MEASURED_ONLY = {"fret-position", "unit-mass", "pluck-force", "crest-move", "moisture-content", "rod-crest-factor", "rod-nut-factor", "suspect"}
UNITS = {"unit-mass": "g/m", "tension": "N", "tension-total": "N", "nut-break": "degree", "saddle-break": "degree", "nut-force": "N", "saddle-force": "N", "saddle-resultant": "N", "saddle-push": "N", "pluck-force": "N",
         "pitch-error": "cent", "moisture-content": "%", "rod-crest-factor": "", "rod-nut-factor": "", "suspect": "1"}


class Case:
    def __init__(self):
        self.tap = Tap()
        self.program, self.root = paths()
        self.example = self.root / "tests" / "example.sidelong"
        self.text = self.example.read_text(encoding="utf-8")
        self.folder = None

    def write(self, name, text):
        path = self.folder / name
        path.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))
        return path

    def ends(self, status, name, *arguments, says=None, **extra):
        """A call ends with the status; what it says on standard error holds the text."""
        done = self.program.run(*arguments, **extra)
        good = done.returncode == status and (says is None or says in done.stderr) and (status == DONE) == (done.stderr == "")
        self.tap.check(good, name, [f"status {done.returncode}"] + done.stderr.splitlines()[:5])
        return done


def check_usage(case):
    example, out = case.example, case.folder / "out.svg"
    for name, arguments in [
        ("no command", []), ("an unknown command", ["polish", example]), ("an unknown option", ["compute", "--gloss", example]),
        ("an unknown option before the command", ["--gloss"]), ("check without a file", ["check"]), ("compute without a file", ["compute"]),
        ("plan without a file", ["plan"]), ("draw with two files", ["draw", example, example, "-o", out]), ("an unknown format", ["compute", "--format=xml", example]),
        ("draw without a file", ["draw", "-o", out]), ("draw without a picture", ["draw", example]), ("draw to an unknown ending", ["draw", example, "-o", "x.gif"]),
        ("draw an unknown view", ["draw", example, "-o", out, "--view=back"]), ("draw an unknown unit", ["draw", example, "-o", out, "--units=cubit"]),
        ("draw a string that is not there", ["draw", example, "-o", out, "--string=7"]), ("draw a fret that is not there", ["draw", example, "-o", out, "--held=20"]),
        ("draw with no width", ["draw", example, "-o", out, "--width=0"]), ("draw with a width that is no number", ["draw", example, "-o", out, "--width=nan"]),
    ]:
        case.ends(USAGE, f"{name} is wrong usage", *arguments)
    case.tap.check(not out.exists(), "wrong usage of draw writes nothing")
    case.ends(USAGE, "the unknown format is named, with what is accepted", "compute", "--format=xml", example, says="“xml”")
    gif = case.ends(USAGE, "the unknown ending is named", "draw", example, "-o", "x.gif", says="x.gif")
    case.tap.check(all(ending in gif.stderr for ending in (".svg", ".png", ".pdf")), "the three endings are named", [gif.stderr])
    string = case.ends(USAGE, "the string is named, with the range", "draw", example, "-o", out, "--string=7", says="1 to 6")
    case.tap.check("“7”" in string.stderr, "the string asked for is named", [string.stderr])


def check_help(case):
    version = case.ends(DONE, "--version is answered", "--version")
    case.tap.check(re.fullmatch(r"sidelong-calc \d+\.\d+\.\d+\n", version.stdout), "--version names the program and its version", [version.stdout])
    general = case.ends(DONE, "--help is answered", "--help").stdout
    for command in ("check", "compute", "plan", "draw", "pitch"):
        case.tap.check(command in general, f"--help lists {command}", general.splitlines())
        case.tap.check("FILE" in case.ends(DONE, f"{command} --help is answered", command, "--help").stdout, f"{command} --help shows its call")


def check_faults(case):
    """One line a fault, on standard error; nothing else anywhere."""
    ok = case.ends(DONE, "check says nothing of a good document", "check", case.example)
    case.tap.check(ok.stdout == "", "nor on standard output", [ok.stdout])
    line_of = {n: i for i, text in enumerate(case.text.splitlines(), 1) for n in ("<saddle", "<tongue", "joint-fret") if n in text}
    for name, old, new, line in [
        ("an unknown element", "<saddle ", "<sadle ", line_of["<saddle"]),
        ("an unknown attribute", '<tongue gap="0.10"', '<tongue gap="0.10" colour="red"', line_of["<tongue"]),
        ("a number that is none", '<tongue gap="0.10"', '<tongue gap="0,10"', line_of["<tongue"]),
        ("a number that is not finite", '<tongue gap="0.10"', '<tongue gap="NaN"', line_of["<tongue"]),
        ("a number beyond all range", '<tongue gap="0.10"', '<tongue gap="1e400"', line_of["<tongue"]),
        ("a reading outside its physical range", '<tongue gap="0.10"', '<tongue gap="250"', line_of["<tongue"]),
        ("a joint fret beyond the last", 'joint-fret="14"', 'joint-fret="21"', line_of["joint-fret"]),
    ]:
        path = case.write("fault.sidelong", case.text.replace(old, new, 1))
        done = case.ends(FAULT, f"{name} is a fault", "check", path)
        lines = [FAULT_LINE.match(text) for text in done.stderr.splitlines()]
        good = lines and all(m and m["file"] == str(path) for m in lines) and any(int(m["line"]) == line for m in lines)
        case.tap.check(good and done.stdout == "", f"{name} is told as FILE:LINE: message", done.stderr.splitlines() + [f"line {line} expected"])
    case.write("range.sidelong", case.text.replace('<tongue gap="0.10"', '<tongue gap="250"', 1))
    for command in (["compute"], ["plan"], ["draw", "-o", case.folder / "fault.svg"]):
        case.ends(FAULT, f"{command[0]} refuses it likewise", *command, case.folder / "range.sidelong", says="250")
    case.tap.check(not (case.folder / "fault.svg").exists(), "no picture is drawn of it")


def check_hostile(case):
    secret = case.write("secret.txt", "kept out")
    doctype = f'<!DOCTYPE profile [<!ENTITY e SYSTEM "file://{secret}">]>'
    laughs = "<!DOCTYPE p [<!ENTITY a0 'ha'>" + "".join(f"<!ENTITY a{i} '{f'&a{i - 1};' * 10}'>" for i in range(1, 12)) + "]>"
    head, body = case.text.split("?>", 1)
    for name, text in [
        ("empty", ""), ("not XML", "strings: six\n"), ("binary", bytes(range(256)) * 64), ("truncated", case.text[: len(case.text) // 2]),
        ("another root", '<?xml version="1.0"?><score/>'), ("another namespace", case.text.replace("urn:sidelong:profile:1", "urn:other", 1)),
        ("external entity", head + "?>" + doctype + body.replace('label="Worked example"', 'label="&e;"')),
        ("entities that multiply", head + "?>" + laughs + body.replace('label="Worked example"', 'label="&a11;"')),
        ("deep nesting", "<a>" * 100000), ("a broken character", case.text.encode("utf-8").replace(b"Worked", b"W\xff\xfe")),
        ("a thousand visits under one id", case.text.replace("</profile>", '<visit id="v1" opened="2026-01-01"/>' * 1000 + "</profile>")),
    ]:
        path = case.write("hostile.sidelong", text)
        for command in ("check", "compute"):
            done = case.ends(FAULT, f"{command}: {name}: a document at fault", command, path)
            case.tap.check(done.stdout == "" and "kept out" not in done.stderr and all(map(FAULT_LINE.match, done.stderr.splitlines())),
                           f"{command}: {name}: told line by line, nothing let in", done.stderr.splitlines()[:5])


def check_files(case):
    missing = case.folder / "missing.sidelong"
    bad = case.write("bad.sidelong", "no profile")
    for command in (["check"], ["compute"], ["plan"], ["draw", "-o", case.folder / "x.svg"]):
        case.ends(FILE, f"{command[0]}: a missing file can't be read", *command, missing, says=str(missing))
        case.ends(FILE, f"{command[0]}: a folder can't be read", *command, case.folder, says=str(case.folder))
    pipe = case.folder / "pipe.sidelong"
    os.mkfifo(pipe)
    for name in (pipe, "/dev/zero"):
        case.ends(FILE, f"{pathlib.Path(name).name} is no document: neither waited for nor read without end", "check", name, says=str(name))
    case.ends(FILE, "draw: a folder that is not there can't be written to", "draw", case.example, "-o", case.folder / "none" / "x.svg", says="x.svg")
    for names, status in [((missing, bad, case.example), FILE), ((bad, missing, case.example), FILE), ((bad, case.example), FAULT), ((case.example, bad), FAULT)]:
        done = case.ends(status, f"several files end with the worst, {status}", "compute", "--format=csv", *names)
        told = [n for n in names if n != case.example]
        case.tap.check(all(str(n) in done.stderr for n in told), "each file at fault is named", done.stderr.splitlines())
        rows = list(csv.DictReader(io.StringIO(done.stdout)))
        case.tap.check(rows and {row["file"] for row in rows} == {str(case.example)}, "the others are computed all the same")
    with open("/dev/full", "w") as full:
        case.ends(FILE, "what can't be printed is told", "compute", case.example, stdout=full)


def check_csv_form(case, rows, name):
    wrong = [row for row in rows if not NUMBER.fullmatch(row["value"]) or row["uncertainty"] and not NUMBER.fullmatch(row["uncertainty"])]
    case.tap.check(not wrong, f"{name}: values are plain numbers", [str(row) for row in wrong[:3]])
    units = [row for row in rows if row["unit"] != UNITS.get(row["quantity"], "mm")]
    case.tap.check(not units, f"{name}: units are the manual's", [str(row) for row in units[:3]])
    case.tap.check({row["basis"] for row in rows} <= {"measured", "assumed", "computed"}, f"{name}: basis is one of three")
    case.tap.check(len({key(row) for row in rows}) == len(rows), f"{name}: no row stands twice")


def check_columns(case, rows):
    """Which columns a quantity fills."""
    shapes = {}
    for row in rows:
        shapes.setdefault(row["quantity"], set()).add(tuple(bool(row[c]) for c in ("string", "held", "fret")))
    string, whole, both = (True, False, False), (False, False, False), (True, False, True)
    expected = {"fret-position": (False, False, True), "action": both, "pitch-error": both}
    expected.update({q: whole for q in ("tongue", "tension-total", "best-relief", "pluck-force", "moisture-content", "rod-crest-factor", "rod-nut-factor", "base-cut-bass", "base-cut-treble", "first-pass-bass",
                                        "first-pass-treble")})
    expected.update({q: (True, True, True) for q in ("least-margin", "gap", "swing", "margin", "suspect")})
    for quantity in QUANTITIES:
        case.tap.check(shapes.get(quantity) == {expected.get(quantity, string)}, f"{quantity} fills its columns and no others", [str(shapes.get(quantity))])


def check_csv(case):
    text = case.program.run("compute", "--format=csv", "--detail", case.example).stdout
    case.tap.check(text.splitlines()[0] == ",".join(HEADER), "the header is the manual's", text.splitlines()[:1])
    rows = list(csv.DictReader(io.StringIO(text)))
    check_csv_form(case, rows, "detail")
    check_columns(case, rows)
    for state in ("measured", "planned"):
        order = list(dict.fromkeys(row["quantity"] for row in rows if row["state"] == state))
        expected = [q for q in QUANTITIES if state == "measured" or q not in MEASURED_ONLY]
        case.tap.check(order == expected, f"{state}: every quantity, in the manual's order", [" ".join(order)])
    # 6 strings, 20 frets: 20 + 19 + … + 1 places a string
    gaps = [row for row in rows if row["quantity"] == "gap"]
    case.tap.check(len(gaps) == 2 * 6 * 210, "gaps for every fret held and every fret beyond", [str(len(gaps))])
    short = case.program.rows(case.example)
    case.tap.check(not {"gap", "swing", "margin"} & {row["quantity"] for row in short}, "none of them without --detail")
    check_relations(case, {key(row): row for row in rows})


def check_relations(case, rows):
    """Relations between rows that hold by definition."""
    value = {k: float(row["value"]) for k, row in rows.items()}
    near = lambda a, b: abs(a - b) <= 2e-8 * max(1, abs(a))  # nine digits printed of each
    for state in ("measured", "planned"):
        case.tap.check(all(near(v, value[state, "gap", k[2], k[3], k[4]] - value[state, "swing", k[2], k[3], k[4]])
                           for k, v in value.items() if k[:2] == (state, "margin")), f"{state}: margin = gap − swing everywhere")
        case.tap.check(all(near(v, value[state, "gap", k[2], "0", k[4]]) for k, v in value.items() if k[:2] == (state, "action")),
                       f"{state}: action is the open string's gap")
        case.tap.check(all(near(v, value[state, "action", k[2], "", "1"]) for k, v in value.items() if k[:2] == (state, "first-gap")),
                       f"{state}: the first gap is the action at fret 1")
        case.tap.check(all(v == min(w for l, w in value.items() if l[:3] == (state, "margin", k[2])) and value[state, "margin", k[2], k[3], k[4]] == v
                           for k, v in value.items() if k[:2] == (state, "least-margin")), f"{state}: the least margin is the least, at its place")
        total = sum(v for k, v in value.items() if k[:2] == (state, "tension"))
        case.tap.check(near(value[state, "tension-total", "", "", ""], total), f"{state}: the tensions add up")
    # Twelve-tone equal temperament: fret 12 halves the string.
    case.tap.check(near(value["measured", "fret-position", "", "", "12"], 632 / 2), "fret 12 halves the scale length")


def check_several(case):
    odd = case.write('low, "loud".sidelong', case.text)
    done = case.ends(DONE, "several files in one call", "compute", "--format=csv", case.example, odd)
    rows = list(csv.reader(io.StringIO(done.stdout)))
    case.tap.check(rows[0] == ["file"] + HEADER, "several files: the first column is the file", rows[:1])
    one = [list(row.values()) for row in case.program.rows(case.example)]
    case.tap.check([row[1:] for row in rows if row[0] == str(case.example)] == one, "several files: the same rows as alone")
    case.tap.check([row[1:] for row in rows if row[0] == str(odd)] == one, "a name with a comma and quotation marks is quoted")


def check_plan_rows(case):
    bare = case.write("bare.sidelong", re.sub(r"    <plan>.*?</plan>\n", "", case.text, flags=re.DOTALL))
    case.tap.check({row["state"] for row in case.program.rows(bare)} == {"measured"}, "without a plan there are no planned rows")
    unread = case.write("unread.sidelong", re.sub(r"  <visit.*</visit>\n", "", case.text, flags=re.DOTALL))
    rows = case.program.rows(unread)
    case.tap.check({row["basis"] for row in rows if row["quantity"] in ("relief", "first-gap")} == {"assumed"}, "where nothing was read, values are assumed")
    # what is assumed of the action is its target (model 3.1), so nothing is needed: 0, not what rounding leaves of it
    needs = {row["value"] for row in rows if row["quantity"] == "need"}
    case.tap.check(needs == {"0"}, "an action assumed at its target needs exactly 0", sorted(needs))
    case.tap.check({"exposure", "moisture-content", "crest-move"}.isdisjoint(row["quantity"] for row in rows if row["basis"] == "measured"),
                   "and none is called measured")
    text = case.ends(DONE, "a profile without a visit has a report", "compute", unread)
    case.tap.check("assumed" in text.stdout, "which says so", text.stdout.splitlines()[:8])
    verdicts = [line for line in text.stdout.splitlines() if re.search(r"  (in range|close|out|too low)\b", line)]
    case.tap.check(not verdicts, "and passes no verdict on what nobody read", verdicts[:4])


def check_neck(case):
    """The rod's rows: assumed until a turn was read on both sides; relief a turn once two turns of its nut were counted."""
    assumed = {row["quantity"]: row for row in case.program.rows(case.example) if row["quantity"].startswith("rod-")}
    told = {name: (row["value"], row["uncertainty"], row["unit"], row["basis"]) for name, row in assumed.items()}
    case.tap.check(told == {"rod-crest-factor": ("0.83", "0.2", "", "assumed"), "rod-nut-factor": ("0.98", "0.34", "", "assumed")},
                   "how a neck bends is assumed before it is read", [str(told)])
    first = re.search(r"    <readings .*?</readings>\n", case.text, re.DOTALL)[0]

    def later(number, change):
        """The first set after relief changed by so much below the middle: actions go by about twice that, first gaps a little."""
        by = {"relief": change, "action": 2 * change, "first-gap": 0.1 * change}
        moved = re.sub(r'<(relief|action|first-gap) (.*?)gap="([^"]+)"', lambda m: f'<{m[1]} {m[2]}gap="{float(m[3]) + by[m[1]]:.3f}"', first)
        return moved.replace('id="r1" stage="received"', f'id="r{number}" stage="during"').replace("T10", f"T1{number}")

    plan = ('    <plan>\n      <turn-rod change="-0.1" turns="0.5" done="2026-03-02T11:00:00Z"/>\n'
            '      <turn-rod change="-0.05" turns="0.25" done="2026-03-02T12:30:00Z"/>\n      <turn-rod change="-0.04"/>\n    </plan>\n')
    text = re.sub(r"    <plan>.*</plan>\n", lambda m: later(2, -0.1) + later(3, -0.15) + plan, case.text, flags=re.DOTALL)
    read = case.write("turned.sidelong", text)
    rows = {row["quantity"]: row for row in case.program.rows(read) if row["quantity"].startswith("rod-")}
    case.tap.check({row["basis"] for row in rows.values()} == {"measured"} and len(rows) == 3, "read around two turns it is measured", [str(rows)])
    turn = rows.get("rod-relief-per-turn", {"value": "nan", "unit": ""})
    case.tap.check(abs(float(turn["value"]) - 0.2) < 0.02 and turn["unit"] == "mm", "0.1 mm for half a turn and 0.05 for a quarter are 0.2 a turn", [str(turn)])
    closer = all(float(rows[name]["uncertainty"]) < float(assumed[name]["uncertainty"]) for name in assumed)
    case.tap.check(closer, "and is known better than before")
    report = case.program.run("compute", read).stdout
    case.tap.check("from 2 turns of its rod" in report and re.search(r"relief for a whole turn of the rod, mm +0\.20 ±", report), "the report says so too", report.splitlines()[:12])


def check_unread_exposure(case):
    unread = case.write("no-exposure.sidelong", re.sub(r" *<exposure .*/>\n", "", case.text))
    at_saddle = {"exposure", "board-line", "saddle-break", "saddle-force", "saddle-resultant", "saddle-push"}
    rows = [row for row in case.program.rows(unread) if row["quantity"] in at_saddle]
    case.tap.check({row["quantity"] for row in rows} == at_saddle
                   and {row["basis"] for row in rows} == {"assumed"}, "without an exposure read all that follows from it is assumed", rows[:4])
    # 3 ± 1.5 mm, U = 2u (model 1.2, own choice)
    assumed = {(row["value"], row["uncertainty"]) for row in rows if row["quantity"] == "exposure" and row["state"] == "measured"}
    case.tap.check(assumed == {("3", "3")}, "an exposure of 3 mm with U = 3 mm", sorted(assumed))
    nothing = case.write("nothing-read.sidelong", re.sub(r" *<(action|first-gap) .*/>\n", "", case.text))
    gaps = list(csv.DictReader(io.StringIO(case.program.run("compute", "--format=csv", "--detail", nothing).stdout)))
    case.tap.check({row["basis"] for row in gaps if row["quantity"] == "gap"} == {"assumed"}, "without heights read every gap is assumed")
    hand = [row for row in gaps if row["quantity"] == "pluck-force"]
    case.tap.check([(row["value"], row["uncertainty"], row["basis"]) for row in hand] == [("1.4", "0.7", "assumed")],
                   "the hand margins are worked out for is assumed, with U = half of it", hand)
    lines = case.ends(DONE, "its report", "compute", unread).stdout.splitlines()
    at = lines.index("Saddle exposure, mm")
    case.tap.check(all("(assumed)" in line and "too low" not in line for line in lines[at + 1:at + 7]), "says assumed, and finds none too low", lines[at:at + 7])
    case.tap.check(any("No exposure was read" in line for line in lines), "and asks for the reading")


def check_unread_relief(case):
    """Relief is what lies between the gaps at fret 1 and 12: without it, those stand as read, and what lies between is assumed (model 3.1)."""
    text = re.sub(r" *<(relief|tongue|action string=\"6\" fret=\"5\") .*/>\n", "", case.text)
    rows = case.program.rows(case.write("no-relief.sidelong", text))
    basis = {(row["state"], row["fret"]): row["basis"] for row in rows if row["quantity"] == "action" and row["string"] == "1"}
    case.tap.check([basis["measured", fret] for fret in ("1", "7", "12", "20")] == ["computed", "assumed", "measured", "assumed"],
                   "without relief and tongue read, the action over other frets than 1 and 12 is assumed", sorted(basis.items()))
    case.tap.check([basis["planned", fret] for fret in ("1", "7", "12", "20")] == ["computed", "assumed", "computed", "assumed"], "as planned, too")
    read = {row["basis"] for row in case.program.rows(case.example) if row["quantity"] == "action" and row["string"] == "1"}
    case.tap.check("assumed" not in read, "with both read, none is", sorted(read))


def check_text(case):
    text = case.ends(DONE, "the report for people", "compute", case.example).stdout
    for words in ("Worked example", "action, string 6, fret 5", "2.90", "as planned", "level frets", "±"):
        case.tap.check(words in text, f"the report has “{words}”", text.splitlines()[:12])
    case.tap.check("nan" not in text.lower().replace("nance", "") and "inf" not in text.lower().split(), "the report has no number that is none")
    detail = case.ends(DONE, "the report in detail", "compute", "--detail", case.example).stdout
    report, _, last = text.rpartition("Shop: ")
    case.tap.check(last == "the defaults\n" and detail.endswith("Shop: " + last), "the report ends with how the shop works", text.splitlines()[-1:])
    case.tap.check(detail.startswith(report) and "held at 19" in detail, "--detail adds every fret held")
    case.tap.check("Readings of 2 March 2026 (" in text, "the day is in words", text.splitlines()[:6])


def cuts(case, *arguments):
    """The proposed cut off the saddle's underside, bass and treble, mm."""
    rows = csv.DictReader(io.StringIO(case.program.run("plan", "--format=csv", case.example, *arguments).stdout))
    return [float(row["amount"]) for row in rows if row["operation"] == "cut-saddle-base"]


def check_shop(case):
    """--shop: a plan in the shop's steps, the same figures with its defaults, and what can't be named with what can."""
    shop = case.write("our.shop", "# ours\n[shop]\ncut-step=0.2\n")
    usual, stepped = cuts(case), cuts(case, f"--shop={shop}")
    case.tap.check(len(usual) == 2 and len(stepped) == 2 and all(0 <= round(u - s, 6) < 0.2 and abs(s / 0.2 - round(s / 0.2)) < 1e-6 for u, s in zip(usual, stepped)),
                   "cuts are proposed in the shop's steps, never deeper", [str(usual), str(stepped)])
    case.tap.check(usual != stepped, "which here are others than without", [str(usual)])
    for command in (["plan"], ["compute"], ["history", "--format=text"]):
        done = case.ends(DONE, f"{command[0]} takes the shop's file", *command, case.example, f"--shop={shop}")
        case.tap.check(done.stdout.endswith(f"Shop: as in {shop}\n"), f"{command[0]} says which shop it was", done.stdout.splitlines()[-1:])
        done = case.ends(DONE, f"{command[0]} goes by the defaults", *command, case.example)
        case.tap.check(done.stdout.endswith("Shop: the defaults\n"), f"{command[0]} says so", done.stdout.splitlines()[-1:])
    listed = case.ends(DONE, "list takes the shop's file", "list", case.example.parent, f"--shop={shop}")
    case.tap.check(listed.stdout.endswith(f"Shop: as in {shop}\n"), "list says which shop it was", listed.stdout.splitlines()[-1:])
    defaults = case.write("defaults.shop", "[shop]\ncut-step=0\nwork-rod=0.2\nwork-slot=0.015\nwork-base=0.03\nwork-shape=0.03\nwork-level=0.02\nkeep-least=45\nkeep-most=55\n")
    for command in (["compute", "--format=csv"], ["history"], ["list", "--format=csv"]):
        path = case.example.parent if command[0] == "list" else case.example
        plain = case.program.run(*command, path).stdout
        case.tap.check(plain != "" and case.program.run(*command, path, f"--shop={defaults}").stdout == plain, f"{' '.join(command)} stays table alone, and the defaults written out are the defaults")
    for name, text, says in [
        ("a key that is none", "[shop]\ncut-size=1\n", "cut-size"), ("a value that is none", "[shop]\ncut-step=0,1\n", "“0,1”"),
        ("a value out of range", "[shop]\nwork-rod=20\n", "0 to 1"), ("no group", "cut-step=1\n", "bad.shop"), ("an empty file", "", "bad.shop"),
    ]:
        bad = case.write("bad.shop", text)
        case.ends(FAULT, f"{name} is at fault", "plan", case.example, f"--shop={bad}", says=says)
    case.ends(FAULT, "a key that is none is told what is one", "plan", case.example, f"--shop={case.write('bad.shop', '[shop]%scut-size=1' % chr(10))}",
              says="cut-step, work-rod, work-slot, work-base, work-shape, work-level")
    for command in (["draw", case.example, "-o", case.folder / "a.svg"], ["sheet", case.example, "-o", case.folder / "a.pdf"], ["template", case.example, "-o", case.folder / "b.pdf"],
                    ["compute", case.example], ["history", case.example], ["list", case.folder]):
        case.ends(FILE, f"{command[0]} names a file that is not there", *command, "--shop=gone.shop", says="gone.shop")
    os.mkfifo(case.folder / "pipe.shop")
    for what in ("/dev/zero", case.folder / "pipe.shop", case.folder):
        case.ends(FILE, f"the shop's file is read only where it is one: {pathlib.Path(what).name}", "plan", case.example, f"--shop={what}", says=str(what))
    case.ends(USAGE, "check computes nothing and takes no shop", "check", case.example, f"--shop={shop}")


def check_locale(case):
    """German writes decimals with a comma: in the report, never in CSV."""
    if not has_comma_locale(case.folder):
        case.tap.skip("decimal comma", "this machine has no German locale")
        return
    plain = case.program.run("compute", "--format=csv", case.example).stdout
    case.tap.check(case.program.run("compute", "--format=csv", case.example, locale=COMMA_LOCALE).stdout == plain, "CSV is the same under a comma locale")
    report = case.program.run("compute", case.example, locale=COMMA_LOCALE).stdout
    case.tap.check("2,90" in report and "2.90" not in report, "the report has the locale's decimal comma")


def check_links(case):
    """ldd lists what the program loads: no toolkit."""
    listed = subprocess.run(["ldd", case.program.path], capture_output=True, text=True, env={**os.environ, "LC_ALL": "C"})
    case.tap.check(listed.returncode == 0 and "libcairo" in listed.stdout and not TOOLKIT.search(listed.stdout), "no toolkit is linked", listed.stdout.splitlines())


def main():
    case = Case()
    with tempfile.TemporaryDirectory() as folder:
        case.folder = pathlib.Path(folder)
        for part in (check_usage, check_help, check_faults, check_hostile, check_files, check_csv, check_several, check_plan_rows, check_neck, check_unread_exposure, check_unread_relief, check_text, check_shop,
                     check_locale, check_links):
            part(case)
    return case.tap.done()


sys.exit(main())
