#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Crowns in the window: gaps entered in one row of frets, levelled, and the nut and saddle work that follows; what no crown can be refused; the player's hand
from a rattle that was heard."""

import re
import sys

from journey import ENTRY, Program, act, end, find, find_all, keys, run, scratch, text_of, type_text, value_of, wait

PROFILE = "anchor-street-flat-top.sidelong"
TITLE = "Anchor Street flat-top"
LOWEST, LOW = 7, "0.09"
ACTION, FIRST_GAP = "Action, string 6: ", "Height at fret 1, string 6: "
CUT = "Saddle underside, bass side"
BUTTON, TAB = "push button", "page tab"


def after(row):
    return float(re.search(r"after ([−0-9.]+)", row)[1].replace("−", "-"))


def save(window):
    window.press("Save")
    wait(lambda: not window.name.startswith("•"), "the save")


def gap_entry(window, fret):
    return find(window.node, ENTRY, f"Crown gap, fret {fret}")


def to_sheet(window, name):
    window.take_keys()
    act(find(window.node, TAB, name))


def enter_gaps(window, frets):
    """As a person does with a straightedge on the neck: a number and Enter, or just Enter where none was read."""
    to_sheet(window, "Frets")
    window.focus(gap_entry(window, 1))
    for fret in range(1, frets + 1):
        if fret != 4:
            type_text(LOW if fret == LOWEST else "0")
        keys("Return")


def levelling(tap):
    """crown gaps entered fret by fret, levelled: first gap and action rise, and a new proposal takes more off slots and saddle"""
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        window = program.window(TITLE)
        window.take_keys()
        window.press("Propose from targets")
        cut = wait(lambda: value_of(window.slider(f"{CUT}, slider")), "a cut to be proposed")
        frets = 20
        enter_gaps(window, frets)
        wait(lambda: text_of(gap_entry(window, LOWEST)) == LOW, "the gap of the lowest fret")
        tap.check(text_of(gap_entry(window, 3)) == "0.00" and text_of(gap_entry(window, 4)) == "", "a number is a reading, Enter alone is none",
                  [text_of(gap_entry(window, n)) for n in range(1, 8)])
        tap.check(wait(lambda: window.says(f"Down to fret {LOWEST}, at most {LOW} off"), "the summary") is not None, "the sheet says which is lowest and what comes off")

        gap, action = window.row(FIRST_GAP), window.row(ACTION)
        window.press("Level to the lowest")
        levelled_gap = wait(lambda: window.row(FIRST_GAP) != gap and window.row(FIRST_GAP), "the table to follow levelling")
        levelled_action = window.row(ACTION)
        # Every crown comes down by 0.09 but the lowest: the strings stay where they are, so each gap grows by that (model 5: levelling changes crowns only).
        tap.check(abs(after(levelled_gap) - after(gap) - float(LOW)) < 0.011, "levelling adds what comes off to the first gap", [gap, levelled_gap])
        tap.check(abs(after(levelled_action) - after(action) - float(LOW)) < 0.011, "and to the action", [action, levelled_action])
        tap.check(window.undoes("level frets"), "undo names levelling", [window.undo_name()])

        window.press("Propose from targets")
        deeper = wait(lambda: value_of(window.slider(f"{CUT}, slider")) != cut and value_of(window.slider(f"{CUT}, slider")), "another cut")
        # Common practice: what is to go at the 12th fret takes about twice as much at the saddle; part of it goes with the slots.
        tap.check(deeper > cut + 0.05, "the saddle is cut deeper for it", [cut, deeper])
        tap.check(after(window.row(FIRST_GAP)) < after(levelled_gap) - 0.03, "the slots go down for it", [levelled_gap, window.row(FIRST_GAP)])

        window.undo()
        window.undo()
        wait(lambda: window.row(FIRST_GAP) == gap, "undo of levelling")
        tap.check(text_of(gap_entry(window, LOWEST)) == LOW, "undoing it leaves the readings")
        save(window)
        end(tap, program, "levelling")


def refused(tap):
    """a crown gap larger than the crown and a height that is none are refused with value and range; the rest of the row stays"""
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        window = program.window(TITLE)
        to_sheet(window, "Frets")
        window.type_into(gap_entry(window, 5), "0.03")
        window.type_into(gap_entry(window, 6), "1.5")
        tap.check(window.wait_says("Fret 6:") is not None, "the message names the fret")
        said = window.says("Fret 6:")
        tap.check("1.5" in said and "0 to 1.1" in said, "it names the value and the range", [said])
        tap.check(text_of(gap_entry(window, 6)) == "1.5", "what was typed stays for correction", [text_of(gap_entry(window, 6))])
        tap.check(text_of(gap_entry(window, 5)) == "0.03", "the rest of the row is kept", [text_of(gap_entry(window, 5))])
        window.type_into(gap_entry(window, 6), "0.05")
        wait(lambda: "1.5" not in (window.says("Fret 6:") or ""), "the message to go")
        tap.check(text_of(gap_entry(window, 6)) == "0.05", "corrected, it is taken", [text_of(gap_entry(window, 6))])

        height = find(window.node, ENTRY, "Crown height, fret 6")
        window.type_into(height, "0.02")
        said = window.wait_says("Fret 6:")
        tap.check("0.02" in said and "0.1 to 3" in said, "a height that is none is refused likewise", [said])
        window.type_into(height, "")
        tap.check(find_all(window.node, ENTRY, "Crown gap, fret 21") == [], "there is no entry for a fret beyond the last")
        wait(lambda: text_of(height) == "", "the height to be empty")
        save(window)
        end(tap, program, "refused")


def hand(tap):
    """a rattle heard tells the player's hand, one step that can be undone"""
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        window = program.window(TITLE)
        to_sheet(window, "Gaps")
        margin = window.row("Least margin")
        first = find(window.node, BUTTON, starts="Hand ").get_name()
        act(find(window.node, BUTTON, starts="Hand "))
        said = window.wait_says("just touches there")
        force = re.search(r"([0-9.]+) N", said)[1]
        window.press("This is the player's hand")
        now = wait(lambda: (name := find(window.node, BUTTON, starts="Hand ").get_name()) != first and name, "another hand")
        tap.check(now == f"Hand {force} N", "the hand is the one the rattle tells", [said, now])
        tap.check(wait(lambda: window.row("Least margin") != margin, "the margins to follow"), "margins are worked out for it")
        keys("Escape")
        tap.check(window.undoes("hand"), "undo names it", [window.undo_name()])
        window.undo()
        tap.check(wait(lambda: window.row("Least margin") == margin, "undo of the hand"), "undo takes it back")
        end(tap, program, "hand")


sys.exit(run(levelling, refused, hand))
