#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Full-size templates measured back from the PDF's own paths against sums of our own.

template.py PROGRAM SOURCE_ROOT; speaks TAP. Paper: ISO 216 (A4), ASME Y14.1 (Letter). Fret places: twelve-tone equal temperament, S(1 - 2^(-n/12)).
Slot centres: equal gaps between the strings' edges inside the nut's margins, common practice. Saddle: plane geometry of a circular board under straight strings."""

import math
import pathlib
import re
import sys
import tempfile
import xml.etree.ElementTree as ElementTree

sys.dont_write_bytecode = True
import pdfpaths
from program import DONE, FAULT, USAGE, Tap, paths

NS = "{urn:sidelong:profile:1}"
MOST_ERROR_MM = 0.05
PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}


class Instrument:
    """The few numbers the sums need, read from the document itself."""

    def __init__(self, path):
        root = ElementTree.parse(path).getroot()
        neck, nut, bridge = (root.find(NS + name) for name in ("neck", "nut", "bridge"))
        self.scale, self.frets, self.joint = float(neck.get("scale-length")), int(neck.get("frets")), int(neck.get("joint-fret"))
        self.nut_width, self.radius = float(neck.get("nut-width")), float(neck.get("board-radius-nut"))
        self.flat = neck.get("board-radius-nut") == neck.get("board-radius-end")
        self.bass, self.treble = float(nut.get("edge-margin-bass")), float(nut.get("edge-margin-treble"))
        self.allowance, self.spread = float(nut.get("slot-allowance")), float(bridge.get("spread"))
        self.outside = [float(s.get("core-diameter")) + 2 * float(s.get("wrap-diameter", 0)) for s in root.iter(NS + "string")]

    def fret(self, n):
        return self.scale * (1 - 2 ** (-n / 12))

    def slot_centres(self):
        gap = (self.nut_width - self.bass - self.treble - sum(self.outside)) / (len(self.outside) - 1)
        edge, centres = self.nut_width / 2 - self.treble, []
        for d in self.outside:
            centres.append(edge - d / 2)
            edge -= d + gap
        return centres

    def bridge_places(self):
        n = len(self.outside)
        return [self.spread / 2 - self.spread * i / (n - 1) for i in range(n)]

    def arc(self, y):
        return math.sqrt(self.radius ** 2 - y ** 2) - self.radius

    def crests(self, height, setback):
        """Crests in the frame of the board's middle: each string's own, put back onto the arc of the board below it."""
        x_1, x_j, tops = self.fret(1), self.fret(self.joint), []
        for nut, bridge, z, back in zip(self.slot_centres(), self.bridge_places(), height, setback):
            x_s = self.scale + back
            a_1, a_j = (self.arc(nut + (bridge - nut) * x / x_s) for x in (x_1, x_j))
            tops.append(a_1 + (a_j - a_1) * (x_s - x_1) / (x_j - x_1) + z)
        return tops


class Ruler:
    """Collects the errors of what is measured, and remembers the largest."""

    def __init__(self, tap):
        self.tap, self.worst = tap, 0.0

    def near(self, lines, wanted, what):
        """The best of the places in lines for each one wanted."""
        lines = list(lines)
        errors = [min((abs(x - w) for x in lines), default=math.inf) for w in wanted]
        self.worst = max([self.worst, *errors])
        self.tap.check(max(errors) < MOST_ERROR_MM, what, [f"wanted {w:.3f}, off by {e:.4f} mm" for w, e in zip(wanted, errors) if e >= MOST_ERROR_MM])


def write(program, folder, source, *options, status=DONE):
    out = folder / "t.pdf"
    out.unlink(missing_ok=True)
    done = program.run("template", source, "-o", out, *options)
    return (out.read_bytes() if out.exists() else b""), done


def check_bars(ruler, pages, factor_x, factor_y):
    for i, page in enumerate(pages):
        lying = page.width > page.height
        lengths = [p.length() for p in page.level()]
        factor = factor_y if lying else factor_x
        ruler.near(lengths, [100 * factor, 101.6 * factor], f"page {i + 1}: bars of 100 mm and of 4 in")


def check_nut(ruler, page, instrument):
    middle = page.width / 2
    lines = [p.points[0][0] - middle for p in page.upright()]
    centres = instrument.slot_centres()
    ruler.near(lines, centres, "nut: slot centres")
    ruler.near(lines, [c + side * d / 2 for c, d in zip(centres, instrument.outside) for side in (-1, 1)], "nut: edges of the strings")
    boxes = [p.points for p in page.paths if p.kind in ("S", "B") and len(p.points) == 5]
    widths = sorted(max(x for x, _ in b) - min(x for x, _ in b) for b in boxes)
    ruler.near(widths, [d + instrument.allowance for d in instrument.outside] + [instrument.nut_width], "nut: widths of slots and of the blank")


def points_of(page, y_places, middle):
    """Polylines that have a point at every string's place across: crest lines."""
    for p in page.paths:
        if p.kind == "S" and len(p.points) == len(y_places) + 2:
            yield [dict((round(x - middle, 2), z) for x, z in p.points).get(round(y, 2)) for y in y_places]


