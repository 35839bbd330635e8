#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The command-line program with and without what listens: nothing else loads it, and where it is missing only listening is.

listening.py PROGRAM SOURCE_ROOT; speaks TAP."""

import os
import pathlib
import subprocess
import tempfile
import wave

from program import DONE, FILE, Tap, paths


def main():
    tap = Tap()
    program, root = paths()
    plugins = pathlib.Path(subprocess.run(["pkg-config", "--variable=pluginsdir", "gstreamer-1.0"], check=True, capture_output=True, text=True).stdout.strip())
    example = root / "tests" / "example.sidelong"
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        sound = folder / "silence.wav"
        with wave.open(str(sound), "wb") as file:
            file.setparams((1, 2, 44100, 0, "NONE", ""))
            file.writeframes(bytes(2 * 44100))
        broken = folder / "broken"
        broken.mkdir()
        (broken / "sidelong-capture.so").write_bytes(b"\x7fELF")
        usual = dict(os.environ)
        try:
            # the loader of the C library tells every file it loads (ld.so(8))
            os.environ["LD_DEBUG"] = "files"
            done = program.run("compute", example)
            tap.check(done.returncode == DONE and "libgsl" in done.stderr and "libgst" not in done.stderr, "compute loads no GStreamer", done.stderr.splitlines()[-20:])
            done = program.run("pitch", sound, "--expect=110")
            tap.check("sidelong-capture.so" in done.stderr and "libgstreamer" in done.stderr, "pitch does, with the module from the build folder", done.stderr.splitlines()[-20:])
            del os.environ["LD_DEBUG"]
            for where, name in ((folder, "not there"), (broken, "can't be loaded")):
                os.environ["SIDELONG_MODULE_DIR"] = str(where)
                done = program.run("pitch", sound, "--expect=110")
                tap.check(done.returncode == FILE and "silence.wav" in done.stderr and "apt install gstreamer1.0" in done.stderr and done.stdout == "",
                          f"where the module is {name}, pitch says what to install", [f"status {done.returncode}", done.stderr])
                done = program.run("compute", example)
                tap.check(done.returncode == DONE and done.stdout and not done.stderr, "and the rest runs", [done.stderr])
            del os.environ["SIDELONG_MODULE_DIR"]
            os.environ["GST_REGISTRY"] = str(folder / "registry.bin")
            for left_out in ("libgst", "libgstwavparse"):
                some = folder / left_out
                some.mkdir()
                for part in plugins.glob("libgst*.so"):
                    if not part.name.startswith(left_out):
                        (some / part.name).symlink_to(part)
                os.environ["GST_PLUGIN_SYSTEM_PATH_1_0"] = str(some)
                done = program.run("pitch", sound, "--expect=110")
                tap.check(done.returncode == FILE and "apt install gstreamer1.0" in done.stderr, f"nor without {left_out}*", [f"status {done.returncode}", done.stderr])
        finally:
            os.environ.clear()
            os.environ.update(usual)
    return tap.done()


if __name__ == "__main__":
    raise SystemExit(main())
