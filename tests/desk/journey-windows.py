#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""New instruments from each starting profile, several windows, and the question before unsaved work is closed."""

import sys

from journey import Program, end, find_all, keys, run, scratch, wait

PROFILE = "driftnet-bass.sidelong"
TITLE = "Driftnet bass"
OTHER = "mission-hall-nylon.sidelong"
OTHER_TITLE = "Mission hall nylon-string"
READING = "Relief at fret 7, string 4"

STARTS = {
    # card: the strings it has, and whether its saddle is one that is cut
    "Steel-string flat-top": (6, True),
    "Bolt-on solid body": (6, False),
    "Nylon-string": (6, True),
    "Four-string bass": (4, False),
}


def new_from_each(tap):
    """a new instrument from each starting profile, each in a window of its own"""
    with Program() as program:
        window = program.window("Sidelong")
        for number, (card, (strings, is_cut)) in enumerate(STARTS.items(), 1):
            name = f"Harbour {number}"
            window.press(card)
            window.press("Put it on the bench")
            if number == 1:
                tap.check("name first" in window.wait_says("Give the instrument a name first"), "a new instrument wants a name")
            window.type_into(window.entry("Name"), name, key=None)
            window.press("Put it on the bench")
            made = program.window(name)
            tap.check(made.row(f"Action, string {strings}: "), f"{card}: {strings} strings on the bench")
            cards = find_all(made.node, "panel", "Saddle underside")
            tap.check(bool(cards) == is_cut, f"{card}: {'a saddle that is cut' if is_cut else 'no cut where screws set the height'}", [str(len(cards))])
            if number < len(STARTS):
                made.take_keys()
                keys("ctrl+n")
                window = wait(lambda: next((w for w in program.windows() if w.name == "Sidelong"), None), "another window")
        tap.check(len(program.windows()) == len(STARTS), "each has a window of its own", [w.name for w in program.windows()])
        end(tap, program, "new")


def several(tap):
    """several profiles in several windows, and each profile in one"""
    with scratch(PROFILE, OTHER) as folder, Program(folder / PROFILE) as program:
        window = program.window(TITLE)
        program.hand_over(folder / OTHER)
        other = program.window(OTHER_TITLE)
        rows = other.rows()
        program.hand_over(folder / PROFILE)
        window.type_into(window.entry(READING), "0.55")
        wait(lambda: window.name.startswith("•"), "the change")
        tap.check(len(program.windows()) == 2, "a file that is open already opens no second window", [w.name for w in program.windows()])
        tap.check(other.rows() == rows and not other.name.startswith("•"), "a change in one window leaves the other alone")
        program.close(other)
        program.no_window(OTHER_TITLE)
        tap.check(len(program.windows()) == 1, "a window without changes closes unasked")
        before = (folder / PROFILE).read_bytes()
        program.close(window, "Keep working")
        wait(lambda: len(program.windows()) == 1, "the question to go")
        tap.check(window.name.startswith("•"), "closing with changes asks, and work can go on", [window.name])
        program.close(window, "Close without saving")
        wait(lambda: program.process.poll() is not None, "the program to end")
        tap.check((folder / PROFILE).read_bytes() == before, "closed without saving, the file is untouched")
        end(tap, program, "several")


def save_when_asked(tap):
    """the question before closing saves when told to"""
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        window = program.window(TITLE)
        window.type_into(window.entry(READING), "0.55")
        wait(lambda: window.name.startswith("•"), "the change")
        program.close(window, "Save")
        wait(lambda: program.process.poll() is not None, "the program to end")
        tap.check('gap="0.55"' in (folder / PROFILE).read_text(encoding="utf-8"), "“Save” saves, then the window closes")
        end(tap, program, "save when asked")


if __name__ == "__main__":
    sys.exit(run(new_from_each, several, save_when_asked))
