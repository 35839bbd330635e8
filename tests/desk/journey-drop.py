#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Files dragged onto a window with the mouse, from another program: profiles open, and what is none is told."""

import contextlib
import itertools
import os
import subprocess
import sys

from journey import BUILD, BUTTON, SECONDS, Lost, Program, act, end, find_all, keys, run, scratch, wait, xdotool

SOURCE = BUILD / "tests" / "desk" / "drag-source"
SOURCE_AT = 1490, 20  # beside the program's window, which begins at the screen's corner
SOURCE_SIDE = 100
E2 = 82.4069  # Hz, equal temperament over A4 = 440
TARGET = 900, 300     # inside the program's window, whether it shows a profile or the start page

FIRST, FIRST_TITLE = "anchor-street-flat-top.sidelong", "Anchor Street flat-top"
OTHER, OTHER_TITLE = "driftnet-bass.sidelong", "Driftnet bass"
THIRD, THIRD_TITLE = "chandlery-parlour.sidelong", "Chandlery parlour"
FOURTH, FOURTH_TITLE = "mission-hall-nylon.sidelong", "Mission hall nylon-string"


def drop(window, *files):
    """Drags files from a window of another program and lets go over this one, which takes them."""
    window.take_keys()
    source = subprocess.Popen([SOURCE, *files], env={**window.program.environment, "GTK_A11Y": "none"}, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
                              stderr=window.program.log)
    os.set_blocking(source.stdout.fileno(), False)
    # A drag begins after some way. From there on the mouse stays over the window, for it is let go wherever it then is.
    ways = itertools.chain((SOURCE_AT,), itertools.cycle((TARGET, (TARGET[0] + 1, TARGET[1] + 1))))

    def is_over():
        """Moves on and says whether something there takes the files: a drag is noticed where it moves."""
        xdotool("mousemove", "--sync", *next(ways))
        return source.stdout.read()

    try:
        number = wait(lambda: xdotool("search", "--onlyvisible", "--pid", source.pid, "--name", "Files to drag").split(), "the files to drag")[0]
        xdotool("windowmove", "--sync", number, *SOURCE_AT)
        xdotool("windowraise", number)
        x, y = (at + SOURCE_SIDE // 2 for at in SOURCE_AT)
        xdotool("mousemove", "--sync", x, y, "mousedown", 1)
        wait(is_over, "the window to take what is dragged over it")
        xdotool("mouseup", 1)
        if source.wait(SECONDS) != 0:
            raise Lost("what was dropped was not taken")
        return True
    finally:
        xdotool("mouseup", 1)
        with contextlib.suppress(ProcessLookupError):
            source.kill()
        source.communicate()


def titles(program):
    return sorted(window.name for window in program.windows())


def profiles(tap):
    """a profile dropped on a window opens: in it where it is untouched, else in another"""
    with scratch(FIRST, OTHER, THIRD, FOURTH) as folder, Program() as program:
        window = program.window("Sidelong")
        tap.check(drop(window, folder / FIRST), "a window with nothing in it takes a profile")
        window = program.window(FIRST_TITLE)
        tap.check(len(program.windows()) == 1, "which opens in it", titles(program))
        rows = window.rows()
        drop(window, folder / OTHER)
        program.window(OTHER_TITLE)
        tap.check(len(program.windows()) == 2 and window.rows() == rows, "dropped on an instrument, it opens in a window of its own", titles(program))
        drop(window, folder / OTHER)
        drop(window, folder / THIRD, folder / FOURTH)
        program.window(THIRD_TITLE)
        program.window(FOURTH_TITLE)
        tap.check(len(program.windows()) == 4, "several open each in its own; what is open already opens no second time", titles(program))
        end(tap, program, "profiles")


def others(tap):
    """what is no profile is told, each by its name, and leaves the bench alone"""
    with scratch(FIRST, OTHER) as folder, Program(folder / FIRST) as program:
        window = program.window(FIRST_TITLE)
        rows = window.rows()
        (folder / "shopping.txt").write_text("two sheets of 320 paper\n", encoding="utf-8")
        (folder / "drawer").mkdir()
        tap.check(drop(window, folder / "drawer"), "a folder can be dropped")
        said = window.wait_says("drawer")
        tap.check("could not be opened" in said, "and it is told that it can't be opened", [said])
        drop(window, folder / "shopping.txt")
        said = window.wait_says("shopping.txt")
        tap.check("could not be opened" in said and "drawer" not in said, "so is a text", [said])
        drop(window, folder / "drawer", folder / "shopping.txt", folder / OTHER)
        program.window(OTHER_TITLE)
        said = [window.wait_says(name) for name in ("drawer", "shopping.txt")]
        tap.check(all("could not be opened" in text for text in said), "of several, those that are none are told and the others open", said)
        tap.check(len(program.windows()) == 2 and window.rows() == rows and not window.name.startswith("•"), "the bench is as it was", titles(program))
        end(tap, program, "others")


def untouched(tap):
    """of several dropped on an untouched window one opens in it, and what failed is still told there"""
    with scratch(FIRST, OTHER) as folder, Program() as program:
        (folder / "shopping.txt").write_text("two sheets of 320 paper\n", encoding="utf-8")
        window = program.window("Sidelong")
        drop(window, folder / "shopping.txt", folder / FIRST, folder / OTHER)
        program.window(FIRST_TITLE)
        program.window(OTHER_TITLE)
        tap.check(len(program.windows()) == 2, "two profiles, two windows", titles(program))
        said = wait(lambda: next((s for s in (w.says("shopping.txt") for w in program.windows()) if s), None), "the text's name in a message")
        tap.check("could not be opened" in said, "the text is told where it was dropped", [said])
        end(tap, program, "untouched")


def recordings(tap):
    """a sound dropped on an instrument is listened to for its notes, and so is one that the menu opens"""
    with scratch(FIRST) as folder, Program(folder / FIRST) as program:
        window = program.window(FIRST_TITLE)
        sound = folder / "open-string.wav"
        subprocess.run([BUILD / "tests/sound/made-sound", f"--f={E2}", "--b=5e-5", "--seconds=3", "--t60=5", "--noise=40", "-o", sound], check=True)
        drop(window, sound)
        heard = program.window(sound.name)
        tap.check("1 note." in heard.wait_says("1 note."), "its notes are listed in a window of its name", titles(program))
        heard.press("Close")
        wait(lambda: len(program.windows()) == 1, "the window to close")
        tap.check(not window.name.startswith("•"), "what was not accepted changes nothing", titles(program))
        window.take_keys()
        keys("F10")
        act(wait(lambda: next((n for role in ("menu item", BUTTON) for n in find_all(window.node, role, starts="Recording")), None), "the menu's entry"))
        tap.check(program.window("Open a recording") is not None, "the menu asks which recording to open", titles(program))
        keys("Escape")
        program.no_window("Open a recording")
        end(tap, program, "recordings")


if __name__ == "__main__":
    sys.exit(run(profiles, others, untouched, recordings))
