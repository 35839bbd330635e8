#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Strings and pitch from outside: what practice expects of setbacks, the two sheets as pictures, words for what can't be.

strings.py PROGRAM SOURCE_ROOT; speaks TAP."""

import pathlib
import re
import sys
import tempfile

sys.dont_write_bytecode = True
from program import DONE, FAULT, USAGE, Tap, paths

SETS = {4: "bass-45", 6: "acoustic-light", 8: "eight-string", 12: "twelve-string"}


def check_practice(tap, program, flat_top):
    """Common practice at low action on a steel-string: B wants more setback than high E, a wound G less than B, low E the most."""
    for state in ("measured", "planned"):
        needed = {int(r["string"]): float(r["value"]) for r in program.rows(flat_top) if r["quantity"] == "setback-needed" and r["state"] == state}
        tap.check(needed[2] > needed[1], f"{state}: the B string wants more setback than the high E", [str(needed)])
        tap.check(needed[3] < needed[2], f"{state}: the wound G wants less than the B", [str(needed)])
        tap.check(max(needed, key=needed.get) == 6, f"{state}: the low E wants the most", [str(needed)])


def check_pictures(tap, program, demos, flat_top, folder):
    for demo in demos:
        strings = len(re.findall(r"<string ", demo.read_text(encoding="utf-8")))
        for sheet in ("strings", "pitch"):
            more = [f"--other={SETS[strings]}"] if sheet == "strings" else []
            out = folder / f"{demo.stem}-{sheet}.svg"
            done = program.run("draw", demo, "-o", out, f"--sheet={sheet}", *more)
            ok = done.returncode == DONE and done.stderr == ""
            tap.check(ok and "</svg>" in out.read_text(encoding="utf-8"), f"{sheet} sheet of {demo.name}", [f"status {done.returncode}", *done.stderr.splitlines()])
    again = folder / "again.svg"
    first = folder / f"{demos[0].stem}-pitch.svg"
    program.run("draw", demos[0], "-o", again, "--sheet=pitch")
    tap.check(first.read_bytes() == again.read_bytes(), "the same sheet twice has the same bytes")
    plain = folder / "plain.svg"
    program.run("draw", demos[0], "-o", plain, "--sheet=strings")
    tap.check(plain.read_bytes() != (folder / f"{demos[0].stem}-strings.svg").read_bytes(), "another set shows")
    own = folder / "own.svg"
    done = program.run("draw", flat_top, "-o", own, "--sheet=strings", "--other=10 13 17 26w 36w 46w")
    tap.check(done.returncode == DONE and "</svg>" in own.read_text(encoding="utf-8"), "a set by its gauges shows", done.stderr.splitlines())


def check_usage(tap, program, flat_top, folder):
    out = folder / "never.svg"
    for arguments, wanted in (
        (("--sheet=string",), ("string", "strings, pitch")),
        (("--sheet=strings", "--other=bass-45"), ("bass-45", "6 strings", "acoustic-light, acoustic-medium, electric-9")),
        (("--sheet=strings", "--other=heavy"), ("heavy", "acoustic-light")),
        (("--sheet=strings", "--other=10 13 17"), ("3 strings", "6")),
        (("--sheet=strings", "--other=10 13 17 26w 36w 460w"), ("460w", "0.3 to 5 mm")),
        (("--sheet=pitch", "--other=acoustic-light"), ("--other", "--sheet=strings")),
        (("--view=nut", "--sheet=pitch"), ("--view", "--sheet")),
    ):
        done = program.run("draw", flat_top, "-o", out, *arguments)
        ok = done.returncode == USAGE and all(part in done.stderr for part in wanted) and not out.exists()
        tap.check(ok, "refused by name: " + " ".join(arguments), [f"status {done.returncode}", *done.stderr.splitlines()])


def changed(folder, source, name, *changes):
    text = source.read_text(encoding="utf-8")
    for old, new in changes:
        text, n = re.subn(old, new, text, count=1)
        if n != 1:
            raise SystemExit(f"Bail out! nothing in {source} is {old}")
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def check_faults(tap, program, flat_top, folder):
    """Each names the value, and what is accepted, on its own line of the document."""
    cases = (
        ("a wound string without a wrap", [(r' wrap="phosphor-bronze" wrap-diameter="0\.140"', "")], ("string 3 is wound but has no wrap",)),
        ("a note that is none", [('note="E4"', 'note="H4"')], ("“H4”", "C0 to B8", "E4")),
        ("a frequency outside the range", [('note="B3"', 'frequency="6000"')], ("6000 Hz", "8 to 5000 Hz")),
        ("cents beyond a semitone", [(r'cents="[-0-9.]+"', 'cents="130"')], ("130 cents", "−100 to 100 cents")),
        ("a core of no thickness", [(r'core-diameter="0\.305"', 'core-diameter="0"')], ("core-diameter 0 mm", "0.05 to 10 mm")),
    )
    for what, changes, wanted in cases:
        path = changed(folder, flat_top, "fault.sidelong", *changes)
        done = program.run("check", path)
        ok = done.returncode == FAULT and all(part in done.stderr for part in wanted) and re.match(re.escape(str(path)) + r":\d+: ", done.stderr)
        tap.check(ok, what, [f"status {done.returncode}", *done.stderr.splitlines()])


def check_stress(tap, program, flat_top, folder):
    """A core over its strength is warned of, not refused."""
    path = changed(folder, flat_top, "tight.sidelong", ('note="E4"', 'note="E5"'))
    tap.check(program.run("check", path).returncode == DONE, "a core over its strength is accepted")
    report = program.run("compute", path).stdout
    tap.check(re.search(r"^String 1: .* \d{3} % .*ASTM A228.*65 %", report, re.MULTILINE) is not None, "and warned of in the report", report.splitlines()[-12:])
    tap.check("ASTM A228" not in program.run("compute", flat_top).stdout, "an ordinary one is not")
    out = folder / "tight.svg"
    tap.check(program.run("draw", path, "-o", out, "--sheet=strings").returncode == DONE, "and drawn")


def check_report(tap, program, flat_top):
    report = program.run("compute", flat_top).stdout
    for part in ("Nut slots", "The saddle top fits a radius: ", "Best over frets 1 to 12", "tuner readings differ from the prediction"):
        tap.check(part in report, f"the report has: {part}")


def check_starting(tap, program, root):
    """No kind begins with a string that is about to break; the G of a twelve-string's octaves is known for it (common practice). A flat saddle is called flat."""
    reports = {path.stem: program.run("compute", path).stdout for path in sorted((root / "data/starting").glob("*.sidelong"))}
    warned = [(kind, line[:9]) for kind, report in reports.items() for line in report.splitlines() if "ASTM A228" in line]
    tap.check(warned == [("twelve-string", "String 6:")], "no other string of a starting profile is warned of", warned)
    tap.check("The saddle top fits a radius: flat (" in reports["nylon"], "a flat saddle top is called flat", reports["nylon"].splitlines()[-12:])


def main():
    tap = Tap()
    program, root = paths()
    demos = sorted((root / "data" / "demo").glob("*.sidelong"))
    flat_top = root / "data" / "demo" / "anchor-street-flat-top.sidelong"
    check_practice(tap, program, flat_top)
    with tempfile.TemporaryDirectory(prefix="sidelong-") as name:
        folder = pathlib.Path(name)
        check_pictures(tap, program, demos, flat_top, folder)
        check_usage(tap, program, flat_top, folder)
        check_faults(tap, program, flat_top, folder)
        check_stress(tap, program, flat_top, folder)
    check_report(tap, program, flat_top)
    check_starting(tap, program, root)
    return tap.done()


if __name__ == "__main__":
    sys.exit(main())
