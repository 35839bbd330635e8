#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Work that is not saved, and a program that ends: by each signal, with its display, with its bus. It is offered at the next start, compared, kept, discarded.

With the names of journeys only these; without, the ordinary ones, and all with tests/all.sh --full."""

import contextlib
import os
import signal
import subprocess
import sys
import threading
import time

from deaths import (ALLOWED, FULL, PROFILE, READING, TITLE, Stalls, Typist, is_whole, journal_values, journals, lost_ms, shown, start, value_in,
                    wait_dead)
from journey import Program, act, end, find, keys, run, scratch, wait
from tree import Gio, GLib

signal.signal(signal.SIGQUIT, signal.SIG_DFL)  # ignored, and so by the programs it starts, where a shell runs the tests in the background


@contextlib.contextmanager
def environment(**values):
    """For a program that is started meanwhile, and for what is typed into it."""
    before = {name: os.environ.get(name) for name in values}
    os.environ.update(values)
    try:
        yield
    finally:
        for name, value in before.items():
            os.environ.pop(name)
            if value is not None:
                os.environ[name] = value


@contextlib.contextmanager
def own_display():
    read, write = os.pipe()
    server = subprocess.Popen(["Xvfb", "-displayfd", str(write), "-screen", "0", "1600x1000x24", "-nolisten", "tcp", "-noreset"], pass_fds=[write],
                              stderr=subprocess.DEVNULL)
    os.close(write)
    with os.fdopen(read) as pipe, environment(DISPLAY=":" + pipe.readline().strip()):
        yield server
    server.kill()
    server.wait()


@contextlib.contextmanager
def own_bus():
    bus = subprocess.Popen(["dbus-daemon", "--session", "--nofork", "--print-address"], stdout=subprocess.PIPE, text=True, stderr=subprocess.DEVNULL)
    session = Gio.bus_get_sync(Gio.BusType.SESSION)
    a11y = session.call_sync("org.a11y.Bus", "/org/a11y/bus", "org.a11y.Bus", "GetAddress", None, None, Gio.DBusCallFlags.NONE, -1).unpack()[0]
    with environment(DBUS_SESSION_BUS_ADDRESS=bus.stdout.readline().strip(), AT_SPI_BUS_ADDRESS=a11y):
        yield bus
    bus.kill()
    bus.wait()


DEATHS = {
    "KILL": (contextlib.nullcontext, lambda program, own: program.process.send_signal(signal.SIGKILL)),
    "QUIT": (contextlib.nullcontext, lambda program, own: program.process.send_signal(signal.SIGQUIT)),
    "TERM": (contextlib.nullcontext, lambda program, own: program.process.send_signal(signal.SIGTERM)),
    "HUP": (contextlib.nullcontext, lambda program, own: program.process.send_signal(signal.SIGHUP)),
    "INT": (contextlib.nullcontext, lambda program, own: program.process.send_signal(signal.SIGINT)),
    "display gone": (own_display, lambda program, own: own.kill()),
    "bus gone": (own_bus, lambda program, own: own.kill()),
}
ORDINARY = ("KILL", "TERM")  # of them, without --full
TOLD = ("TERM", "HUP", "INT", "bus gone")  # the program has its say


def each_death(tap):
    """each way to end leaves a journal of what was entered up to two seconds before, and the file as it was"""
    for name in DEATHS if FULL else ORDINARY:
        own, kill = DEATHS[name]
        with scratch(PROFILE) as folder:
            path = folder / PROFILE
            before = path.read_bytes()
            stalls = Stalls(folder)
            with own() as owned, contextlib.closing(Ending(path)) as ending:
                typist = Typist(ending.window)
                typist.type()
                wait(journals, "the journal")
                typist.type_for(2.5)
                moment = time.monotonic()
                kill(ending.program, owned)
                wait_dead(ending.program)
            kept = journal_values()
            lost = lost_ms(typist, moment, *kept)
            print(f"# {name}: {len(typist.entered)} changes, the last {1000 * (moment - typist.entered[-1][0]):.0f} ms before; lost {lost} ms")
            tap.check(len(kept) == 1, f"{name}: a journal is left", [str(kept)])
            tap.check(lost == 0 if name in TOLD else lost <= 1000 * (ALLOWED + stalls.since(moment - 2 * ALLOWED)),
                      f"{name}: {'nothing' if name in TOLD else 'at most two seconds'} lost", [str(lost)])
            tap.check(path.read_bytes() == before, f"{name}: the file is as it was")
            for journal in journals():
                journal.unlink()


class Ending:
    """A program that is going to die."""

    def __init__(self, path):
        self.program, self.window = start(path)

    def close(self):
        self.program.__exit__(None, None, None)


def leave_work(path, value, *, new=False):
    """A reading typed and entered, and the program killed once the journal has it."""
    program, window = start(path)
    window.type_into(window.entry(READING), value)
    wait(lambda: value in journal_values(), "the journal")
    program.__exit__(None, None, None)


def offered(tap):
    """what was left is offered above the start page in words, compared as a picture, and kept as changes that are not saved"""
    with scratch(PROFILE) as folder:
        path = folder / PROFILE
        before = path.read_bytes()
        leave_work(path, "0.33")
        with Program() as program:
            window = program.window("Sidelong")
            said = window.wait_says("0.33 mm, in the file")
            tap.check(READING in said, "it is said what differs", [said])
            window.press("Compare…")
            compared = program.window("left unsaved")
            tap.check(find(compared.node, "image", "Side view: what was left unsaved, over the file"), "the comparison has the drawing")
            tap.check(compared.wait_says("0.33 mm, in the file"), "and the difference in words")
            program.close(compared)
            program.gone(compared)
            window.press("Keep")
            kept = program.window(TITLE)
            tap.check(wait(lambda: shown(kept) == "0.33", "the reading"), "what is kept is on the bench")
            tap.check(kept.name.startswith("•"), "as changes that are not saved", [kept.name])
            tap.check(path.read_bytes() == before, "and the file is untouched")
            kept.undo()
            tap.check(wait(lambda: shown(kept) != "0.33", "the file's reading"), "undo shows what the file has")
            kept.redo()
            wait(lambda: shown(kept) == "0.33", "the reading again")
            kept.press("Save")
            wait(lambda: not kept.name.startswith("•"), "the save")
            tap.check(wait(lambda: not journals(), "the journal to go"), "a save removes the journal")
            tap.check(value_in(path.read_text(encoding="utf-8")) == "0.33" and is_whole(path), "and the file has it")
            end(tap, program, "offered")


def over_a_file(tap):
    """over a file that is opened it is offered in the bar; discarded, it can be had back; a running program's is nobody's"""
    with scratch(PROFILE) as folder:
        path = folder / PROFILE
        leave_work(path, "0.34")
        with Program(path) as program:
            window = program.window(TITLE)
            said = window.wait_says("left unsaved")
            tap.check("0.34 mm, in the file" in said, "the bar says what differs", [said])
            window.press("Discard")
            window.press("Keep it after all")
            tap.check(wait(lambda: shown(window) == "0.34", "the reading"), "what was discarded comes back")
            program.close(window, "Close without saving")
            program.gone(window)
            tap.check(wait(lambda: not journals(), "the journal to go"), "closing without saving removes the journal")
        leave_work(path, "0.35")
        text = path.read_text(encoding="utf-8").replace(TITLE, "Their parlour")
        (folder / "new").write_text(text, encoding="utf-8")
        (folder / "new").rename(path)
        with Program() as program:
            window = program.window("Sidelong")
            tap.check(window.wait_says("Somebody has saved the file since"), "a save by others in between is told")
            window.press("Keep")
            kept = program.window(TITLE)
            tap.check(kept.wait_says("Somebody else has just saved this file"), "and again where the work is kept")
            kept.press("Save")
            kept.wait_says("Nothing has been written; both versions are still whole")
            tap.check(path.read_text(encoding="utf-8") == text, "nothing is written over it")
            program.close(kept, "Close without saving")
            program.gone(kept)
        tap.check(not journals(), "nothing is left", [str(journals())])


def typed(tap):
    """what was typed and never entered is told, with the entry it stood in"""
    with scratch(PROFILE) as folder:
        path = folder / PROFILE
        program, window = start(path)
        window.type_into(window.entry(READING), "2,7x", key=None)
        wait(lambda: any("2,7x" in journal.read_text(encoding="utf-8") for journal in journals()), "the journal")
        program.__exit__(None, None, None)
        with Program() as program:
            window = program.window("Sidelong")
            said = window.wait_says("Typed and not entered")
            tap.check(READING in said and "2,7x" in said, "it is told at the next start", [said])
            window.press("Keep")
            said = program.window(TITLE).wait_says("Typed and not entered")
            tap.check(READING in said and "2,7x" in said, "and the window in which the work is kept", [said])
            end(tap, program, "typed")
        tap.check(wait(lambda: not journals(), "the journal to go"), "nothing of it is left then")


def never_saved(tap):
    """an instrument that was never saved is kept whole"""
    with Program() as program:
        window = program.window("Sidelong")
        window.type_into(window.entry("Name"), "Harbour one", key=None)
        window.press("Put it on the bench")
        made = program.window("Harbour one")
        wait(journals, "the journal")
        program.process.kill()
        wait_dead(program)
    with Program() as program:
        window = program.window("Sidelong")
        tap.check("Never saved" in window.wait_says("Never saved"), "it is offered as one that has no file")
        window.press("Keep")
        made = program.window("Harbour one")
        tap.check(made.name.startswith("•"), "and kept as one that is not saved", [made.name])
        end(tap, program, "never saved")
    tap.check(wait(lambda: not journals(), "the journal to go"), "closed without saving, nothing is left")


def refused(tap):
    """a state folder that takes nothing is told once, and work goes on"""
    with scratch(PROFILE) as folder:
        small = folder / "state"
        small.mkdir()
        mounted = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=4k", "none", small], capture_output=True).returncode == 0
        if not mounted:
            (small / "sidelong").write_text("in the way", encoding="utf-8")
        try:
            with environment(XDG_STATE_HOME=str(small)), Program(folder / PROFILE) as program:
                window = program.window(TITLE)
                window.type_into(window.entry(READING), "0.36")
                said = window.wait_says("can't be kept for after a crash")
                print(f"# {'a full disk' if mounted else 'a file in the way'}: {said}")
                window.press("Close message")
                window.type_into(window.entry(READING), "0.37")
                window.press("Save")
                wait(lambda: not window.name.startswith("•"), "the save")
                tap.check(value_in((folder / PROFILE).read_text(encoding="utf-8")) == "0.37", "work goes on and is saved")
                tap.check(window.says("can't be kept for after a crash") is None, "it is told once")
                end(tap, program, "refused")
        finally:
            if mounted:
                subprocess.run(["umount", "-l", small], check=True)


class Session:
    """A session manager, as far as a program speaks with one: it notes who asks for the log-out to wait, and says when it comes."""

    XML = """<node><interface name="org.gnome.SessionManager">
      <method name="RegisterClient"><arg type="s"/><arg type="s"/><arg type="o" direction="out"/></method>
      <method name="UnregisterClient"><arg type="o"/></method>
      <method name="Inhibit"><arg type="s"/><arg type="u"/><arg type="s"/><arg type="u"/><arg type="u" direction="out"/></method>
      <method name="Uninhibit"><arg type="u"/></method>
      <property name="SessionIsActive" type="b" access="read"/>
    </interface><interface name="org.gnome.SessionManager.ClientPrivate">
      <method name="EndSessionResponse"><arg type="b"/><arg type="s"/></method>
      <signal name="QueryEndSession"><arg type="u"/></signal>
    </interface></node>"""
    CLIENT = "/org/gnome/SessionManager/Client1"

    def __init__(self):
        self.registered, self.answers, self.reasons = None, [], {}
        self.context = GLib.MainContext.new()
        self.loop = GLib.MainLoop.new(self.context, False)
        ready = threading.Event()
        threading.Thread(target=self.run, args=(ready,), daemon=True).start()  # the program waits for answers while it is looked at
        ready.wait()

    def run(self, ready):
        self.context.push_thread_default()
        flags = Gio.DBusConnectionFlags.AUTHENTICATION_CLIENT | Gio.DBusConnectionFlags.MESSAGE_BUS_CONNECTION
        self.bus = Gio.DBusConnection.new_for_address_sync(os.environ["DBUS_SESSION_BUS_ADDRESS"], flags, None, None)
        manager, client = Gio.DBusNodeInfo.new_for_xml(self.XML).interfaces
        for path, interface in (("/org/gnome/SessionManager", manager), (self.CLIENT, client)):
            self.bus.register_object(path, interface, self.on_call, lambda *_: GLib.Variant("b", True), None)
        self.bus.call_sync("org.freedesktop.DBus", "/org/freedesktop/DBus", "org.freedesktop.DBus", "RequestName",
                           GLib.Variant("(su)", ("org.gnome.SessionManager", 0)), None, Gio.DBusCallFlags.NONE, -1)
        ready.set()
        self.loop.run()
        self.bus.close_sync()

    def on_call(self, bus, sender, path, interface, method, arguments, invocation):
        answer = None
        if method == "RegisterClient":
            self.registered, answer = sender, GLib.Variant("(o)", (self.CLIENT,))
        elif method == "Inhibit":
            cookie = len(self.reasons) + 1
            self.reasons[cookie], answer = arguments.unpack()[2], GLib.Variant("(u)", (cookie,))
        elif method == "Uninhibit":
            del self.reasons[arguments.unpack()[0]]
        elif method == "EndSessionResponse":
            self.answers.append(arguments.unpack()[0])
        invocation.return_value(answer)

    def ask(self):
        self.bus.emit_signal(self.registered, self.CLIENT, "org.gnome.SessionManager.ClientPrivate", "QueryEndSession", GLib.Variant("(u)", (0,)))

    def close(self):
        self.loop.quit()


def log_out(tap):
    """a log-out is asked to wait, with its reason, while something is not saved; and what is due is written when it is announced"""
    with scratch(PROFILE) as folder, contextlib.closing(Session()) as session, Program(folder / PROFILE) as program:
        window = program.window(TITLE)
        wait(lambda: session.registered, "the program to register")
        tap.check(not session.reasons, "nothing holds the log-out up while all is saved", [str(session.reasons)])
        typist = Typist(window)
        typist.type()
        wait(lambda: session.reasons, "the log-out to be held up")
        tap.check("not saved" in str(session.reasons), "an unsaved change holds it up and says why", [str(session.reasons)])
        wait(journals, "the journal")
        typist.type()
        session.ask()
        wait(lambda: session.answers, "the program's answer")
        tap.check(typist.text(typist.number) in journal_values(), "when it is announced the journal is written before the answer", [str(journal_values())])
        window.press("Save")
        wait(lambda: not session.reasons, "the log-out to be free")
        tap.check(True, "saved, it is held up no more")
        end(tap, program, "log-out")


def version_before(tap):
    """with the preference, a save leaves the version before beside the file"""
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        path, before = folder / PROFILE, (folder / PROFILE).read_bytes()
        window = program.window(TITLE)
        window.type_into(window.entry(READING), "0.41")
        window.press("Save")
        wait(lambda: not window.name.startswith("•"), "the save")
        tap.check(len(list(folder.iterdir())) == 1, "a save leaves nothing beside the file", [str(list(folder.iterdir()))])
        window.take_keys()
        keys("ctrl+comma")
        preferences = program.window("Preferences")
        act(find(preferences.node, "check box", "Keep the version before"))
        preferences.take_keys()
        keys("Escape")
        program.no_window("Preferences")
        before = path.read_bytes()
        window.type_into(window.entry(READING), "0.42")
        window.press("Save")
        wait(lambda: not window.name.startswith("•"), "the save")
        kept = folder / (PROFILE + ".before")
        tap.check(kept.is_file() and kept.read_bytes() == before, "with the preference it leaves the version before")
        end(tap, program, "version before")


if __name__ == "__main__":
    more = (over_a_file, never_saved, refused, log_out, version_before) if FULL else ()
    sys.exit(run(*[globals()[name] for name in sys.argv[1:]] or (each_death, offered, typed, *more)))
