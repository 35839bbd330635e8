#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Pictures from the command line: the three formats, every view, and the same bytes for the same call.

draw.py PROGRAM SOURCE_ROOT; speaks TAP."""

import pathlib
import struct
import sys
import tempfile
import xml.etree.ElementTree as ElementTree

sys.dont_write_bytecode = True
from program import DONE, USAGE, Tap, paths

PNG_MAGIC = b"\x89PNG\r\n\x1a\n"  # W3C Portable Network Graphics, 5.2
VIEWS = ("all", "side", "nut", "fret-12", "bridge")


class Drawer:
    def __init__(self, tap, program, example, folder):
        self.tap, self.program, self.example, self.folder = tap, program, example, folder

    def draw(self, name, *options, source=None):
        """Draws and returns the bytes; the call must succeed in silence."""
        path = self.folder / name
        done = self.program.run("draw", source or self.example, "-o", path, *options)
        good = done.returncode == DONE and done.stderr == "" and done.stdout == "" and path.exists()
        self.tap.check(good, f"draw {name} {' '.join(options)}".rstrip(), [f"status {done.returncode}", done.stderr])
        return path.read_bytes() if path.exists() else b""


def check_formats(d):
    svg = d.draw("a.svg")
    d.tap.check(svg and ElementTree.fromstring(svg).tag == "{http://www.w3.org/2000/svg}svg", "an SVG is one")
    png = d.draw("a.png", "--width=800", "--height=500")
    d.tap.check(png.startswith(PNG_MAGIC) and struct.unpack(">II", png[16:24]) == (800, 500), "a PNG is one, of the size asked for", [str(png[:24])])
    pdf = d.draw("a.PDF")
    d.tap.check(pdf.startswith(b"%PDF-") and b"%%EOF" in pdf[-32:], "a PDF is one, whatever the case of its ending")
    for name, first in (("a.svg", svg), ("a.PDF", pdf)):
        d.tap.check(d.draw(name) == first, f"{name}: the same call gives the same bytes")


def check_choices(d):
    pictures = {view: d.draw("v.svg", f"--view={view}") for view in VIEWS}
    d.tap.check(len(set(pictures.values())) == len(VIEWS), "every view is another picture")
    d.tap.check(pictures["all"] == d.draw("v.svg"), "the whole sheet is drawn where no view is named")
    base = d.draw("b.svg", "--view=side", "--string=1")
    for options in (["--string=6"], ["--string=1", "--held=5"], ["--string=1", "--units=inch"], ["--string=1", "--units=64ths"], ["--string=1", "--dark"],
                    ["--string=1", "--width=1400"], ["--string=1", "--height-factor=3"]):
        d.tap.check(d.draw("b.svg", "--view=side", *options) != base, f"{' '.join(options)} changes the picture")
    d.tap.check(d.draw("b.svg", "--view=side", "--string=all") == d.draw("b.svg", "--view=side"), "all strings are drawn where none is named")


def check_frets_and_gaps(d):
    frets, gaps = d.draw("s.svg", "--sheet=frets"), d.draw("s.svg", "--sheet=gaps")
    d.tap.check(frets != gaps and frets != d.draw("v.svg"), "the sheets of frets and of gaps are pictures of their own")
    d.tap.check(d.draw("s.svg", "--sheet=gaps", "--held=3") != gaps, "--held changes the map of margins")
    d.tap.check(d.draw("s.svg", "--sheet=gaps", "--measured") != gaps, "--measured shows another state than the planned one")
    for options, part in ((["--sheet=gaps", "--held=99"], "99"), (["--sheet=gaps", "--replace"], "--replace"), (["--sheet=frets", "--measured"], "--measured"),
                          (["--sheet=crowns"], "crowns")):
        done = d.program.run("draw", d.example, "-o", d.folder / "n.svg", *options)
        d.tap.check(done.returncode == USAGE and part in done.stderr, f"{' '.join(options)} is refused and named", [str(done.returncode), done.stderr])


def main():
    tap = Tap()
    program, root = paths()
    with tempfile.TemporaryDirectory() as name:
        d = Drawer(tap, program, root / "tests" / "example.sidelong", pathlib.Path(name))
        check_formats(d)
        check_choices(d)
        check_frets_and_gaps(d)
        for demo in sorted((root / "data" / "demo").glob("*.sidelong")):
            tap.check(d.draw(f"{demo.stem}.png", source=demo).startswith(PNG_MAGIC), f"{demo.name} is drawn")
    return tap.done()


sys.exit(main())
