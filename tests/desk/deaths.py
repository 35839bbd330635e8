# SPDX-License-Identifier: GPL-3.0-or-later
"""What the tests of journals share: changes typed one after the other, each a number of its own, and what of them a program that died left behind."""

import math
import os
import pathlib
import re
import subprocess
import threading
import time

from journey import BUILD, Program, keys, text_of, wait, xdotool

PROFILE = "chandlery-parlour.sidelong"
TITLE = "Chandlery parlour"
READING = "Relief at fret 6, string 6"
JOURNALS = pathlib.Path(os.environ["XDG_STATE_HOME"], "sidelong", "journal")
ALLOWED = 2.0  # seconds of work that may be lost
FIRST, STEP = 0.10, 0.01  # mm, of the numbers typed
MOST = 80  # of them
FACTOR = float(os.environ.get("SL_TEST_ROUNDS", "1"))
FULL = FACTOR >= 10  # as with tests/all.sh --full


class Stalls(threading.Thread):
    """The yardstick: how long the machine kept a thread from running that had nothing to do but sleep, and a disk from taking a page."""

    STEP = 0.02

    def __init__(self, folder):
        super().__init__(daemon=True)
        self.file = open(folder / "yardstick", "wb")
        self.late = []
        self.start()

    def run(self):
        while True:
            begun = time.monotonic()
            time.sleep(self.STEP)
            os.pwrite(self.file.fileno(), bytes(4096), 0)
            os.fsync(self.file.fileno())
            over = time.monotonic() - begun - self.STEP
            if over > self.STEP:
                self.late.append((begun, over))

    def since(self, moment):
        return sum(over for begun, over in self.late if begun >= moment)


class Typist:
    """Types a number after the other into one reading, and knows when each was on the bench: what the machine or the display takes until then loses nothing."""

    def __init__(self, window, number=0):
        self.window = window
        self.number = number
        self.entered = []  # (moment, number) of each
        self.entry = window.entry(READING)
        self.window.focus(self.entry)

    @staticmethod
    def size(number):
        return FIRST + STEP * (number % MOST)

    def text(self, number):
        return f"{self.size(number):.2f}"

    def press(self):
        self.number += 1
        keys("ctrl+a")
        xdotool("type", "--clearmodifiers", "--delay", "1", f"{self.size(self.number) - STEP:.2f}")
        keys("Up")  # enters it with a step on top, and stays
        self.entered.append((math.inf, self.number))

    def type(self):
        self.press()
        wait(lambda: text_of(self.entry) == self.text(self.number), "the number on the bench")
        self.entered[-1] = time.monotonic(), self.number

    def type_for(self, seconds):
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            self.type()

    def place_of(self, value):
        """Which of those typed here it is, the last where several are the same; 0 where it is none."""
        return next((number for _, number in reversed(self.entered) if self.text(number) == value), 0)


def value_in(text):
    found = re.search(r'<relief string="6" fret="6" gap="([^"]*)"', text)
    return f"{float(found[1]):.2f}" if found else None


def journals():
    return sorted(JOURNALS.glob("*.journal")) if JOURNALS.is_dir() else []


def journal_values():
    return [value_in(path.read_text(encoding="utf-8")) for path in journals()]


def is_whole(path):
    """Whether the program reads the file."""
    return subprocess.run([BUILD / "src" / "calc" / "sidelong-calc", "check", path], capture_output=True).returncode == 0


def lost_ms(typist, moment, *kept):
    """How long before that moment the first change was entered that is in none of what is kept; 0 where nothing is lost."""
    last = max([typist.place_of(value) for value in kept if value is not None], default=0)
    gone = [entered for entered, number in typist.entered if number > last and entered <= moment]
    return round(1000 * (moment - gone[0])) if gone else 0


def start(path):
    program = Program(path)
    return program, program.window(TITLE)


def wait_dead(program):
    return wait(lambda: program.process.poll() is not None, "the program to end")


def shown(window):
    return text_of(window.entry(READING))
