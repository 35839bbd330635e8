# SPDX-License-Identifier: GPL-3.0-or-later
"""What a program shows to assistive technology, read in one call and looked at again when the program says that something changed.

The toolkit answers org.a11y.atspi.Cache.GetItems with every object it has made known, each with its place, role, name, description and states: one call where
asking object by object takes thousands. Objects are made known as somebody asks for them, so what is new is asked for once."""

import collections
import contextlib
import functools
import re
import time

import gi

gi.require_version("Atspi", "2.0")
from gi.repository import Atspi, Gio, GLib  # noqa: E402

AGE = 0.3      # seconds that a look is good for while the program says nothing
GLANCE = 0.01  # and that nobody asks whether it has said something
SILENCE = 0.04  # so long a program that was told something says nothing before it is looked at,
LONGEST = 0.5  # but is looked at after this time in any case
ROOT = "/org/a11y/atspi/accessible/root"
CALL_MS = 60000

Item = collections.namedtuple("Item", "path parent index count interfaces name role description states")


class Gone(GLib.Error):
    """The object is no longer there."""


class Bus:
    """The accessibility bus of this session; counts what the programs on it say of themselves, and what is done to them."""

    def __init__(self):
        session = Gio.bus_get_sync(Gio.BusType.SESSION)
        address = session.call_sync("org.a11y.Bus", "/org/a11y/bus", "org.a11y.Bus", "GetAddress", None, None, Gio.DBusCallFlags.NONE, CALL_MS).unpack()[0]
        flags = Gio.DBusConnectionFlags.AUTHENTICATION_CLIENT | Gio.DBusConnectionFlags.MESSAGE_BUS_CONNECTION
        self.connection = Gio.DBusConnection.new_for_address_sync(address, flags, None, None)
        self.context = GLib.MainContext.default()
        self.said = self.done = 0
        self.focused = None
        self.changed = set()  # of the objects, those that said that what is below them is no longer the same
        # Objects, focus and the like say what happens to them; so does the list of objects itself.
        self.connection.signal_subscribe(None, None, None, None, None, Gio.DBusSignalFlags.NONE, self.on_signal)

    def on_signal(self, connection, sender, path, interface, name, arguments):
        self.said += 1
        if name == "ChildrenChanged":
            self.changed.add(path)
        if name == "StateChanged" and arguments.get_child_value(0).get_string() == "focused" and arguments.get_child_value(1).get_int32() == 1:
            self.focused = path

    def call(self, owner, path, interface, method, arguments=None):
        return self.connection.call_sync(owner, path, interface, method, arguments, None, Gio.DBusCallFlags.NONE, CALL_MS)

    def call_all(self, owner, paths, interface, method):
        """The same call to many objects, all sent before the first answer; None where one fails."""
        answers = {}

        def on_answer(connection, result, path):
            try:
                answers[path] = connection.call_finish(result)
            except GLib.Error:
                answers[path] = None

        for path in paths:
            self.connection.call(owner, path, interface, method, None, None, Gio.DBusCallFlags.NONE, CALL_MS, None, on_answer, path)
        while len(answers) < len(paths):
            self.context.iteration(True)
        return answers

    def listen(self):
        """Takes in what was said meanwhile."""
        while self.context.iteration(False):
            pass

    def wait(self, seconds):
        """Returns as soon as a program says something, at the latest after so many seconds."""
        before, late = self.said, []
        timer = GLib.timeout_add(int(seconds * 1000), lambda: late.append(True))
        while self.said == before and not late:
            self.context.iteration(True)
        if not late:
            GLib.source_remove(timer)

    def pass_time(self, seconds):
        """Lets so many seconds pass, taking in what is said."""
        end = time.monotonic() + seconds
        while (left := end - time.monotonic()) > 0:
            self.wait(left)

    def settle(self):
        """Lets a program say what follows from what was done to it, until it is silent for a moment: one look then takes in all of it."""
        end = time.monotonic() + LONGEST
        said = None
        while said != self.said and time.monotonic() < end:
            said = self.said
            self.wait(SILENCE)
            self.listen()

    def owner_of(self, pid):
        """The name on the bus of the program with a process number; None where it isn't there yet."""
        for owner, _ in self.call("org.a11y.atspi.Registry", ROOT, "org.a11y.atspi.Accessible", "GetChildren").unpack()[0]:
            try:
                if self.call("org.freedesktop.DBus", "/", "org.freedesktop.DBus", "GetConnectionUnixProcessID", GLib.Variant("(s)", (owner,))).unpack()[0] == pid:
                    return owner
            except GLib.Error:
                continue
        return None


# An object as GVariant prints it: itself, its program, its parent, place, number of children, interfaces, name, role, description, states.
STRING = r"""('(?:[^'\\]|\\.)*'|"(?:[^"\\]|\\.)*")"""
ITEM = re.compile(r"\(\('[^']*', '([^']*)'\), \('[^']*', '[^']*'\), \('[^']*', '([^']*)'\), (-?\d+), (-?\d+), \[([^]]*)\], "
                  + STRING + r", (\d+), " + STRING + r", \[(\d+), (\d+)\]\)")


def unquoted(text):
    return eval(text) if "\\" in text else text[1:-1]  # GVariant's escapes are Python's


