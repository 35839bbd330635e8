#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Listening with a real sound server: made strings are played into a sink that no one hears, and the program listens to its monitor.

To be run within tests/sound-server.sh."""

import os
import pathlib
import signal
import subprocess
import sys
import tempfile

from journey import BUILD, BUTTON, DEMOS, ENTRY, Program, act, complaints, end, find, find_all, has, keys, run, scratch, text_of, wait

from gi.repository import Atspi  # noqa: E402  (journey says which version)

PROFILE = DEMOS / "anchor-street-flat-top.sidelong"
TITLE = "Anchor Street flat-top"
E2 = 82.4069  # Hz, equal temperament over A4 = 440
SECONDS = 4
SILENT = "The input is muted"  # a sink that nothing is played into hands on zeros


def cents(by):
    return 2 ** (by / 1200)


class Strings:
    """Plucked strings as files, played into the sink."""

    def __init__(self, folder):
        self.folder, self.players = pathlib.Path(folder), []

    def pluck(self, hz):
        path = self.folder / f"{hz:.3f}.wav"
        subprocess.run([BUILD / "tests/sound/made-sound", f"--f={hz}", "--b=5e-5", f"--seconds={SECONDS}", "--t60=5", "--noise=40", "-o", path], check=True)
        self.players.append(subprocess.Popen(["paplay", "--device=bench", path]))

    def rest(self):
        for player in self.players:
            player.wait()
        self.players.clear()


def open_pitch(window):
    window.take_keys()
    keys("ctrl+7")
    return window.find("table", "Tuner readings, cents")


def octave(tap):
    """open and 12th fret of a string heard through the sound server become its reading, with what it asks of the break point"""
    with tempfile.TemporaryDirectory() as folder, scratch(PROFILE.name) as place, Program(place / PROFILE.name) as program:
        strings = Strings(folder)
        window = program.window(TITLE)
        open_pitch(window)
        window.press("Listen")
        listening = program.window("Listening")
        listening.wait_says("String 6, open")
        listening.wait_says(SILENT)
        unnamed = [line for line in listening.dump() if "“Gtk" in line and not line.strip().startswith(("label", "filler"))]
        tap.check(not unnamed and listening.find("level bar", "Level"), "every control of the window has a name", unnamed)
        strings.pluck(E2 * cents(2))
        tap.check(listening.wait_says("✓ String 6, open: +2.0"), "the open string is heard and ticked off")
        strings.rest()
        listening.wait_says("String 6, fret 12")
        strings.pluck(2 * E2 * cents(2 + 4))
        tap.check(listening.wait_says("✓ String 6, fret 12: +4.0"), "so is the 12th fret, against the open string")
        tap.check(listening.wait_says("at fret 12: break point 1.5"), "and what it asks of the break point is said")
        strings.rest()
        tap.check(listening.wait_says("String 5, open"), "the next string is asked")
        listening.take_keys()
        keys("Page_Down", "2")
        tap.check(listening.wait_says("String 2, fret 12"), "the pedal's key goes on, a digit to its string")
        keys("Escape")
        program.no_window("Listening")
        tap.check(window.undoes("pitch"), "the reading is a step that can be undone", [window.undo_name()])
        tap.check(wait(lambda: text_of(window.entry("Tuner, string 6, fret 12")).startswith("6.0"), "the table"),
                  "and stands in the table of the tuner, over the open string's 2 cents")
        end(tap, program, "octave")


def in_the_run(tap):
    """the reading run hears a pitch as it takes one from a gauge"""
    with tempfile.TemporaryDirectory() as folder, scratch(PROFILE.name) as place, Program(place / PROFILE.name) as program:
        strings = Strings(folder)
        window = program.window(TITLE)
        window.take_keys()
        keys("ctrl+comma")
        preferences = program.window("Preferences")
        preferences.show_page("Reading run")
        preferences.click(preferences.find("check box", "Pitch"))
        program.close(preferences)
        program.no_window("Preferences")
        window.take_keys()
        keys("ctrl+r")
        reading_run = program.window("Reading run")
        while not reading_run.says("Pitch at fret 12, string 6"):
            reading_run.press("Next")
        toggle = reading_run.find(BUTTON, "Listen")
        act(toggle)
        reading_run.wait_says(SILENT)
        strings.pluck(E2)
        strings.rest()
        strings.pluck(2 * E2 * cents(3))
        tap.check(reading_run.wait_says("✓ Pitch at fret 12, string 6: 3.0"), "what is heard is taken, and the run goes on")
        strings.rest()
        reading_run.take_keys()
        keys("Escape")
        program.no_window("Reading run")
        tap.check(window.undoes("pitch"), "as a reading", [window.undo_name()])
        end(tap, program, "in the run")


def trouble(tap):
    """the sound server goes: that is said with what can be done, and readings are typed as ever"""
    with scratch(PROFILE.name) as place, Program(place / PROFILE.name) as program:
        window = program.window(TITLE)
        open_pitch(window)
        window.press("Listen")
        listening = program.window("Listening")
        listening.wait_says(SILENT)
        os.kill(int(os.environ["SL_SOUND_SERVER"]), signal.SIGTERM)
        listening.find(BUTTON, "Choose a device")
        tap.check(listening.wait_says("Nothing is listened to"), "it is said that nothing is heard", listening.dump())
        listening.press("Choose a device")
        preferences = program.window("Preferences")
        tap.check(preferences.find(BUTTON, "Try it"), "the button opens the page where a device is chosen")
        program.close(preferences)
        program.no_window("Preferences")
        window.type_into(window.entry("Tuner, string 1, fret 12"), "5.0")
        tap.check(window.undoes("pitch"), "a reading can be typed meanwhile", [window.undo_name()])
        listening.take_keys()
        keys("Escape")
        program.no_window("Listening")
        end(tap, program, "trouble")


if __name__ == "__main__":
    sys.exit(run(octave, in_the_run, trouble))
