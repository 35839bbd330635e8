#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Listening with a real sound server: made strings are played into a sink that no one hears, and the program listens to its monitor.

To be run within tests/sound-server.sh."""

import os
import pathlib
import re
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
MOST = 120  # s, in which a string must have been heard
NEAR = 1.5  # cents: what is played past a busy machine may have gaps; that figures are right to a hundredth is for the tests of the listener


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

    def until_heard(self, window, says, *pitches):
        """What window says of the last of pitches; like a person, plucks them again where they weren't heard because the sound came with gaps."""

        def heard():
            text = window.says(says)
            if not text and all(player.poll() is not None for player in self.players):
                self.rest()
                for hz in pitches:
                    self.rest()
                    self.pluck(hz)
            return text

        text = wait(heard, f"“{says}”", seconds=MOST)
        self.rest()
        return text


def is_near(text, cents):
    """Whether the figure that text has after its last colon, or begins with, is so many cents."""
    figure = re.match(r"\s*([+−-]?[\d.]+)", text.rpartition(":")[2])
    return figure is not None and abs(float(figure[1].replace("−", "-")) - cents) < NEAR


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
        said = strings.until_heard(listening, "✓ String 6, open: ", E2 * cents(2))
        tap.check(is_near(said, 2), "the open string is heard and ticked off", [said])
        listening.wait_says("String 6, fret 12")
        said = strings.until_heard(listening, "✓ String 6, fret 12: ", 2 * E2 * cents(2 + 4))
        tap.check(is_near(said, 4), "so is the 12th fret, against the open string", [said])
        tap.check(listening.wait_says("at fret 12: break point 1."), "and what it asks of the break point is said")
        tap.check(listening.wait_says("String 5, open"), "the next string is asked")
        listening.take_keys()
        keys("Page_Down", "2")
        tap.check(listening.wait_says("String 2, fret 12"), "the pedal's key goes on, a digit to its string")
        keys("Escape")
        program.no_window("Listening")
        tap.check(window.undoes("pitch"), "the reading is a step that can be undone", [window.undo_name()])
        tap.check(wait(lambda: is_near(text_of(window.entry("Tuner, string 6, fret 12")), 6), "the table"),
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
        said = strings.until_heard(reading_run, "✓ Pitch at fret 12, string 6: ", E2, 2 * E2 * cents(3))
        tap.check(is_near(said, 3), "what is heard is taken, and the run goes on", [said])
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
