#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The customer's view: before and after by button, key and handle, four figures in plain words, nothing of prices or notes; and the sheet's details in the
preferences. What is shown is asked for by name and place, not by pixels."""

import contextlib
import os
import pathlib
import re
import shutil
import sys

from journey import BUTTON, ENTRY, Atspi, Lost, Program, act, box_of, end, find, find_all, has, keys, run, scratch, set_value, settled, text_of, value_of, wait, walk

PROFILE = "anchor-street-flat-top.sidelong"
TITLE = "Anchor Street flat-top"
VIEW = "For the customer"
CUT = "Saddle underside, bass side"
FIGURES = ("Thick-string side at the 12th fret", "Thin-string side at the 12th fret", "Thick-string side at the 1st fret", "Forward bow of the neck")
SCREEN_WIDTH = 1600  # what tests/display.sh makes unless told otherwise


def open_view(program):
    window = program.window(TITLE)
    window.press("Show customer")
    return window, program.window(VIEW)


def share(view):
    """In hundredths: the toolkit tells assistive technology of no change below a thousandth, and the last step of a change may be that small."""
    return round(value_of(view.slider("From before to after")), 2)


def pressed(view):
    return [b.get_name() for b in find_all(view.node, BUTTON) if b.get_name() != "Leave" and (has(b, Atspi.StateType.PRESSED) or has(b, Atspi.StateType.CHECKED))]


def comes_pressed(view, name):
    """Whether the button of that name, and no other, comes to be pressed: it follows what is shown."""
    with contextlib.suppress(Lost):
        return wait(lambda: pressed(view) == [name], f"“{name}” to be pressed")
    return False


def texts(view):
    return [n.get_name() for n, _ in walk(view.node) if n.get_role_name() == "label"]


def change(tap):
    """before and after by button, by space, by the arrow keys and by the handle"""
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        window, view = open_view(program)
        view.take_keys()
        tap.check(share(view) == 1 and view.wait_says("After: as planned, not measured"), "it opens with what is planned, and says that it is not measured")
        tap.check(comes_pressed(view, "As planned"), "the button says so too", pressed(view))
        act(find(view.node, BUTTON, "Before"))
        wait(lambda: share(view) == 0, "the change to before")
        tap.check(view.wait_says("Before: as read on 9 February 2026") is not None, "before is what was read, with its day")
        keys("space")
        wait(lambda: share(view) == 1, "the change back")
        tap.check(comes_pressed(view, "As planned"), "the space bar changes to after")
        keys("Left")
        wait(lambda: abs(share(view) - 0.95) < 1e-6, "a step back")
        tap.check(view.wait_says("Between before and after") is not None, "between the two it says so")
        keys("Right")
        wait(lambda: share(view) == 1, "a step forward")
        set_value(view.slider("From before to after"), 0.25)
        wait(lambda: pressed(view) == [], "neither button to be lit on the way")
        tap.check(abs(share(view) - 0.25) < 1e-6, "the handle goes anywhere between")
        keys("Escape")
        program.no_window(VIEW)
        tap.check(True, "Escape leaves")
        end(tap, program, "change")


def words(tap):
    """four figures with what they were and are, in plain words; work, reasons and care; no price, no note"""
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        window, view = open_view(program)
        first = view.wait_says("1 of ")
        n = int(first.rsplit(" ", 1)[1])
        tap.check(n > 1 and view.wait_says("What is planned, and why") is not None, "the words begin with the work", [first])
        view.take_keys()
        keys("Page_Down")
        tap.check(view.wait_says(f"2 of {n}") is not None, "Page Down turns to the next page")
        for page in range(3, n + 1):
            act(find(view.node, BUTTON, "Next page (Page Down)"))
            view.wait_says(f"{page} of {n}")
        tap.check(view.wait_says("Looking after it") is not None, "the last page is on how to look after it")
        tap.check(not has(find(view.node, BUTTON, "Next page (Page Down)"), Atspi.StateType.SENSITIVE), "and there is none after it")
        said = texts(view)
        for name in FIGURES:
            at = said.index(name)
            tap.check(re.fullmatch(r"\d\.\d\d → \d\.\d\d mm", said[at + 1]) is not None, f"{name}: from what to what", said[at:at + 3])
            tap.check(re.match(r"(from|still) about ", said[at + 2]) is not None, f"{name}: in things everybody has handled", said[at:at + 3])
        rows = [text for text in window.rows() if text.startswith("Action, string 6: ")]
        after = re.search(r"after ([0-9.]+)", rows[0])[1]
        tap.check(said[said.index(FIGURES[0]) + 1].endswith(f"→ {after} mm"), "the figure is the one on the bench", [rows[0], *said])
        tap.check(any("is to be lowered by 0.85 mm" in text for text in said), "what is planned and why")
        tap.check(any("74 %" in text for text in said), "humidity by its own readings")
        told = " ".join(n.get_name() + " " + n.get_description() for n, _ in walk(view.node, whole=True))
        tap.check("EUR" not in told and "55.00" not in told and "cheese wire" not in told, "no price and no note is in it anywhere")
        picture = wait(lambda: next((n for n, _ in walk(view.node) if n.get_role() == Atspi.Role.IMAGE and "planned" in n.get_name()), None), "the picture")
        tap.check(FIGURES[0] in picture.get_description(), "the picture is described by the figures")
        boxes = {n.get_name(): settled(lambda n=n: box_of(n), n.get_name()) for n, _ in walk(view.node) if n.get_name() in FIGURES}
        tops = {box[1] for box in boxes.values()}
        lefts = sorted(box[0] for box in boxes.values())
        tap.check(len(boxes) == 4 and len(tops) == 1 and len(set(lefts)) == 4, "the four figures stand side by side", [str(boxes)])
        x, y, width, height = box_of(picture)
        tap.check(width > 0.8 * SCREEN_WIDTH and y + height <= min(tops), "the picture is as wide as the screen, above them", [f"{x} {y} {width} {height}"])
        end(tap, program, "words")


def follows(tap):
    """the view follows the bench: units, and work that is taken back"""
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        window, view = open_view(program)
        view.wait_says("2.40 mm")
        window.press("inch")
        tap.check(view.wait_says("0.095 in"), "in inches as soon as the bench is")
        end(tap, program, "follows")


def write_own(view, number, text):
    """Types over one sentence in edit mode, and leaves it."""
    view.take_keys()
    view.type_into(find(view.node, ENTRY, f"Sentence {number}"), text, key=None)


def edits(tap):
    """sentences in the technician's own words: kept, shown, doubted once the plan changes, and given back"""
    own = "We brought the saddle down, as you asked for an easier reach."
    kept = pathlib.Path(os.environ["XDG_DATA_HOME"], "sidelong", "explanations")
    shutil.rmtree(kept, ignore_errors=True)
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        window, view = open_view(program)
        said = texts(view)
        generated = [text for text in said if " to be " in text and text.endswith(".")]
        number = 1 + next(i for i, text in enumerate(generated) if "saddle is to be lowered" in text)
        act(find(view.node, BUTTON, "Edit text"))
        entries = wait(lambda: [n for n in find_all(view.node, ENTRY) if n.get_name().startswith("Sentence ")], "the entries")
        tap.check([text_of(n) for n in entries] == generated, "every sentence is an entry, and nothing else is", [str([text_of(n) for n in entries]), *generated])
        write_own(view, number, own)
        keys("Escape")
        tap.check(view.wait_says(own) is not None and generated[number - 1] not in texts(view), "what was typed stands in place of what was generated")
        tap.check(not find_all(view.node, ENTRY), "Escape ends editing, and the view is still there")
        files = list(kept.glob("*.ini"))
        tap.check(len(files) == 1 and own in files[0].read_text(encoding="utf-8"), "it is kept in the user's data folder", [str(files)])
        tap.check(oct(files[0].stat().st_mode & 0o777) == "0o600", "for nobody else to read")
        tap.check(not (folder / PROFILE).read_text(encoding="utf-8").count(own), "the profile has nothing of it")
        window.take_keys()
        set_value(window.slider(f"{CUT}, slider"), 0.5)
        tap.check(view.wait_says("Edit text (plan changed)") is not None and own in texts(view), "a changed plan is told of at the button; the text stays")
        view.take_keys()
        act(find(view.node, BUTTON, "Edit text (plan changed)"))
        note = view.wait_says("Edited before the plan changed. Generated now: The saddle is to be lowered by")
        tap.check("0.50 mm" in note, "beside the entry stands what would be generated now", [note])
        act(find(view.node, BUTTON, f"Generated text again, sentence {number}"))
        wait(lambda: "0.50 mm" in text_of(find(view.node, ENTRY, f"Sentence {number}")), "the generated text")
        tap.check(own not in files[0].read_text(encoding="utf-8"), "the generated text is back, the other one gone")
        write_own(view, number, own)
        keys("Escape")
        view.wait_says(own)
        keys("Escape")
        program.no_window(VIEW)
        end(tap, program, "edits")
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        window, view = open_view(program)
        view.wait_says("Edit text (plan changed)")
        tap.check(own in texts(view), "another day it is there again, and doubted: that change of the plan was not saved")
        act(find(view.node, BUTTON, "Edit text (plan changed)"))
        wait(lambda: find_all(view.node, ENTRY), "the entries")
        write_own(view, number, "")
        keys("Tab")
        tap.check(view.wait_says("Left out") is not None, "an emptied sentence is left out")
        keys("Escape")
        wait(lambda: not find_all(view.node, ENTRY), "the end of editing")
        tap.check(own not in texts(view) and generated[number - 1] not in texts(view), "and is not shown")
        end(tap, program, "left out")


