#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Strings and pitch in the window: tuner readings typed, their crest moves put into the plan, a set compared and fitted, a tuning chosen, posts moved on trial,
what can't be entered named; each step undone."""

import re
import sys

from journey import BUTTON, Program, end, find, find_all, has, keys, run, scratch, settled, text_of, wait
from gi.repository import Atspi

PROFILE = "anchor-street-flat-top.sidelong"
TITLE = "Anchor Street flat-top"
PUT = "Put the tuner’s moves into the plan"


def show(window, sheet, part=None):
    window.click(find(window.node, "page tab", sheet))
    if part is not None:
        window.click(find(window.node, BUTTON, part))


def cell(window, row, column):
    """The figure in a cell of a sheet's table, spoken as “row, column: figure”."""
    spoken = window.says(f"{row}, {column}: ")
    return None if spoken is None else spoken.rsplit(": ", 1)[1]


def number(text):
    return float(re.match(r"[+−-]?[0-9.]+", text)[0].replace("−", "-"))


def choose(window, chooser, steps):
    """Another entry of a drop-down, by the keyboard; steps from the first one."""
    window.click(find(window.node, BUTTON, chooser))
    settled(lambda: len(find_all(window.node, "list item")), "the list to open")
    keys("Home", *["Down"] * steps, "Return")


def tuner(tap):
    """tuner readings become crest moves in the plan, and nothing is left of them; undo takes all of it back at once"""
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        window = program.window(TITLE)
        show(window, "Pitch", "Tuner")
        window.press("Show larger")
        # Common practice: an uncompensated treble is read sharp, the rest less so.
        for string, cents in ((1, "6.5"), (2, "9")):
            window.type_into(window.entry(f"Tuner, string {string}, fret 12"), cents)
        follows = window.entry("Tuner, string 3, fret 12")
        tap.check(wait(lambda: has(follows, Atspi.StateType.FOCUSED), "the next string's entry to be focused"), "Enter moves on to the next string")
        left = wait(lambda: (text := cell(window, "1 E", "after the plan")) and number(text) != 0 and text, "what the plan leaves")
        tap.check(cell(window, "1 E", "12 over open") == "+6.5", "the reading stands in the table", [str(cell(window, "1 E", "12 over open"))])

        window.type_into(window.entry("Tuner, string 1, fret 12"), "120")
        tap.check(window.wait_says("100 to 100 cents"), "a reading beyond ±100 cents is refused with the range named")
        keys("Escape")
        wait(lambda: text_of(window.entry("Tuner, string 1, fret 12")) == "6.5", "the old value")

        window.type_into(window.entry("Tuner, string 2, open"), "2")
        tap.check(wait(lambda: cell(window, "2 B", "12 over open") == "+7.0", "the reading against the open string"), "the open string's reading is taken off")

        window.undo()
        tap.check(wait(lambda: cell(window, "2 B", "12 over open") == "+9.0", "undo"), "one undo takes the reference and what it moved back")
        tap.check(text_of(window.entry("Tuner, string 2, open")).strip() in ("", "0.0"), "the open string is at 0 again", [text_of(window.entry("Tuner, string 2, open"))])
        window.redo()
        wait(lambda: cell(window, "2 B", "12 over open") == "+7.0", "redo")
        window.take_keys()
        keys("ctrl+s")
        wait(lambda: '<pitch string="2" fret="0" cents="2"/>' in (folder / PROFILE).read_text(encoding="utf-8"), "the open string's reading in the file")
        tap.check('<pitch string="2" fret="12" cents="7"/>' in (folder / PROFILE).read_text(encoding="utf-8"), "the file keeps both")

        show(window, "Pitch", "Break points")
        window.press(PUT)
        wait(lambda: "break point" in window.undo_name().lower(), "the moves in the plan")
        show(window, "Pitch", "Tuner")
        # Model 9.1: the crest moved by L (1 − r)/(2r − 1) brings the 12th fret to the open string's octave; planned to a hundredth of a millimetre.
        for row in ("1 E", "2 B", "6 E"):
            after = wait(lambda: (text := cell(window, row, "after the plan")) and abs(number(text)) <= 0.1 and text, f"{row} to come to about zero")
            tap.check(True, f"{row}: {after} cents are left")
        window.undo()
        tap.check(wait(lambda: cell(window, "1 E", "after the plan") == left, "undo"), "one undo takes all crest moves back")
        end(tap, program, "tuner")


GAUGES = "Gauges of another set, from the treble up"


