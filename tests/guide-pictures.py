#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Takes the pictures of the user guide from the program as built; tests/guide-pictures.sh runs it, once for each language.

guide-pictures.py OUT LANGUAGE"""

import contextlib
import gettext
import os
import pathlib
import re
import subprocess
import sys
import time

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent / "desk"))
from journey import BUTTON, DEMOS, Program, box_of, children, find_all, has, keys, wait, walk, xdotool  # noqa: E402
from tree import Atspi  # noqa: E402

PROFILE = DEMOS / "anchor-street-flat-top.sidelong"
# Picture, and the place of its tab among the sheets.
SHEETS = {"gaps": 0, "frets": 1, "strings": 2, "pitch": 3, "climate": 4, "history": 5, "visit": 6}
LARGE = 1440, 900  # of the window, as guide-pictures.sh sets it first
SMALL = 1040, 620  # of the one that shows a sheet alone
MARGIN = 8
INSIDE = -6  # of the drawing, above which its tools stand
MOST_COLOURS = 96
WIDTH = 752  # of a page


class Guided(Program):
    def __init__(self, language, *files):
        self.language = language
        super().__init__(*files, locale=os.environ["SL_GUIDE_LOCALE"])

    def start(self, *files):
        self.environment["LANGUAGE"] = self.language
        return super().start(*files)

    def __exit__(self, *raised):
        # Told to go, it takes its mark from the demonstration profile, which lies in the source.
        self.process.terminate()
        with contextlib.suppress(subprocess.TimeoutExpired):
            self.process.wait(10)
        super().__exit__(*raised)


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


def around(window, node, margin=MARGIN):
    left, top = window.origin()
    x, y, width, height = box_of(node)
    return left + x - margin, top + y - margin, width + 2 * margin, height + 2 * margin


def set_size(size):
    """The size that windows come up with from now on."""
    path = pathlib.Path(os.environ["XDG_CONFIG_HOME"], "glib-2.0", "settings", "keyfile")
    text = path.read_text(encoding="utf-8")
    for name, length in zip(("width", "height"), size):
        text = re.sub(rf"window-{name}=\d+", f"window-{name}={length}", text)
    path.write_text(text, encoding="utf-8")


def group_around(node):
    """The group with a name that an object lies in."""
    while node.get_role_name() not in ("panel", "grouping") or not node.get_name():
        node = node.get_parent()
    return node


def ancestors(node):
    while (node := node.get_parent()) is not None:
        yield node


def bench(out, language):
    with Guided(language, PROFILE) as program:
        window = program.window("")
        wait(lambda: find_all(window.node, "page tab"), "the tabs")
        take(out, "bench")
        drawing = next(node for node, _ in walk(window.node) if node.get_role_name() == "image" and box_of(node)[2] > 500)
        take(out, "side", around(window, drawing, INSIDE))
        # the first card of work that has something to tick off
        ticks = [node for node in find_all(window.node, "check box") if has(node, Atspi.StateType.SENSITIVE)]
        card = next(group for group in map(group_around, ticks) if find_all(group, "slider"))
        window.scroll_to(card)
        time.sleep(1)
        left, top, width, height = around(window, card)
        pane = next(node for node in ancestors(card) if node.get_role_name() == "scroll pane")
        _, above, _, room = around(window, pane, 0)
        take(out, "card", (left, top, width, min(height, above + room - top)))  # a long one reaches below what is seen
        window.take_keys()
        keys("F5")
        wait(lambda: len(program.windows()) > 1, "the customer's view")
        take(out, "customer")


def sheets(out, language):
    """Each sheet alone, in a window that leaves its texts readable at a page's width."""
    words = gettext.translation("sidelong", os.environ["SIDELONG_LOCALE_DIR"], [language], fallback=True)
    set_size(SMALL)
    with Guided(language, PROFILE) as program:
        window = program.window("")
        tabs = wait(lambda: find_all(window.node, "page tab"), "the tabs")
        window.press(words.gettext("Show larger"))
        window.find(BUTTON, words.gettext("Show smaller"))
        for name, place in SHEETS.items():
            window.click(tabs[place])
            wait(lambda: has(tabs[place], Atspi.StateType.SELECTED) or has(tabs[place], Atspi.StateType.CHECKED), name)
            left, top = window.origin()
            down = box_of(tabs[0])[1]
            take(out, name, (left, top + down, SMALL[0], SMALL[1] - down))
    set_size(LARGE)


def photographs(out, language):
    """The tiles, the window in which one is measured, and the slider the customer sees."""
    words = gettext.translation("sidelong", os.environ["SIDELONG_LOCALE_DIR"], [language], fallback=True)
    with Guided(language, PROFILE) as program:
        window = program.window("")
        tab = wait(lambda: find_all(window.node, "page tab"), "the tabs")[SHEETS["visit"]]
        window.press(words.gettext("Show larger"))
        window.click(tab)
        cells = lambda: [n for n in find_all(window.node, "table cell") if n.get_name().endswith((" 10:08", " 16:40")) or " 10:08 " in n.get_name()]
        first, last = wait(lambda: len(cells()) == 2 and cells(), "the tiles")
        window.scroll_to(last)
        left, top = window.origin()
        _, above, _, _ = box_of(first)
        _, below, _, height = box_of(last)
        take(out, "photo-tiles", (left, top + above - 60, 960, below + height - above + 70))
        window.take_keys()
        x, y = window.place(first)
        xdotool("mousemove", x, y, "click", 1)
        measuring = wait(lambda: next((w for w in program.windows() if w != window), None), "the measuring window")
        take(out, "photo-measure", around(measuring, measuring.node, 0))
        measuring.take_keys()
        keys("ctrl+w")
        program.gone(measuring)
        window.take_keys()
        keys("F5")
        shown = wait(lambda: next((w for w in program.windows() if w != window), None), "the customer's view")
        shown.press(words.gettext("Photographs"))
        shown.take_keys()
        keys("Page_Up", "Page_Up", *["Left"] * 4)  # where what has changed lies beside the line
        take(out, "photo-slider")


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
    sheets(folder, sys.argv[2])
    photographs(folder, sys.argv[2])
