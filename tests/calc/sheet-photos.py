#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Photographs on the hand-over sheet, taken out of the PDF again: how many, how fine, what stands below them, what must not be in the file.

sheet-photos.py PROGRAM SOURCE_ROOT; speaks TAP. 200 pixels an inch: what print is looked at closely with (common practice). The pictures are the
demonstration profiles'; EXIF as JEITA CP-3451 has it: an APP1 segment with a TIFF header and one entry."""

import pathlib
import re
import struct
import subprocess
import sys
import tempfile

sys.dont_write_bytecode = True
from program import DONE, USAGE, Tap, paths

LEAST_PPI = 200
MOST_SIDE = 1600
MOST_BYTES_EACH = 300_000
SECRET = "Ilsa Varnholt, 4 Ropewalk Steps, 59.91 N"
MARKS = '<known x1="500" y1="100" x2="500" y2="600" length="10" uncertainty="0.02"/><mark of="action" string="6" fret="12" x1="700" y1="300" x2="700" y2="392"/>'


def with_exif(jpeg):
    """The same picture with a description of who and where."""
    text = SECRET.encode() + b"\0"
    tiff = b"II*\0" + struct.pack("<IHHHII", 8, 1, 0x010E, 2, len(text), 26) + struct.pack("<I", 0) + text
    segment = b"Exif\0\0" + tiff
    return jpeg[:2] + b"\xff\xe1" + struct.pack(">H", len(segment) + 2) + segment + jpeg[2:]


def photo(number, stage, about, more="", inside=""):
    return f'<photo id="p{number}" file="p-{number}.jpg" taken="2026-02-{9 + number:02}T10:00:00Z" stage="{stage}" {about} {more}>{inside}</photo>'


FRET = 'about="fret" fret="3"'
YES = 'on-sheet="yes"'


class Case:
    def __init__(self, tap, program, root, folder):
        self.tap, self.program, self.folder = tap, program, folder
        demos = root / "data" / "demo"
        self.whole = re.sub(r"\s*<photo\b[^>]*?(/>|>.*?</photo>)", "", (demos / "anchor-street-flat-top.sidelong").read_text(encoding="utf-8"), flags=re.DOTALL)
        self.jpeg = sorted((demos / "anchor-street-flat-top.photos").glob("*.jpg"))[0].read_bytes()

    def document(self, name, photos, missing=()):
        head, _, tail = self.whole.rpartition("</visit>")
        path = self.folder / f"{name}.sidelong"
        path.write_text(head + "".join(photos) + "</visit>" + tail, encoding="utf-8")
        pictures = self.folder / f"{name}.photos"
        pictures.mkdir()
        for number in range(len(photos)):
            if number not in missing:
                (pictures / f"p-{number}.jpg").write_bytes(with_exif(self.jpeg))
        return path

    def sheet(self, path, *options, said=""):
        out = path.with_suffix(".pdf")
        done = self.program.run("sheet", path, "-o", out, *options)
        self.tap.check(done.returncode == DONE and (said in done.stderr if said else done.stderr == ""), f"sheet {path.stem} {' '.join(options)}".rstrip(), [done.stderr])
        return out


def images(out):
    """(page, width, height, encoding, pixels an inch) of every picture."""
    done = subprocess.run(["pdfimages", "-list", out], capture_output=True, text=True, check=True)
    rows = [line.split() for line in done.stdout.splitlines()[2:]]
    return [(int(row[0]), int(row[3]), int(row[4]), row[8], int(row[12])) for row in rows]


def text(out):
    done = subprocess.run(["pdftotext", out, "-"], capture_output=True, text=True, check=True)
    return re.sub(r"\s+", " ", done.stdout)


def check_pictures(c, out, count, pages, what):
    found = images(out)
    about = subprocess.run(["pdfinfo", out], capture_output=True, text=True, check=True).stdout
    n_pages = int(re.search(r"Pages:\s+(\d+)", about)[1])
    c.tap.check(len(found) == count, f"{what}: {count} photographs", [str(found)])
    c.tap.check(n_pages == pages, f"{what}: {pages} pages", [str(n_pages)])
    c.tap.check(all(max(w, h) <= MOST_SIDE and code == "jpeg" for _, w, h, code, _ in found), f"{what}: as JPEG, bounded", [str(found)])
    c.tap.check(all(ppi >= LEAST_PPI for *_, ppi in found), f"{what}: fine enough for print", [str(found)])
    data = out.read_bytes()
    c.tap.check(len(data) < 100_000 + count * MOST_BYTES_EACH, f"{what}: the file stays small", [str(len(data))])
    c.tap.check(not any(part in data for part in (b"Exif", *(part.encode() for part in SECRET.split(", ")[1:]))), f"{what}: nothing of what the camera wrote")


def check_counts(c):
    one = c.sheet(c.document("one", [photo(0, "final", 'about="bridge"', inside="<note>Glued and clamped</note>" + MARKS)]))
    check_pictures(c, one, 1, 2, "one")
    read = text(one)
    c.tap.check("Photographs Bridge Glued and clamped as finished, 9 Feb 2026 String height, string 6, fret 12: 1.84 mm" in read, "what it shows, its note, stage, day, what was measured", [read])
    first = one.read_bytes()
    c.tap.check(c.sheet(c.folder / "one.sidelong").read_bytes() == first, "the same document and pictures, the same bytes")
    c.tap.check(not images(c.sheet(c.folder / "one.sidelong", "--photos=no")), "none where none are wanted")
    c.tap.check("Photographs" not in text(c.folder / "one.pdf"), "and no heading for them")

    pair = c.sheet(c.document("pair", [photo(0, "received", FRET), photo(1, "final", FRET)]))
    check_pictures(c, pair, 2, 2, "pair")
    c.tap.check("Fret 3: before and after" in text(pair) and text(pair).count("Fret 3") == 1, "a pair has one title", [text(pair)])

    four = c.document("four", [photo(0, "received", FRET), photo(1, "final", FRET), photo(2, "final", 'about="nut"'), photo(3, "received", 'about="saddle"'), photo(4, "received", 'about="bridge"')])
    for paper in ("a4", "letter"):
        check_pictures(c, c.sheet(four, f"--paper={paper}"), 4, 2, f"four of five, {paper}")

    many = c.sheet(c.document("many", [photo(i, "during", f'about="fret" fret="{i + 1}"', YES) for i in range(6)]))
    check_pictures(c, many, 6, 3, "six that are wanted")
    c.tap.check({page for page, *_ in images(many)} == {3}, "on a page of their own")


def check_missing(c):
    gone = c.sheet(c.document("gone", [photo(0, "received", FRET), photo(1, "final", FRET)], missing=(0,)), said="p-0.jpg")
    check_pictures(c, gone, 1, 2, "one that is gone")
    c.tap.check("before and after" not in text(gone) and "p-0" not in text(gone), "the customer is not told", [text(gone)])
    done = c.program.run("sheet", c.folder / "gone.sidelong", "-o", c.folder / "x.pdf", "--photos=maybe")
    c.tap.check(done.returncode == USAGE and "yes, no" in done.stderr, "says what --photos can be", [done.stderr])


def main():
    tap = Tap()
    program, root = paths()
    with tempfile.TemporaryDirectory() as name:
        c = Case(tap, program, root, pathlib.Path(name))
        check_counts(c)
        check_missing(c)
    return tap.done()


if __name__ == "__main__":
    sys.exit(main())
