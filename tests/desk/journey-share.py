#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Work of two people on one profile merged where saving was refused; a shelf as one archive, out of the window and in again.

journey-share.py; speaks TAP."""

import contextlib
import os
import pathlib
import shutil
import sys
import zipfile

sys.dont_write_bytecode = True
from journey import BUTTON, DEMOS, ENTRY, Lost, Program, act, end, find, find_all, has, keys, run, scratch, text_of, type_text, wait

from gi.repository import Atspi

SHELF = pathlib.Path(os.environ["XDG_DATA_HOME"], "sidelong", "shelf")
PROFILE = "chandlery-parlour.sidelong"
TITLE = "Chandlery parlour"
EXPORT = "_Export Export"  # as the toolkit names the buttons of its own dialog
READING, THEIRS, SAME = "Relief at fret 6, string 6", 'string="1" fret="6" gap="0.16"', 'string="6" fret="6" gap="0.22"'


def merge(tap):
    """two people's work on one profile is merged, and what both changed is chosen"""
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        path = folder / PROFILE
        window = program.window(TITLE)
        window.type_into(window.entry(READING), "0.31")
        wait(lambda: window.name.startswith("•"), "the reading on the bench")
        text = path.read_text(encoding="utf-8")
        assert THEIRS in text and SAME in text
        theirs = text.replace(TITLE, "Their parlour").replace(THEIRS, THEIRS.replace("0.16", "0.14")).replace(SAME, SAME.replace("0.22", "0.25"))
        other = path.with_suffix(".new")
        other.write_text(theirs, encoding="utf-8")
        other.rename(path)
        window.wait_says("Somebody else has just saved this file")
        window.press("Merge…")
        dialog = program.window("Merge two versions")
        accept = find(dialog.node, BUTTON, "Merge")
        tap.check(not has(accept, Atspi.StateType.SENSITIVE), "nothing is merged before all is chosen")
        choices = wait(lambda: [n for role in ("radio button", "check box") for n in find_all(dialog.node, role)], "the choices")
        named = [n.get_name() for n in choices]
        tap.check(len(named) == 2 and "0.31" in named[0] and "0.25" in named[1], "what both changed is asked, and nothing else", named)
        tap.check(dialog.says("Their parlour") and dialog.says("0.14"), "what only they changed is told")
        dialog.click(choices[0])
        wait(lambda: has(find(dialog.node, BUTTON, "Merge"), Atspi.StateType.SENSITIVE), "the choice")
        dialog.press("Merge")
        merged = program.window("Their parlour")
        tap.check(text_of(merged.entry(READING)) == "0.31" and merged.name.startswith("•"), "mine was chosen, theirs came besides, and nothing is saved yet", [merged.name])
        tap.check(path.read_text(encoding="utf-8") == theirs, "the file is theirs until then")
        merged.undo()
        program.window(TITLE).redo()
        merged = program.window("Their parlour")
        merged.press("Save")
        wait(lambda: not merged.name.startswith("•"), "the save")
        saved = path.read_text(encoding="utf-8")
        tap.check("Their parlour" in saved and 'gap="0.31"' in saved and 'gap="0.14"' in saved, "saving keeps both people's work")
        end(tap, program, "merge")


def choose_in_menu(shelf, name):
    shelf.press("Folder")
    act(wait(lambda: find_all(shelf.node, "menu item", name), name)[0])


def name_file(program, title, button, target):
    chooser = wait(lambda: next((w for w in program.windows() if w.name == title and find_all(w.node, BUTTON, button)), None), f"the dialog “{title}”")
    chooser.take_keys()
    if button == EXPORT:
        entry = wait(lambda: next(n for n in find_all(chooser.node, ENTRY) if text_of(n)), "a name to begin with")
    else:
        keys("ctrl+l")
        entry = wait(lambda: find_all(chooser.node, ENTRY), "the entry for the name")[0]
    chooser.type_into(entry, str(target), key=None)
    wait(lambda: text_of(entry).endswith(target.name), "the name")

    def is_gone():
        """The first Enter may go to the list of names that begin so."""
        keys("Return")
        with contextlib.suppress(Lost):
            return wait(lambda: not chooser.is_there(), "the dialog to go", seconds=5)

    wait(is_gone, "the dialog to go")


def archive(tap):
    """the shelf is exported and taken in again; another version comes beside what is there, and is offered to be merged"""
    with scratch() as folder, Program() as program:
        shutil.rmtree(SHELF, ignore_errors=True)
        SHELF.mkdir(parents=True)
        for name in (PROFILE, "driftnet-bass.sidelong"):
            shutil.copy(DEMOS / name, SHELF)
        program.window("Sidelong").take_keys()
        keys("ctrl+l")
        shelf = program.window("Shelf")
        wait(lambda: shelf.says("2 profiles"), "the shelf")
        target = folder / "all.zip"
        choose_in_menu(shelf, "Export shelf…")
        name_file(program, "Export the shelf", EXPORT, target)
        shelf.wait_says("The shelf was exported")
        tap.check(sorted(zipfile.ZipFile(target).namelist()) == [PROFILE, "driftnet-bass.sidelong"], "the archive has what is on the shelf")
        some = folder / "some.zip"
        shelf.take_keys()
        keys("ctrl+f")
        type_text("parlour")
        wait(lambda: shelf.says("1 of 2 profiles"), "the search")
        choose_in_menu(shelf, "Export shelf…")
        name_file(program, "Export the shelf: 1 of 2 profiles", EXPORT, some)
        wait(lambda: some.is_file(), "the archive")
        tap.check(shelf.wait_says("“some.zip”. 1 of 2 profiles.") and zipfile.ZipFile(some).namelist() == [PROFILE], "of a search, what it found is exported, and how many is told", zipfile.ZipFile(some).namelist())
        shelf.take_keys()
        keys("ctrl+f", "ctrl+a", "BackSpace")
        wait(lambda: shelf.says("2 profiles"), "the whole shelf")
        (SHELF / "driftnet-bass.sidelong").unlink()
        text = (SHELF / PROFILE).read_text(encoding="utf-8")
        (SHELF / PROFILE).write_text(text.replace(SAME, SAME.replace("0.22", "0.27")), encoding="utf-8")
        choose_in_menu(shelf, "Import…")
        name_file(program, "Import from an archive", "_Import Import", target)
        said = shelf.wait_says("Imported from")
        tap.check("1 new, 1 beside another version" in said, "what became of each is told", [said])
        tap.check((SHELF / "driftnet-bass.sidelong").read_bytes() == (DEMOS / "driftnet-bass.sidelong").read_bytes(), "what was gone is there again")
        tap.check('gap="0.27"' in (SHELF / PROFILE).read_text(encoding="utf-8"), "what is there was left alone")
        shelf.press("Merge…")
        dialog = program.window("Merge two versions")
        names = wait(lambda: [n.get_name() for role in ("radio button", "check box") for n in find_all(dialog.node, role)], "the choices")
        tap.check("0.27" in names[0] and "0.22" in names[1], "and both versions are offered to be merged", names)
        dialog.press("All theirs")
        dialog.press("Merge")
        window = program.window(TITLE)
        tap.check(window.wait_says("the other file stays as it is") and text_of(window.entry(READING)) == "0.22", "the choice is on the bench")
        window.undo()
        end(tap, program, "archive")


if __name__ == "__main__":
    sys.exit(run(merge, archive))
