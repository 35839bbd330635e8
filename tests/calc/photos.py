#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Photographs on the command line: listed with the state of their files and what was measured in them, written out without place and names, and a profile copied with them.

photos.py PROGRAM SOURCE_ROOT; speaks TAP."""

import csv
import io
import os
import pathlib
import struct
import sys
import tempfile
import zlib

sys.dont_write_bytecode = True
from program import COMMA_LOCALE, DONE, FAULT, FILE, USAGE, Tap, has_comma_locale, paths

HEADER = "visit,id,file,taken,stage,about,fret,string,width,height,state,marks,note"
DETAIL = "photo,of,string,fret,held,value,uncertainty,u-scale,u-edges,u-blur,u-plane,unit,readings,fault"
WIDTH, HEIGHT = 120, 80
PX_MM, MARK_PX = 10, 23  # of the known length, and of what is measured

PHOTOS = f"""
    <photo id="p1" file="nut.png" taken="2026-02-09T10:00:00Z" stage="received" about="nut"><note>=1+1, chipped</note></photo>
    <photo id="p2" file="fret-12.jpg" stage="received" about="fret" fret="12" string="6">
      <known x1="10" y1="40" x2="{10 + 10 * PX_MM}" y2="40" u1="0.1" u2="0.1" length="10" uncertainty="0.01"/>
      <mark of="action" string="6" fret="12" x1="50" y1="20" x2="50" y2="{20 + MARK_PX}" u1="0.1" u2="0.1"/>
      <mark of="crown-land" fret="12" x1="50" y1="20" x2="50" y2="20"/>
    </photo>"""
MORE = """
    <photo id="p3" file="gone.jpg" stage="received" about="body"/>
    <photo id="p4" file="../out.png" stage="received" about="body"/>
    <photo id="p5" file="link.png" stage="final" about="bridge"/>
    <photo id="p6" file="cut.jpg" stage="final" about="saddle"/>
    <photo id="p7" file="text.jpg" stage="final" about="binding"/>
    <photo id="p8" file="huge.jpg" stage="final" about="other"/>"""


def png():
    """Portable Network Graphics, ISO/IEC 15948: a grey ramp."""
    def chunk(kind, data):
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
    rows = b"".join(b"\0" + bytes((x * 2) % 256 for x in range(WIDTH)) for _ in range(HEIGHT))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", WIDTH, HEIGHT, 8, 0, 0, 0, 0)) + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b"")


def with_exif(jpeg):
    """The same JPEG with what a camera writes beside it, CIPA DC-008 (Exif 2.32): an artist (tag 0x13b), and a place (GPS, tag 0x8825: latitude 54° 30′)."""
    name = b"Somebody Afloat\0"
    entries = struct.pack("<HHIIHHII", 0x13b, 2, len(name), 38, 0x8825, 4, 1, 38 + len(name))
    gps = struct.pack("<HHHI4sHHIII", 2, 1, 2, 2, b"N\0\0\0", 2, 5, 3, 38 + len(name) + 30, 0) + struct.pack("<6I", 54, 1, 30, 1, 0, 1)
    exif = b"Exif\0\0" + b"II*\0" + struct.pack("<I", 8) + struct.pack("<H", 2) + entries + struct.pack("<I", 0) + name + gps
    return jpeg[:2] + b"\xff\xe1" + struct.pack(">H", len(exif) + 2) + exif + jpeg[2:]


class Case:
    def __init__(self, folder):
        self.program, self.root = paths()
        self.tap, self.folder = Tap(), folder
        self.jpeg = with_exif((self.root / "data" / "demo" / "ferry-steps-flat-top.photos" / "fret-12.jpg").read_bytes())

    def profile(self, name, photos):
        """A profile in a folder of its own, with photographs in its last visit and the files of the first two."""
        text = (self.root / "tests" / "example.sidelong").read_text(encoding="utf-8")
        at = text.rindex("</visit>")
        place = self.folder / name
        (place / "quay.photos").mkdir(parents=True)
        (place / "quay.sidelong").write_text(text[:at] + photos + text[at:], encoding="utf-8")
        (place / "quay.photos" / "nut.png").write_bytes(png())
        (place / "quay.photos" / "fret-12.jpg").write_bytes(self.jpeg)
        return place / "quay.sidelong"

    def rows(self, name, *arguments, status=DONE, header=HEADER):
        done = self.program.run("photos", "--format=csv", *arguments)
        self.tap.check(done.returncode == status and done.stdout.split("\n")[0] == header and (status != DONE or done.stderr == ""), f"{name}: status and header",
                       [f"status {done.returncode}", done.stdout[:300], done.stderr])
        return list(csv.DictReader(io.StringIO(done.stdout)))

    def refused(self, status, name, *arguments, says=""):
        done = self.program.run(*arguments)
        self.tap.check(done.returncode == status and says in done.stderr and done.stdout == "", f"{name}: refused, naming it", [f"status {done.returncode}", done.stderr, done.stdout[:200]])


def files(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir()} if folder.is_dir() else None


def check_list(case):
    path = case.profile("list", PHOTOS)
    rows = case.rows("two photographs", path)
    first = {"file": "nut.png", "taken": "2026-02-09T10:00:00Z", "stage": "received", "about": "nut", "fret": "", "string": "", "width": str(WIDTH), "height": str(HEIGHT), "state": "sound", "marks": "0",
             "note": "'=1+1, chipped"}
    case.tap.check(len(rows) == 2 and {k: rows[0][k] for k in first} == first, "a row has what the document and the file say, and no formula", [str(row) for row in rows])
    case.tap.check(len(rows) == 2 and (rows[1]["fret"], rows[1]["string"], rows[1]["marks"], rows[1]["state"]) == ("12", "6", "2", "sound"), "and of a fret where it is", [str(row) for row in rows])
    rows = case.rows("several profiles", path, path, header="profile," + HEADER)
    case.tap.check([row["profile"] for row in rows] == [str(path)] * 4, "of several each row tells the profile", [str(row) for row in rows])
    text = case.program.run("photos", path)
    case.tap.check(text.returncode == DONE and "nut.png" in text.stdout and f"{WIDTH} × {HEIGHT}" in text.stdout and "Fret 12, string 6" in text.stdout, "as text", text.stdout.splitlines())
    none = case.program.run("photos", case.root / "tests" / "example.sidelong", "--format=csv")
    case.tap.check(none.returncode == DONE and none.stdout == HEADER + "\n", "no photographs: the header alone", [none.stdout, none.stderr])


def check_marks(case):
    """A length of 10 mm over 100 px: 23 px are 2.3 mm."""
    path = case.profile("marks", PHOTOS)
    rows = case.rows("what was measured", path, "--detail", header=DETAIL)
    if case.tap.check([(row["photo"], row["of"], row["string"], row["fret"], row["unit"]) for row in rows] == [("p2", "action", "6", "12", "mm"), ("p2", "crown-land", "", "12", "mm")], "a row for each mark",
                      [str(row) for row in rows]):
        value, spread = (float(rows[0][k] or "nan") for k in ("value", "uncertainty"))
        case.tap.check(abs(value - MARK_PX / PX_MM) < spread and 0 < spread < 0.3 and rows[0]["fault"] == "", "the figure follows from the known length, within U", [str(rows[0])])
        parts = [float(rows[0][k] or "nan") for k in ("u-scale", "u-edges", "u-blur", "u-plane")]
        case.tap.check(abs(2 * sum(u * u for u in parts) ** 0.5 - spread) < 0.02 * spread, "its U is twice the root of its parts' squares", [str(rows[0])])
        case.tap.check(rows[1]["value"] == "" and rows[1]["fault"] != "", "marks on one place say nothing, and why", [str(rows[1])])
    text = case.program.run("photos", path).stdout
    case.tap.check("String over crown: fret 12, string 6  2.300 ± " in text and "mm (scale " in text, "as text: title, figure, ±, and its parts", text.splitlines())
    if has_comma_locale(case.folder):
        text = case.program.run("photos", path, locale=COMMA_LOCALE).stdout
        case.tap.check("2,300 ± " in text, "with the locale's decimal comma", text.splitlines())


def check_states(case):
    path = case.profile("states", PHOTOS + MORE)
    folder = path.parent / "quay.photos"
    (path.parent / "out.png").write_bytes(png())
    (folder / "link.png").symlink_to(path.parent / "out.png")
    (folder / "cut.jpg").write_bytes(case.jpeg[: len(case.jpeg) // 3])
    (folder / "text.jpg").write_text("a picture, honestly\n", encoding="utf-8")
    with open(folder / "huge.jpg", "wb") as huge:
        huge.truncate(65 << 20)
    rows = case.rows("every state", path, status=FILE)
    case.tap.check([row["state"] for row in rows] == ["sound", "sound", "missing", "foreign", "foreign", "broken", "broken", "too-large"], "each file's state is told", [str(row) for row in rows])
    said = case.program.run("photos", path).stderr.splitlines()
    case.tap.check(len(said) == 6 and all(line.startswith(f"{path}: ") for line in said) and "gone.jpg" in said[0], "and why, in a line each", said)


def check_out(case):
    path = case.profile("out", PHOTOS)
    out = path.parent / "for the owner"
    done = case.program.run("photos", path, "-o", out)
    got = files(out) or {}
    case.tap.check(done.returncode == DONE and sorted(got) == ["fret-12.jpg", "nut.png"], "copies are written", [done.stderr, str(sorted(got))])
    case.tap.check(b"Somebody" in case.jpeg and not any(word in data for data in got.values() for word in (b"Somebody", b"Exif")), "without names and place")
    case.tap.check((path.parent / "quay.photos" / "fret-12.jpg").read_bytes() == case.jpeg, "the camera's own file stays as it is")
    (out / "nut.png").write_bytes(b"mine")
    done = case.program.run("photos", path, "-o", out)
    case.tap.check(done.returncode == FILE and "nut.png" in done.stderr and (out / "nut.png").read_bytes() == b"mine", "no file is replaced", [done.stderr])
    case.refused(USAGE, "two profiles into one folder", "photos", path, path, "-o", out, says="--output")
    case.refused(USAGE, "an unknown format", "photos", path, "--format=xml", says="“xml”")
    case.refused(USAGE, "no profile", "photos", says="no file")
    done = case.program.run("photos", path, "-o", path.parent / "no" / "such")
    case.tap.check(done.returncode in (DONE, FILE), "a folder in a folder that is not there ends well", [done.stderr])


def check_copy(case):
    path = case.profile("copy", PHOTOS)
    new = path.parent / "pier.sidelong"
    done = case.program.run("copy", path, "-o", new)
    case.tap.check(done.returncode == DONE and done.stderr == "" and files(path.parent / "pier.photos") == files(path.parent / "quay.photos"), "a copy has its photographs, byte for byte", [done.stderr])
    again = case.program.run("photos", new, "--format=csv").stdout
    case.tap.check(again == case.program.run("photos", path, "--format=csv").stdout and again.count("sound") == 2, "and is the same profile", [again])
    before = new.read_bytes()
    case.refused(FILE, "a name that is taken", "copy", path, "-o", new, says="already")
    case.tap.check(new.read_bytes() == before, "which stays as it was")
    (path.parent / "taken.photos").mkdir()
    (path.parent / "taken.photos" / "nut.png").write_bytes(b"another")
    case.refused(FILE, "another picture of one of the names", "copy", path, "-o", path.parent / "taken.sidelong", says="nut.png")
    case.tap.check(files(path.parent / "taken.photos") == {"nut.png": b"another"} and not (path.parent / "taken.sidelong").exists(), "nothing is copied then")
    (path.parent / "quay.photos" / "nut.png").unlink()
    done = case.program.run("copy", path, "-o", path.parent / "part.sidelong")
    case.tap.check(done.returncode == FILE and "nut.png" in done.stderr and list(files(path.parent / "part.photos")) == ["fret-12.jpg"] and (path.parent / "part.sidelong").exists(),
                   "what is missing is told, and the rest is copied", [done.stderr])
    case.refused(USAGE, "nowhere to write", "copy", path, says="-o NEW.sidelong")
    case.refused(USAGE, "another ending", "copy", path, "-o", "pier.xml", says="pier.xml")
    case.refused(USAGE, "two profiles", "copy", path, path, "-o", new, says=path.name)
    case.refused(FILE, "a folder that is not there", "copy", path, "-o", path.parent / "none" / "new.sidelong", says="new.sidelong")
    case.refused(FILE, "a profile that is not there", "copy", path.parent / "none.sidelong", "-o", path.parent / "n.sidelong", says="none.sidelong")
    broken = case.folder / "broken.sidelong"
    broken.write_text("strings: six\n", encoding="utf-8")
    case.refused(FAULT, "a profile at fault", "copy", broken, "-o", case.folder / "n.sidelong", says=f"{broken}:1: ")
    if os.geteuid() == 0:
        case.tap.skip("a folder that can't be written to", "this person may write anywhere")
        return
    shut = path.parent / "shut"
    shut.mkdir(mode=0o500)
    case.refused(FILE, "a folder that can't be written to", "copy", path, "-o", shut / "new.sidelong", says="new.sidelong")
    case.tap.check(not list(shut.iterdir()), "nothing is left in it")


def main():
    with tempfile.TemporaryDirectory() as folder:
        case = Case(pathlib.Path(folder))
        for part in (check_list, check_marks, check_states, check_out, check_copy):
            part(case)
    return case.tap.done()


sys.exit(main())
