# SPDX-License-Identifier: GPL-3.0-or-later
"""What the journeys share: the program in a window of its own, worked as a person would, with keyboard and mouse, and read over AT-SPI.

To be run on the display and the bus that tests/display.sh makes. Nothing waits for a fixed time: every step waits for what it brings about."""

import contextlib
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
import time
import traceback

sys.dont_write_bytecode = True
sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent))
from tap import Tap  # noqa: E402,F401  (the journeys take it from here)
from tree import ROOT, Bus, Gone, Node, Tree, children, walk  # noqa: E402

from gi.repository import Atspi, GLib  # noqa: E402  (tree says which version)

SOURCE = pathlib.Path(os.environ["SL_SOURCE_ROOT"])
BUILD = pathlib.Path(os.environ["SL_BUILD_ROOT"])
PROGRAM = BUILD / "src" / "desk" / "sidelong"
DEMOS = SOURCE / "data" / "demo"

SECONDS = float(os.environ.get("SL_JOURNEY_SECONDS", "60"))  # far more than any step takes; what hangs fails here
PAUSE = 0.1     # between looks where nothing is said of what is waited for, as of a file
QUIET = 0.2  # so long must nothing change for a thing to count as settled

PRESSED = 0.26  # a button that is told to be pressed stays down for a quarter of a second, and then does what it does

BUS = Bus()

BUTTON = "push button"
ENTRY = "text"
SLIDER = "slider"
ROW = "table row"
MOST = 2**31 - 1  # characters


class Lost(Exception):
    """What was waited for did not come."""


# What is asked of an object that isn't there (yet): of the one with the focus while none has it, of the first of none, of a file.
NOT_THERE = (GLib.Error, AttributeError, IndexError, StopIteration, FileNotFoundError)


def wait(condition, what, seconds=SECONDS, pause=PAUSE):
    """The first true value of condition, tried again whenever a program says something; objects that go while being looked at count as not there yet."""
    end = time.monotonic() + seconds
    while True:
        error = None
        try:
            value = condition()
        except NOT_THERE as fault:
            value, error = None, fault
        if value:
            return value
        if time.monotonic() > end:
            raise Lost(f"never came: {what}" + (f" ({error!r})" if error else ""))
        BUS.wait(pause)


def settled(read, what):
    """The value of read once it has stayed the same for a little while."""
    last, since = None, time.monotonic()

    def still():
        nonlocal last, since
        value = read()
        if value != last:
            last, since = value, time.monotonic()
        return (value,) if time.monotonic() - since >= QUIET else None

    return wait(still, what, pause=QUIET / 4)[0]


def has(node, state):
    return bool(node.item.states >> int(state) & 1)


def find_all(root, role, name=None, starts=None):
    """Objects of a role, by their whole name or how it starts."""
    found = []
    for node, _ in walk(root):
        try:
            if node.get_role_name() == role and (name is None or node.get_name() == name) and (starts is None or node.get_name().startswith(starts)):
                found.append(node)
        except GLib.Error:
            continue
    return found


def inner(nodes):
    """Of nodes, one of which may be the wrapping of another (a menu button and its button), the innermost."""
    return nodes[-1] if nodes else None


def find(root, role, name=None, starts=None):
    return wait(lambda: inner(find_all(root, role, name, starts)), f"{role} “{name or starts}”")


def text_of(node):
    """The text of an entry or a label."""
    return node.call("Text", "GetText", GLib.Variant("(ii)", (0, MOST)))[0]


def actions_of(node):
    if not node.offers("Action"):
        return []
    return [node.call("Action", "GetName", GLib.Variant("(i)", (i,)))[0] for i in range(node.get("Action", "NActions"))]


def act(node, name=None):
    """Does the action of that name, the first where none is given."""
    index = 0 if name is None else actions_of(node).index(name)
    is_button = node.get_role_name() == BUTTON
    node.call("Action", "DoAction", GLib.Variant("(i)", (index,)))
    BUS.done += 1
    if is_button:
        BUS.pass_time(PRESSED)


def value_of(slider):
    return slider.get("Value", "CurrentValue")


def set_value(slider, value):
    slider.set("Value", "CurrentValue", GLib.Variant("d", value))


def box_of(node):
    """x, y, width, height inside its window. Never ask for screen coordinates: the toolkit can't tell them and complains."""
    return node.call("Component", "GetExtents", GLib.Variant("(u)", (Atspi.CoordType.WINDOW,)))[0]


def xdotool(*arguments):
    said = subprocess.run(["xdotool", *map(str, arguments)], capture_output=True, text=True).stdout
    BUS.done += 1
    return said


def keys(*names):
    xdotool("key", "--clearmodifiers", *names)


def type_text(text):
    xdotool("type", "--clearmodifiers", "--delay", "4", "--", text)


class Focus:
    """Follows the focus by what the program says of it."""

    def __init__(self, program):
        self.program = program

    def after(self, *names, seconds=SECONDS):
        """The object that has the focus after the keys are pressed; None where it goes nowhere in that time."""
        BUS.listen()
        BUS.focused = None
        keys(*names)
        with contextlib.suppress(Lost):
            wait(lambda: BUS.focused, "the focus", seconds)
        BUS.listen()
        return None if BUS.focused is None else Node(self.program.node.tree, BUS.focused)


