#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Files that can't be opened or saved, and files that somebody else saves meanwhile: told plainly, and nothing is lost."""

import os
import sys

from journey import Program, end, run, scratch, text_of, wait

PROFILE = "chandlery-parlour.sidelong"
TITLE = "Chandlery parlour"
READING = "Relief at fret 6, string 6"


def change(window, text):
    """Types a reading and waits until the bench has it."""
    rows = window.rows()
    window.type_into(window.entry(READING), text)
    wait(lambda: window.rows() != rows and window.name.startswith("•"), "the reading on the bench")


def broken(tap):
    """a file that is broken leaves the window as it was and is told with its line"""
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        window = program.window(TITLE)
        rows = window.rows()
        lines = (folder / PROFILE).read_text(encoding="utf-8").split("\n")
        number = next(i for i, line in enumerate(lines) if "<relief " in line)
        lines[number] = lines[number].replace('gap="', 'gap="x')
        (folder / "broken.sidelong").write_text("\n".join(lines), encoding="utf-8")
        program.hand_over(folder / "broken.sidelong")
        said = window.wait_says("could not be opened")
        tap.check("broken.sidelong" in said and f"Line {number + 1}" in said, "the message names the file and the line", [said])
        (folder / "missing.sidelong").unlink(missing_ok=True)
        program.hand_over(folder / "missing.sidelong")
        said = window.wait_says("missing.sidelong")
        tap.check("could not be opened" in said, "a file that isn't there is told too", [said])
        (folder / "other.sidelong").write_text("<?xml version='1.0'?>\n<!DOCTYPE profile [<!ENTITY e SYSTEM '/etc/hostname'>]>\n<profile>&e;</profile>\n", encoding="utf-8")
        program.hand_over(folder / "other.sidelong")
        tap.check("could not be opened" in window.wait_says("other.sidelong"), "a file with a document type is refused")
        tap.check(len(program.windows()) == 1 and window.name == TITLE and window.rows() == rows, "the window is as it was")
        end(tap, program, "broken")


def folder_gone(tap):
    """saving into a folder that is gone keeps everything on the bench and says so"""
    with scratch(PROFILE) as place:
        folder = place / "shelf"
        folder.mkdir()
        (place / PROFILE).rename(folder / PROFILE)
        with Program(folder / PROFILE) as program:
            window = program.window(TITLE)
            change(window, "0.31")
            rows = window.rows()
            folder.rename(place / "elsewhere")
            window.press("Save")
            said = window.wait_says("Everything is still on the bench")
            tap.check(PROFILE in said, "the message names the file", [said])
            tap.check(window.name.startswith("•") and window.rows() == rows, "the change is still there, and still marked as not saved")
            (place / "elsewhere").rename(folder)
            if os.geteuid() == 0:
                tap.skip("a folder that can't be written to", "whoever runs this may write everywhere")
            else:
                folder.chmod(0o500)
                window.press("Try again")
                window.wait_says("Everything is still on the bench")
                tap.check(window.name.startswith("•"), "a folder that can't be written to is told alike")
                folder.chmod(0o700)
            window.press("Try again")
            wait(lambda: not window.name.startswith("•"), "the save")
            tap.check('gap="0.31"' in (folder / PROFILE).read_text(encoding="utf-8"), "once the folder is back, “Try again” saves")
            tap.check(wait(lambda: window.says("Everything is still on the bench") is None, "the message to go"), "and the message goes")
            end(tap, program, "folder gone")


def save_from_elsewhere(path, label):
    """As somebody else would: a whole new file in place of the old."""
    other = path.with_suffix(".new")
    other.write_text(path.read_text(encoding="utf-8").replace(TITLE, label), encoding="utf-8")
    other.rename(path)


def conflict(tap):
    """when somebody else saves the file meanwhile, each version can be kept and none is lost"""
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        path = folder / PROFILE
        window = program.window(TITLE)
        change(window, "0.31")
        save_from_elsewhere(path, "Their parlour")
        theirs = path.read_text(encoding="utf-8")
        said = window.wait_says("Somebody else has just saved this file")
        tap.check(said, "another's save is told when it happens", [str(said)])
        window.press("Save")
        window.wait_says("Nothing has been written; both versions are still whole")
        tap.check(path.read_text(encoding="utf-8") == theirs, "saving then writes nothing over it")
        tap.check(window.name.startswith("•") and TITLE in window.name, "and the bench keeps its own version", [window.name])
        window.press("Take theirs")
        window = program.window("Their parlour")
        tap.check(text_of(window.entry(READING)) != "0.31", "“Take theirs” shows the other version", [text_of(window.entry(READING))])
        window.undo()
        window = program.window(TITLE)
        tap.check(text_of(window.entry(READING)) == "0.31", "undo brings back one's own")
        save_from_elsewhere(path, "Their parlour")
        window.press("Save")
        wait(lambda: not window.name.startswith("•") or window.says("Nothing has been written"), "an answer to the save")
        if window.name.startswith("•"):
            window.press("Save mine anyway")
        wait(lambda: not window.name.startswith("•"), "the save")
        text = path.read_text(encoding="utf-8")
        tap.check('gap="0.31"' in text and TITLE in text, "one's own version can be saved over theirs, when one says so")
        end(tap, program, "conflict")


def moved(tap):
    """a file that somebody moved away is not said to be saved by them, and can be saved anew"""
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        path, elsewhere = folder / PROFILE, folder / "elsewhere.sidelong"
        window = program.window(TITLE)
        change(window, "0.31")
        path.rename(elsewhere)
        window.press("Save")
        said = window.wait_says("the file was moved or deleted since it was opened")
        tap.check(window.says("both versions") is None and not path.exists(), "saving says that the file is gone", [str(said)])
        window.press("Save mine anyway")
        wait(lambda: not window.name.startswith("•"), "the save")
        tap.check('gap="0.31"' in path.read_text(encoding="utf-8") and 'gap="0.31"' not in elsewhere.read_text(encoding="utf-8"), "and writes it anew where one says so")
        end(tap, program, "moved")


if __name__ == "__main__":
    sys.exit(run(broken, folder_gone, conflict, moved))
