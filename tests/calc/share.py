#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Two versions of a profile merged on the command line, and a folder of profiles packed and taken in again. What a ZIP holds is asked of Python's own reader.

share.py PROGRAM SOURCE_ROOT; speaks TAP."""

import os
import pathlib
import resource
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import zipfile

sys.dont_write_bytecode = True
from program import DONE, FAULT, FILE, USAGE, Tap, paths


def call(program, *arguments):
    done = program.run(*arguments)
    return done.returncode, done.stdout, done.stderr


def write(path, text, *changes):
    for before, after in changes:
        assert before in text, before
        text = text.replace(before, after)
    path.write_text(text, encoding="utf-8")
    return path


def merge(tap, program, folder, text):
    base = write(folder / "base.sidelong", text)
    mine = write(folder / "mine.sidelong", text, ('gap="3.1"', 'gap="3.0"'), ('owner=""', 'owner="A. Mercer"'))
    theirs = write(folder / "theirs.sidelong", text, ('gap="3.1"', 'gap="3.2"'), ('tilt="16"', 'tilt="15"'))
    out = folder / "out.sidelong"
    merging = ("merge", mine, theirs, "-o", out, f"--base={base}")

    status, said, errors = call(program, *merging)
    lines = errors.splitlines()
    tap.check(status == FAULT and not said and not out.exists(), "what both changed is left to a person: nothing is written", [status, said])
    tap.check(len(lines) == 1 and all(part in lines[0] for part in ("Action at fret 12, string 6", "3.00 mm", "3.20 mm", "3.10 mm")), "one line says what, and how it is in each", lines)
    both = write(folder / "want.sidelong", text, ('gap="3.1"', 'gap="3.2"'), ('owner=""', 'owner="A. Mercer"'), ('tilt="16"', 'tilt="15"')).read_bytes()
    status, said, errors = call(program, *merging, "--prefer=theirs")
    tap.check(status == DONE and not errors and out.read_bytes() == both, "with --prefer=theirs theirs is taken there, and each one's own besides, byte for byte", [status, errors])
    status, said, errors = call(program, *merging, "--prefer=mine")
    tap.check(status == DONE and out.read_bytes() == both.replace(b'gap="3.2"', b'gap="3.0"'), "with --prefer=mine mine is", [status, errors])
    status, said, errors = call(program, "merge", base, base, "-o", out)
    tap.check(status == DONE and out.read_bytes() == base.read_bytes(), "a profile merged with itself is itself", [status, errors])
    fewer = write(folder / "fewer.sidelong", text, ('frets="20"', 'frets="18"'), ('<crown-gap fret="20"', '<crown-gap fret="18"'))
    beyond = write(folder / "beyond.sidelong", text, ('<crown-gap fret="8" gap="0"/>', '<crown-gap fret="19" gap="0.02"/>'))
    apart = ("merge", fewer, beyond, "-o", folder / "apart.sidelong", f"--base={base}")
    status, said, errors = call(program, *apart)
    tap.check(status == FAULT and "19" in errors and "mine 18, theirs 20" in errors and len(errors.splitlines()) == 3, "parts that can't stand together are asked, with the reason", errors.splitlines())
    status, said, errors = call(program, *apart, "--prefer=theirs")
    written = apart[4].read_text(encoding="utf-8") if status == DONE else ""
    tap.check('frets="20"' in written and '<crown-gap fret="19"' in written and '<crown-gap fret="18"' in written, "and settled with --prefer; what stands with either is kept", [status, errors])
    other = write(folder / "other.sidelong", text, ("e2f2b9f4", "f2f2b9f4"))
    status, said, errors = call(program, "merge", base, other, "-o", folder / "none.sidelong", "--prefer=mine")
    tap.check(status == FAULT and "two instruments" in errors and not (folder / "none.sidelong").exists(), "two instruments are refused", [errors])
    status, said, errors = call(program, *merging[:-1], f"--base={other}", "--prefer=mine")
    tap.check(status == FAULT and "two instruments" in errors, "another instrument is no base", [status, errors])
    status, said, errors = call(program, "merge", mine, theirs, "-o", other, f"--base={base}", "--prefer=mine")
    tap.check(status == FAULT and "two instruments" in errors and "f2f2b9f4" in other.read_text(encoding="utf-8"), "and is not written over", [status, errors])
    broken = write(folder / "broken.sidelong", "<x")
    status, said, errors = call(program, "merge", mine, broken, "-o", out, "--prefer=mine")
    tap.check(status == FAULT and errors.startswith(f"{broken}:1: "), "a broken version is named with its line", [status, errors])
    tap.check(all(call(program, "merge", mine, theirs, "-o", name, "--prefer=mine")[0] == USAGE for name in ("-", folder / "out.txt")), "what is written is called a profile")
    tap.check(call(program, "merge", mine, "-o", out)[0] == USAGE and call(program, "merge", mine, theirs)[0] == USAGE and call(program, *merging, "--prefer=ours")[0] == USAGE, "a wrong call is one")
    tap.check(call(program, "merge", mine, folder / "gone.sidelong", "-o", out)[0] == FILE, "a file that is not there is told as one")


def photos(tap, program, folder, root, text):
    """Two pictures that have one name: both come, one by another."""
    pictures = sorted((root / "data" / "demo").glob("*.photos/*.jpg"))[:2]
    out = folder / "pictures.sidelong"
    end = "    </plan>\n"
    versions = []
    for name, about, picture in (("p-mine", "nut", pictures[0]), ("p-theirs", "saddle", pictures[1])):
        versions.append(write(folder / f"{name}.sidelong", text, (end, f'{end}    <photo id="p1" file="a.jpg" stage="received" about="{about}"/>\n')))
        place = folder / f"{name}.photos"
        place.mkdir()
        shutil.copy(picture, place / "a.jpg")
    base = write(folder / "p-base.sidelong", text)
    status, said, errors = call(program, "merge", *versions, "-o", out, f"--base={base}")
    place = folder / "pictures.photos"
    tap.check(status == DONE and (place / "a.jpg").read_bytes() == pictures[0].read_bytes() and (place / "a-2.jpg").read_bytes() == pictures[1].read_bytes(), "two pictures of one name get two names", [status, errors])
    written = out.read_text(encoding="utf-8")
    tap.check('id="p1" file="a.jpg"' in written and 'id="p2" file="a-2.jpg"' in written, "and the document names both", [written[-400:]])
    turned = folder / "turned.sidelong"
    status, said, errors = call(program, "merge", versions[0], shutil.copy(versions[0], versions[1]), "-o", turned, f"--base={versions[0]}")
    tap.check(status == FAULT and "a-2.jpg" in errors and not turned.exists(), "whose picture of one photograph is taken is asked, as which is the newer is not known", [status, errors])
    write(versions[1], text, (end, f'{end}    <photo id="p1" file="a.jpg" stage="received" about="saddle"/>\n'))
    out.unlink()
    (place / "a-2.jpg").write_bytes((place / "a.jpg").read_bytes())
    status, said, errors = call(program, "merge", *versions, "-o", out, f"--base={base}")
    tap.check(status == FILE and not out.exists() and "another picture “a-2.jpg”" in errors, "another picture that lies there is not taken for theirs", [status, errors])
    before = versions[1].read_bytes()
    status, said, errors = call(program, "merge", *versions, "-o", versions[1], f"--base={base}")
    tap.check(status == FILE and "another picture “a.jpg”" in errors and versions[1].read_bytes() == before and os.listdir(folder / "p-theirs.photos") == ["a.jpg"], "of a merge that fails no picture stays behind", [status, errors, os.listdir(folder / "p-theirs.photos")])
    kept = folder / "kept"
    (kept / ".out.sidelong.sidelong-saving").mkdir(parents=True)
    status, said, errors = call(program, "copy", versions[0], "-o", kept / "out.sidelong")
    tap.check(status == FILE and "another program" in errors and os.listdir(kept) == [".out.sidelong.sidelong-saving"], "nor of a copy that can't be saved", [status, errors, os.listdir(kept)])


def archive(tap, program, folder, root):
    shelf, other, zipped = folder / "shelf", folder / "other", folder / "all.zip"
    shutil.copytree(root / "data" / "demo", shelf, ignore=shutil.ignore_patterns("*.py", "*.build"))
    other.mkdir()
    pictured = [path.with_suffix(".sidelong") for path in sorted(shelf.glob("*.photos"))]
    files = sorted(str(path.relative_to(shelf)) for path in shelf.rglob("*") if path.is_file())
    status, said, errors = call(program, "pack", shelf, "-o", zipped)
    names = zipfile.ZipFile(zipped).namelist()
    tap.check(status == DONE and not errors and sorted(names) == files, "every profile is packed with its pictures", [errors, names])
    tap.check(all(zipfile.ZipFile(zipped).read(name) == (shelf / name).read_bytes() for name in names), "byte for byte")
    first = zipped.read_bytes()
    tap.check(call(program, "pack", shelf, "-o", zipped)[0] == DONE and zipped.read_bytes() == first, "and packed again, the same bytes")
    status, said, errors = call(program, "unpack", zipped, "-o", other)
    came = sorted(str(path.relative_to(other)) for path in other.rglob("*") if path.is_file())
    profiles = [name for name in files if name.endswith(".sidelong")]
    tap.check(status == DONE and came == files and all((other / name).read_bytes() == (shelf / name).read_bytes() for name in files), "and comes back so", [errors])
    tap.check([line.split("\t") for line in said.splitlines()] == [["new", name, name, ""] for name in profiles], "one line a profile says what became of it", said.splitlines())
    left = other / f".{profiles[0]}.sidelong-saving"
    left.write_text(f"[open]\nversion=1\nperson=A\nmachine={socket.gethostname()}\nsince=2026-03-02T10:00:00Z\nprocess=b 1 2\nid=i\n")
    status, said, errors = call(program, "unpack", zipped, "-o", other)
    tap.check(status == DONE and not left.exists() and said.count("there\t") == len(profiles), "the lock of one that was killed is taken away where its profile is there", [errors, said])
    write(other / profiles[0], (other / profiles[0]).read_text(encoding="utf-8"), ("label=\"", "label=\"Another "))
    kept = (other / profiles[0]).read_bytes()
    status, said, errors = call(program, "unpack", zipped, "-o", other)
    words = [line.split("\t") for line in said.splitlines()]
    beside = profiles[0].replace(".sidelong", " 2.sidelong")
    tap.check(status == DONE and words == [["beside", profiles[0], beside, profiles[0]]] + [["there", name, name, ""] for name in profiles[1:]], "what is there stays, another version comes beside it", words)
    tap.check((other / profiles[0]).read_bytes() == kept, "and nothing is replaced")
    tap.check(call(program, "pack", other, "-o", other / profiles[0])[0] == USAGE and (other / profiles[0]).read_bytes() == kept and call(program, "pack", other, "-o", "-")[0] == USAGE, "no profile is written over by an archive")
    (other / "two\nlines.sidelong").write_bytes(kept)
    status, said, errors = call(program, "pack", other, "-o", folder / "odd.zip")
    tap.check(status == FAULT and "two\\nlines.sidelong" in errors and not any("\n" in name for name in zipfile.ZipFile(folder / "odd.zip").namelist()), "a name that could not come back is told when it is packed", [status, errors])
    twins, apart = folder / "twins", folder / "apart"
    twins.mkdir(), apart.mkdir()
    for name, place, from_ in (("a.SIDELONG", "a.SIDELONG.photos", pictured[0]), ("a.sidelong", "a.photos", pictured[1])):
        shutil.copy(from_, twins / name)
        shutil.copytree(from_.with_suffix(".photos"), twins / place)
    packed = call(program, "pack", twins, "-o", folder / "twins.zip")
    status, said, errors = call(program, "unpack", folder / "twins.zip", "-o", apart)
    came = [sorted(path.name for path in (apart / line.split("\t")[2]).with_suffix(".photos").iterdir()) for line in said.splitlines()]
    tap.check(packed[0] == status == DONE and came == [sorted(path.name for path in from_.with_suffix(".photos").iterdir()) for from_ in pictured], "two whose names differ in the ending's case keep their own pictures", [packed, errors, came])
    os.mkfifo(folder / "pipe.zip")
    tap.check(call(program, "unpack", folder / "pipe.zip", "-o", other)[0] == FILE, "a pipe is not waited for")
    few = [shelf / name for name in profiles[1::2]]
    status, said, errors = call(program, "pack", *few, other / profiles[0], "-o", folder / "few.zip")
    inside = [name for name in zipfile.ZipFile(folder / "few.zip").namelist() if name.endswith(".sidelong")]
    tap.check(status == FAULT and inside == [path.name for path in few] and errors.startswith(f"{other / profiles[0]}: "), "of files that are named these are packed, and one from elsewhere is told", [status, errors, inside])
    limited = subprocess.run([program.path, "pack", shelf, "-o", folder / "large.zip"], stderr=subprocess.PIPE, text=True, preexec_fn=lambda: (signal.signal(signal.SIGXFSZ, signal.SIG_IGN), resource.setrlimit(resource.RLIMIT_FSIZE, (100000, 100000))))
    tap.check(limited.returncode == FILE and limited.stderr.count("\n") == 1 and not (folder / "large.zip").exists(), "of an archive that there is no room for, nothing stays", [limited.returncode, limited.stderr])
    zipped.write_bytes(first[: len(first) // 2])
    status, said, errors = call(program, "unpack", zipped, "-o", other)
    tap.check(status == FILE and "all.zip" in errors, "an archive cut short is told as a file that can't be read", [status, errors])
    tap.check(call(program, "pack", folder / "gone", "-o", zipped)[0] == FILE and call(program, "pack", shelf)[0] == USAGE, "a folder that is not there, and a wrong call, are told")


def main():
    program, root = paths()
    tap = Tap()
    text = (root / "tests" / "example.sidelong").read_text(encoding="utf-8")
    with tempfile.TemporaryDirectory() as place:
        folder = pathlib.Path(place)
        merge(tap, program, folder, text)
        photos(tap, program, folder, root, text)
        archive(tap, program, folder, root)
    return tap.done()


if __name__ == "__main__":
    sys.exit(main())
