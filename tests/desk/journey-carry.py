#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Photographs go where their profile goes: a copy of a demonstration profile, killed, kept, saved; saved under another name; not over another's pictures."""

import contextlib
import os
import pathlib
import shutil
import signal
import sys

from deaths import journals, wait_dead
from journey import DEMOS, ENTRY, Program, end, find_all, keys, run, scratch, text_of, wait

PROFILE = "anchor-street-flat-top.sidelong"
TITLE = "Anchor Street flat-top"
OPEN = f"Open a copy of the example {TITLE}"
STATE = pathlib.Path(os.environ["XDG_STATE_HOME"], "sidelong", "photos")
READING = "Relief at fret 7, string 6"


def files(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir()} if folder.is_dir() else {}


PICTURES = files(DEMOS / "anchor-street-flat-top.photos")


def kept():
    """What lies in the state of the person, of one profile never saved."""
    folders = list(STATE.iterdir()) if STATE.is_dir() else []
    return files(folders[0]) if len(folders) == 1 else {}


def change(window, text):
    window.type_into(window.entry(READING), text)
    wait(lambda: window.name.startswith("•"), "the change on the bench")


def save_as(program, window, path, key="ctrl+shift+s"):
    window.take_keys()
    keys(key)
    dialog = program.window("Save the profile")
    entry = wait(lambda: next(n for n in find_all(dialog.node, ENTRY) if text_of(n)), "a name to begin with")
    dialog.type_into(entry, str(path), key=None)
    dialog.press("_Save Save")


def never_saved(tap):
    """the pictures of a demonstration profile outlive a kill, and go along with the first save"""
    with scratch() as place:
        with Program() as program:
            program.window("Sidelong").press(OPEN)
            window = program.window(TITLE)
            tap.check(wait(lambda: kept() == PICTURES, "the pictures of the copy"), "a copy of a demonstration profile has its pictures", [str(list(kept()))])
            change(window, "0.33")
            wait(journals, "the journal")
            program.process.send_signal(signal.SIGKILL)
            wait_dead(program)
        with Program() as program:
            window = program.window("Sidelong")
            window.wait_says("Never saved")
            window.press("Keep")
            window = program.window(TITLE)
            tap.check(wait(lambda: kept() == PICTURES, "the pictures"), "what was left finds them again")
            save_as(program, window, place / "first.sidelong", "ctrl+s")
            wait(lambda: (place / "first.sidelong").exists() and not window.name.startswith("•"), "the save")
            tap.check(files(place / "first.photos") == PICTURES, "the first save takes them along", [str(list(files(place / "first.photos")))])
            tap.check(wait(lambda: not list(STATE.iterdir()), "the state's copy to go"), "and no copy stays behind")
            end(tap, program, "never saved")


def given_up(tap):
    """a demonstration profile that is closed leaves nothing behind"""
    with Program() as program:
        program.window("Sidelong").press(OPEN)
        window = program.window(TITLE)
        wait(lambda: kept() == PICTURES, "the pictures of the copy")
        end(tap, program, "given up")
    tap.check(not list(STATE.iterdir()), "closed unsaved, its pictures go", [str(list(STATE.iterdir()))])


@contextlib.contextmanager
def with_pictures():
    with scratch(PROFILE) as place:
        shutil.copytree(DEMOS / "anchor-street-flat-top.photos", place / "anchor-street-flat-top.photos")
        yield place


def another_name(tap):
    """saved under another name the pictures go along, but over no other's"""
    with with_pictures() as place, Program(place / PROFILE) as program:
        window = program.window(TITLE)
        change(window, "0.31")
        (place / "taken.photos").mkdir()
        name = sorted(PICTURES)[0]
        (place / "taken.photos" / name).write_bytes(b"another")
        save_as(program, window, place / "taken.sidelong")
        said = window.wait_says("has another picture")
        tap.check(name in said and "taken.photos" in said and "Everything is still on the bench" in said, "another's picture in the way is told", [said])
        tap.check(not (place / "taken.sidelong").exists() and files(place / "taken.photos") == {name: b"another"}, "and nothing was written")
        (place / "anchor-street-flat-top.photos" / name).unlink()
        save_as(program, window, place / "other.sidelong")
        wait(lambda: (place / "other.sidelong").exists() and not window.name.startswith("•"), "the save")
        said = window.wait_says("were not copied")
        tap.check(name in said, "what is missing is told, and the rest saved", [said])
        rest = {key: value for key, value in PICTURES.items() if key != name}
        tap.check(files(place / "other.photos") == rest and files(place / "anchor-street-flat-top.photos") == rest, "the pictures lie beside both")
        end(tap, program, "another name")


if __name__ == "__main__":
    sys.exit(run(never_saved, given_up, another_name))
