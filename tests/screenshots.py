#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Takes the screenshots of other windows than the bench from the program as built; tests/screenshots.sh runs it.

screenshots.py OUT"""

import importlib
import pathlib
import shutil
import sys

guide = importlib.import_module("guide-pictures")
from journey import DEMOS, box_of, find_all, keys, settled, wait, xdotool  # noqa: E402  (guide-pictures says where)

LANGUAGE = "en"
SHELF = pathlib.Path("/srv/shelf")  # a folder of screenshots.sh, under a name that can be shown
# As large as they are, with the colours a photograph needs.
guide.WIDTH, guide.MOST_COLOURS = guide.LARGE[0], 192


def other(program, window, what):
    return wait(lambda: next((w for w in program.windows() if w != window), None), what)


def photographs(out):
    """The window in which one is measured, and what the customer sees: the drawing, and before and after under one slider."""
    with guide.Guided(LANGUAGE, guide.PROFILE) as program:
        window = program.window("")
        tab = wait(lambda: find_all(window.node, "page tab"), "the tabs")[guide.SHEETS["visit"]]
        window.press("Show larger")
        window.click(tab)
        cells = lambda: [n for n in find_all(window.node, "table cell") if n.get_name().endswith((" 10:08", " 16:40")) or " 10:08 " in n.get_name()]
        first, last = wait(lambda: len(cells()) == 2 and cells(), "the tiles")
        window.scroll_to(last)
        window.take_keys()
        x, y = window.place(first)
        xdotool("mousemove", x, y, "click", 1)
        measuring = other(program, window, "the measuring window")
        guide.take(out, "measuring", guide.around(measuring, measuring.node, 0))
        measuring.take_keys()
        keys("ctrl+w")
        program.gone(measuring)
        window.take_keys()
        keys("F5")
        shown = other(program, window, "the customer's view")
        guide.take(out, "customer")
        shown.press("Photographs")
        shown.take_keys()
        keys("Page_Up", "Page_Up", *["Left"] * 4)  # where what has changed lies beside the line
        guide.take(out, "photographs")


def shelf(out):
    shutil.copytree(DEMOS, SHELF, dirs_exist_ok=True, ignore=shutil.ignore_patterns("*.py", "__pycache__"))
    with guide.Guided(LANGUAGE, guide.PROFILE) as program:
        window = program.window("")
        window.take_keys()
        keys("ctrl+l")
        shown = other(program, window, "the shelf")
        row = wait(lambda: find_all(shown.node, "table row", starts="Anchor Street"), "the profiles")[0]
        settled(lambda: box_of(row), "the list")
        x, y = shown.place(row)
        xdotool("mousemove", x, y, "click", 1)
        wait(lambda: find_all(shown.node, "push button", "Open"), "the chosen profile beside the table")
        guide.take(out, "shelf", guide.around(shown, shown.node, 0))


if __name__ == "__main__":
    folder = pathlib.Path(sys.argv[1])
    guide.start(folder, LANGUAGE)
    photographs(folder)
    shelf(folder)
