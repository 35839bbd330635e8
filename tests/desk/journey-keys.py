#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The main job by keyboard, its presses counted, and what a screen reader says of each change."""

import sys

from journey import BUS, DEMOS, ENTRY, Program, end, keys, run, scratch, settled, type_text, wait

PROFILE = DEMOS / "anchor-street-flat-top.sidelong"
TITLE = "Anchor Street flat-top"
MOST_PRESSES = 15
ROD = "Truss rod, relief change"
# All that a turn of the rod moves, in the order of measuring.
ANSWERS = (("Relief at fret 7, string 6", "0.20"), ("Relief at fret 7, string 1", "0.15"), ("Fall-away of the fingerboard extension", "-0.05"),
           ("Height at fret 1, string 6", "0.65"), ("Height at fret 1, string 1", "0.50"),
           ("Action at fret 12, string 6", "2.60"), ("Action at fret 12, string 1", "2.20"))


class Presses:
    """Counts chords; figures that are typed are what the job is about, and not counted."""

    def __init__(self):
        self.made = []

    def __call__(self, *names):
        self.made += names
        keys(*names)


class Heard:
    """What is said of the object that has the focus: a new name or description of it. Of nothing else does GTK 4.8 let a screen reader know (its own
    announcements came with GTK 4.14), and the reader of Debian 12 says just that."""

    def __init__(self):
        self.sentences = []
        BUS.connection.signal_subscribe(None, None, "PropertyChange", None, None, 0, self.on_change)

    def on_change(self, connection, sender, path, interface, name, arguments):
        what, _, _, value, *_ = arguments.unpack()
        if path == BUS.focused and what in ("accessible-name", "accessible-description") and ": " in value:
            self.sentences.append(value)

    def after(self, *names):
        """The sentences after keys, once they have stopped coming; a figure in each tells them from the names of places."""
        self.sentences.clear()
        keys(*names)
        wait(lambda: self.sentences, f"a sentence after {names}")
        return settled(lambda: list(self.sentences), "the sentences")


def main_job(tap):
    """from the open profile to the saved plan that was begun, with all seven questions after the rod, in at most fifteen presses"""
    press = Presses()
    with scratch(PROFILE.name) as folder, Program(folder / PROFILE.name) as program:
        before = (folder / PROFILE.name).read_bytes()
        window = program.window(TITLE)
        window.take_keys()
        wait(lambda: window.focused() is not None and window.focused().get_name() == "Relief at fret 7, string 6", "the first reading to have the focus")
        type_text("0.35")
        press("Return")
        tap.check(window.undoes("relief"), "a reading is typed where the profile opens")
        press("ctrl+Return")
        tap.check(window.undoes("propose"), "Ctrl+Enter proposes the work", [window.undo_name()])
        press("ctrl+j")
        wait(lambda: window.focused().get_role_name() == ENTRY and window.focused().get_name() == ROD, "the amount of the first card with work")
        tap.check(True, "Ctrl+J goes to the amount of the first card with work")
        type_text("-0.15")
        press("ctrl+d")
        tap.check(window.undoes("done"), "Ctrl+D ticks it off", [window.undo_name()])
        tap.check(window.says("relief −0.15"), "with the amount that was typed, without Enter", [line for line in window.dump() if "done " in line])
        press("ctrl+r")
        reading_run = program.window("Reading run")
        reading_run.take_keys()
        wait(lambda: reading_run.focused() is not None and reading_run.focused().get_role_name() == ENTRY, "the run's entry")
        tap.check(reading_run.says(f"1 of {len(ANSWERS)}"), "Ctrl+R asks all that the rod moves", reading_run.dump())
        for number, (asked, value) in enumerate(ANSWERS, 1):
            wait(lambda: reading_run.says(f"{number} of {len(ANSWERS)}") and asked in reading_run.focused().get_name(), f"to be asked: {asked}")
            type_text(value)
            press("Return")
        tap.check(reading_run.wait_says("That was the last one"), "Enter takes each and goes on, to the end")
        press("Return")
        program.no_window("Reading run")
        window.take_keys()
        tap.check(wait(lambda: window.focused(), "the focus").get_name() == "Truss rod done", "Enter there leaves the run for the card",
                  [window.focused().get_name()])
        press("ctrl+s")
        wait(lambda: not program.windows()[0].name.startswith("•"), "the profile to be saved")
        tap.check((folder / PROFILE.name).read_bytes() != before, "Ctrl+S saves")
        press("F5")
        wait(lambda: len(program.windows()) > 1, "the customer's view")
        tap.check(len(press.made) <= MOST_PRESSES, f"that is {len(press.made)} presses", [" ".join(press.made)])
        program.windows()[-1].take_keys()
        keys("Escape")
        wait(lambda: len(program.windows()) == 1, "the customer's view to go")
        end(tap, program, "main job")


def heard_once(tap):
    """a screen reader says each change once, in a sentence that names what changed"""
    with Program(PROFILE) as program:
        window = program.window(TITLE)
        window.take_keys()
        heard = Heard()
        window.type_into(window.entry("Action at fret 12, string 6"), "3.20", None)
        said = heard.after("Return")
        tap.check(len(said) == 1 and said[0].startswith("Action, string 6: ") and " mm, " in said[0], "of a reading", said)
        window.type_into(window.entry("Action at fret 12, string 5"), "3.30", None)
        said = heard.after("Return")
        tap.check(len(said) == 1 and said[0].startswith("Action, string 5: "), "of a string that the table does not show", said)
        keys("ctrl+j")
        wait(lambda: window.focused().get_role_name() == ENTRY and window.focused().get_name().startswith("Truss rod"), "the rod")
        keys("shift+Tab")
        wait(lambda: window.focused().get_role_name() == "slider", "its slider")
        said = heard.after("Right", "Right", "Right")
        tap.check(len(said) == 1 and said[0].startswith("Relief, mean of both sides: "), "of a slider, once it rests", said)
        said = heard.after("ctrl+z")
        tap.check(len(said) == 1 and said[0].startswith("Relief, mean of both sides: "), "of an undo", said)
        end(tap, program, "heard once")


if __name__ == "__main__":
    sys.exit(run(main_job, heard_once))