def check_saddle(ruler, page, instrument, rows, cut):
    def planned(quantity):
        return [float(r["value"]) for r in rows if r["state"] == "planned" and r["quantity"] == quantity]

    middle, places = page.width / 2, instrument.bridge_places()
    exposure, moved = planned("exposure"), planned("setback")
    tops = instrument.crests(planned("crest-height"), moved)
    base = [tops[0] - exposure[0], tops[-1] - exposure[-1]]
    wanted = [t - (base[0] + (base[1] - base[0]) * i / (len(tops) - 1)) for i, t in enumerate(tops)]
    lines = [line for line in points_of(page, places, middle) if None not in line]
    across = [p.points[0][0] - middle for p in page.upright()]
    ruler.near(across, places, "saddle: strings' places across")
    # a crest over the bridge's top: over the level line of the saddle's length
    levels = sorted({round(p.points[0][1], 4) for p in page.level() if abs(p.length() - instrument.spread - 8) < 0.02})
    best = min(([z - level for z in line] for line in lines for level in levels), key=lambda zs: max(abs(z - w) for z, w in zip(zs, wanted)))
    ruler.near(best, wanted, "saddle: crest of every string over the bridge's top")
    steps = {round(abs(a - b), 3) for a in levels for b in levels if a != b}
    ruler.near(steps, [cut], "saddle: the base line after the cut lies the cut above the one before")
    # on the page the bridge is below, and the page's heights count upward
    backs = min(([line[0] - z for z in line] for line in lines), key=lambda zs: max(abs(z - (w - moved[0])) for z, w in zip(zs, moved)))
    ruler.near(backs, [m - moved[0] for m in moved], "saddle: setbacks from above")


def check_rule(ruler, pages, instrument, strips):
    """Tiles are joined by their crosses, as a person would."""
    tiles = []
    for page in pages:
        heights = sorted({round(max(p.points[0][1], p.points[1][1]), 2) for p in page.upright() if abs(p.length() - 24) < 0.5}, reverse=True)
        for top in heights:
            lines = sorted(p.points[0][0] for p in page.upright() if abs(p.length() - 24) < 0.5 and abs(max(q[1] for q in p.points) - top) < 0.1)
            inside = [p for p in page.upright() if abs(p.length() - 6) < 0.2 and top - 25 < p.points[0][1] < top + 1]
            tiles.append((lines, sorted({round(p.points[0][0], 4) for p in inside})))
    ruler.tap.check(len(tiles) == strips, f"rule: {strips} tiles", [f"{len(tiles)} found"])
    origin, found = tiles[0][0][0], []
    for i, (lines, crosses) in enumerate(tiles):
        if i > 0:
            origin += crosses[0] - tiles[i - 1][1][-1]
        found += [x - origin for x in lines]
    ruler.near(found, [instrument.fret(n) for n in range(instrument.frets + 1)] + [instrument.scale], "rule: every fret and the scale over the joined tiles")