def sets(tap):
    """another set is compared, fitted in one step, and undone; a tuning likewise; a note that is none is refused"""
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        window = program.window(TITLE)
        show(window, "Strings", "Set")
        window.press("Show larger")
        core = text_of(window.entry("Core diameter, string 1"))
        window.click(find(window.node, BUTTON, "Fit a set of strings"))
        wait(lambda: find_all(window.node, "menu item", starts="Acoustic steel, medium"), "the menu of sets")
        keys("Down", "Return")
        tap.check("Read relief and action again" in window.wait_says("Fitted: "), "a set is fitted from a menu on the sheet, and it is said that relief and action want reading again")
        tap.check(wait(lambda: text_of(window.entry("Core diameter, string 1")) != core, "the new core"), "the strings are the set's")
        window.undo()
        wait(lambda: text_of(window.entry("Core diameter, string 1")) == core, "the old core")
        tap.check(wait(lambda: window.says("Fitted: ") is None, "the notice to go"), "undone, it no longer says so")
        show(window, "Strings", "Compare")
        choose(window, "Compare with this set", 2)
        tap.check(window.wait_says("more tension in all"), "a heavier set pulls harder, and it is said that relief will move")
        pair = wait(lambda: (text := cell(window, "in all", "tension, N")) and "|" in text and text, "both tensions")
        present, other = (float(part) for part in pair.split("|"))
        # Mersenne: at the same pitch tension goes with the square of the diameter, 0.013 in over 0.012 in being 1.17.
        treble = wait(lambda: (text := cell(window, "1 E", "tension, N")) and "|" in text and text, "string 1's tensions").split("|")
        tap.check(abs(float(treble[1]) / float(treble[0]) - (13 / 12) ** 2) < 0.02, "a plain string's tension goes with the square of its diameter", treble)
        tap.check(other > present, "medium strings pull more than light ones", [pair])
        window.press("Fit this set")
        tap.check(window.wait_says("Fitted: "), "fitting says what it did")
        tap.check(window.undoes("fit strings"), "fitting is one step", [window.undo_name()])
        show(window, "Strings", "Set")
        tap.check(wait(lambda: text_of(window.entry("Core diameter, string 1")) != core, "the new core"), "the strings on it are the new ones")
        window.undo()
        tap.check(wait(lambda: text_of(window.entry("Core diameter, string 1")) == core, "the old core"), "one undo brings the old set back")

        show(window, "Strings", "Compare")
        window.type_into(window.entry(GAUGES), "13 17 26 35 45w 56w")
        tap.check(window.wait_says("35 plain 0.889 mm"), "gauges that can't be are refused by the one that can't, with what is accepted")
        tap.check(text_of(window.entry(GAUGES)) == "13 17 26 35 45w 56w", "they stay to be mended")
        window.type_into(window.entry(GAUGES), "13 17 26w 35w 45w 56w")
        tap.check(window.wait_says("more tension in all"), "a set by its gauges is compared")
        own = wait(lambda: (text := cell(window, "in all", "tension, N")) and "|" in text and text, "both tensions").split("|")[1]
        # its cores are the program's own rule, its wraps the bronze that is on the instrument: within 2 % of the set of those gauges
        tap.check(abs(float(own) / other - 1) < 0.02, "it pulls as the built-in set of those gauges does", [own, pair])
        window.press("Fit this set")
        tap.check(window.wait_says("Fitted: 13, 17, 26 wound, 35 wound, 45 wound, 56 wound."), "it is fitted, and called by its gauges")
        window.undo()

        show(window, "Strings", "Set")
        window.type_into(window.entry("Tuned to, string 6"), "H9")
        tap.check(window.wait_says("C0 to B8"), "a note that is none is refused, and what is accepted is named")
        tap.check(text_of(window.entry("Tuned to, string 6")) == "H9", "it stays to be mended")
        keys("Escape")
        tap.check(wait(lambda: text_of(window.entry("Tuned to, string 6")) == "E2", "the old note"), "the old note is in force")
        window.type_into(window.entry("Wrap diameter, string 6"), "")
        tap.check(window.wait_says("wound"), "a wound string without its wrap's diameter is refused", window.dump()[-40:])
        keys("Escape")
        choose(window, "Tuning", 3)
        tap.check(wait(lambda: text_of(window.entry("Tuned to, string 6")) == "D2", "drop D"), "a tuning sets the notes")
        window.undo()
        tap.check(wait(lambda: text_of(window.entry("Tuned to, string 6")) == "E2", "standard"), "undo tunes back")
        end(tap, program, "sets")


def posts(tap):
    """posts moved on trial change the break at once, and the instrument only when kept"""
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        window = program.window(TITLE)
        show(window, "Strings", "Tuner posts")
        window.press("Show larger")
        was = number(wait(lambda: cell(window, "1 E", "break °"), "the break"))
        window.type_into(window.entry("Head tilt, °"), "10")
        tried = wait(lambda: (text := cell(window, "1 E", "break °")) and "→" in text and text, "the break as tried")
        tap.check(number(tried) == was and number(tried.split("→ ")[1]) < was, "less tilt, less break", [tried])
        tap.check(not window.name.startswith("•"), "a trial changes nothing", [window.name])
        window.press("Keep this")
        wait(lambda: window.name.startswith("•"), "what is kept")
        tap.check(wait(lambda: cell(window, "1 E", "break °") == tried.split("→ ")[1], "the new break"), "kept, it is how it is")
        window.undo()
        tap.check(wait(lambda: (text := cell(window, "1 E", "break °")) and number(text) == was, "undo"), "undo puts the head back")
        end(tap, program, "posts")


if __name__ == "__main__":
    sys.exit(run(tuner, sets, posts))
