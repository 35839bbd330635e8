#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""What is typed wrongly keeps the old value and says what is accepted; numbers with a decimal comma; units switched at any moment."""

import locale
import sys

from journey import DEMOS, ENTRY, Atspi, Program, end, find, has, keys, run, text_of, type_text, wait, xdotool

PROFILE = DEMOS / "anchor-street-flat-top.sidelong"
TITLE = "Anchor Street flat-top"
ACTION = "Action, string 6: "
READING = "Action at fret 12, string 6"
RELIEF = "Relief at fret 7, string 6"


def not_a_number(tap):
    """text that is no number keeps the old value and says what is accepted"""
    with Program(PROFILE) as program:
        window = program.window(TITLE)
        rows, undo, entry = window.rows(), window.undo_name(), window.entry(READING)
        window.type_into(entry, "12,5x")
        said = window.wait_says("is not a length")
        tap.check("“12,5x”" in said and "Accepted are" in said and "5/64" in said,
                  "“12,5x” is named, with what is accepted", [said])
        tap.check(text_of(entry) == "12,5x", "the text stays to be mended", [text_of(entry)])
        tap.check("Accepted are" in (entry.get_description() or ""), "assistive technology reads the reason at the entry", [str(entry.get_description())])
        tap.check(window.rows() == rows and window.undo_name() == undo, "nothing is computed from it, and there is nothing to undo")
        window.type_into(entry, "99")
        said = window.wait_says("is outside")
        tap.check("99" in said and " to " in said and "mm" in said, "99 mm of action names the range", [said])
        tap.check(window.rows() == rows, "a reading out of its range is not taken")
        window.type_into(entry, "12,5x", key=None)
        window.focus(window.entry(RELIEF))
        tap.check(window.rows() == rows, "leaving the entry does not take it either")
        window.type_into(entry, "3,5", key="Escape")
        tap.check(wait(lambda: text_of(entry) == "3.25", "the old value"), "Escape brings the old value back")
        window.type_into(entry, "9/64")
        tap.check(wait(lambda: text_of(entry) == "3.57", "the fraction in millimetres"), "a fraction of an inch is taken: 9/64 in is 3.57 mm")
        window.type_into(entry, "90 thou")
        tap.check(wait(lambda: text_of(entry).startswith("2.28") or text_of(entry).startswith("2.29"), "thousandths"), "90 thou is 2.29 mm", [text_of(entry)])
        cut = window.entry("Saddle underside, bass side")
        before = text_of(cut)
        window.type_into(cut, "x")
        window.wait_says("“x” is not a length")
        window.type_into(cut, "x", key="Escape")
        tap.check(wait(lambda: text_of(cut) == before, "the old cut"), "the amounts of the work answer alike")
        end(tap, program, "input")


def units(tap):
    """lengths in millimetres, decimal inches and 64ths at any moment, without a step to undo"""
    with Program(PROFILE) as program:
        window = program.window(TITLE)
        undo, rows = window.undo_name(), window.rows()
        entry, relief = window.entry(READING), window.entry(RELIEF)
        # 3.25 mm is 0.128 in and 8.19 of 64 (25.4 mm an inch, exactly: NIST SP 811); a relief of 0.36 mm is less than one 64th, so it is told in 0.014 in.
        for name, action, bow in (("inch", "0.128", "0.014"), ("64ths", "1/8+", "0.014"), ("mm", "3.25", "0.36")):
            window.press(name)
            tap.check(wait(lambda: text_of(entry) == action, f"{action} in {name}"), f"an action of 3.25 mm in {name}")
            tap.check(text_of(relief) == bow, f"a relief of 0.36 mm in {name}", [text_of(relief)])
        tap.check(window.rows() == rows, "back in millimetres, everything reads as before")
        tap.check(window.undo_name() == undo and not window.name.startswith("•"), "switching units is no change to the document")
        window.press("64ths")
        window.type_into(entry, "9")
        tap.check(wait(lambda: text_of(entry) == "9/64", "nine 64ths"), "a bare number typed then counts 64ths")
        end(tap, program, "units")


def clicks(tap):
    """the first click into a box selects its figure, as Tab does; the next one sets the caret; a drag selects what it passes over"""
    with Program(PROFILE) as program:
        window = program.window(TITLE)
        entry, relief = window.entry(READING), window.entry(RELIEF)
        window.focus(relief)
        window.focus(entry)
        type_text("2.9")
        tap.check(wait(lambda: text_of(entry) == "2.9", "what was typed"), "what is typed after a click takes the figure's place", [text_of(entry)])
        keys("Escape")
        wait(lambda: text_of(entry) == "3.25", "the old value")
        window.focus(relief)
        window.focus(entry)
        x, y = window.place(entry)
        xdotool("mousemove", x + 12, y, "click", 1)  # too far for a double click
        type_text("7")
        tap.check(wait(lambda: len(text_of(entry)) == 5, "one figure more"), "after the next click it goes in where the caret is", [text_of(entry)])
        keys("Escape")
        wait(lambda: text_of(entry) == "3.25", "the old value")
        window.focus(relief)
        xdotool("mousemove", x + 20, y, "mousedown", 1, "mousemove", x + 8, y, "mousemove", x - 2, y, "mouseup", 1)
        wait(lambda: has(entry, Atspi.StateType.FOCUSED), "the keyboard in the box")
        type_text("7")
        said = wait(lambda: text_of(entry) not in ("3.25", "") and text_of(entry), "what was typed")
        tap.check(said != "7" and len(said) < 5, "a drag selects a part, which alone is replaced", [said])
        keys("Escape")
        wait(lambda: text_of(entry) == "3.25", "the old value")
        end(tap, program, "clicks")


def has_locale(name):
    try:
        locale.setlocale(locale.LC_ALL, name)
    except locale.Error:
        return False
    locale.setlocale(locale.LC_ALL, "C")
    return True


def decimal_comma(tap):
    """under a locale with a decimal comma, comma and point both are one"""
    if not has_locale("de_DE.UTF-8"):
        tap.skip("a locale with a decimal comma", "de_DE.UTF-8 isn't there")
        return
    with Program(PROFILE, locale="de_DE.UTF-8") as program:
        window = program.window(TITLE)
        entry = window.entry(READING)
        tap.check(text_of(entry) == "3,25", "figures have a comma", [text_of(entry)])
        tap.check("3,24" in window.row(ACTION), "so has the table", [window.row(ACTION)])
        for typed in ("3,5", "3.5"):
            window.type_into(entry, typed)
            tap.check(wait(lambda: text_of(entry) == "3,50", f"{typed} taken"), f"“{typed}” is three and a half")
            window.undo()
            wait(lambda: text_of(entry) == "3,25", "undo")
        pitch = find(window.node, ENTRY, "Pitch at fret 12, string 6")
        for typed in ("12,5", "12.5"):
            window.type_into(pitch, typed)
            tap.check(wait(lambda: text_of(pitch) == "12,5", f"{typed} taken"), f"“{typed}” is twelve and a half")
            window.undo()
            wait(lambda: text_of(pitch) == "8", "undo")
        end(tap, program, "decimal comma")


if __name__ == "__main__":
    sys.exit(run(not_a_number, clicks, units, decimal_comma))
