#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The main job in the window: a reading typed, a cut set by slider, by entry and by the drawing's handle, undone, redone, saved and found again."""

import re
import subprocess
import sys

from journey import Program, box_of, end, find, run, scratch, set_value, settled, text_of, value_of, wait, xdotool

PROFILE = "anchor-street-flat-top.sidelong"
TITLE = "Anchor Street flat-top"
ACTION = "Action, string 6: "
CUT = "Saddle underside, bass side"


def after(row):
    """The figure after the work in a spoken row."""
    return float(re.search(r"after ([−0-9.]+)", row)[1].replace("−", "-"))


def before(row):
    return float(re.search(r"before ([−0-9.]+)", row)[1].replace("−", "-"))


def save(window):
    window.press("Save")
    wait(lambda: "unsaved" not in window.name and not window.name.startswith("•"), "the save")


def reading_and_cut(tap):
    """a reading and the saddle cut change the table, step by step back and forth, and are there again after saving"""
    with scratch(PROFILE) as folder:
        path = folder / PROFILE
        with Program(path) as program:
            window = program.window(TITLE)
            first = window.row(ACTION)
            entry = window.entry("Action at fret 12, string 6")
            window.type_into(entry, "3.45")
            read = wait(lambda: window.row(ACTION) != first and window.row(ACTION), "the table to follow the reading")
            tap.check(before(read) > before(first), "a higher action read is a higher action in the table", [first, read])
            tap.check(window.name.startswith("•"), "the title marks what is not saved", [window.name])

            cut = value_of(window.slider(f"{CUT}, slider"))
            set_value(window.slider(f"{CUT}, slider"), cut + 0.2)
            slid = wait(lambda: window.row(ACTION) != read and window.row(ACTION), "the table to follow the slider")
            # Common practice: what comes off at the saddle lowers the 12th fret by about half.
            tap.check(0.08 <= after(read) - after(slid) <= 0.12, "0.20 more off the saddle is about 0.10 less action", [read, slid])
            tap.check(text_of(window.entry(CUT)) == f"{cut + 0.2:.2f}", "the entry shows what the slider set", [text_of(window.entry(CUT))])

            window.type_into(window.entry(CUT), "0.50")
            typed = wait(lambda: window.row(ACTION) != slid and window.row(ACTION), "the table to follow the entry")
            tap.check(after(typed) > after(slid), "a smaller cut typed leaves a higher action", [slid, typed])
            tap.check(abs(value_of(window.slider(f"{CUT}, slider")) - 0.5) < 1e-9, "the slider follows the entry")

            tap.check(window.undoes("take off the saddle’s underside"), "undo names the step", [window.undo_name()])
            for row, what in ((slid, "the cut typed"), (read, "the cut slid"), (first, "the reading")):
                window.undo()
                tap.check(wait(lambda: window.row(ACTION) == row, f"undo of {what}"), f"undo takes back {what}")
            tap.check(not window.name.startswith("•"), "all undone, nothing is unsaved", [window.name])
            for row, what in ((read, "the reading"), (slid, "the cut slid"), (typed, "the cut typed")):
                window.redo()
                tap.check(wait(lambda: window.row(ACTION) == row, f"redo of {what}"), f"redo does {what} again")
            save(window)
            end(tap, program, "reading and cut")
        text = path.read_text(encoding="utf-8")
        tap.check('gap="3.45"' in text and 'bass="0.5"' in text, "the file holds the reading and the cut", text.splitlines())
        with Program(path) as program:
            window = program.window(TITLE)
            tap.check(window.row(ACTION) == typed, "reopened, the table says what it said", [typed, window.row(ACTION)])
            tap.check(text_of(window.entry("Action at fret 12, string 6")) == "3.45", "reopened, the reading is there")
            tap.check(text_of(window.entry(CUT)) == "0.50", "reopened, the cut is there")
            end(tap, program, "reopened")


def pixels(window, box):
    """The pixels of a part of the window as it is on the screen, three bytes each, row by row."""
    x, y = window.origin()
    part = f"{box[2]}x{box[3]}+{x + box[0]}+{y + box[1]}"
    return subprocess.run(["import", "-silent", "-window", "root", "-crop", part, "-depth", "8", "rgb:-"], stdout=subprocess.PIPE, check=True).stdout


WAYS = [(1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (1, -1), (-1, 1), (-1, -1)]


LEAST_RING = 15  # of the four distances together


def handles(window, box):
    """Where the drawing shows a handle: a light disc with a ring of the accent colour around it."""
    image, width = pixels(window, box), box[2]

    def at(x, y):
        return image[3 * (y * width + x):3 * (y * width + x) + 3]

    def is_ring(x, y):
        red, green, blue = at(x, y)
        return red < 100 and green > 80 and blue > 80

    def ring_at(x, y, way):
        reach = range(3, 7) if all(way) else range(4, 10)
        return next((r for r in reach if is_ring(x + way[0] * r, y + way[1] * r)), 0)

    found = []
    for y in range(10, box[3] - 10, 2):
        for x in range(10, width - 10, 2):
            # Most of the picture is out at the first look: the disc is light. Leaders may cross its ring in two ways.
            if min(at(x, y)) > 225 and all(min(at(x + 2 * a, y + 2 * b)) > 225 for a, b in WAYS) and all(min(at(x + 3 * a, y + 3 * b)) > 225 for a, b in WAYS[:4]):
                distances = [ring_at(x, y, way) for way in WAYS]
                # Smaller rings are those of figures.
                if sum(map(bool, distances)) >= len(WAYS) - 2 and sum(distances[:4]) >= LEAST_RING and all(abs(x - u) + abs(y - v) > 12 for u, v in found):
                    found.append((x, y))
    return found


def drag_crest(tap):
    """dragging the crest in the side view is one step"""
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        window = program.window(TITLE)
        window.take_keys()
        view = find(window.node, "image", "Side view")
        box = settled(lambda: box_of(view), "the side view's place")
        wait(lambda: len(handles(window, box)) == 3, "three handles")
        found = settled(lambda: tuple(handles(window, box)), "the drawing")
        tap.check(len(found) == 3, "the side view shows three handles", [str(found)])
        crest = max(found)
        x, y = window.origin()
        x, y = x + box[0] + crest[0], y + box[1] + crest[1]
        first, undo = window.row(ACTION), window.undo_name()
        xdotool("mousemove", "--sync", x, y)
        xdotool("mousedown", 1)
        seen = set()
        for step in range(1, 9):
            xdotool("mousemove", "--sync", x, y + 2 * step)
            seen.add(settled(lambda: window.row(ACTION), "the table while dragging"))
        xdotool("mouseup", 1)
        wait(lambda: window.undo_name() != undo, "the step")
        last = settled(lambda: window.row(ACTION), "the table after dragging")
        tap.check(after(last) < after(first), "the crest dragged down lowers the action", [first, last])
        tap.check(len(seen) >= 4, "the table follows while the mouse moves", sorted(seen))
        tap.check(window.undo_name() != undo, "the drag can be undone", [undo, window.undo_name()])
        window.undo()
        tap.check(wait(lambda: window.row(ACTION) == first, "undo of the drag"), "one undo takes the whole drag back")
        tap.check(window.undo_name() == undo, "and nothing of it is left to undo", [window.undo_name()])
        end(tap, program, "drag")


if __name__ == "__main__":
    sys.exit(run(reading_and_cut, drag_crest))
