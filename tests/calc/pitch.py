#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""What pitch hears in recordings of which everything is known: both calls, text and CSV, bad input. The promise: within 0.15 cents, 95 % of it within 0.05; U covers 95 % ± 2;
B within 5 % in nine of ten where five partials are heard.

pitch.py PROGRAM SOURCE_ROOT MADE_SOUND; speaks TAP."""

import csv
import io
import math
import os
import pathlib
import re
import subprocess
import sys
import tempfile
import wave

sys.dont_write_bytecode = True
from program import COMMA_LOCALE, DONE, FAULT, FILE, SECONDS, USAGE, Program, Tap, has_comma_locale

HEADER = "onset,expected,frequency,uncertainty,cents,cents-uncertainty,inharmonicity,inharmonicity-uncertainty,partials,word"
NUMBERS = HEADER.split(",")[:-1]
NUMBER = re.compile(r"-?\d+(\.\d+)?(e[-+]\d+)?")
MOST_CENTS = 0.15
MOST_U_CENTS = 0.3  # own choice: an uncertainty that says nothing covers everything
B_SHARE = 0.05
ONSET_S = 0.05  # own choice
SEMITONE = 2 ** (1 / 12)
# Open strings of tests/example.sidelong, ISO 16 (A4 = 440 Hz) in equal temperament, with inharmonicities of the size that steel strings have.
OPEN = {1: 440 * SEMITONE ** -5, 2: 440 * SEMITONE ** -10, 3: 440 * SEMITONE ** -14, 4: 440 * SEMITONE ** -19, 5: 110, 6: 110 * SEMITONE ** -5}
B = {1: 2e-5, 2: 5e-5, 3: 4e-5, 4: 6e-5, 5: 8e-5, 6: 1e-4}


def cents(f, over):
    return 1200 * math.log2(f / over)


class Case:
    def __init__(self, folder):
        program, root, self.made_sound = sys.argv[1:]
        self.tap, self.program, self.folder = Tap(), Program(program), folder
        self.example = pathlib.Path(root) / "tests" / "example.sidelong"

    def made(self, name, notes=None, *options):
        """A recording of notes, each (frequency, B)."""
        path = self.folder / name
        listed = ["--list=" + ",".join(f"{f!r}:{b!r}" for f, b in notes)] if notes else []
        subprocess.run([self.made_sound, "-o", path, *listed, *options], check=True, timeout=SECONDS)
        return path

    def heard(self, name, *arguments, status=DONE):
        """The rows of a recording as CSV."""
        done = self.program.run("pitch", "--format=csv", *arguments)
        lines = done.stdout.splitlines()
        self.tap.check(done.returncode == status and lines[:1] == [HEADER] and (status != DONE or done.stderr == ""), f"{name}: status, header, silence",
                       [f"status {done.returncode}", *lines[:1], done.stderr])
        rows = list(csv.DictReader(io.StringIO(done.stdout)))
        wrong = [row for row in rows if None in row.values() or any(row[k] and not NUMBER.fullmatch(row[k]) for k in NUMBERS)]
        self.tap.check(not wrong, f"{name}: ten fields a row, numbers plain", wrong[:2])
        return rows

    def good(self, name, row, expected, f, b=None):
        """A row against what was made."""
        got = {k: float(row[k] or "nan") for k in NUMBERS}
        self.tap.check(abs(cents(got["expected"], expected)) < 1e-4, f"{name}: expected is {expected:.3f} Hz", [str(row)])
        self.tap.check(abs(got["cents"] - cents(f, expected)) <= MOST_CENTS and row["word"] == "settled", f"{name}: {cents(f, expected):+.2f} cents, settled", [str(row)])
        self.tap.check(0 < got["cents-uncertainty"] < MOST_U_CENTS, f"{name}: with an uncertainty that says something", [str(row)])
        self.tap.check(abs(got["cents"] - cents(got["frequency"], got["expected"])) < 1e-4
                       and abs(got["cents-uncertainty"] / (1200 / math.log(2) * got["uncertainty"] / got["frequency"]) - 1) < 1e-3, f"{name}: cents and Hz are the same figure", [str(row)])
        if b is not None:
            self.tap.check(abs(got["inharmonicity"] / b - 1) < B_SHARE and got["partials"] >= 5 and 0 < got["inharmonicity-uncertainty"] < b / 2, f"{name}: B is {b:g}", [str(row)])

    def refused(self, status, name, *arguments, says=(), **extra):
        done = self.program.run("pitch", *arguments, **extra)
        told = [text for text in [says] * isinstance(says, str) + list(says) * (not isinstance(says, str)) if text not in done.stderr]
        self.tap.check(done.returncode == status and not told and done.stdout == "", f"{name}: refused, naming it", [f"status {done.returncode}", done.stderr, done.stdout[:200]])
        return done


def check_expected(case):
    """One frequency expected, no profile."""
    for name, f, expected, b in [("on pitch", 110, 110, 8e-5), ("7.3 cents sharp", 82.41 * 2 ** (7.3 / 1200), 82.41, 1e-4), ("a fifth of a semitone flat", 196 / 2 ** (20 / 1200), 196, 4e-5)]:
        rows = case.heard(name, case.made("one.wav", [(f, b)], "--noise=30", "--hum=30", "--body=20"), f"--expect={expected}")
        if case.tap.check(len(rows) == 1 and abs(float(rows[0]["onset"]) - 0.3) < ONSET_S, f"{name}: one note, plucked 0.3 s after the beginning", rows):
            case.good(name, rows[0], expected, f, b)
    rows = case.heard("three of one pitch", case.made("three.wav", [(147, 6e-5)] * 3, "--noise=30"), "--expect=147")
    at = [float(row["onset"]) for row in rows]
    case.tap.check(len(at) == 3 and all(abs(t - s) < ONSET_S for t, s in zip(at, (0.3, 2.8, 5.3))), "three plucks are three notes, each at its pluck", rows)
    text = case.program.run("pitch", case.folder / "one.wav", "--expect=196").stdout
    case.tap.check("1 note" in text and re.search(r"196\.000 .*19\d\.\d{3} ± .* −?\+?\d+\.\d\d ± .* settled", text) is not None and "string" not in text,
                   "as text: what was expected, heard, by how much it is off, with ±", text.splitlines())


def check_strings(case):
    """A recording of six open strings, each out of tune by another amount."""
    off = {6: 7.3, 5: -4.1, 4: 0, 3: 12.5, 2: -21, 1: 2.2}
    tuned = [(OPEN[s] * 2 ** (c / 1200), B[s]) for s, c in off.items()]
    sound = case.made("six strings, Übung.wav", tuned, "--noise=30")
    rows = case.heard("six strings", case.example, sound)
    if case.tap.check(len(rows) == 6, "six strings are six notes", rows):
        for row, s, (f, b) in zip(rows, off, tuned):
            case.good(f"string {s}", row, OPEN[s], f, b)
    text = case.program.run("pitch", case.example, sound)
    lines = [re.search(r"^ +\d+\.\d\d +(\d) +open ", line) for line in text.stdout.splitlines()]
    case.tap.check([int(found[1]) for found in lines if found] == list(off) and text.stderr == "", "as text each is told for its string, open", text.stdout.splitlines())
    rows = case.heard("by A4 = 442", case.example, sound, "--reference=442")
    if case.tap.check(len(rows) == 6, "six notes by another reference", rows):
        for row, s, (f, b) in zip(rows, off, tuned):
            case.good(f"string {s} by A4 = 442", row, OPEN[s] * 442 / 440, f)


def check_frets(case):
    """One string, open and stopped."""
    frets = {0: 1.4, 12: 4.5, 5: 0.6, 7: -2}
    played = [(OPEN[6] * SEMITONE ** n * 2 ** (c / 1200), 1e-4 * SEMITONE ** (2 * n)) for n, c in frets.items()]
    sound = case.made("sixth.wav", played, "--noise=30")
    rows = case.heard("one string", case.example, sound, "--string=6")
    if case.tap.check(len(rows) == len(frets), "every stop is a note", rows):
        for row, n, (f, b) in zip(rows, frets, played):
            case.good(f"fret {n}", row, OPEN[6] * SEMITONE ** n, f, b)
    text = case.program.run("pitch", case.example, sound, "--string=6").stdout
    told = re.findall(r"^ +\d+\.\d\d +6 +(\w+) ", text, re.MULTILINE)
    case.tap.check(told == ["open", "12", "5", "7"], "as text each is told for its fret", text.splitlines())
    octave = case.made("octave.wav", played[1:2], "--noise=30")
    for name, arguments in (("string 6, fret 12", ["--string=6", "--fret=12"]), ("12th fret of any string", ["--fret=12"])):
        rows = case.heard(name, case.example, octave, *arguments)
        if case.tap.check(len(rows) == 1, f"{name}: one note", rows):
            case.good(name, rows[0], 2 * OPEN[6], *played[1])
    own = case.folder / "own.sidelong"
    own.write_text(case.example.read_text(encoding="utf-8").replace('number="6" note="E2"', 'number="6" frequency="81.9"', 1), encoding="utf-8")
    rows = case.heard("a string with a frequency of its own", own, sound, "--string=6", "--reference=442")
    case.tap.check(bool(rows) and float(rows[0]["expected"]) == 81.9, "a string's own frequency is expected, whatever the reference", rows[:1])


def check_stiffness(case):
    """What a plain steel string says of itself: EI by B = π² EI / (T L²) (Fletcher 1964), EA by its cents at the frets, which compute gives (model 9)."""
    radius_mm, scale_m = 0.406 / 2, 0.632 + 0.00192  # of the example's string 2: its setback lies between those read of strings 1 and 6
    ei_n_mm2 = 200e3 * math.pi / 4 * radius_mm ** 4  # steel, 200 GPa: common practice
    tension_n = 7850 * math.pi * (radius_mm / 1000) ** 2 * (2 * scale_m * OPEN[2]) ** 2
    b = math.pi ** 2 * ei_n_mm2 * 1e-6 / (tension_n * scale_m ** 2)
    sharp = {int(row["fret"]): float(row["value"]) for row in case.program.rows(case.example) if (row["state"], row["quantity"], row["string"]) == ("measured", "pitch-error", "2")}
    notes = [(OPEN[2], b)] + [(OPEN[2] * 2 ** (n / 12 + sharp[n] / 1200), b * 2 ** (n / 6)) for n in range(1, 13)]
    text = case.program.run("pitch", case.example, case.made("played.wav", notes, "--noise=30"), "--string=2").stdout
    told = dict(re.findall(r"^  Fret (\d+) sounds ([+−]?[\d.]+) ± [\d.]+ cents over the open string", text, re.MULTILINE))
    case.tap.check(len(told) == 12 and all(abs(float(c.replace("−", "-")) - sharp[int(n)]) <= MOST_CENTS for n, c in told.items()), "each fret is told against the open string", text.splitlines())
    for name, words, expected in (("bending", r"Bending stiffness ([\d.]+) ± ([\d.]+) N mm²", ei_n_mm2), ("stretch", r"Stretch stiffness ([\d.]+) ± ([\d.]+) N,", 200e3 * math.pi * radius_mm ** 2)):
        found = re.search(words, text)
        case.tap.check(found is not None and abs(float(found[1]) - expected) <= float(found[2]) < 0.25 * expected, f"{name} stiffness is {expected:.0f}, within its U", text.splitlines()[-5:])
    found = re.search(r"([\d.]+) ± ([\d.]+) GPa", text)
    case.tap.check(found is not None and abs(float(found[1]) - 200) <= float(found[2]) and "not as" not in text and text.count("String ") == 1,
                   "and its steel is steel; of other strings nothing is said", text.splitlines()[-5:])
    dying = [(OPEN[1] * SEMITONE ** n, 2e-5, 0.6 if n == 7 else 3) for n in range(4, 11)]
    sound = case.folder / "dying.wav"
    subprocess.run([case.made_sound, "-o", sound, "--list=" + ",".join(f"{f!r}:{b!r}:{t!r}" for f, b, t in dying)], check=True, timeout=SECONDS)
    text = case.program.run("pitch", case.example, sound, "--string=1").stdout
    found = re.search(r"Fret (\d+) dies in ([\d.]+) s, its neighbours in ([\d.]+) s", text)
    case.tap.check(found is not None and found[1] == "7" and abs(float(found[2]) - 0.6) < 0.15 and abs(float(found[3]) - 3) < 0.5, "a fret whose note dies early is pointed at", text.splitlines())
    twelve = pathlib.Path(sys.argv[2]) / "data" / "demo" / "lightkeeper-twelve-string.sidelong"
    text = case.program.run("pitch", twelve, case.made("course.wav", [(OPEN[1], 2e-5), (OPEN[4], 6e-5)], "--noise=30")).stdout
    case.tap.check(re.search(r" 1, 2 +open ", text) is not None and "String 1\n" not in text, "a note of two strings alike is told of both, and says nothing of either's stiffness", text.splitlines())


def check_misplaced(case):
    """A note that is not of the place it is said to be at stands in the table and says nothing of the string."""
    sound = case.made("fourth.wav", [(OPEN[5] * 2 ** (5 / 12), 8e-5)], "--noise=30")
    row = case.heard("a fourth off", sound, f"--expect={OPEN[5]}")[0]
    text = case.program.run("pitch", case.example, sound, "--string=5", "--fret=0").stdout
    case.tap.check(row["word"] == "settled" and abs(float(row["cents"]) - 500) < 1 and "Bending" not in text and "1 note that did not settle, or is over 100 cents off, is not used." in text,
                   "a note a fourth off says nothing of the string", [str(row), text])


def check_words(case):
    """The other words than settled."""
    for word, notes, options in [("clipped", [(110, 8e-5)], ["--gain=6"]), ("two-notes", [(110, 8e-5), (164.8, 8e-5)], ["--every=0", "--ring", "--seconds=3"]),
                                 ("gliding", [(110, 8e-5)], ["--turn=20", "--turn-at=0.3", "--turn-for=5"]), ("soft", [(110, 8e-5)], ["--t60=0.3"])]:
        rows = case.heard(word, case.made("word.wav", notes, *options), "--expect=110")
        case.tap.check([row["word"] for row in rows] == [word], f"it is said that it was {word}", rows)
        if word == "soft":
            case.tap.check(bool(rows) and not any(rows[0][k] for k in NUMBERS if k not in ("onset", "expected", "partials")), "and fields are empty where nothing can be said", rows)
        if word == "clipped":
            text = case.program.run("pitch", case.folder / "word.wav", "--expect=110").stdout
            case.tap.check("clipped" in text and "level" in text, "and in words what to do about it", text.splitlines())


def check_nothing(case):
    silent = case.folder / "silence.wav"
    with wave.open(str(silent), "wb") as out:
        out.setparams((1, 2, 44100, 0, "NONE", ""))
        out.writeframes(bytes(2 * 44100 * 3))
    done = case.program.run("pitch", silent, "--expect=110", "--format=csv")
    case.tap.check(done.returncode == DONE and done.stdout == HEADER + "\n" and "no note" in done.stderr and str(silent) in done.stderr, "nothing heard is no error: the header alone, and a sentence",
                   [f"status {done.returncode}", done.stdout, done.stderr])
    text = case.program.run("pitch", silent, "--expect=110")
    case.tap.check(text.returncode == DONE and text.stdout == "" and "no note" in text.stderr, "the same as text", [text.stdout, text.stderr])


def check_usage(case):
    sound = case.made("good.wav", [(110, 8e-5)])
    example, expect = case.example, "--expect=110"
    for value in ("", "x", "7.9", "5000.1", "nan", "-110", "1e9", "110 Hz"):
        case.refused(USAGE, f"--expect={value}", sound, f"--expect={value}", says=(f"“{value}”", "8", "5000"))
    for value in ("414.9", "467", "A4"):
        case.refused(USAGE, f"--reference={value}", example, sound, f"--reference={value}", says=(f"“{value}”", "415", "466"))
    for value in ("0", "7", "9", "six", "1.5", ""):
        case.refused(USAGE, f"--string={value}", example, sound, f"--string={value}", says=(f"“{value}”", "1 to 6"))
    for value in ("-1", "21", "40", "open"):
        case.refused(USAGE, f"--fret={value}", example, sound, "--string=6", f"--fret={value}", says=(f"“{value}”", "0 to 20"))
    for name, arguments, says in [
        ("a frequency and a profile", [example, sound, expect], "--expect"), ("a frequency and a string", [sound, expect, "--string=6"], "--string"),
        ("a frequency and a fret", [sound, expect, "--fret=1"], "--fret"), ("a frequency and a reference", [sound, expect, "--reference=442"], "--reference"),
        ("nothing expected", [sound], "--expect=HZ"), ("no file", [expect], "no file"), ("three files", [example, sound, sound], "good.wav"),
        ("an unknown format", [sound, expect, "--format=xml"], "“xml”"), ("an unknown option", [sound, expect, "--tune"], "--tune"),
    ]:
        case.refused(USAGE, name, *arguments, says=says)


def check_files(case):
    sound = case.folder / "good.wav"
    broken = case.folder / "broken.sidelong"
    broken.write_text("strings: six\n", encoding="utf-8")
    case.refused(FAULT, "a profile at fault", broken, sound, says=f"{broken}:1: ")
    case.refused(FILE, "a profile that is not there", case.folder / "none.sidelong", sound, says="none.sidelong")
    case.refused(FAULT, "a recording in the profile's place", sound, case.example, says="good.wav:1: ")
    text = case.folder / "text.wav"
    text.write_text("a string, plucked\n" * 100, encoding="utf-8")
    empty = case.folder / "empty.wav"
    empty.write_bytes(b"")
    with open(sound, "rb") as whole:
        data = whole.read()
    nothing = case.folder / "header.wav"
    nothing.write_bytes(data[:44])
    long = case.folder / "long.wav"
    with wave.open(str(long), "wb") as out:
        out.setparams((1, 1, 22050, 0, "NONE", ""))
        out.setnframes(22050 * 6 * 3600)
        out._ensure_header_written(22050 * 6 * 3600)
    os.truncate(long, 44 + 22050 * 6 * 3600)
    for name, path in [("not there", case.folder / "none.wav"), ("a folder", case.folder), ("text", text), ("empty", empty), ("a head without sound", nothing), ("a profile", case.example),
                       ("of 8 channels", case.made("many.wav", [(110, 8e-5)], "--channels=8")), ("of 2 kHz", case.made("slow.wav", [(110, 8e-5)], "--rate=2000")), ("of six hours", long)]:
        done = case.refused(FILE, f"a recording that is {name}", path, "--expect=110", "--format=csv", says=str(path))
        case.tap.check(re.fullmatch(r"[^\n]+: [^\n]*\n", done.stderr) is not None, f"a recording that is {name}: in one sentence", [done.stderr])
    for name, options in (("both channels", ["--channels=2"]), ("24 bits", ["--bits=24"]), ("float", ["--bits=32"]), ("48 kHz", ["--rate=48000"]), ("the least rate", ["--rate=22050"])):
        rows = case.heard(name, case.made("form.wav", [(110, 8e-5)], *options), "--expect=110")
        if case.tap.check(len(rows) == 1, f"{name}: one note", rows):
            case.good(name, rows[0], 110, 110, 8e-5)
    odd = case.made("\x1b]0;title\x07\nforged.wav", [(110, 8e-5)])
    done = case.program.run("pitch", odd, "--expect=110")
    case.tap.check(done.returncode == DONE and "\\x1b" in done.stdout and "\x1b" not in done.stdout and not re.search("^forged", done.stdout, re.MULTILINE), "a name with control characters is told harmlessly",
                   [ascii(done.stdout[:200]), done.stderr])
    os.environ["SIDELONG_MODULE_DIR"] = str(case.folder)
    case.refused(FILE, "what decodes is not installed", sound, "--expect=110", says=("good.wav: ", "installed"))
    del os.environ["SIDELONG_MODULE_DIR"]
    cut = case.folder / "cut.wav"
    two = case.made("two.wav", [(110, 8e-5), (110, 8e-5)]).read_bytes()
    cut.write_bytes(two[: len(two) * 9 // 10])
    rows = case.heard("cut off", cut, "--expect=110", status=FILE)
    case.tap.check(len(rows) == 2 and "cut.wav: " in case.program.run("pitch", cut, "--expect=110").stderr, "a recording that breaks off is heard as far as it goes, and that is said", rows)


def check_locale(case):
    """German writes decimals with a comma: in the report and, like a point, in options; never in CSV."""
    if not has_comma_locale(case.folder):
        case.tap.skip("decimal comma", "this machine has no German locale")
        return
    sound = case.folder / "good.wav"
    plain = case.program.run("pitch", sound, "--expect=110.5", "--format=csv").stdout
    for typed in ("110.5", "110,5"):
        done = case.program.run("pitch", sound, f"--expect={typed}", "--format=csv", locale=COMMA_LOCALE)
        case.tap.check(done.stdout == plain and plain.count("\n") == 2, f"CSV is the same under a comma locale, {typed} typed", [done.stdout, done.stderr])
    report = case.program.run("pitch", sound, "--expect=110.5", locale=COMMA_LOCALE).stdout
    case.tap.check("110,500" in report and "110.500" not in report, "the report has the locale's decimal comma", report.splitlines())


def main():
    if len(sys.argv) != 4:
        raise SystemExit("usage: PROGRAM SOURCE_ROOT MADE_SOUND")
    with tempfile.TemporaryDirectory() as folder:
        case = Case(pathlib.Path(folder))
        for part in (check_expected, check_strings, check_frets, check_stiffness, check_misplaced, check_words, check_nothing, check_usage, check_files, check_locale):
            part(case)
    return case.tap.done()


sys.exit(main())
