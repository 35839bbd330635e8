#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Every control has a name: of each window the whole tree that assistive technology sees is read.

A control is what takes the focus or offers an action. No name may be a type's ("GtkButton", which is what the toolkit says of what has none) or say the
same twice over."""

import contextlib
import re
import sys

from journey import DEMOS, Atspi, GLib, Program, act, actions_of, end, find, has, keys, run, settled, text_of, wait, walk

# What the toolkit builds inside its own controls and offers no way to name.
TOOLKIT_PARTS = {
    "GtkBuiltinIcon": "the arrow of a drop-down or an expander, whose own name says all",
    "GtkStackPage": "the pages of the stack inside a drop-down, for “a choice” and “no choice”",
    "GtkTooltipWindow": "a tooltip where the pointer happens to rest; the label within has the text",
    "GtkListItemWidget": "the frame around the choice shown in a drop-down; the label within has the text",
}
# Actions that every label and every window of the toolkit carries; having them makes nothing a control.
COMMON_ACTIONS = ("clipboard.", "selection.", "link.", "menu.", "window.", "default.", "win.", "app.", "reading.", "readings.", "misc.", "text.", "description.")


TYPE_NAME = re.compile(r"(Gtk|Sl)[A-Z]")


def is_control(node):
    if has(node, Atspi.StateType.FOCUSABLE):
        return True
    return any(not name.startswith(COMMON_ACTIONS) for name in actions_of(node))


def said_twice(name):
    half = len(name) // 2
    return len(name) > 2 and len(name) % 2 == 1 and name[:half] == name[half + 1:] and name[half] == " "


def place(node):
    """Whose it is: the nearest name above it."""
    while node is not None:
        node = node.get_parent()
        if node is not None and node.get_name():
            return f"“{node.get_name()}”"
    return "nothing"


def faults(window):
    """One line for each object that is wrong."""
    lines = []
    for node, _ in walk(window.node, whole=True):
        with contextlib.suppress(GLib.Error):
            role, name = node.get_role_name(), node.get_name()
            if name in TOOLKIT_PARTS:
                continue
            if name == "GtkImage" and place(node) == "“GtkListItemWidget”":
                continue  # the tick beside the choice in a drop-down's list
            if name == "GtkLabel" and not text_of(node):
                continue  # a line that has nothing to say at present
            if TYPE_NAME.match(name):
                lines.append(f"{role} under the name of its type, “{name}”, in {place(node)}")
            elif said_twice(name.replace("_", "")):
                lines.append(f"{role} says it twice: “{name}”")
            elif not name.strip() and is_control(node):
                lines.append(f"{role} without a name in {place(node)}, {', '.join(actions_of(node)) or 'focusable'}")
    return lines


def look(tap, window, what):
    settled(lambda: len(window.dump()), what)
    lines = faults(window)
    tap.check(not lines, what, lines)


def lint_benches(tap):
    """each demonstration profile on the bench"""
    for path in sorted(DEMOS.glob("*.sidelong")):
        with Program(path) as program:
            window = wait(lambda: next((w for w in program.windows() if w.name), None), "the window")
            find(window.node, "table", "What the work does")
            look(tap, window, f"{path.stem}: every control has a name")
            if path == min(DEMOS.glob("*.sidelong")):
                for tab in [node for node, _ in walk(find(window.node, "page tab list", "Sheets")) if node.get_role_name() == "page tab"]:
                    act(tab)
                    look(tap, window, f"sheet {tab.get_name()}: every control has a name")
                window.take_keys()
                keys("ctrl+7")
                window.press("Listen")
                listening = program.window("Listening")
                look(tap, listening, "the window that listens: every control has a name")
                listening.take_keys()
                keys("Escape")
                wait(lambda: len(program.windows()) == 1, "the window that listens to go")
                window.take_keys()
                keys("ctrl+i")
                description = program.window("Instrument: ")
                look(tap, description, "the description: every control has a name")
                window.take_keys()
                keys("ctrl+comma")
                preferences = wait(lambda: next((w for w in program.windows() if w.name not in (window.name, description.name)), None), "the preferences")
                look(tap, preferences, "the preferences: every control has a name")
                preferences.take_keys()
                keys("Escape")
                description.take_keys()
                keys("Escape")
                wait(lambda: len(program.windows()) == 1, "the other windows to go")
            end(tap, program, path.stem)


def lint_start_page(tap):
    """the page a new instrument starts from"""
    with Program() as program:
        window = program.window("Sidelong")
        find(window.node, "push button", "Put it on the bench")
        look(tap, window, "the start page: every control has a name")
        end(tap, program, "start page")


if __name__ == "__main__":
    sys.exit(run(lint_start_page, lint_benches))
