#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""A whole visit with a gauge that types its readings: a reading run, a plan, work ticked off, reading again, foreseen against read, the final readings, the end."""

import sys

from journey import ENTRY, Atspi, Program, end, find_all, has, keys, run, scratch, type_text, wait, walk, xdotool

PROFILE = "anchor-street-flat-top.sidelong"
TITLE = "Anchor Street flat-top"


def run_window(program, window):
    """The window of a reading run, with the keyboard."""
    window.press("Start a reading run")
    reading = program.window("Reading run")
    number = wait(reading.x_window, "its X window")
    xdotool("windowraise", number)
    xdotool("windowfocus", "--sync", number)
    entry = wait(lambda: next(iter(find_all(reading.node, ENTRY)), None), "its entry")
    wait(lambda: has(entry, Atspi.StateType.FOCUSED), "the keyboard in it")
    return reading


def question(reading):
    """What is asked for: the name of the entry."""
    return wait(lambda: next(iter(find_all(reading.node, ENTRY)), None), "the entry").get_name()


def gauge(reading, text, key="Return"):
    """A gauge types a value and a key; the next question comes."""
    before = question(reading)
    type_text(text)
    keys(key)
    wait(lambda: question(reading) != before, f"the question after “{before}”")
    return before


def save(window):
    window.press("Save")
    wait(lambda: not window.name.startswith("•"), "the save")


def show_visit(window):
    tab = wait(lambda: next((n for n, _ in walk(window.node) if n.get_name() == "Visit" and n.get_role_name() == "page tab"), None), "the tab of the visit")
    window.click(tab)


def reading_run(tap):
    """a reading run takes what a gauge types, goes back, repeats, and asks about inches typed as millimetres"""
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        window = program.window(TITLE)
        reading = run_window(program, window)
        first = question(reading)
        tap.check(first.startswith("Relief"), "the run begins with relief", [first])
        gauge(reading, "0.34")
        second = question(reading)
        tap.check(second != first and second.startswith("Relief"), "Enter moves on to the other side's relief", [second])
        gauge(reading, "0.31", "Next")
        third = question(reading)
        tap.check(third not in (first, second), "a pedal's key takes the value in and moves on", [third])
        keys("Prior")
        tap.check(wait(lambda: question(reading) == second, "the reading before"), "another key goes back")
        gauge(reading, "0.30")

        type_text("0,3,x")
        keys("Return")
        wait(lambda: reading.says("0,3,x") or reading.says("not a"), "what is wrong with it")
        tap.check(question(reading) == third, "what is no number is not taken, and says so")
        keys("ctrl+a")
        gauge(reading, "0.05")

        reading.press("Repeat")
        wait(lambda: reading.says("reading 2 of the same"), "the repeat")
        gauge(reading, "0.06")
        reading.press("Back")
        tap.check(wait(lambda: reading.says("spread"), "the spread"), "repeats show their mean and spread", [reading.says("spread") or ""])

        while not question(reading).startswith("Action"):
            before = question(reading)
            keys("Return")
            wait(lambda: question(reading) != before, f"the question after “{before}”")
        action = question(reading)
        keys("ctrl+a")
        type_text("0.128")  # inches: 3.25 mm
        keys("Return")
        slip = wait(lambda: reading.says("Did you mean"), "the question about the unit")
        tap.check("3.25 mm" in slip, "inches typed as millimetres are asked about", [slip])
        reading.press(starts="Take 3.25")
        wait(lambda: question(reading) != action, "the next question")
        keys("Escape")
        program.no_window("Reading run")
        values = [n.get_name() for n, _ in walk(window.node) if n.get_name().startswith("Action, 6") or n.get_name().startswith("Action, string 6")]
        tap.check(any("3.2" in v for v in values), "what was meant stands in the table", values)
        save(window)
        end(tap, program, "reading run")


def whole_visit(tap):
    """work ticked off asks to be read again; what is read is held against what was foreseen; final readings that lack something say so; the visit is closed"""
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        window = program.window(TITLE)
        show_visit(window)
        window.press("Propose from targets")
        window.press(starts="Do earlier: Cut saddle base")
        # The last slot is what stands before it: nut or saddle first, as one likes.
        tap.check("order of work" in window.undo_name(), "the saddle can be cut before a slot", [window.undo_name()])
        window.undo()
        window.press(starts="Do later: Turn rod")
        why = window.wait_says("The rod is turned before slots and saddle are cut")
        tap.check("order of work" not in window.undo_name(), "the rod can't wait for a cut, and it is said why", [why])
        window.press(starts="First pass done")
        since = window.wait_says("Read again, most changed first")
        tap.check("action at 12 (strings 6, 1)" in since, "what the cut changes most is asked for", [since])

        reading = run_window(program, window)
        asked = [question(reading)]
        gauge(reading, "2.88")
        asked.append(question(reading))
        type_text("2.36")
        keys("Return")
        wait(lambda: reading.says("last one"), "the end of the run")
        tap.check(asked == ["Action at fret 12, string 6", "Action at fret 12, string 1"], "the run after work asks only for that", asked)
        keys("Escape")
        program.no_window("Reading run")
        wait(lambda: window.says("as foreseen"), "foreseen against read")
        tap.check(window.says("During work") is not None, "the new readings are a stage of their own")

        window.press("Final readings")
        lacking = window.wait_says("These final readings lack")
        tap.check("action of string 6" in lacking, "final readings without what was worked on say so", [lacking])
        window.press("Close visit")
        tap.check(window.find("push button", "Open again") is not None, "the visit is closed, and can be opened again")
        tap.check("close the visit" in window.undo_name(), "closing is a step that can be undone", [window.undo_name()])
        window.undo()
        tap.check(window.find("push button", "Close visit") is not None, "undone, it is open")
        save(window)
        end(tap, program, "visit")


if __name__ == "__main__":
    sys.exit(run(reading_run, whole_visit))
