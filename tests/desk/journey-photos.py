#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Photographs of a visit: taken from a camera's folder as it comes, described, removed and brought back; what is missing, and what belongs to no visit."""

import shutil
import sys

from journey import BUTTON, ENTRY, SOURCE, Atspi, Program, act, end, has, keys, run, scratch, type_text, wait, walk

PROFILE = "anchor-street-flat-top.sidelong"
TITLE = "Anchor Street flat-top"
FOLDER = "anchor-street-flat-top.photos"
DEMO = SOURCE / "data" / "demo" / FOLDER
PICTURE = SOURCE / "docs" / "guide" / "pictures" / "card.png"


def show_visit(window):
    tab = wait(lambda: next((n for n, _ in walk(window.node) if n.get_name() == "Visit" and n.get_role_name() == "page tab"), None), "the tab of the visit")
    window.click(tab)


def tiles(window):
    tables = [n for n, _ in walk(window.node) if n.get_role_name() == "table" and n.get_name().startswith("Photographs")]
    return [n for table in tables for n, _ in walk(table) if n.get_role_name() == "table cell"]


def inside(node, role, starts):
    """What is in a tile or in its menu: whoever walks a window stops at a cell."""
    return wait(lambda: next((n for n, _ in reversed(walk(node, True)) if n.get_role_name() == role and n.get_name().startswith(starts)), None), starts)


def missing(tap):
    """a picture that is not in the folder is told on its tile; nothing is lost"""
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        window = program.window(TITLE)
        show_visit(window)
        wait(lambda: tiles(window), "the tile")
        sentence = inside(window.node, "label", "fret-12.jpg")
        tap.check("is not in" in sentence.get_name(), "the tile says what is missing and where", [sentence.get_name()])
        tap.check(inside(window.node, BUTTON, "Find the file of") is not None, "and offers to find it")
        tap.check(not window.name.startswith("•"), "the document is as it was")
        end(tap, program, "missing")


def described(tap):
    """a tile's menu gives a caption; removed, the photograph comes back by undo, and its file stays"""
    with scratch(PROFILE) as folder:
        shutil.copytree(DEMO, folder / FOLDER)
        with Program(folder / PROFILE) as program:
            window = program.window(TITLE)
            show_visit(window)
            tile = wait(lambda: next(iter(tiles(window)), None), "the tile")
            window.take_keys()
            window.scroll_to(tile)
            act(inside(tile, BUTTON, "What “"))
            inside(window.node, ENTRY, "Caption of the photograph")
            wait(lambda: has(inside(window.node, ENTRY, "Caption of the photograph"), Atspi.StateType.FOCUSED), "the keyboard in the caption")
            keys("ctrl+a")
            type_text("Rule against the string")
            keys("Tab")
            captioned = lambda: next((t for t in tiles(window) if t.get_name().startswith("Rule against")), None)
            tap.check(wait(captioned, "the caption") is not None, "its caption is on the tile")
            act(inside(window.node, BUTTON, "Remove"))
            window.wait_says("stays in the folder")
            tap.check(captioned() is None, "removed, the photograph has no tile")
            tap.check((folder / FOLDER / "fret-12.jpg").is_file(), "its file stays")
            window.undo()
            tap.check(wait(captioned, "the tile") is not None, "undone, it is there again with its caption")
            end(tap, program, "described")


def left(tap):
    """a picture in the folder that belongs to no visit is offered, and taken in where it lies"""
    with scratch(PROFILE) as folder:
        shutil.copytree(DEMO, folder / FOLDER)
        shutil.copy(PICTURE, folder / FOLDER / "left.png")
        with Program(folder / PROFILE) as program:
            window = program.window(TITLE)
            show_visit(window)
            before = len(wait(lambda: tiles(window), "the tile"))
            window.press("Take in")
            window.wait_says("1 picture was taken into the visit.")
            tap.check(wait(lambda: len(tiles(window)) == before + 1, "its tile"), "it has a tile")
            tap.check(sorted(p.name for p in (folder / FOLDER).iterdir()) == sorted([p.name for p in DEMO.iterdir()] + ["left.png"]), "no file came or went")
            end(tap, program, "left")


if __name__ == "__main__":
    sys.exit(run(missing, described, left))