def check_paper(ruler, program, folder, source, paper, half):
    instrument = Instrument(source)
    options = [f"--paper={paper}"] + (["--half-tiles"] if half else [])
    data, done = write(program, folder, source, *options)
    ruler.tap.check(done.returncode == DONE and done.stderr == "", f"template {' '.join(options)}", [done.stderr])
    pages = pdfpaths.pages(data)
    width, height = PAPERS[paper]
    for i, page in enumerate(pages):
        size = (width, height) if i < 2 else (height, width)
        good = abs(page.width - size[0]) < 0.01 and abs(page.height - size[1]) < 0.01
        ruler.tap.check(good, f"page {i + 1} is {paper} paper", [f"{page.width} x {page.height}"])
        places = [xy for p in page.paths if p.kind == "S" for xy in p.points]
        inside = all(10 - 0.01 <= x <= page.width - 9.99 and 10 - 0.01 <= y <= page.height - 9.99 for x, y in places)
        ruler.tap.check(inside, f"page {i + 1}: no line nearer to the edge than 10 mm")
    check_bars(ruler, pages, 1, 1)
    check_nut(ruler, pages[0], instrument)
    check_rule(ruler, pages[2:], instrument, 3)
    ruler.tap.check(len(pages) == (4 if half else 5), "as many pages as the tiles take")
    again, _ = write(program, folder, source, *options)
    ruler.tap.check(again == data, "the same call gives the same bytes")
    catalogue = pdfpaths.catalogue(data)
    ruler.tap.check(b"/PrintScaling /None" in catalogue and b"/Lang (en)" in catalogue, "viewers are asked not to scale, and told the language", [str(catalogue)])
    return pages


def check_correction(ruler, program, folder, source):
    data, _ = write(program, folder, source, "--correction-x=1.012", "--correction-y=0.985")
    check_bars(ruler, pdfpaths.pages(data), 1.012, 0.985)
    for text in ("0.5", "1.2", "nan", "two", ""):
        data, done = write(program, folder, source, f"--correction-x={text}")
        good = done.returncode == USAGE and not data and "0.9" in done.stderr and "1.1" in done.stderr
        ruler.tap.check(good, f"correction “{text}” is refused with what is accepted", [done.stderr])


def check_left_out(ruler, program, folder, source):
    text = re.sub(r' nut-width="[^"]*"', "", source.read_text(encoding="utf-8"))
    bare = folder / "bare.sidelong"
    bare.write_text(text, encoding="utf-8")
    data, done = write(program, folder, bare)
    ruler.tap.check(done.returncode == DONE and "nut" in done.stderr and len(pdfpaths.pages(data)) == 4, "without the nut's width the nut is left out, and said to be", [done.stderr])
    data, done = write(program, folder, bare, "--part=nut")
    ruler.tap.check(done.returncode == FAULT and not data and "width" in done.stderr, "asked for the nut alone, nothing is written", [done.stderr])

    for spread in ("0", "0.001"):
        narrow = folder / "narrow.sidelong"
        narrow.write_text(re.sub(r'(<bridge [^>]*spread=)"[^"]*"', rf'\1"{spread}"', source.read_text(encoding="utf-8")), encoding="utf-8")
        data, done = write(program, folder, narrow)
        ruler.tap.check(done.returncode == DONE and "saddle" in done.stderr and "spread" in done.stderr and data, f"a spread of {spread}: the saddle is left out, and said to be", [done.stderr])
        data, done = write(program, folder, narrow, "--part=saddle")
        ruler.tap.check(done.returncode == FAULT and not data and "spread" in done.stderr, f"a spread of {spread}: asked for the saddle alone, nothing is written", [done.stderr])


def main():
    tap = Tap()
    program, root = paths()
    source = root / "data" / "demo" / "anchor-street-flat-top.sidelong"
    ruler = Ruler(tap)
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        rows = program.rows(source)
        pages = check_paper(ruler, program, folder, source, "a4", False)
        rows += planned_setbacks(source)
        check_saddle(ruler, pages[1], Instrument(source), rows, 0.85)
        check_paper(ruler, program, folder, source, "letter", True)
        check_correction(ruler, program, folder, source)
        check_left_out(ruler, program, folder, source)
    print(f"# largest error {ruler.worst:.4f} mm")
    return tap.done()


def planned_setbacks(source):
    """Setbacks after the plan: read ones, straight between them, and the plan's moves."""
    visit = list(ElementTree.parse(source).getroot().iter(NS + "visit"))[-1]
    read = {int(s.get("string")): float(s.get("distance")) for s in visit.iter(NS + "setback")}
    moves = {int(m.get("string")): float(m.get("by")) for m in visit.iter(NS + "move-crest")}
    n = len(list(ElementTree.parse(source).getroot().iter(NS + "string")))
    return [{"state": "planned", "quantity": "setback", "value": read[1] + (read[n] - read[1]) * (s - 1) / (n - 1) + moves.get(s, 0)} for s in range(1, n + 1)]


if __name__ == "__main__":
    sys.exit(main())
