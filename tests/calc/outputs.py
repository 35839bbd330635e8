#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""What draw, sheet and template write: whole or not at all on a disk that is full, never over the profile they are made from, and as private as what was there.

outputs.py PROGRAM SOURCE_ROOT; speaks TAP. A full disk is a limit on the size of files (getrlimit(2), RLIMIT_FSIZE)."""

import os
import pathlib
import resource
import shutil
import signal
import sys
import tempfile

sys.dont_write_bytecode = True
from program import DONE, FILE, USAGE, Tap, paths

KINDS = [("draw", "side.svg"), ("draw", "side.png"), ("draw", "side.pdf"), ("sheet", "sheet.pdf"), ("template", "template.pdf")]
OLD = b"what was here before\n" * 5000


def room_for(n):
    """For a child: as on a disk with room for @n bytes."""

    def limit():
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (n, n))

    return limit


def full_disk(tap, program, profile, folder):
    for command, name in KINDS:
        out = folder / name
        for room in (0, 700, 5000):
            out.write_bytes(OLD)
            done = program.run(command, profile, "-o", out, preexec_fn=room_for(room), restore_signals=False)
            tap.check(done.returncode == FILE and name in done.stderr and "unchanged" in done.stderr, f"{command} {name}, room for {room}: refused", [done.stderr])
            tap.check(out.read_bytes() == OLD, f"{command} {name}, room for {room}: the old file is whole", [str(out.stat().st_size)])
            tap.check(os.listdir(folder) == [name], f"{command} {name}, room for {room}: nothing is left beside it", os.listdir(folder))
        out.chmod(0o600)
        done = program.run(command, profile, "-o", out)
        tap.check(done.returncode == DONE and out.read_bytes() != OLD, f"{command} {name}: with room it is replaced", [done.stderr])
        tap.check(out.stat().st_mode & 0o777 == 0o600, f"{command} {name}: as private as before", [oct(out.stat().st_mode)])
        out.unlink()


def own_profile(tap, program, profile, folder):
    for command, name in KINDS:
        own = folder / name
        shutil.copy(profile, own)
        (folder / "link").mkdir()
        symbolic, hard = folder / "link" / ("s-" + name), folder / "link" / ("h-" + name)
        symbolic.symlink_to(own)
        hard.hardlink_to(own)
        for out in (own, folder / "link" / ".." / name, symbolic, hard):
            done = program.run(command, own, "-o", out)
            tap.check(done.returncode == USAGE and "is the profile itself" in done.stderr, f"{command} over its own profile as {out.name} is refused", [done.stderr])
            tap.check(own.read_bytes() == profile.read_bytes(), f"{command} over its own profile as {out.name}: it is whole", [])
        shutil.rmtree(folder / "link")
        own.unlink()


def main():
    program, root = paths()
    tap = Tap()
    profile = root / "tests" / "example.sidelong"
    for test in (full_disk, own_profile):
        with tempfile.TemporaryDirectory() as name:
            test(tap, program, profile, pathlib.Path(name))
    return tap.done()


if __name__ == "__main__":
    sys.exit(main())
