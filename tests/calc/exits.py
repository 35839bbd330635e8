#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""What every command ends with: the manual's exit statuses, whatever goes wrong. 0 done, 1 a document is at fault, 2 wrong usage, 3 a file can't be read or
written. Of a reader that goes away POSIX says what SIGPIPE and EPIPE do (XBD signal.h, XSH write()).

exits.py PROGRAM SOURCE_ROOT; speaks TAP."""

import math
import os
import pathlib
import shutil
import signal
import struct
import subprocess
import sys
import tempfile
import wave

sys.dont_write_bytecode = True
from program import DONE, FAULT, FILE, USAGE, Tap, paths

NOBODY = 65534


class Case:
    """Calls of every command, with a place for the file."""

    def __init__(self, folder):
        self.tap = Tap()
        self.program, self.root = paths()
        self.folder = folder
        self.folder.chmod(0o755)
        self.good = self.folder / "good.sidelong"
        shutil.copy(self.root / "tests" / "example.sidelong", self.good)
        self.broken = self.folder / "broken.sidelong"
        self.broken.write_text(self.good.read_text(encoding="utf-8").replace("<saddle ", "<sadle ", 1), encoding="utf-8")
        self.missing = self.folder / "missing.sidelong"
        self.locked = self.folder / "locked.sidelong"
        shutil.copy(self.good, self.locked)
        self.locked.chmod(0)
        (self.folder / "shelf").mkdir()
        shutil.copy(self.good, self.folder / "shelf")
        self.shelf = self.folder / "shelf"
        self.sound = self.folder / "plucked.wav"
        with wave.open(str(self.sound), "wb") as file:
            file.setparams((1, 2, 8000, 0, "NONE", ""))
            file.writeframes(b"".join(struct.pack("<h", round(9000 * math.exp(-i / 6000) * math.sin(2 * math.pi * 110 * i / 8000))) for i in range(16000)))
        self.commands = {"check": [], "compute": [], "plan": [], "history": [], "photos": [], "draw": ["-o", self.folder / "o.svg"], "sheet": ["-o", self.folder / "o.pdf"],
                         "template": ["-o", self.folder / "o.pdf"], "copy": ["-o", self.folder / "copies" / "c.sidelong"], "pitch": []}
        (self.folder / "copies").mkdir()
        (self.folder / "out").mkdir()

    def call(self, command, file):
        return [command, file, *([self.sound] if command == "pitch" else []), *self.commands[command]]

    def ends(self, status, name, arguments, told=True, **extra):
        done = self.program.run(*arguments, **extra)
        good = done.returncode == status and bool(done.stderr) == told
        self.tap.check(good, f"{name} ends with {status}{' and says why' if told else ''}", [f"status {done.returncode}", *done.stderr.splitlines()[:4]])
        return done


def check_table(case):
    for command in case.commands:
        if command != "pitch":
            case.ends(DONE, f"{command}: a sound file", case.call(command, case.good), told=False)
            case.ends(USAGE, f"{command}: a file too few", [command, *case.commands[command]])
        case.ends(FAULT, f"{command}: a document at fault", case.call(command, case.broken))
        case.ends(FILE, f"{command}: a missing file", case.call(command, case.missing))
        case.ends(FILE, f"{command}: a folder for a file", case.call(command, case.shelf))
        case.ends(USAGE, f"{command}: an unknown option", [*case.call(command, case.good), "--gloss"])
    case.ends(DONE, "list: a folder", ["list", case.shelf], told=False)
    case.ends(FAULT, "list: a document at fault in it", ["list", case.folder])
    case.ends(FILE, "list: a missing folder", ["list", case.folder / "none"])
    case.ends(FILE, "list: a file for a folder", ["list", case.good])
    case.ends(USAGE, "list: no folder", ["list"])
    case.ends(USAGE, "no command", [])
    case.ends(USAGE, "an unknown command", ["polish", case.good])
    for command in ("compute", "plan", "draw", "sheet", "template", "list", "history"):
        call = ["list", case.shelf] if command == "list" else case.call(command, case.good)
        case.ends(FILE, f"{command}: a missing shop's file", [*call, f"--shop={case.missing}"])
        case.ends(FAULT, f"{command}: a shop's file at fault", [*call, f"--shop={case.broken}"])
    for command in ("check", "compute", "plan", "history", "photos"):
        for files, status in (([case.good, case.broken], FAULT), ([case.broken, case.missing, case.good], FILE), ([case.good, case.good], DONE)):
            case.ends(status, f"{command} of {len(files)} files", [command, *files], told=status != DONE)
    case.ends(FILE, "list of two folders", ["list", case.folder, case.folder / "none"])


def check_rights(case):
    """A file nobody may read. The superuser may read all: then as somebody else, where that one can run the program at all."""
    extra = {"user": NOBODY} if os.geteuid() == 0 else {}
    try:
        runs = case.program.run("--version", **extra).returncode == DONE
    except OSError:
        runs = False
    if not runs:
        case.tap.skip("a file without rights", "the program can't be run by somebody else from here")
        return
    case.sound.chmod(0o644)
    for command in case.commands:
        case.ends(FILE, f"{command}: a file without rights", case.call(command, case.locked), **extra)
    case.shelf.chmod(0)
    case.ends(FILE, "list: a folder without rights", ["list", case.shelf], **extra)
    case.shelf.chmod(0o755)
    case.ends(FILE, "check: a list without rights", ["check", f"--files-from={case.locked}"], **extra)


def check_full(case):
    """Standard output that takes nothing, and a folder that can't be written to."""
    calls = [["compute"], ["compute", "--format=csv"], ["compute", "--format=json"], ["plan"], ["plan", "--format=json"], ["history"], ["photos", "--format=json"]]
    for call in [[*c, case.good] for c in calls] + [["list", case.shelf], ["draw", case.good, "-o", "-", "--type=svg"], ["sheet", case.good, "-o", "-"], ["template", case.good, "-o", "-"], ["--version"]]:
        with open("/dev/full", "w") as full:
            case.ends(FILE, f"{' '.join(map(str, call)).replace(str(case.folder), '')} onto a full disk", call, stdout=full)
    case.ends(FILE, "compute: standard output is closed", ["compute", case.good], preexec_fn=lambda: os.close(1), stdout=None)
    for command in ("draw", "sheet", "template"):
        case.ends(FILE, f"{command}: into a folder that is not there", [command, case.good, "-o", case.folder / "none" / f"o{'.svg' if command == 'draw' else '.pdf'}"])
    with open("/dev/full", "w") as full:
        done = case.program.run("check", *[case.broken] * 3, stdout=full)
    case.tap.check(done.returncode == FAULT, "check prints nothing, so a full disk is none of its business")


def check_pipe(case):
    """A reader that goes away."""
    many = [case.root / "data/demo/anchor-street-flat-top.sidelong"] * 40

    def piped(**extra):
        with subprocess.Popen([case.program.path, "compute", "--format=csv", "--detail", *map(str, many)], stdout=subprocess.PIPE, stderr=subprocess.PIPE, stdin=subprocess.DEVNULL, **extra) as running:
            line = running.stdout.readline()
            running.stdout.close()
            return line, running.stderr.read().decode(), running.wait(120)

    line, told, status = piped()
    case.tap.check(line.startswith(b"file,state,") and status == -signal.SIGPIPE and told == "", "a reader that goes away ends the program by SIGPIPE, without a word", [str(status), told])
    line, told, status = piped(restore_signals=False, preexec_fn=lambda: signal.signal(signal.SIGPIPE, signal.SIG_IGN))
    case.tap.check(status == FILE and "standard output" in told, "where SIGPIPE is ignored it is a file that can't be written", [str(status), told])


def main():
    with tempfile.TemporaryDirectory() as folder:
        case = Case(pathlib.Path(folder))
        for check in (check_table, check_rights, check_full, check_pipe):
            check(case)
        return case.tap.done()


if __name__ == "__main__":
    sys.exit(main())