def details(tap):
    """shop, address and the printed bar in the preferences; what can't be the bar's length is refused with what can"""
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        window = program.window(TITLE)
        window.take_keys()
        keys("ctrl+comma")
        preferences = program.window("Preferences")
        preferences.show_page("Sheets and templates")
        preferences.type_into(find(preferences.node, "text", "Shop"), "Slipway Fret Bench", key=None)
        bar = find(preferences.node, "text", "100 mm bar, across the paper")
        preferences.type_into(bar, "12", key=None)
        tap.check("91 to 111 mm" in preferences.wait_says("is not the length of the bar"), "a bar of 12 mm is refused with what is accepted")
        preferences.type_into(bar, "98.8", key=None)
        tap.check(preferences.wait_says("What the bar on a printed template measures") is not None, "98.8 mm is taken")
        keys("Escape")
        program.no_window("Preferences")
        window.take_keys()
        keys("ctrl+comma")
        preferences = program.window("Preferences")
        preferences.show_page("Sheets and templates")
        tap.check(text_of(find(preferences.node, "text", "Shop")) == "Slipway Fret Bench", "the shop's name is remembered")
        tap.check(text_of(find(preferences.node, "text", "100 mm bar, across the paper")) == "98.80", "and the bar")
        end(tap, program, "details")


if __name__ == "__main__":
    sys.exit(run(change, words, follows, edits, details))
