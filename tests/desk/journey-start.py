#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The start page: examples to try as copies, the last instruments with their pictures, those that are gone among them, and a kind found by keys alone."""

import os
import pathlib
import shutil
import sys

from journey import BUTTON, DEMOS, Program, end, find_all, keys, run, type_text, wait

RECENT = """<?xml version="1.0" encoding="UTF-8"?>
<xbel version="1.0" xmlns:bookmark="http://www.freedesktop.org/standards/desktop-bookmarks" xmlns:mime="http://www.freedesktop.org/standards/shared-mime-info">
%s</xbel>
"""
BOOKMARK = """<bookmark href="%s" added="%s" modified="%s" visited="%s"><info><metadata owner="http://freedesktop.org">
<mime:mime-type type="application/x-sidelong+xml"/><bookmark:applications>
<bookmark:application name="Sidelong" exec="&apos;sidelong %%u&apos;" modified="%s" count="1"/></bookmark:applications></metadata></info></bookmark>
"""


def examples(tap):
    """an example opens as a copy: unchanged there is nothing to save, and saving asks for a name"""
    before = {path: path.read_bytes() for path in DEMOS.glob("*.sidelong")}
    with Program() as program:
        window = program.window("Sidelong")
        window.take_keys()
        tap.check(wait(lambda: len(find_all(window.node, BUTTON, starts="Open a copy of the example ")) == len(before), "all examples"),
                  "each of the demonstration profiles is offered")
        wait(lambda: find_all(window.node, BUTTON, name="Open a copy of the example Anchor Street flat-top"), "its own name, which the thread that draws it reads")
        window.press("Open a copy of the example Anchor Street flat-top")
        window = program.window("Anchor Street flat-top")
        tap.check(not window.name.startswith("•"), "unchanged, it is not unsaved", [window.name])
        tap.check(window.wait_says("a copy of an example"), "and the title says that it is a copy")
        window.type_into(window.entry("Relief at fret 7, string 6"), "0.41")
        window = wait(lambda: next((w for w in program.windows() if w.name.startswith("•")), None), "the copy to be unsaved")
        window.take_keys()
        keys("ctrl+s")
        tap.check(wait(lambda: len(program.windows()) > 1, "the chooser"), "saving the changed copy asks where")
        keys("Escape")
        wait(lambda: len(program.windows()) == 1, "the chooser to go")
        tap.check(all(path.read_bytes() == data for path, data in before.items()), "no example was written to")
        end(tap, program, "examples")


def recent(tap):
    """the last instruments by their own names; one that is gone says so"""
    data = pathlib.Path(os.environ["XDG_DATA_HOME"])
    there, gone = data / "there.sidelong", data / "gone.sidelong"
    shutil.copy(DEMOS / "driftnet-bass.sidelong", there)
    times = ["2026-03-02T10:00:00Z", "2026-03-01T10:00:00Z"]
    marks = [BOOKMARK % (path.as_uri(), t, t, t, t) for path, t in zip((there, gone), times)]
    (data / "recently-used.xbel").write_text(RECENT % "".join(marks), encoding="utf-8")
    with Program() as program:
        window = program.window("Sidelong")
        window.take_keys()
        tap.check(wait(lambda: find_all(window.node, BUTTON, name=f"Open Driftnet bass, {data}"), "the instrument by its name"), "an instrument is offered by its name, with its folder")
        tap.check(wait(lambda: find_all(window.node, BUTTON, name="Open gone, no longer where it was"), "what is gone"), "one that is gone says so")
        window.press(f"Open Driftnet bass, {data}")
        tap.check(program.window("Driftnet bass"), "and opens")
        end(tap, program, "recent")


def by_keys(tap):
    """the page opens in the search: what is searched for is begun by two presses of Enter, and one more for the owner left empty"""
    with Program() as program:
        window = program.window("Sidelong")
        window.take_keys()
        wait(lambda: window.focused() is not None and window.focused().get_name() == "Search the kinds of instrument", "the search to have the focus")
        type_text("tenor")
        keys("Return")
        wait(lambda: window.focused() is not None and window.focused().get_name() == "Name", "the name to be asked")
        tap.check(True, "Enter goes on to the name")
        type_text("Gull")
        keys("Return", "Return")
        made = program.window("Gull")
        tap.check(made.row("Action, string 4: "), "and the instrument that was searched for is on the bench")
        tap.check(not find_all(made.node, "panel", "Truss rod"), "a ukulele without a rod")
        end(tap, program, "by keys")


if __name__ == "__main__":
    sys.exit(run(examples, recent, by_keys))
