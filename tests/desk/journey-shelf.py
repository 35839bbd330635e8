#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The shelf as a person uses it: opened by its key, searched, filtered, followed while others change the folder, and every command on a profile.

journey-shelf.py; speaks TAP."""

import contextlib
import os
import pathlib
import shutil
import sys

sys.dont_write_bytecode = True
import journey as j
from gi.repository import Atspi, GLib

SHELF = pathlib.Path(os.environ["XDG_DATA_HOME"], "sidelong", "shelf")
DEMO = "driftnet-bass.sidelong"


def fill():
    """The own shelf of the program, with the demonstration profiles, one twin and two broken files."""
    shutil.rmtree(SHELF, ignore_errors=True)
    SHELF.mkdir(parents=True)
    for path in j.DEMOS.glob("*.sidelong"):
        shutil.copy(path, SHELF)
    whole = (j.DEMOS / DEMO).read_text(encoding="utf-8")
    (SHELF / "cut off.sidelong").write_text(whole[:700], encoding="utf-8")
    (SHELF / "from next year.sidelong").write_text(whole.replace("urn:sidelong:profile:1", "urn:sidelong:profile:2"), encoding="utf-8")
    return len(list(SHELF.iterdir()))


def labels(window):
    """Every row as it is spoken, and every line of text."""
    found = []
    for node, _ in j.walk(window.node):
        with contextlib.suppress(GLib.Error):
            if node.get_role_name() in ("label", j.ROW):
                found.append(node.get_name())
    return found


def shows(window, text):
    return any(text in label for label in labels(window))


def wait_shows(window, text):
    j.wait(lambda: shows(window, text), f"“{text}” on the shelf")


def wait_gone(window, text):
    j.wait(lambda: not shows(window, text), f"“{text}” gone from the shelf")


def open_shelf(program):
    first = program.window("Sidelong")
    first.take_keys()
    j.keys("ctrl+l")
    shelf = program.window("Shelf")
    return shelf


def search(shelf, text):
    shelf.take_keys()
    j.keys("ctrl+f", "ctrl+a")
    j.keys("BackSpace") if not text else j.type_text(text)


def choose(shelf, text, shown):
    """Finds a profile and chooses it."""
    search(shelf, text)

    def is_chosen():
        """Rows move while the search is taken in: what is clicked on may then be another."""
        x, y = shelf.place(j.find_all(shelf.node, j.ROW, starts=shown)[0])
        j.xdotool("mousemove", x, y, "click", "1")
        with contextlib.suppress(j.Lost):
            return j.wait(lambda: j.has(j.find_all(shelf.node, j.ROW, starts=shown)[0], Atspi.StateType.SELECTED), "the row to be chosen", seconds=5)

    j.wait(is_chosen, f"row “{shown}” to be chosen")
    j.wait(lambda: j.find_all(shelf.node, j.BUTTON, "Open"), "the chosen profile beside the table")
    j.settled(lambda: labels(shelf), "the side view")


def do(shelf, action):
    """A command on the chosen profile, by the name its menu has it under."""
    j.act(shelf.node, action)


def journey_find(tap):
    """open, list, search, filter"""
    n = fill()
    with j.Program() as program:
        shelf = open_shelf(program)
        wait_shows(shelf, f"{n} profiles")
        wait_shows(shelf, "Driftnet bass")
        tap.check(shows(shelf, "cut off") and shows(shelf, "from next year"), "broken files have their rows", labels(shelf))
        tap.check(shows(shelf, "made by a newer Sidelong"), "a newer format says so on its row", labels(shelf))
        search(shelf, "oskerry")
        wait_shows(shelf, f"1 of {n} profiles")
        tap.check(shows(shelf, "Boathouse bolt-on") and not shows(shelf, "Driftnet bass"), "a search leaves what has the words", labels(shelf))
        search(shelf, "zzzz")
        wait_shows(shelf, "No profile has all these words")
        tap.check(True, "nothing found says so")
        shelf.press("Show all")
        wait_shows(shelf, f"{n} profiles")
        wait_shows(shelf, "Driftnet bass")
        tap.check(True, "all are shown again")
        choose(shelf, "driftnet", "Driftnet bass")
        j.keys("shift+F10", "r")
        file_name = j.wait(lambda: next((e for e in j.find_all(shelf.node, j.ENTRY, "File name") if j.has(e, j.Atspi.StateType.SENSITIVE)), None), "the entry for another name")
        tap.check(j.wait(lambda: j.text_of(file_name) == "driftnet-bass", "the file's name"), "Shift+F10 opens the menu of the chosen profile, and it renames")
        j.keys("Escape")
        choose(shelf, "driftnet", "Driftnet bass")
        j.keys("Menu", "d")
        wait_shows(shelf, "Driftnet bass (copy)")
        tap.check(True, "and so does the menu key")
        choose(shelf, "driftnet", "Driftnet bass")
        j.act(j.find(shelf.node, j.BUTTON, "Open"))
        bench = program.window("Driftnet bass")
        tap.check(bench is not None, "the chosen profile opens in a window")
        j.end(tap, program, "find")


def journey_follow(tap):
    """what others do to the folder appears by itself"""
    fill()
    with j.Program() as program:
        shelf = open_shelf(program)
        wait_shows(shelf, "Driftnet bass")
        text = (SHELF / DEMO).read_text(encoding="utf-8")
        new = SHELF / "new.tmp"
        new.write_text(text.replace("Driftnet bass", "Replaced bass"), encoding="utf-8")
        os.replace(new, SHELF / DEMO)
        wait_shows(shelf, "Replaced bass")
        wait_gone(shelf, "Driftnet bass")
        tap.check(True, "a replaced file shows what it is now")
        shutil.copy(SHELF / DEMO, SHELF / "twin.sidelong")
        wait_shows(shelf, "has the same id")
        tap.check(True, "two profiles with one id are told apart by their files")
        (SHELF / DEMO).write_text("<profile", encoding="utf-8")
        wait_shows(shelf, "not well-formed")
        tap.check(True, "a file that is damaged shows its fault")
        (SHELF / "twin.sidelong").rename(SHELF / "renamed.sidelong")
        j.settled(lambda: labels(shelf), "the rename")
        wait_shows(shelf, "Replaced bass")  # gone under the old name, it may not be read yet under the new one
        tap.check(True, "a renamed file stays listed")
        (SHELF / "renamed.sidelong").unlink()
        wait_gone(shelf, "Replaced bass")
        tap.check(True, "a deleted file leaves the list")
        j.end(tap, program, "follow")


def journey_work(tap):
    """copy, rename, trash and undo, baseline, new from it"""
    fill()
    with j.Program() as program:
        shelf = open_shelf(program)
        wait_shows(shelf, "Driftnet bass")
        choose(shelf, "driftnet", "Driftnet bass")
        do(shelf, "win.duplicate")
        wait_shows(shelf, "Driftnet bass (copy)")
        tap.check((SHELF / "driftnet-bass 2.sidelong").exists(), "a copy lies beside it")
        (SHELF / "driftnet-bass 2.photos").mkdir()
        (SHELF / "driftnet-bass 2.photos" / "nut.jpg").write_bytes(b"a nut")
        choose(shelf, "copy", "Driftnet bass (copy)")
        do(shelf, "win.rename")
        label = shelf.entry("Label")
        shelf.type_into(label, "Second bass", None)
        shelf.type_into(shelf.entry("File name"), "second-bass")
        search(shelf, "")
        wait_shows(shelf, "Second bass")
        j.wait((SHELF / "second-bass.sidelong").exists, "the file's new name")
        tap.check('label="Second bass"' in (SHELF / "second-bass.sidelong").read_text(encoding="utf-8"),
                  "renamed: label and file")
        picture = SHELF / "second-bass.photos" / "nut.jpg"
        tap.check(j.wait(lambda: picture.exists() and not (SHELF / "driftnet-bass 2.photos").exists(), "its photographs"), "and its photographs")
        choose(shelf, "second", "Second bass")
        before = (SHELF / "second-bass.sidelong").read_bytes()
        do(shelf, "win.trash")
        j.wait(lambda: not (SHELF / "second-bass.sidelong").exists(), "the file to go")
        shelf.wait_says("was moved to the trash")
        tap.check(not picture.exists(), "its photographs go with it")
        shelf.press("Undo")
        j.wait(lambda: (SHELF / "second-bass.sidelong").exists() and picture.exists(), "the files to come back")
        tap.check((SHELF / "second-bass.sidelong").read_bytes() == before, "undo brings back every byte")
        tap.check(picture.read_bytes() == b"a nut", "and its photographs")
        choose(shelf, "driftnet", "Driftnet bass")
        do(shelf, "win.baseline-model")
        shelf.wait_says("A baseline was made")
        made = j.wait(lambda: [p for p in SHELF.glob("*.sidelong") if 'kind="baseline"' in p.read_text(encoding="utf-8")], "the baseline's file")
        tap.check("owner=" not in made[0].read_text(encoding="utf-8"), "a baseline is nobody's")
        choose(shelf, made[0].stem, made[0].stem)
        do(shelf, "win.begin-from")
        bench = program.window("New ")
        tap.check(j.wait(lambda: bench.says("not saved yet"), "a new instrument") is not None, "a new instrument begins from it")
        program.process.terminate()
        program.process.wait()
        lines = program.said()
        tap.check(not j.complaints(lines), "work: no warning on the way", lines[-40:])


if __name__ == "__main__":
    sys.exit(j.run(journey_find, journey_follow, journey_work))
