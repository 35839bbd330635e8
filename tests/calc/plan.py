#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Plans: what is proposed, that storing it changes the plan and nothing else, and that storing it twice is storing it once.

plan.py PROGRAM SOURCE_ROOT; speaks TAP."""

import pathlib
import re
import sys
import tempfile

sys.dont_write_bytecode = True
from program import DONE, FAULT, FILE, Tap, by_key, paths

PLAN = re.compile(r"    <plan>.*?</plan>\n|    <plan/>\n", re.DOTALL)
TOLERANCE = 0.011  # mm: a plan is written to hundredths


def without_last_plan(text):
    head, visit, rest = text.rpartition("<visit ")
    return head + visit + PLAN.sub("", rest)


def last_plan(text):
    found = PLAN.search(text.rpartition("<visit ")[2])
    return found[0] if found else ""


def check_write(tap, program, source, folder):
    """Proposing writes nothing; storing changes the plan alone, and again changes nothing."""
    name, path = source.name, folder / source.name
    before = source.read_text(encoding="utf-8")
    path.write_text(before, encoding="utf-8")
    shown = program.run("plan", path)
    tap.check(shown.returncode == DONE and shown.stderr == "" and shown.stdout, f"{name}: a plan is proposed", [shown.stderr])
    tap.check(path.read_text(encoding="utf-8") == before, f"{name}: proposing writes nothing")
    stored = program.run("plan", "--write", path)
    tap.check(stored.returncode == DONE and stored.stderr == "" and stored.stdout.startswith(shown.stdout), f"{name}: the plan proposed is the plan stored",
              stored.stderr.splitlines())
    after = path.read_text(encoding="utf-8")
    tap.check(without_last_plan(after) == without_last_plan(before), f"{name}: all but the plan keeps its bytes")
    steps = len(re.findall(r"^\d+\. ", shown.stdout, re.MULTILINE))
    undone = re.findall(r"<(?:level-frets|turn-rod|lower-slot|cut-saddle-base|shape-crest|move-crest)\b(?![^>]*done=)", last_plan(after))
    tap.check(len(undone) == steps, f"{name}: one operation a step", [f"{steps} steps, {len(undone)} operations"])
    program.run("plan", "--write", path)
    tap.check(path.read_text(encoding="utf-8") == after, f"{name}: storing again changes nothing")
    tap.check(program.run("check", path).returncode == DONE, f"{name}: what is stored is valid")
    return path


def check_reaches(tap, program, path):
    """What the plan leaves: no string below its targets, and the strings' needs cut as deep as a straight cut can."""
    rows = by_key(program.rows(path))
    needs = [float(row["value"]) for key, row in rows.items() if key[:2] == ("planned", "need")]
    tap.check(needs and all(abs(need) <= TOLERANCE for need in needs), f"{path.name}: the stored plan brings every action to its target", [str(needs)])


def check_done_stays(tap, program, example, folder):
    text = example.read_text(encoding="utf-8")
    done = '<turn-rod change="-0.12" done="2026-03-02T09:00:00Z"/>'
    path = folder / "done.sidelong"
    path.write_text(text.replace('<turn-rod change="-0.12"/>', done), encoding="utf-8")
    result = program.run("plan", "--write", path)
    plan = last_plan(path.read_text(encoding="utf-8"))
    tap.check(result.returncode == DONE and done in plan, "what is done stays in the plan", plan.splitlines())
    tap.check('<move-crest string="2" by="1.1"/>' not in plan, "what is not done gives way to the proposal", plan.splitlines())
    # The readings were taken at 10:00. Work done since is in no reading: a second turn of the rod must not be proposed on top of it.
    rod = re.search(r'<turn-rod change="(-?[\d.]+)"/>', plan)
    tap.check(rod is not None, "the relief read asks for a turn of the rod", plan.splitlines())
    since = f'<turn-rod change="{rod[1] if rod else "-0.15"}" done="2026-03-02T11:00:00Z"/>'
    path.write_text(text.replace('<turn-rod change="-0.12"/>', since), encoding="utf-8")
    program.run("plan", "--write", path)
    plan = last_plan(path.read_text(encoding="utf-8"))
    tap.check(plan.count("<turn-rod") == 1 and since in plan, "work done since the readings is counted in", plan.splitlines())


def check_refusals(tap, program, example, folder):
    path = folder / "no-visit.sidelong"
    text = re.sub(r"  <visit.*</visit>\n", "", example.read_text(encoding="utf-8"), flags=re.DOTALL)
    path.write_text(text, encoding="utf-8")
    result = program.run("plan", "--write", path)
    tap.check(result.returncode == FAULT and "no visit" in result.stderr, "without a visit nothing can be stored", [result.stderr])
    tap.check(path.read_text(encoding="utf-8") == text, "and the file stays as it was")
    gone = program.run("plan", "--write", folder / "gone.sidelong")
    tap.check(gone.returncode == FILE and not (folder / "gone.sidelong").exists(), "a missing file is not made", [gone.stderr])


def main():
    tap = Tap()
    program, root = paths()
    example = root / "tests" / "example.sidelong"
    demos = sorted((root / "data" / "demo").glob("*.sidelong"))
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        for source in [example, *demos]:
            path = check_write(tap, program, source, folder)
            if source == demos[0]:
                check_reaches(tap, program, path)
        shown = program.run("plan", example).stdout
        tap.check("first pass" in shown, "cuts come with their first pass", shown.splitlines())
        tap.check(all(": " in line for line in shown.splitlines() if line[0].isdigit()), "every operation has its reason", shown.splitlines())
        check_done_stays(tap, program, example, folder)
        check_refusals(tap, program, example, folder)
    return tap.done()


sys.exit(main())
