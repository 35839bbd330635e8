#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Two programs with homes of their own, the second on a machine of another name, work on one folder: each sees that the other has a profile open, and
what it saves; no save is lost. On a folder of the disk, and on one that both reach as a share, of which no monitor tells what the other did."""

import contextlib
import os
import pathlib
import shutil
import signal
import subprocess
import sys
import tempfile
import time

sys.dont_write_bytecode = True
import journey as j
from gi.repository import Gio, GLib

PROFILE = "chandlery-parlour.sidelong"
TITLE = "Chandlery parlour"
READING = "Relief at fret 6, string 6"
MACHINE = "bench-two"
NOTE = f".{PROFILE}.open"
HOMES = ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_CACHE_HOME", "XDG_STATE_HOME")


def elsewhere(*command):
    """The command as on a machine of another name."""
    return ["unshare", "--uts", *([] if os.geteuid() == 0 else ["--user", "--map-root-user"]), "sh", "-c", f'hostname {MACHINE} && exec "$@"', "sh", *command]


def accessibility_bus():
    bus = Gio.bus_get_sync(Gio.BusType.SESSION)
    return bus.call_sync("org.a11y.Bus", "/org/a11y/bus", "org.a11y.Bus", "GetAddress", None, None, Gio.DBusCallFlags.NONE, -1, None).unpack()[0]


class Elsewhere(j.Program):
    """A second program beside the first, which would hand its files over were they on one session's bus."""

    def start(self, *files):
        for home in HOMES:
            self.environment[home] = str(pathlib.Path(self.folder.name, home))
        self.environment["AT_SPI_BUS_ADDRESS"] = accessibility_bus()
        self.bus = subprocess.Popen(["dbus-daemon", "--session", "--nofork", "--print-address"], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
        self.environment["DBUS_SESSION_BUS_ADDRESS"] = self.bus.stdout.readline().strip()
        return subprocess.Popen(elsewhere(j.PROGRAM, *files), env=self.environment, stdin=subprocess.DEVNULL, stdout=self.log, stderr=self.log)


    def __exit__(self, *error):
        try:
            return super().__exit__(*error)
        finally:
            self.bus.terminate()
            self.bus.wait()


def change(window, text):
    rows = window.rows()
    window.type_into(window.entry(READING), text)
    j.wait(lambda: window.rows() != rows and window.name.startswith("•"), "the reading on the bench")


def save(window):
    window.press("Save")
    j.wait(lambda: not window.name.startswith("•"), "the save")


def rows_say(window, part):
    return any(part in node.get_name() for node in j.find_all(window.node, j.ROW))


def work(tap, place, here, there):
    """Both programs on the profile in @place, the one by the folder @here, the other by @there."""
    shutil.copy(j.DEMOS / PROFILE, place / PROFILE)
    with j.Program(here / PROFILE) as program:
        window = program.window(TITLE)
        j.wait(window.x_window, "the window's number")  # while no other window has its title
        j.wait(lambda: (place / NOTE).exists(), "the note")
        text = (place / NOTE).read_text(encoding="utf-8")
        tap.check("person=" in text and "machine=" in text and str(place) not in text, "a note beside the file says who has it open, and where", text.split("\n"))
        with Elsewhere(there / PROFILE) as other:
            theirs = other.window(TITLE)
            opened = time.monotonic()
            said = theirs.wait_says("has had this open on")
            tap.check(os.uname().nodename in said, "who opens it second is told who has it, and where", [said])
            said = window.wait_says("has had this open on")
            tap.check(MACHINE in said, f"and who had it first is told too, {time.monotonic() - opened:.1f} s later", [said])
            change(theirs, "0.31")
            save(theirs)
            saved = time.monotonic()
            said = window.wait_says("Somebody else has just saved this file")
            tap.check(said, f"what the other saves is told {time.monotonic() - saved:.1f} s later")
            change(window, "0.37")
            window.press("Save")
            window.wait_says("Nothing has been written; both versions are still whole")
            tap.check('gap="0.31"' in (place / PROFILE).read_text(encoding="utf-8"), "saving then writes nothing over it")
            window.press("Save mine anyway")
            j.wait(lambda: not window.name.startswith("•"), "the save")
            theirs.wait_says("Somebody else has just saved this file")
            tap.check('gap="0.37"' in (place / PROFILE).read_text(encoding="utf-8"), "unless one says so, of which the other is told in turn")
            j.end(tap, other, "the other program")
        said = j.wait(lambda: window.says("has had this open on") is None, "the message to go")
        tap.check(said, "once the other has closed it, nobody is said to have it open")
        j.end(tap, program, "the first program")
    tap.check(not [name for name in os.listdir(place) if name.startswith(".")], "and nothing is left beside the file", os.listdir(place))


def on_disk(tap):
    """two programs on a folder of the disk"""
    with tempfile.TemporaryDirectory() as folder:
        work(tap, *[pathlib.Path(folder)] * 3)


def cut_off(tap):
    """a note that a program left behind is told as such, and goes"""
    with j.scratch(PROFILE) as folder:
        note = folder / NOTE
        note.write_text("[open]\nversion=1\nperson=Ada Plank\nmachine=bench-two\nsince=2026-02-09T10:04:00+01:00\nprocess=b 1 2\nid=7d1c\n", encoding="utf-8")
        os.utime(note, (time.time() - 7200,) * 2)
        with j.Program(folder / PROFILE) as program:
            window = program.window(TITLE)
            said = window.wait_says("left this open on")
            tap.check("Ada Plank" in said and MACHINE in said, "who left it open is told", [said])
            tap.check(j.wait(lambda: not note.exists(), "the note to go"), "and the note is taken away")
            j.end(tap, program, "cut off")


def on_shelf(tap):
    """the shelf says who has a profile open, and asks before that is renamed or thrown away"""
    shelf = pathlib.Path(os.environ["XDG_DATA_HOME"], "sidelong", "shelf")
    shelf.mkdir(parents=True, exist_ok=True)
    shutil.copy(j.DEMOS / PROFILE, shelf)
    with j.Program() as program:
        j.find(program.window().node, j.BUTTON, starts="New")
        program.window().take_keys()
        j.keys("ctrl+l")
        window = program.window("helf")
        j.wait(lambda: rows_say(window, TITLE), "the profile on the shelf")
        with Elsewhere(shelf / PROFILE) as other:
            other.window(TITLE)
            tap.check(j.wait(lambda: rows_say(window, f"on {MACHINE}, since"), "the row"), "its row says who has it open, and where")
            window.click(j.find(window.node, j.ROW, starts=TITLE))
            j.find(window.node, j.BUTTON, "Open")
            j.act(window.node, "win.trash")
            said = window.wait_says("could then be saved only under another name")
            tap.check(MACHINE in said and (shelf / PROFILE).exists(), "it is not thrown away without asking", [said])
            window.press("Move to trash anyway")
            tap.check(j.wait(lambda: not (shelf / PROFILE).exists(), "the file to go"), "but can be")
            window.press("Undo")
            j.wait(lambda: (shelf / PROFILE).exists() and rows_say(window, TITLE), "the file to come back")
            j.end(tap, other, "the other program")
        tap.check(j.wait(lambda: not rows_say(window, MACHINE), "the row"), "until it is closed there")
        j.end(tap, program, "the shelf")


def on_share(tap):
    """two programs that reach a folder as a share"""
    with tempfile.TemporaryDirectory() as folder, contextlib.ExitStack() as mounts:
        place, here, there = (pathlib.Path(folder, name) for name in ("place", "here", "there"))
        for path in (place, here, there):
            path.mkdir()
        for mount in (here, there):
            try:
                subprocess.run(["bindfs", place, mount], check=True, capture_output=True)
            except (OSError, subprocess.CalledProcessError) as error:
                tap.skip("two programs that reach a folder as a share", f"bindfs can't mount here: {error}")
                return
            mounts.callback(subprocess.run, ["fusermount", "-u", mount], check=False)
        work(tap, place, here, there)


def silent(tap):
    """a share that stops answering holds nothing up, and nothing on the bench is lost"""
    with tempfile.TemporaryDirectory() as folder, contextlib.ExitStack() as mounts:
        place, here = (pathlib.Path(folder, name) for name in ("place", "here"))
        for path in (place, here):
            path.mkdir()
        shutil.copy(j.DEMOS / PROFILE, place)
        try:
            server = subprocess.Popen(["bindfs", "-f", place, here], stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        except OSError as error:
            tap.skip("a share that stops answering", f"bindfs can't mount here: {error}")
            return
        mounts.callback(server.wait)
        mounts.callback(subprocess.run, ["fusermount", "-u", here], check=False, stderr=subprocess.DEVNULL)
        j.wait(lambda: server.poll() is not None or here.is_mount(), "the share")
        if server.poll() is not None:
            tap.skip("a share that stops answering", "bindfs can't mount here")
            return
        with j.Program(here / PROFILE) as program:
            window = program.window(TITLE)
            j.wait(lambda: (place / NOTE).exists(), "the note")
            server.send_signal(signal.SIGSTOP)
            mounts.callback(server.send_signal, signal.SIGCONT)
            tap.check(window.wait_says("does not answer"), "the window says that the folder does not answer")
            change(window, "0.33")
            tap.check(True, "and goes on: a reading is taken")
            server.send_signal(signal.SIGCONT)
            tap.check(j.wait(lambda: window.says("does not answer") is None, "the message to go"), "once it answers again nothing is said")
            save(window)
            tap.check('gap="0.33"' in (place / PROFILE).read_text(encoding="utf-8"), "and saving goes through")
            j.end(tap, program, "a share that stops answering")


if __name__ == "__main__":
    if subprocess.run(elsewhere("true"), capture_output=True).returncode != 0:
        sys.exit(j.run(cut_off, silent))
    sys.exit(j.run(on_disk, cut_off, on_shelf, on_share, silent))
