#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The whole job without a mouse: Tab, Enter through the form, the shortcuts, the menu."""

import sys

from journey import DEMOS, Focus, Program, end, find, find_all, keys, run, settled, text_of, type_text, wait

PROFILE = DEMOS / "anchor-street-flat-top.sidelong"
TITLE = "Anchor Street flat-top"
MOST_STOPS = 200


def enter_through(tap):
    """a gauge that types a reading and Enter fills the form"""
    with Program(PROFILE) as program:
        window = program.window(TITLE)
        focus = Focus(program)
        first = window.entry("Relief at fret 7, string 6")
        window.take_keys()
        keys("ctrl+1")
        wait(lambda: window.focused() is not None and window.focused().get_name() == first.get_name(), "the first reading to have the focus")
        tap.check(True, "Ctrl+1 goes to the first reading")
        for value, name, after in (("0.35", "Relief at fret 7, string 6", "Relief at fret 7, string 1"),
                                   ("0.29", "Relief at fret 7, string 1", "Fall-away of the fingerboard extension at the last fret"),
                                   ("-0.04", "Fall-away of the fingerboard extension at the last fret", "Height at fret 1, string 6")):
            type_text(value)
            wait(lambda: text_of(window.entry(name)) == value, f"{value} typed")
            went = focus.after("Return")
            tap.check(went is not None and went.get_name() == after, f"Enter after {value} goes on to: {after}", [went.get_name() if went else "nowhere"])
        went = focus.after("shift+Return")
        tap.check(went is not None and went.get_name().startswith("Fall-away"), "Shift+Enter goes back")
        tap.check(wait(lambda: "before 0.32 " in window.row("Relief, "), "the table"), "the readings are in the table", [window.row("Relief, ")])
        for _ in range(3):
            before = window.undo_name()
            keys("ctrl+z")
            settled(window.undo_name, "the undo")
        tap.check(wait(lambda: text_of(first) == "0.36", "undo"), "Ctrl+Z takes them back one by one", [before, text_of(first)])
        keys("ctrl+shift+z")
        tap.check(wait(lambda: text_of(first) == "0.35", "redo"), "Ctrl+Shift+Z does one again")
        keys("ctrl+u")
        tap.check(wait(lambda: text_of(first) == "0.014", "inches"), "Ctrl+U goes on to the next unit")
        end(tap, program, "enter through")


def tab_around(tap):
    """Tab reaches every region and comes round again, and every stop says what it is"""
    with Program(PROFILE) as program:
        window = program.window(TITLE)
        focus = Focus(program)
        window.take_keys()
        keys("ctrl+1")
        wait(lambda: window.focused() is not None and window.focused().get_name() == "Relief at fret 7, string 6", "the first reading to have the focus")
        stops = []
        while len(stops) < MOST_STOPS:
            node = focus.after("Tab")
            if node is None:
                break
            stop = node.get_role_name(), node.get_name()
            if stop in stops[:3] and len(stops) > 20:
                break
            stops.append(stop)
        names = [name for _, name in stops]
        lines = [f"{role} “{name}”" for role, name in stops]
        tap.check(20 < len(stops) < MOST_STOPS, "Tab comes round again", lines)
        tap.check(all(names), "every stop has a name", lines)
        for name in ("Action at fret 12, string 6", "Side view", "Height factor", "Saddle underside, bass side", "Propose from targets", "Main menu"):
            tap.check(name in names, f"Tab reaches: {name}", lines)
        for key, names, region in (("ctrl+3", ("Propose from targets",), "the work"), ("ctrl+2", ("Side view",), "the drawing itself")):
            node = focus.after(key)
            tap.check(node is not None and node.get_name() in names, f"{key} goes to {region}", [node.get_name() if node else "nowhere"])
        end(tap, program, "tab around")


