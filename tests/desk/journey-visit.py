#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The shop's tools, and a whole visit with a gauge that types its readings: a reading run, a plan, work ticked off, reading again, foreseen against read, the final readings, the end."""

import re
import sys

from journey import BUTTON, ENTRY, Atspi, Program, end, find, find_all, has, keys, run, scratch, text_of, type_text, wait, walk, xdotool

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


def choose_below(window, combo, times):
    """Chooses in a drop-down what stands so many places below what is chosen."""
    window.click(combo)
    wait(lambda: has(combo, Atspi.StateType.EXPANDED) or find_all(window.node, "list item"), f"the choices of “{combo.get_name()}”")
    for _ in range(times):
        keys("Down")
    keys("Return")


def tools(tap):
    """the shop's tools are named in the preferences, where what can't stand is refused with what can; one is chosen where readings are entered, and in the run"""
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        window = program.window(TITLE)
        window.take_keys()
        keys("ctrl+comma")
        preferences = program.window("Preferences")
        preferences.show_page("Tools")
        name = find(preferences.node, ENTRY, "Name of tool 3")
        preferences.type_into(name, "feelers, 0.02 mm STEPS", key=None)
        tap.check(preferences.wait_says("There is a tool “Feelers, 0.02 mm steps” already") is not None, "a name that is another tool's is refused")
        preferences.type_into(name, "Harbour dial", key=None)
        wait(lambda: preferences.says("There is a tool") is None, "the complaint to go")
        limit, resolution = (find(preferences.node, ENTRY, f"{what} of Harbour dial") for what in ("Error limit", "Resolution"))
        tap.check(limit is not None, "and the new name is what its figures are called by")
        preferences.type_into(resolution, "0")
        tap.check("0.001 to 0.04" in preferences.wait_says("tool resolution 0 mm is outside"), "a resolution of 0 is refused with what is accepted")
        preferences.type_into(resolution, "0.02")
        preferences.type_into(limit, "0.005")
        tap.check("0.01 to 5" in preferences.wait_says("tool error-limit 0.005 mm is outside"), "so is a limit below half a step")
        preferences.type_into(limit, "0.03")
        wait(lambda: preferences.says("is outside") is None, "the complaint to go")
        preferences.press("Remove Steel rule, half millimetres")
        wait(lambda: preferences.says("Steel rule, half millimetres") is None, "the tool to go")
        preferences.press("Add a tool")
        added = find(preferences.node, ENTRY, "Name of tool 7")
        tap.check(text_of(added) == "New tool", "a tool can be removed and another added", [text_of(added)])
        keys("Escape")
        program.no_window("Preferences")

        reading = run_window(program, window)
        while not question(reading).startswith("Action"):
            before = question(reading)
            keys("Return")
            wait(lambda: question(reading) != before, f"the question after “{before}”")
        chooser = find(reading.node, "combo box", "Tool for: Action")
        choose_below(reading, chooser, 1)
        said = reading.wait_says("steps of 0.02 mm, within 0.03 mm")
        # GUM 4.3.7, F.2.2.1: U = 2 sqrt (0.02²/12 + 0.03²/3) = 0.0365
        tap.check("± 0.04 mm" in said, "in the run the tool is chosen by its name, and says what that makes of a reading", [said])
        wait(lambda: has(next(iter(find_all(reading.node, ENTRY))), Atspi.StateType.FOCUSED), "the keyboard back in the entry")
        keys("Escape")
        program.no_window("Reading run")
        tap.check(window.undoes("tool: action"), "choosing a tool is a step", [window.undo_name()])
        wait(lambda: window.says("± 0.04 mm"), "the rows of the form with the tool's ±")
        window.undo()
        wait(lambda: window.says("± 0.04 mm") is None, "the ± before")
        save_as_was = not window.name.startswith("•")
        tap.check(save_as_was, "undone, nothing is left to save")
        end(tap, program, "tools")


def asks_again(tap):
    """ticking off an operation says on its card what to read again, the most changed first, and a button reads just that"""
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        window = program.window(TITLE)
        window.press("Propose from targets")
        tick = wait(lambda: next((n for n, _ in walk(window.node) if n.get_name() == "Truss rod done"), None), "where the rod is ticked off")
        window.click(tick)
        line = window.wait_says("Read again, most changed first")
        tap.check(line.endswith("relief (strings 6, 1), action at 12 (strings 6, 1), fingerboard extension, string height at fret 1 (strings 6, 1)."),
                  "the card asks for relief, action, tongue and first gap after the rod", [line])
        window.press("Read these now")
        reading = program.window("Reading run")
        number = wait(reading.x_window, "its X window")
        xdotool("windowfocus", "--sync", number)
        wait(lambda: has(next(iter(find_all(reading.node, ENTRY))), Atspi.StateType.FOCUSED), "the keyboard in it")
        asked = []
        while reading.says("last one") is None:
            asked.append(question(reading))
            keys("Return")
            wait(lambda: reading.says("last one") or question(reading) != asked[-1], "what comes next")
        tap.check(len(asked) == 7 and asked[0].startswith("Relief") and any(a.startswith("Action") for a in asked), "the run asks just those, in the order of measuring", asked)
        keys("Escape")
        program.no_window("Reading run")
        wait(lambda: window.says("Read again, most changed first") is None, "the line to go: a set was begun")
        end(tap, program, "asks again")


