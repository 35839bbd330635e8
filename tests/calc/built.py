#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""What the command-line program computes of instruments as they are built: the rows a construction has, and what its work does to them.

built.py PROGRAM SOURCE_ROOT; speaks TAP."""

import math
import re
import sys
import tempfile
import pathlib

sys.dont_write_bytecode = True
from program import Tap, by_key, paths

STRING_ARM, SPRING_ARM = 10, 40  # mm over and under a tremolo's edge: docs/model.md 7


def near(a, b, tolerance):
    return abs(a - b) <= tolerance


class Case:
    def __init__(self, folder):
        self.tap = Tap()
        self.program, root = paths()
        self.text = (root / "tests" / "example.sidelong").read_text(encoding="utf-8")
        self.path = pathlib.Path(folder) / "built.sidelong"

    def rows(self, *changes, plan=""):
        """The rows of the example with texts exchanged and another plan."""
        text = re.sub(r"<plan>.*?</plan>", f"<plan>{plan}</plan>", self.text, flags=re.S)
        for old, new in changes:
            assert old in text, old
            text = text.replace(old, new)
        self.path.write_text(text, encoding="utf-8")
        return by_key(self.program.rows(self.path))

    def value(self, rows, state, quantity, string="", fret=""):
        return float(rows[state, quantity, str(string), "", str(fret)]["value"])

    def gains(self, rows, quantity, string, fret=""):
        return self.value(rows, "planned", quantity, string, fret) - self.value(rows, "measured", quantity, string, fret)


def of_bridge(kind, more=""):
    return '<bridge kind="pinned"', f'<bridge kind="{kind}"{more}'


def of_saddle(adjust):
    return "<saddle ", f'<saddle adjust="{adjust}" '


def check_rows(case):
    quantities = {adjust: {key[1] for key in case.rows(of_saddle(adjust))} for adjust in ("base", "screws", "posts", "top", "fixed")}
    cuts = {"base-cut-bass", "base-cut-treble", "first-pass-bass", "first-pass-treble"}
    for adjust, there in quantities.items():
        case.tap.check(there & cuts == (cuts if adjust == "base" else set()), f"saddle {adjust}: a base cut where there is a base", [str(there & cuts)])
        case.tap.check(("need" in there) == (adjust != "fixed"), f"saddle {adjust}: a need where it can be met")


def check_tremolo(case):
    rows = case.rows(of_bridge("tremolo", ' spring-count="3"'))
    case.tap.check(near(case.value(rows, "measured", "spring-force") * SPRING_ARM, case.value(rows, "measured", "tension-total") * STRING_ARM, 1e-5),
                   "springs times their arm are strings times theirs")
    for kind in ("pinned", "floating", "through-body"):
        case.tap.check(not any(key[1] == "spring-force" for key in case.rows(of_bridge(kind))), f"no springs with a bridge that is {kind}")
    plan = '<move-saddle bass="-0.4" treble="-0.4"/>'
    known = {}
    for balance in ("floating", "decked", "blocked"):
        rows = case.rows(of_bridge("tremolo", f' balance="{balance}"'), of_saddle("posts"), plan=plan)
        known[balance] = float(rows["planned", "crest-height", "6", "", ""]["uncertainty"])
    # U 0.5 mm of the crests: what is known otherwise and that, by their squares
    case.tap.check(near(known["floating"], math.hypot(known["decked"], 0.5), 1e-6) and near(known["decked"], known["blocked"], 1e-9),
                   "one that floats stands U 0.5 mm open once its saddle was moved", [str(known)])


def check_ends(case):
    rows = case.rows(of_saddle("posts"), plan='<move-saddle bass="-0.5" treble="0.25"/>')
    # string 4 of 6 lies three fifths of the way to the bass
    for string, up in ((1, 0.25), (4, 0.25 - 0.75 * 0.6), (6, -0.5)):
        case.tap.check(near(case.gains(rows, "crest-height", string), up, 1e-6) and near(case.gains(rows, "exposure", string), up, 1e-6),
                       f"posts: string {string} goes up by {up:.2f}")
    rows = case.rows(of_bridge("floating"), plan='<shift-bridge bass="1" treble="0.5"/>')
    # some 2.7 cents a millimetre at 632 mm, flatter away from the nut (model 9.1)
    case.tap.check(near(case.gains(rows, "pitch-error", 6, 12), -2.7, 0.3) and near(case.gains(rows, "pitch-error", 1, 12), -1.35, 0.2),
                   "a bridge shifted back sounds flatter at the octave")
    rows = case.rows(plan='<set-neck-angle by="1.5"/>')
    case.tap.check(all(near(case.gains(rows, "crest-height", s), -1.5, 1e-6) and near(case.gains(rows, "board-line", s), 1.5, 1e-6)
                       and near(case.gains(rows, "exposure", s), 0, 1e-9) for s in (1, 6)), "the neck's angle lets the straightedge pass higher over the bridge")


def check_made(case):
    rows = case.rows(plan='<make-nut><slot string="1" height="0.42"/><slot string="6" height="0.9"/></make-nut>')
    case.tap.check(near(case.value(rows, "planned", "nut-height", 1), 0.42, 1e-9) and near(case.value(rows, "planned", "nut-height", 6), 0.9, 1e-9)
                   and near(case.gains(rows, "nut-height", 3), 0, 1e-9), "slots of a new nut are where they are made")
    rows = case.rows(plan='<make-saddle bass="4.5" treble="3.25"><setback string="2" distance="2.5"/></make-saddle>')
    case.tap.check(near(case.value(rows, "planned", "exposure", 6), 4.5, 1e-9) and near(case.value(rows, "planned", "exposure", 1), 3.25, 1e-9)
                   and near(case.gains(rows, "crest-height", 6), 4.5 - 3.9, 1e-6) and near(case.gains(rows, "crest-height", 1), 0.25, 1e-6),
                   "a new saddle's exposure is as it is made, and its crests go with it")
    unread = [(f'<exposure string="{s}" height="{h}"/>', "") for s, h in ((1, "3.0"), (6, "3.9"))]
    rows = case.rows(*unread, plan='<make-saddle bass="4.5" treble="3.25"/>')
    case.tap.check(rows["measured", "exposure", "6", "", ""]["basis"] == "assumed" and rows["planned", "exposure", "6", "", ""]["basis"] == "computed",
                   "an exposure that was only assumed is known once it is made")


def check_nut_kinds(case):
    slotted, zero = case.rows(), case.rows(("<nut ", '<nut kind="zero-fret" '))
    case.tap.check(slotted == zero, "a zero fret as high as a slot gives the same figures", [str(k) for k in slotted if slotted[k] != zero.get(k)][:5])


def check_strings(case):
    """Another set: each string's tension by T = μ (2 L f)² (Mersenne), μ of plain steel ρ π d²/4 with ρ = 7850 kg/m³."""
    rows = case.rows(plan='<fit-strings set="nickel 10 13 17 26w 36w 46w"/>')
    for string, thou, hertz in ((1, 10, 329.628), (2, 13, 246.942), (3, 17, 195.998)):
        mass = 7850 * math.pi * (thou * 25.4e-6) ** 2 / 4
        length = 0.632 + {1: 1.4, 2: 1.92, 3: 2.44}[string] / 1000
        expected = mass * (2 * length * hertz) ** 2
        case.tap.check(near(case.value(rows, "planned", "tension", string), expected, 0.005 * expected), f"string {string} of the new set pulls {expected:.0f} N")
    pull = case.value(rows, "planned", "tension-total") - case.value(rows, "measured", "tension-total")
    case.tap.check(pull < -100 and near(case.gains(rows, "relief", 6), 0.0004 * pull, 2e-4), "and relief goes with what all pull less", [str(pull)])
    case.path.write_text(case.path.read_text(encoding="utf-8").replace("10 13 17 26w 36w 46w", "10 13 17 26w"), encoding="utf-8")
    done = case.program.run("check", case.path)
    case.tap.check(done.returncode == 1 and "fit-strings set “nickel 10 13 17 26w”: the set has 4 strings; the instrument has 6" in done.stderr + done.stdout,
                   "a set that the instrument can't have is refused", (done.stderr + done.stdout).splitlines())


def main():
    with tempfile.TemporaryDirectory() as folder:
        case = Case(folder)
        for check in (check_rows, check_tremolo, check_ends, check_made, check_nut_kinds, check_strings):
            check(case)
        return case.tap.done()


sys.exit(main())