def side_view_by_keys(tap):
    """the handles of the side view are worked by keys, each press a step"""
    with Program(PROFILE) as program:
        window = program.window(TITLE)
        focus = Focus(program)
        window.take_keys()
        focus.after("ctrl+2")
        tap.check(window.focused().get_name() == "Side view", "the side view takes the focus")
        row = window.row("Action, string 6: ")
        keys("Down", "Down", "Down")  # a hundredth of a millimetre of the saddle is half of that at the 12th fret
        tap.check(wait(lambda: window.row("Action, string 6: ") != row, "the table to follow"), "Down lowers the chosen handle", [row])
        settled(lambda: window.row("Action, string 6: "), "the table")
        keys("ctrl+z", "ctrl+z", "ctrl+z")
        settled(window.undo_name, "the undo")
        tap.check(wait(lambda: window.row("Action, string 6: ") == row, "the undo"), "and can be undone")
        end(tap, program, "side view by keys")


def menu_and_shortcuts(tap):
    """F10 opens the menu, Ctrl+? the window of shortcuts"""
    with Program(PROFILE) as program:
        window = program.window(TITLE)
        window.take_keys()
        wait(lambda: find_all(window.node, "push button", "Main menu"), "the menu's button")
        keys("F10")
        item = wait(lambda: [node for role in ("menu item", "push button") for node in find_all(window.node, role, starts="Save as")], "the menu's items")
        tap.check(item, "F10 opens the main menu")
        keys("Escape")
        wait(lambda: window.focused() is not None, "the focus back")
        keys("ctrl+question")
        shortcuts = wait(lambda: next((w for w in program.windows() if w.name != TITLE), None), "the window of shortcuts")
        text = "\n".join(shortcuts.dump())
        tap.check("Save" in text and "Go to the readings" in text, "Ctrl+? shows the shortcuts", text.splitlines())
        shortcuts.take_keys()
        keys("Escape")
        wait(lambda: len(program.windows()) == 1, "the window of shortcuts to go")
        keys("ctrl+i")
        window.take_keys()
        keys("ctrl+i")
        description = program.window("Instrument: ")
        tap.check(find(description.node, "scroll pane", starts=""), "Ctrl+I opens the description")
        description.take_keys()
        keys("Escape")
        wait(lambda: len(program.windows()) == 1, "the description to go")
        end(tap, program, "menu and shortcuts")


def lists_of_pages(tap):
    """Tab goes from a list of pages to the page that is shown, and back; the arrows go from page to page"""
    with Program(PROFILE) as program:
        window = program.window(TITLE)
        wait(window.focused, "the first reading to have the focus")
        for key, title in (("ctrl+comma", "Preferences"), ("ctrl+i", "Instrument: "), ("F1", "User guide")):
            window.take_keys()
            keys(key)
            listed = program.window(title)
            listed.take_keys()
            focus = Focus(program)
            for _ in range(MOST_STOPS):
                node = focus.after("shift+Tab")
                if node.get_role_name() == "list item":
                    break
            shown = node.get_name()
            tap.check(node.get_role_name() == "list item", f"{title}: Shift+Tab comes to the list of pages", [shown])
            tap.check(focus.after("Tab").get_role_name() != "list item", "Tab goes on to the page")
            tap.check(focus.after("shift+Tab").get_name() == shown, "and back to its row")
            node = focus.after("Down")
            tap.check(node.get_role_name() == "list item" and node.get_name() != shown, "Down goes to the next row", [node.get_name()])
            keys("Escape")
            program.no_window(title)
        window.take_keys()
        entry = window.entry("Relief at fret 7, string 6")
        type_text("0.31")
        tap.check(wait(lambda: text_of(entry) == "0.31", "what is typed alone"), "back in the window, what is typed replaces the value, as before")
        end(tap, program, "lists of pages")


if __name__ == "__main__":
    sys.exit(run(enter_through, tab_around, side_view_by_keys, menu_and_shortcuts, lists_of_pages))