def slip_in_form(tap):
    """inches typed as millimetres in the form stand as typed, and what was meant is offered beneath the row"""
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        window = program.window(TITLE)
        entry = window.entry("Action at fret 12, string 6")
        window.type_into(entry, "0.128")
        offer = window.wait_says("Did you mean")
        tap.check("3.25 mm" in offer and "0.128 mm is far" in offer, "what was meant is offered", [offer])
        tap.check(text_of(entry) == "0.128", "what was typed stands meanwhile", [text_of(entry)])
        window.press(starts="Take 3.25")
        wait(lambda: text_of(entry) == "3.25", "what was meant")
        tap.check(window.says("Did you mean") is None, "taken, the offer is gone")
        window.type_into(entry, "0.127")
        window.wait_says("Did you mean")
        window.press(starts="Keep 0.127")
        wait(lambda: window.says("Did you mean") is None, "the offer to go")
        tap.check(text_of(entry) == "0.127", "kept, it stands", [text_of(entry)])
        window.undo()
        wait(lambda: text_of(entry) != "0.127", "the step taken back")
        window.type_into(entry, "3,2,5")
        tap.check(window.wait_says("3,2,5") is not None and window.says("Did you mean") is None, "what is no number is said and not taken")
        window.take_keys()
        keys("ctrl+w")
        wait(lambda: has(entry, Atspi.StateType.FOCUSED), "the keyboard in what is refused")
        tap.check(window.is_there() and text_of(entry) == "3,2,5", "nor dropped: the window stays", [text_of(entry)])
        keys("Escape")
        wait(lambda: text_of(entry) != "3,2,5", "the value in force")
        end(tap, program, "slip in the form")


def whole_visit(tap):
    """work ticked off asks to be read again; what is read is held against what was foreseen; final readings that lack something say so; the visit is closed"""
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        window = program.window(TITLE)
        show_visit(window)
        window.press("Propose from targets")
        window.press(starts="Do earlier: Saddle underside")
        # The last slot is what stands before it: nut or saddle first, as one likes.
        tap.check(window.undoes("order of work"), "the saddle can be cut before a slot", [window.undo_name()])
        window.undo()
        window.press(starts="Do later: Truss rod")
        why = window.wait_says("The rod is adjusted before slots and saddle are cut")
        tap.check("order of work" not in window.undo_name(), "the rod can't wait for a cut, and it is said why", [why])
        for gate in ("the air", "the rod"):
            window.press(starts=f"Go on all the same: pass over {gate}")
            tap.check(window.undoes("pass a gate"), f"{gate} is passed over on purpose, as a step", [window.undo_name()])
        passes = window.wait_says("is left")
        bass, treble = (float(part) for part in re.search(r"first pass ([0-9.]+) / ([0-9.]+)", passes).groups())
        window.press(starts="First pass done")
        since = window.wait_says("Read again, most changed first")
        tap.check("action at 12 (strings 6, 1)." in since or "action at 12 (strings 1, 6)." in since, "what the cut changes most is asked for", [since])

        reading = run_window(program, window)
        asked = [question(reading)]
        # What a saddle's crest comes down the 12th fret sees to x_12/x_s of it: half the scale over the scale and the compensation.
        gauge(reading, f"{3.24 - bass * 322.5 / 650:.2f}")
        asked.append(question(reading))
        type_text(f"{2.71 - treble * 322.5 / 647.4:.2f}")
        keys("Return")
        wait(lambda: reading.says("last one"), "the end of the run")
        done = wait(lambda: find(reading.node, BUTTON, "Done"), "the button that ends it")
        wait(lambda: has(done, Atspi.StateType.FOCUSED), "the keyboard on it")
        tap.check(asked == ["Action at fret 12, string 6", "Action at fret 12, string 1"], "the run after work asks only for that", asked)
        keys("Return")
        program.no_window("Reading run")
        wait(lambda: window.says("as predicted"), "foreseen against read")
        tap.check(window.says("During work") is not None, "the new readings are a stage of their own")

        window.press("Final readings")
        lacking = window.wait_says("These final readings lack")
        tap.check("action of string 6" in lacking, "final readings without what was worked on say so", [lacking])
        window.press("Close visit")
        tap.check(window.find("push button", "Open again") is not None, "the visit is closed, and can be opened again")
        tap.check(window.undoes("close the visit"), "closing is a step that can be undone", [window.undo_name()])
        window.undo()
        tap.check(window.find("push button", "Close visit") is not None, "undone, it is open")
        save(window)
        end(tap, program, "visit")


if __name__ == "__main__":
    sys.exit(run(reading_run, tools, asks_again, slip_in_form, whole_visit))