class Window:
    """A window of the program: its tree, and the X window that keys and clicks go to."""

    def __init__(self, program, node):
        self.program, self.node = program, node

    @property
    def name(self):
        return self.node.get_name()

    def x_window(self):
        """Titles are unique in a journey; the newest of several X windows that have one is meant."""
        known = self.program.x_windows
        if self.node not in known:
            for number in reversed(xdotool("search", "--onlyvisible", "--pid", self.program.process.pid, "--name", "").split()):
                if xdotool("getwindowname", number).rstrip("\n") == self.name:
                    known[self.node] = number
                    break
        return known.get(self.node)

    def is_there(self):
        try:
            return self in self.program.windows()
        except GLib.Error:
            return False

    def __eq__(self, other):
        return isinstance(other, Window) and self.node == other.node

    def take_keys(self):
        """Without a window manager nobody else hands the keyboard to a window."""

        def has_keys():
            if not self.is_there():
                raise Lost("the window that was to have the keyboard is gone")
            number = self.x_window()
            return number and xdotool("windowraise", number, "windowfocus", "--sync", number, "getwindowfocus").strip() == number

        wait(has_keys, "the window to have the keyboard")

    def origin(self):
        geometry = dict(line.split("=") for line in xdotool("getwindowgeometry", "--shell", self.x_window()).split() if "=" in line)
        return int(geometry["X"]), int(geometry["Y"])

    def focused(self):
        for node, _ in walk(self.node):
            with contextlib.suppress(GLib.Error):
                if has(node, Atspi.StateType.FOCUSED):
                    return node
        return None

    def place(self, node):
        """The middle of an object on the screen, once it stays where it is."""
        x, y, width, height = settled(lambda: box_of(node), f"“{node.get_name()}” to keep its place")
        left, top = self.origin()
        return left + x + width // 2, top + y + height // 2

    def scroll_to(self, node):
        """Moves the scroll bars around an object so that it can be seen, as a person would; those within first."""
        pane = node.get_parent()
        while pane is not None and pane.get_role() != Atspi.Role.FRAME:
            if pane.get_role() == Atspi.Role.SCROLL_PANE:
                _, y, _, height = box_of(node)
                _, top, _, room = box_of(pane)
                bars = [bar for bar in children(pane) if bar.get_role() == Atspi.Role.SCROLL_BAR]
                if not (top <= y and y + height <= top + room):
                    for bar in bars:
                        for part in children(bar):
                            _, _, wide, high = box_of(part)
                            if high > wide and part.offers("Value"):
                                set_value(part, value_of(part) + y - top - room // 3)
            pane = pane.get_parent()

    def click(self, node):
        self.take_keys()
        self.scroll_to(node)
        x, y = self.place(node)
        xdotool("mousemove", x, y, "click", 1)

    def focus(self, node):
        """Clicks on an object; the toolkit can't be asked to give it the focus."""
        self.click(node)
        wait(lambda: has(node, Atspi.StateType.FOCUSED), f"focus on “{node.get_name()}”")

    def type_into(self, node, text, key="Return"):
        """Types text in place of what an entry holds, then a key that takes it in (None: leaves it at that)."""
        self.focus(node)
        keys("ctrl+a")
        if text:
            type_text(text)
        else:
            keys("BackSpace")
        wait(lambda: text_of(node) == text, f"“{text}” in “{node.get_name()}”")
        if key is not None:
            keys(key)

    def find(self, role, name=None, starts=None):
        return find(self.node, role, name, starts)

    def entry(self, name):
        return self.find(ENTRY, name)

    def slider(self, name):
        return self.find(SLIDER, name)

    def press(self, name=None, starts=None):
        """Presses a button. Where it has just been replaced by another of that name, it was not pressed, and the other one is."""

        def is_pressed():
            try:
                act(self.find(BUTTON, name, starts))
            except Gone:
                return False
            except GLib.Error as error:
                if "Object does not exist at path" not in error.message:
                    raise Lost(f"“{name or starts}” can't be pressed: {error.message}") from error
                return False
            return True

        wait(is_pressed, f"“{name or starts}” to press")

    def show_page(self, title):
        """Turns to a page by its row in the list of pages."""
        rows = wait(lambda: find_all(self.node, "list item"), "the list of pages")
        self.click(next(row for row in rows if any(node.get_name() == title for node in children(row))))

    def rows(self):
        """The table of what the work does, as its rows are spoken."""
        return [node.get_name() for node in children(self.find("table", "What the work does"))]

    def row(self, starts):
        return wait(lambda: next((row for row in self.rows() if row.startswith(starts)), None), f"row “{starts}”")

    def says(self, part):
        """The text of some label or message that has part in it."""
        for node, _ in walk(self.node):
            with contextlib.suppress(GLib.Error):
                if part in node.get_name():
                    return node.get_name()
        return None

    def wait_says(self, part):
        return wait(lambda: self.says(part), f"“{part}”")

    def undo_name(self):
        return self.find(BUTTON, starts="Undo").get_name()

    def undoes(self, part):
        """Whether what can be undone comes to be called by part."""
        with contextlib.suppress(Lost):
            return wait(lambda: part in self.undo_name().lower(), f"undo of “{part}”")
        return False

    def undo(self):
        self.press(starts="Undo")

    def redo(self):
        self.press(starts="Redo")

    def dump(self):
        """The tree, one line an object."""
        lines = []
        for node, depth in walk(self.node):
            with contextlib.suppress(GLib.Error):
                lines.append(f"{'  ' * depth}{node.get_role_name()} “{node.get_name()}”")
        return lines


class Program:
    """The desktop program, running. Ends with it, by force where it does not end by itself."""

    def __init__(self, *files, locale="C.UTF-8"):
        self.folder = tempfile.TemporaryDirectory()
        self.log = open(pathlib.Path(self.folder.name, "log"), "w+", encoding="utf-8")
        self.environment = dict(os.environ, LC_ALL=locale, LANGUAGE="en")
        self.process = self.start(*files)
        self.x_windows = {}
        try:
            self.node = wait(self.find_node, "the program on the accessibility bus")
        except BaseException:
            self.__exit__(None, None, None)  # else the next journey's program would hand its files to this one
            raise

    def start(self, *files):
        return subprocess.Popen([PROGRAM, *files], env=self.environment, stdin=subprocess.DEVNULL, stdout=self.log, stderr=self.log)

    def hand_over(self, *files):
        """Opens files as a file manager does: a second call hands them to the program that runs."""
        second = self.start(*files)
        if second.wait(SECONDS) != 0:
            raise Lost("handing a file over failed")

    def find_node(self):
        if self.process.poll() is not None:
            raise Lost(f"the program ended with {self.process.returncode}: {self.said()}")
        owner = BUS.owner_of(self.process.pid)
        if owner is None:
            return None
        node = Node(Tree(BUS, owner), ROOT)
        return node if children(node) else None

    def windows(self):
        return [Window(self, node) for node in children(self.node)]

    def window(self, part=""):
        """The window whose title contains part."""
        return wait(lambda: next((w for w in self.windows() if part in w.name), None), f"window “{part}”")

    def no_window(self, part):
        wait(lambda: not any(part in w.name for w in self.windows()), f"window “{part}” to go")

    def said(self):
        self.log.flush()
        self.log.seek(0)
        return self.log.read().splitlines()

    def close(self, window, answer=None):
        """Closes a window, answering the question if one is expected. By keyboard: an action that takes its own object away is never answered."""
        window.take_keys()
        keys("ctrl+w")
        if answer is not None:
            question = wait(lambda: next((w for w in self.windows() if w.node.get_role_name() == "dialog"), None), "the question")
            act(find(question.node, BUTTON, answer))

    def gone(self, window):
        """Waits until a window and the question about it are no more."""

        def is_gone():
            if self.process.poll() is not None:
                return True
            windows = self.windows()
            return all(w.node != window.node and w.node.get_role_name() != "dialog" for w in windows)

        wait(is_gone, "the window to go")

    def quit(self):
        """Closes the windows, dropping what is not saved. The exit status; None where the program had to be ended by force."""
        with contextlib.suppress(Lost, GLib.Error):
            for window in self.windows():
                # With one window may go what belongs to it.
                if window.is_there():
                    self.close(window, "Close without saving" if window.name.startswith("•") else None)
                    self.gone(window)
        try:
            return self.process.wait(SECONDS)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
            return None

    def __enter__(self):
        return self

    def __exit__(self, kind, value, trace):
        if self.process.poll() is None:
            self.process.kill()
            self.process.wait()
        self.log.close()
        self.folder.cleanup()


def complaints(lines):
    """Of what the program said, what is amiss: any warning of the toolkit or of ours, any report of a sanitizer."""
    return [line for line in lines if "WARNING" in line or "CRITICAL" in line or "ERROR" in line or "runtime error" in line or "SUMMARY" in line]


@contextlib.contextmanager
def scratch(*names):
    """A folder with copies of the demonstration profiles named."""
    with tempfile.TemporaryDirectory() as folder:
        place = pathlib.Path(folder)
        for name in names:
            shutil.copy(DEMOS / name, place / name)
        yield place


def end(tap, program, what):
    """The usual end of a journey: the program closes by itself and had nothing to complain of."""
    status = program.quit()
    lines = program.said()
    tap.check(status == 0, f"{what}: the program ends by itself", [f"exit status {status}", *lines[-40:]])
    tap.check(not complaints(lines), f"{what}: no warning on the way", lines[-40:])


def run(*journeys):
    """Runs each journey, a function of a Tap; one that gets lost is a failed check, and the next is run."""
    tap = Tap()
    for journey in journeys:
        try:
            journey(tap)
        except (Lost, GLib.Error, subprocess.TimeoutExpired) as error:
            tap.check(False, f"{journey.__name__}: {journey.__doc__}", [str(error), *traceback.format_exc().splitlines()])
    return tap.done()
