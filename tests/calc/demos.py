#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The demonstration profiles: clean, computed without a word, and between them what a bench meets.

demos.py PROGRAM SOURCE_ROOT; speaks TAP. Bounds on figures are common practice, wide enough for any instrument that plays."""

import sys
import xml.etree.ElementTree as ElementTree

sys.dont_write_bytecode = True
from program import DONE, Tap, paths

NS = {"p": "urn:sidelong:profile:1"}
# Common practice, generous: what no instrument that can be played leaves.
PLAUSIBLE = {"relief": (-0.1, 0.8), "first-gap": (0.2, 1.5), "tension": (30, 250), "saddle-break": (5, 45), "nut-break": (2, 30), "least-margin": (-1.5, 3),
             "setback-needed": (-3, 12), "best-relief": (0, 0.6), "moisture-content": (5, 20)}
ACTION_12 = (1.2, 5.0)


def check_plausible(tap, demo, rows):
    wrong = []
    for row in rows:
        least, most = ACTION_12 if row["quantity"] == "action" and row["fret"] == "12" else PLAUSIBLE.get(row["quantity"], (None, None))
        if least is not None and not least <= float(row["value"]) <= most:
            wrong.append(f"{row['state']} {row['quantity']} {row['string']}: {row['value']}")
    tap.check(not wrong, f"{demo.name}: figures are those of an instrument", wrong)


def treble_low(profile):
    """Whether the first string was read lower than its target by more than it may be off."""
    read = profile.find("p:visit/p:readings/p:action[@string='1'][@fret='12']", NS)
    targets = profile.find("p:targets", NS)
    return float(read.get("gap")) < float(targets.get("action-treble")) - float(targets.get("action-tolerance"))


def check_cast(tap, program, demos, rows):
    """Between them the profiles hold what the manual promises."""
    profiles = {demo: ElementTree.parse(demo).getroot() for demo in demos}

    def any_of(what, good):
        tap.check(any(map(good, demos)), f"one of them {what}")

    any_of("has a reading that disagrees", lambda d: any(r["quantity"] == "suspect" for r in rows[d]))
    any_of("has no reading that disagrees", lambda d: not any(r["quantity"] == "suspect" for r in rows[d]))
    any_of("has a saddle too low to cut", lambda d: "least exposure" in program.run("plan", d).stdout.partition("Finding:")[2])
    any_of("has four strings", lambda d: len(profiles[d].findall("p:strings/p:string", NS)) == 4)
    any_of("has twelve strings", lambda d: len(profiles[d].findall("p:strings/p:string", NS)) == 12)
    any_of("has nylon strings", lambda d: any(s.get("core") == "nylon" for s in profiles[d].iter("{urn:sidelong:profile:1}string")))
    any_of("has saddles on height screws", lambda d: profiles[d].find("p:saddle", NS).get("height-screw-pitch") is not None)
    any_of("has a bridge on two posts, low in the treble", lambda d: profiles[d].find("p:saddle", NS).get("adjust") == "posts" and treble_low(profiles[d]) and profiles[d].find("p:visit/p:plan/p:move-saddle", NS) is not None)
    any_of("is left-handed, with two scale lengths", lambda d: profiles[d].get("hand") == "left" and profiles[d].find("p:neck", NS).get("scale-length-bass") is not None)
    any_of("has been here before", lambda d: len(profiles[d].findall("p:visit", NS)) > 1)
    any_of("has been moved by the air", lambda d: "when everything was in range" in program.run("plan", d).stdout.partition("\n")[0])
    any_of("has a rod that was turned and read three times", lambda d: len([t for t in profiles[d].iter("{urn:sidelong:profile:1}turn-rod") if t.get("turns") and t.get("done")]) > 2)
    any_of("has nothing to do", lambda d: "Nothing to do." in program.run("plan", d).stdout)
    any_of("has a plan", lambda d: any(r["state"] == "planned" for r in rows[d]))
    ids = [profile.get("id") for profile in profiles.values()]
    tap.check(len(set(ids)) == len(ids), "no two have one id")


def main():
    tap = Tap()
    program, root = paths()
    demos = sorted((root / "data" / "demo").glob("*.sidelong"))
    tap.check(len(demos) == 11, "there are eleven", [str(d) for d in demos])
    rows = {}
    for demo in demos:
        for command in ("check", "compute", "plan"):
            done = program.run(command, demo)
            tap.check(done.returncode == DONE and done.stderr == "", f"{command} {demo.name}", [f"status {done.returncode}", *done.stderr.splitlines()])
        rows[demo] = program.rows(demo)
        check_plausible(tap, demo, rows[demo])
    check_cast(tap, program, demos, rows)
    return tap.done()


sys.exit(main())
