#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Takes the pictures of the user guide from the program as built; tests/guide-pictures.sh runs it, once for each language.

guide-pictures.py OUT LANGUAGE"""

import os
import pathlib
import subprocess
import sys
import time

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent / "desk"))
from journey import BUTTON, DEMOS, Program, box_of, children, find_all, has, keys, wait, walk, xdotool  # noqa: E402
from tree import Atspi  # noqa: E402

PROFILE = DEMOS / "anchor-street-flat-top.sidelong"
# Picture, and the place of its tab among the sheets.
SHEETS = {"gaps": 0, "frets": 1, "strings": 2, "pitch": 3, "climate": 4, "history": 5, "visit": 6}
SHEET_SIZE = 752, 250
MARGIN = 8
MOST_COLOURS = 96
WIDTH = 752  # of a page


class Guided(Program):
    def __init__(self, language, *files):
        self.language = language
        super().__init__(*files, locale=os.environ["SL_GUIDE_LOCALE"])

    def start(self, *files):
        self.environment["LANGUAGE"] = self.language
        return super().start(*files)


def screen(out):
    """The whole screen once it has stopped changing."""
    xdotool("mousemove", "--sync", 100000, 100000)
    last = None
    while True:
        time.sleep(0.5)
        subprocess.run(["import", "-silent", "-window", "root", out], check=True)
        now = subprocess.run(["convert", out, "rgb:-"], check=True, capture_output=True).stdout
        if now == last:
            return
        last = now


def take(out, name, box=None):
    """A picture of the screen, or of a box on it, as small as it stays sharp."""
    path = out / f"{name}.png"
    screen(path)
    crop = [] if box is None else ["-crop", "{2}x{3}+{0}+{1}".format(*box), "+repage"]
    subprocess.run(["convert", path, *crop, "-resize", f"{WIDTH}x>", "-dither", "None", "-colors", str(MOST_COLOURS), "-strip", "-define", "png:compression-level=9",
                    "-define", "png:exclude-chunks=date,time", path], check=True)


def around(window, node):
    left, top = window.origin()
    x, y, width, height = box_of(node)
    return left + x - MARGIN, top + y - MARGIN, width + 2 * MARGIN, height + 2 * MARGIN


def group_around(node):
    """The group with a name that an object lies in."""
    while node.get_role_name() not in ("panel", "grouping") or not node.get_name():
        node = node.get_parent()
    return node


def bench(out, language):
    with Guided(language, PROFILE) as program:
        window = program.window("")
        wait(lambda: find_all(window.node, "page tab"), "the tabs")
        take(out, "bench")
        tabs = find_all(window.node, "page tab")
        for name, place in SHEETS.items():
            window.click(tabs[place])
            wait(lambda: has(tabs[place], Atspi.StateType.SELECTED) or has(tabs[place], Atspi.StateType.CHECKED), name)
            left, top, *_ = around(window, tabs[0])
            take(out, name, (left, top, *SHEET_SIZE))
        window.click(tabs[0])
        drawing = next(node for node, _ in walk(window.node) if node.get_role_name() == "image" and box_of(node)[2] > 500)
        take(out, "side", around(window, drawing))
        # the first card of work that has something to tick off
        ticks = [node for node in find_all(window.node, "check box") if has(node, Atspi.StateType.SENSITIVE)]
        card = next(group for group in map(group_around, ticks) if find_all(group, "slider"))
        window.scroll_to(card)
        time.sleep(1)
        take(out, "card", around(window, card))
        window.take_keys()
        keys("F5")
        wait(lambda: len(program.windows()) > 1, "the customer's view")
        take(out, "customer")


def start(out, language):
    with Guided(language) as program:
        window = program.window("")
        wait(lambda: len([n for n in find_all(window.node, BUTTON) if children(n) and box_of(n)[3] > 80]) > 5, "the examples")
        time.sleep(1)
        take(out, "start")


if __name__ == "__main__":
    folder = pathlib.Path(sys.argv[1])
    folder.mkdir(parents=True, exist_ok=True)
    start(folder, sys.argv[2])
    bench(folder, sys.argv[2])