class Tree:
    """The objects of one program."""

    def __init__(self, bus, owner):
        self.bus, self.owner = bus, owner
        self.items, self.below = {}, {ROOT: []}
        self.printed, self.done, self.said, self.when, self.checked = None, -1, -1, 0, 0

    def call(self, path, interface, method, arguments=None):
        return self.bus.call(self.owner, path, interface, method, arguments)

    def now(self):
        """Looks at the program where something was done to it, where it has said something since the last look, or where that was a while ago."""
        now = time.monotonic()
        if self.done == self.bus.done and now - self.checked < GLANCE:
            return self
        self.bus.listen()
        # Of everything the toolkit says when it changes, but not of new windows.
        if (self.done != self.bus.done or self.said != self.bus.said or now - self.when > AGE
                or self.below_each([ROOT])[ROOT] != self.below[ROOT]):
            if self.done != self.bus.done:
                self.bus.settle()
            self.done = self.bus.done
            self.look()
            # What was said before the answer came is in it.
            self.bus.listen()
            self.said, self.when = self.bus.said, time.monotonic()
        self.checked = time.monotonic()
        return self

    def look(self):
        """Reads all objects; what is below those that have changed is asked for, which makes it known, and then all is read again."""
        self.read()
        # Windows are asked for each time: the toolkit doesn't say how many there are.
        new, asked = {ROOT, *self.lacking()}, set()
        while new:
            known = len(asked)
            while new:
                asked |= new
                below = self.below_each(new)
                self.below.update(below)
                new = {child for children in below.values() for child in children if child not in self.items} - asked
            if len(asked) > known + 1:
                self.read()
                new = self.lacking() - asked

    def lacking(self):
        """The objects of which it isn't known what is below them: they say that it changed, or count otherwise. What wasn't known says nothing when it is shown."""
        changed = self.bus.changed & self.items.keys()
        self.bus.changed -= changed
        return changed | {path for path, item in self.items.items() if item.count != len(self.below.get(path, ()))}

    def below_each(self, paths):
        """What is below each object as the program tells it, which makes it known."""
        answers = self.bus.call_all(self.owner, paths, "org.a11y.atspi.Accessible", "GetChildren")
        return {path: [child for _, child in answer.unpack()[0]] if answer else [] for path, answer in answers.items()}

    def read(self):
        printed = self.call("/org/a11y/atspi/cache", "org.a11y.atspi.Cache", "GetItems").print_(False)
        if printed == self.printed:
            return
        self.printed = printed
        self.items = {}
        for path, parent, index, count, interfaces, name, role, description, low, high in ITEM.findall(printed):
            self.items[path] = Item(path, parent, int(index), int(count), interfaces, unquoted(name), int(role), unquoted(description), int(low) | int(high) << 32)

    def below_of(self, item):
        """What is below an object and shown."""
        return [self.items[path] for path in self.below.get(item.path, ()) if path in self.items]


class Node:
    """An object of a program, known by where it lives on the bus. What it says of itself is what it says now."""

    def __init__(self, tree, path):
        self.tree, self.path = tree, path

    def __eq__(self, other):
        return isinstance(other, Node) and self.path == other.path

    def __hash__(self):
        return hash(self.path)

    @property
    def item(self):
        item = self.tree.now().items.get(self.path)
        if item is None:
            raise Gone(f"{self.path} is gone")
        return item

    def get_name(self):
        return self.item.name

    def get_description(self):
        return self.item.description

    def get_role(self):
        return self.item.role

    def get_role_name(self):
        return role_name(self.item.role)

    def get_parent(self):
        parent = self.item.parent
        return Node(self.tree, parent) if parent in self.tree.items else None

    def offers(self, interface):
        return f"org.a11y.atspi.{interface}'" in self.item.interfaces

    def call(self, interface, method, arguments=None):
        return self.tree.call(self.path, "org.a11y.atspi." + interface, method, arguments).unpack()

    def get(self, interface, name):
        arguments = GLib.Variant("(ss)", ("org.a11y.atspi." + interface, name))
        return self.tree.call(self.path, "org.freedesktop.DBus.Properties", "Get", arguments).unpack()[0]

    def set(self, interface, name, value):
        arguments = GLib.Variant("(ssv)", ("org.a11y.atspi." + interface, name, value))
        self.tree.call(self.path, "org.freedesktop.DBus.Properties", "Set", arguments)
        self.tree.bus.done += 1


@functools.cache
def role_name(role):
    return Atspi.role_get_name(Atspi.Role(role))


# Their insides are of no interest.
LEAVES = {Atspi.Role.LABEL, Atspi.Role.TEXT, Atspi.Role.SCROLL_BAR, Atspi.Role.SLIDER, Atspi.Role.IMAGE, Atspi.Role.TABLE_CELL, Atspi.Role.COLUMN_HEADER}


def children(node):
    item = node.item
    return [Node(node.tree, below.path) for below in node.tree.below_of(item)]


def walk(node, whole=False):
    """Every object below node as it is at one look, with its depth, itself first. Where whole, also the insides of labels and the like."""
    tree = node.tree
    found, todo = [], [(node.item, 0)]
    while todo:
        item, depth = todo.pop()
        found.append((Node(tree, item.path), depth))
        if whole or depth == 0 or item.role not in LEAVES:
            todo += [(below, depth + 1) for below in reversed(tree.below_of(item))]
    return found
