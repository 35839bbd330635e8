#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Finding one's way: keys to every card and sheet, the targets from the results, the guide at what one is at."""

import sys

from journey import DEMOS, Program, end, find_all, keys, run, text_of, type_text, wait

PROFILE = DEMOS / "anchor-street-flat-top.sidelong"
TITLE = "Anchor Street flat-top"


def jumps(tap):
    """keys lead to every card with work and to every sheet"""
    with Program(PROFILE) as program:
        window = program.window(TITLE)
        window.take_keys()
        wait(lambda: window.focused() is not None, "the focus")
        seen = []
        for _ in range(5):
            before = window.focused().get_name()
            keys("ctrl+j")
            wait(lambda: window.focused() is not None and window.focused().get_name() != before, "the next card")
            seen.append(window.focused().get_name().partition(",")[0])
        tap.check(seen == ["Truss rod", "Lower slots", "Saddle underside", "Saddle top", "Break point"], "Ctrl+J goes from card to card in the order of work", seen)
        keys("ctrl+shift+j")
        tap.check(wait(lambda: window.focused().get_name().startswith("Saddle top"), "the card before"), "and Ctrl+Shift+J back")
        for key, title in zip("4567890", ("Gaps", "Frets", "Strings", "Pitch", "Climate", "History", "Visit")):
            keys("ctrl+" + key)
            tap.check(wait(lambda: window.focused() is not None and any(node.get_name() == title for node in ancestors(window.focused())), title), f"Ctrl+{key} goes to {title}")
        end(tap, program, "jumps")


def ancestors(node):
    while node is not None:
        yield node
        node = node.get_parent()


def targets_at_results(tap):
    """what the results are judged by is one click from them"""
    with Program(PROFILE) as program:
        window = program.window(TITLE)
        window.press("Targets…")
        description = program.window("Instrument: ")
        tap.check(wait(lambda: description.focused() is not None and description.focused().get_name() == "Relief", "the first target"), "the button opens the targets", [description.focused().get_name()])
        description.take_keys()
        keys("Escape")
        program.no_window("Instrument: ")
        cell = wait(lambda: [n for n in find_all(window.node, "table cell") if n.get_name().startswith("Action, 1, target")], "the target's cell")[0]
        window.click(cell)
        description = program.window("Instrument: ")
        tap.check(wait(lambda: description.focused() is not None and description.focused().get_name() == "Action at 12, treble", "the target"), "a click on a target opens that one", [description.focused().get_name()])
        end(tap, program, "targets at results")


def help_where_one_is(tap):
    """F1 opens the guide at the page of the sheet or the card one is in"""
    with Program(PROFILE) as program:
        window = program.window(TITLE)
        window.take_keys()
        wait(lambda: window.focused() is not None, "the focus")
        for key, title in (("ctrl+1", "Readings"), ("ctrl+7", "Pitch"), ("ctrl+j", "Truss rod"), ("ctrl+2", "Side view and close-ups")):
            window.take_keys()
            keys(key, "F1")
            guide = program.window("User guide")
            tap.check(wait(lambda: [n for n in find_all(guide.node, "heading") if n.get_name() == title], f"the page on {title}"), f"F1 after {key} tells of: {title}")
        guide.take_keys()
        keys("ctrl+w")
        program.no_window("User guide")
        window.take_keys()
        keys("ctrl+i")
        description = program.window("Instrument: ")
        description.take_keys()
        keys("F1")
        guide = program.window("User guide")
        tap.check(wait(lambda: find_all(guide.node, "heading", name="Targets"), "the page on the description"), "so it does in other windows")
        guide.take_keys()
        type_text("ivory")
        tap.check(wait(lambda: [n for n in find_all(guide.node, "list item")] and not find_all(guide.node, "list item", name="Pitch"), "the list to be shorter"), "what is searched for shortens the list")
        keys("ctrl+a")
        type_text("first pass")
        wait(lambda: find_all(guide.node, "list item", name="Glossary"), "the pages that say it")
        keys("Return", "Return")
        tap.check(wait(lambda: any("first pass" in text_of(n).lower() for n in find_all(guide.node, "label") if selected(n)), "a place"), "Enter marks a place that says it")
        end(tap, program, "help where one is")


def selected(node):
    return node.offers("Text") and node.call("Text", "GetNSelections")[0] > 0


if __name__ == "__main__":
    sys.exit(run(jumps, targets_at_results, help_where_one_is))
