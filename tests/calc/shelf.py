#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Lists of a folder and histories of an instrument, as text and CSV.

shelf.py PROGRAM SOURCE_ROOT; speaks TAP."""

import csv
import datetime
import io
import os
import pathlib
import re
import shutil
import sys
import tempfile

sys.dont_write_bytecode = True
from program import COMMA_LOCALE, DONE, FAULT, FILE, USAGE, Tap, has_comma_locale, paths

LIST = ["file", "label", "owner", "model", "kind", "last-visit", "state", "action-treble", "action-bass", "relief", "fault"]
HISTORY = ["visit", "set", "stage", "taken", "quantity", "string", "fret", "value", "uncertainty", "unit", "basis"]


def in_words(moment):
    """"2 Mar 2026", the day as it stands in the document, whatever its zone."""
    return datetime.date.fromisoformat(moment[:10]).strftime("%-d %b %Y")


def table(text):
    rows = list(csv.reader(io.StringIO(text)))
    return rows[0], [dict(zip(rows[0], row)) for row in rows[1:]]


def check_sound(tap, program, folder, demos):
    done = program.run("list", folder, "--format=csv")
    header, rows = table(done.stdout)
    tap.check(done.returncode == DONE and done.stderr == "" and header == LIST, "list: status, silence and header", [done.stderr])
    tap.check([pathlib.Path(r["file"]).name for r in rows] == sorted(p.name for p in demos), "list: every profile once, in order of name")
    for row in rows:
        text = pathlib.Path(row["file"]).read_text(encoding="utf-8")
        label = re.search(r'<identity [^>]*label="([^"]*)"', text)[1]
        last = re.findall(r'<visit [^>]*opened="([^"]*)"', text)[-1]
        tap.check((row["label"], row["last-visit"], row["fault"]) == (label, last, ""), f"list: {label}: label and last visit as the document has them")
    lines = program.run("list", folder).stdout.splitlines()
    tap.check(len(lines) == 2 + len(rows) and all(row["file"] in line and row["label"] in line and in_words(row["last-visit"]) in line for row, line in zip(rows, lines[1:])),
              "list: text has a line for each, with its day in words")
    tap.check(lines[-1] == "Shop: the defaults", "list: text ends with how the shop works", lines[-1:])


def check_figures(tap, program, folder):
    """What the list says of the last readings is what compute says, where nothing was done since."""
    _, rows = table(program.run("list", folder, "--format=csv").stdout)
    for row in rows:
        if 'done="' in re.split(r"<visit ", pathlib.Path(row["file"]).read_text(encoding="utf-8"))[-1]:
            continue
        computed = program.rows(row["file"])
        measured = [r for r in computed if r["state"] == "measured"]
        actions = {r["string"]: float(r["value"]) for r in measured if r["quantity"] == "action" and r["fret"] == "12"}
        last = max(actions, key=int)
        tap.check(abs(float(row["action-treble"]) - actions["1"]) < 1e-6 and abs(float(row["action-bass"]) - actions[last]) < 1e-6,
                  f"list: {row['label']}: actions as compute has them")


def check_faults(tap, program, folder, demos):
    whole = demos[0].read_text(encoding="utf-8")
    (folder / "cut.sidelong").write_text(whole[: len(whole) // 2], encoding="utf-8")
    (folder / "newer.sidelong").write_text(whole.replace("urn:sidelong:profile:1", "urn:sidelong:profile:7"), encoding="utf-8")
    (folder / "left-out.txt").write_text("not a profile", encoding="utf-8")
    shutil.copy(demos[0], folder / 'twin, "quoted".sidelong')
    done = program.run("list", folder, "--format=csv")
    header, rows = table(done.stdout)
    by_name = {pathlib.Path(r["file"]).name: r for r in rows}
    tap.check(done.returncode == FAULT, "list: broken files make the status 1")
    tap.check(len(rows) == len(demos) + 3 and all(len(r) == len(LIST) for r in rows), "list: broken files have their line", list(by_name))
    tap.check(re.match(r"\d+: ", by_name["cut.sidelong"]["fault"]) is not None, "list: the fault begins with its line", [by_name["cut.sidelong"]["fault"]])
    tap.check("made by a newer Sidelong" in by_name["newer.sidelong"]["fault"], "list: a newer format is called one", [by_name["newer.sidelong"]["fault"]])
    tap.check('twin, "quoted".sidelong' in by_name, "list: names are quoted")
    tap.check(done.stderr.count("has the same id") == 2 and "cut.sidelong" in done.stderr, "list: twins and faults are said on standard error too", done.stderr.splitlines())
    text = program.run("list", folder)
    tap.check(text.returncode == FAULT and "newer Sidelong" in text.stdout, "list: text shows faults too")


def check_usage(tap, program, folder):
    missing = program.run("list", folder / "not-there")
    tap.check(missing.returncode == FILE and "not-there" in missing.stderr, "list: a folder that isn't there", [missing.stderr])
    none = folder / "none"
    none.mkdir()
    empty = program.run("list", none, "--format=csv")
    tap.check(empty.returncode == DONE and empty.stdout.strip() == ",".join(LIST), "list: an empty folder is a header")
    for arguments in (["list"], ["list", folder, "--jobs=0"], ["list", folder, "--format=x"], ["history"], ["history", folder, "--format=x"]):
        done = program.run(*arguments)
        tap.check(done.returncode == USAGE and done.stdout == "" and done.stderr, f"usage: {' '.join(map(str, arguments[1:])).replace(str(folder), 'FOLDER') or 'nothing named'}")


def check_history(tap, program, path):
    text = path.read_text(encoding="utf-8")
    done = program.run("history", path)
    header, rows = table(done.stdout)
    taken = re.findall(r'<readings [^>]*taken="([^"]*)"', text)
    told = list(dict.fromkeys(r["taken"] for r in rows))
    tap.check(done.returncode == DONE and header == HISTORY, f"{path.name}: history has its header")
    tap.check(told == sorted(taken), f"{path.name}: every reading set, by time", [str(told), str(taken)])
    strings = len(re.findall(r"<string ", text))
    for moment in told:
        own = [r for r in rows if r["taken"] == moment]
        for quantity in ("relief", "first-gap", "action"):
            tap.check(sum(r["quantity"] == quantity for r in own) == strings, f"{path.name}: {moment}: {quantity} of every string")
    humidity = re.search(r'<readings [^>]*humidity="([^"]*)"', text)
    if humidity:
        shown = [r for r in rows if r["quantity"] == "humidity"]
        tap.check(float(shown[0]["value"]) == float(humidity[1]) and shown[0]["unit"] == "%", f"{path.name}: humidity as it was read")
    words = program.run("history", path, "--format=text")
    tap.check(words.returncode == DONE and all(in_words(moment) in words.stdout for moment in told), f"{path.name}: text has every day")


def seasons(source, folder):
    """A profile read four times in different air: the damper, the higher the action."""
    text = source.read_text(encoding="utf-8")
    head = text[: text.index("  <visit ")]
    visits = ""
    for n, (humidity, action) in enumerate([(40, 2.00), (50, 2.20), (60, 2.45), (45, 2.10)], 1):
        visits += (f'  <visit id="s{n}" opened="2025-0{n}-01">\n    <readings id="q{n}" stage="received" taken="2025-0{n}-01T10:00:00Z" temperature="20" humidity="{humidity}">\n'
                   f'      <action string="1" fret="12" gap="{action:.2f}"/>\n    </readings>\n  </visit>\n')
    path = folder / "seasons.sidelong"
    path.write_text(head + visits + "</profile>\n", encoding="utf-8")
    return path


def check_trend(tap, program, path):
    done = program.run("history", path, "--format=text")
    found = re.search(r"action, treble: \+(\d\.\d+) ± (\d\.\d+) mm", done.stdout)
    # 0.45 mm between 40 and 60 % at 20 °C, which the Wood Handbook's table 4-2 has as about 7.7 and 11.0 % of moisture: about 0.137 mm a %
    tap.check(done.returncode == DONE and found is not None and abs(float(found[1]) - 0.137) < 0.01, "history: what damp air does to the action", done.stdout.splitlines() + [done.stderr])
    tap.check("relief, treble" not in done.stdout, "history: nothing is said of what was only assumed")


def main():
    program, root = paths()
    demos = sorted((root / "data" / "demo").glob("*.sidelong"))
    tap = Tap()
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name) / "shelf"
        folder.mkdir()
        for demo in demos:
            shutil.copy(demo, folder)
        check_sound(tap, program, folder, demos)
        check_figures(tap, program, folder)
        check_faults(tap, program, folder, demos)
        check_usage(tap, program, folder)
        for demo in demos:
            check_history(tap, program, demo)
        check_trend(tap, program, seasons(demos[0], pathlib.Path(name)))
        if not has_comma_locale(name):
            tap.skip("list: CSV under a comma locale", "this machine has no German locale")
            return tap.done()
        german = program.run("list", folder, "--format=csv", locale=COMMA_LOCALE)
        tap.check(german.stdout == program.run("list", folder, "--format=csv").stdout, "list: CSV is the same in every locale")
    return tap.done()


if __name__ == "__main__":
    sys.exit(main())
