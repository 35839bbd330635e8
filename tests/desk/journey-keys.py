#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The main job by keyboard, its presses counted, and what a screen reader says of each change."""

import sys

from journey import BUS, DEMOS, ENTRY, Program, end, keys, run, settled, text_of, type_text, wait

PROFILE = DEMOS / "anchor-street-flat-top.sidelong"
TITLE = "Anchor Street flat-top"
MOST_PRESSES = 15


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
    """from the open profile to a saved plan that was begun, in at most fifteen presses"""
    press = Presses()
    with Program(PROFILE) as program:
        window = program.window(TITLE)
        window.take_keys()
        wait(lambda: window.focused() is not None and window.focused().get_name() == "Relief at fret 7, string 6", "the first reading to have the focus")
        type_text("0.35")
        press("Return")
        tap.check(window.undoes("relief"), "a reading is typed where the profile opens")
        press("ctrl+Return")
        tap.check(window.undoes("propose"), "Ctrl+Enter proposes the work", [window.undo_name()])
        press("ctrl+j")
        wait(lambda: window.focused().get_role_name() == ENTRY and window.focused().get_name() == "Truss rod, relief change", "the amount of the first card with work")
        tap.check(True, "Ctrl+J goes to the amount of the first card with work")
        type_text("-0.15")
        press("Return")
        wait(lambda: text_of(window.focused()).endswith("0.15"), "the amount")
        press("ctrl+d")
        tap.check(window.undoes("done"), "Ctrl+D ticks it off", [window.undo_name()])
        press("ctrl+r")
        reading_run = program.window("Reading run")
        reading_run.take_keys()
        wait(lambda: reading_run.focused() is not None and reading_run.focused().get_role_name() == ENTRY, "the run's entry")
        tap.check(reading_run.says("1 of "), "Ctrl+R asks what the work moved")
        for value in ("0.20", "0.15"):
            type_text(value)
            press("Return")
        tap.check(reading_run.wait_says("3 of "), "Enter takes each and goes on")
        press("Escape")
        window = wait(lambda: next((w for w in program.windows() if w.name.startswith("•")), None), "the window")
        window.take_keys()
        press("F5")
        wait(lambda: len(program.windows()) > 1, "the customer's view")
        program.windows()[-1].take_keys()
        press("Escape")
        wait(lambda: len(program.windows()) == 1, "the customer's view to go")
        tap.check(len(press.made) + 1 <= MOST_PRESSES, f"with Ctrl+S, that is {len(press.made) + 1} presses", [" ".join(press.made)])
        window = program.windows()[0]
        window.take_keys()
        keys("ctrl+z")  # the demonstration profile itself is not to be saved over
        window.wait_says("Redo: ")
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
