#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Full-size templates measured back from the PDF's own paths against sums of our own.

template.py PROGRAM SOURCE_ROOT; speaks TAP. Paper: ISO 216 (A4), ASME Y14.1 (Letter). Fret places: twelve-tone equal temperament, S(1 - 2^(-n/12)).
Slot centres: equal gaps between the strings' edges inside the nut's margins, common practice. Two scale lengths: each outer string's own equal temperament, the square fret as far down both. Saddle: plane geometry of a circular board under straight strings."""

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


def document(folder, source, name, *changes):
    text = source.read_text(encoding="utf-8")
    for pattern, by in changes:
        text, n = re.subn(pattern, by, text)
        assert n > 0, pattern
    (folder / name).write_text(text, encoding="utf-8")
    return folder / name


def strokes(page):
    """Stroked paths but the bars at the foot and hatching, which runs one way on every page."""
    return [p.points for p in page.paths if p.kind in "SB" and min(y for _, y in p.points) > 30 and not is_hatch(p.points)]


def is_hatch(points):
    (x0, y0), (x1, y1) = points[0], points[-1]
    return len(points) == 2 and x0 != x1 and abs(abs(x0 - x1) - abs(y0 - y1)) < 0.01


def off_line(p, a, b):
    """How far a point lies from a stretch of line."""
    (x, y), (dx, dy) = (p[0] - a[0], p[1] - a[1]), (b[0] - a[0], b[1] - a[1])
    t = max(0.0, min(1.0, (x * dx + y * dy) / (dx * dx + dy * dy or 1)))
    return math.hypot(x - t * dx, y - t * dy)


def alike(a, b):
    """Two paths over the same ground: a point in a straight stretch may be left out of either."""
    return all(min(off_line(p, r, s) for r, s in zip(v, v[1:] or v)) < MOST_ERROR_MM for u, v in ((a, b), (b, a)) for p in u)


def check_left_handed(ruler, program, folder, source, name):
    """The same lines with the page's left and right exchanged, and the same figures."""
    left = document(folder, source, f"left-{name}", (r'(<profile [^>]*kind="instrument")', r'\1 hand="left"'))
    right_pages, left_pages = (pdfpaths.pages(write(program, folder, path)[0]) for path in (source, left))
    ruler.tap.check(len(right_pages) == len(left_pages), f"{name}: as many pages for either hand")
    for i, (right, other) in enumerate(zip(right_pages, left_pages)):
        lines, turned = strokes(right), [[(other.width - x, y) for x, y in points] for points in strokes(other)]
        lost = [line for line in lines if not any(alike(line, t) for t in turned)]
        differ = any(not any(alike(line, t) for t in strokes(other)) for line in lines)
        ruler.tap.check(not lost and differ and len(lines) == len(turned), f"{name}, page {i + 1}: what is drawn is mirrored", [str(lost)])
    figures = [program.run("compute", path, "--format=csv").stdout.replace(str(path), "FILE") for path in (source, left)]
    ruler.tap.check(figures[0] == figures[1] and "action" in figures[0], f"{name}: either hand has the same figures")


TREBLE, BASS, SQUARE = 647.7, 685.8, 7  # 25.5 and 27 in


def temperament(n):
    return 1 - 2 ** (-n / 12)


def slanting_lines(page, x_origin):
    """Lines from edge to edge of the rule, as what they cross at a height: fret lines run over the whole strip."""
    longest = max(abs(p.points[0][1] - p.points[1][1]) for p in page.paths if p.kind == "S" and len(p.points) == 2)
    found = [p.points for p in page.paths if p.kind == "S" and len(p.points) == 2 and abs(abs(p.points[0][1] - p.points[1][1]) - longest) < 0.01]
    return [((x0 - x_origin, y0), (x1 - x_origin, y1)) if y0 > y1 else ((x1 - x_origin, y1), (x0 - x_origin, y0)) for (x0, y0), (x1, y1) in found]


def crossing(line, y):
    (x0, y0), (x1, y1) = line
    return x0 + (x1 - x0) * (y - y0) / (y1 - y0)


def check_slanting(ruler, program, folder, source):
    """25.5 in at the treble, 27 in at the bass string, square at the 7th fret, over the first tile; and the nut's slant."""
    slanting = document(folder, source, "slanting.sidelong", (r'scale-length="[^"]*"', f'scale-length="{TREBLE}" scale-length-bass="{BASS}"'))
    instrument = Instrument(slanting)
    data, done = write(program, folder, slanting)
    pages = pdfpaths.pages(data)
    ruler.tap.check(done.returncode == DONE and len(pages) == 5, "slanting frets: nut, saddle and three tiles", [done.stderr, str(len(pages))])
    rule = pages[2]
    lines = slanting_lines(rule, 0)
    middle_y = (lines[0][0][1] + lines[0][1][1]) / 2
    nuts, bridges, t = instrument.slot_centres(), instrument.bridge_places(), temperament
    ahead = (BASS - TREBLE) * t(SQUARE)  # by which the treble's nut lies nearer to the bridge: 12.671 mm
    ruler.tap.check(abs(ahead - 12.6713) < 1e-4, "by hand: 38.1 (1 - 2^(-7/12)) = 12.6713 mm")
    # the bass string's nut lies 6 mm into the first tile, 14 mm from the page's edge
    origin = 14 + 6
    setbacks = [s["value"] for s in planned_setbacks(source)]
    for name, nut, bridge, start, scale, back in (("treble", nuts[0], bridges[0], ahead, TREBLE, setbacks[0]), ("bass", nuts[-1], bridges[-1], 0, BASS, setbacks[-1])):
        wanted, errors = [n for n in range(9)], []
        for n in wanted:
            y = middle_y + nut + (bridge - nut) * scale * t(n) / (scale + back)
            errors.append(min(abs(crossing(line, y) - origin - start - scale * t(n)) for line in lines))
        ruler.worst = max([ruler.worst, *errors])
        ruler.tap.check(max(errors) < MOST_ERROR_MM, f"slanting frets: nut and frets 1 to 8 below the {name} string", [str(errors)])
    square = min(lines, key=lambda line: abs(line[0][0] - line[1][0]))
    ruler.near([square[0][0] - origin, square[1][0] - origin], [BASS * t(SQUARE)], "slanting frets: the 7th lies square")
    check_slanting_ends(ruler, pages, instrument, ahead)
    check_slanting_figures(ruler, program, folder, source, slanting)
    check_left_handed(ruler, program, folder, slanting, "slanting.sidelong")


def check_slanting_ends(ruler, pages, instrument, ahead):
    """The nut from above over its outer slots, and along its edge in the view from the board's end; the line of the scales' ends."""
    nuts, middle = instrument.slot_centres(), pages[0].width / 2
    slope = ahead / (nuts[0] - nuts[-1])
    blank = max((p.points for p in pages[0].paths if p.kind in "SB" and len(p.points) == 5), key=lambda b: max(x for x, _ in b) - min(x for x, _ in b))
    left, right = (min(y for x, y in blank if abs(x - end) < 0.01) for end in (min(x for x, _ in blank), max(x for x, _ in blank)))
    ruler.near([left - right], [slope * instrument.nut_width], "slanting frets: the nut's slant from above")
    ruler.near([p.points[0][0] - middle for p in pages[0].upright()], [side * instrument.nut_width / 2 * math.hypot(1, slope) for side in (-1, 1)], "slanting frets: the nut's length along its edge")
    across = [p.points for p in pages[1].paths if p.kind == "S" and len(p.points) == 2 and abs(abs(p.points[0][0] - p.points[1][0]) - instrument.spread - 20) < 0.1]
    rises = [abs(a[1] - b[1]) / abs(a[0] - b[0]) for a, b in across]
    ruler.tap.check(any(abs(r * instrument.spread - (BASS - TREBLE - ahead)) < MOST_ERROR_MM for r in rises), "slanting frets: the scales' ends on the saddle's page", [str(rises)])


def check_slanting_figures(ruler, program, folder, source, slanting):
    places = {(r["string"], r["fret"]): float(r["value"]) for r in program.rows(slanting) if r["quantity"] == "fret-position"}
    ruler.near([places.get(("1", "12"), 0), places.get(("6", "12"), 0)], [TREBLE / 2, BASS / 2], "slanting frets: fret 12 halves either string's scale")
    length = re.search(r'scale-length="([^"]*)"', source.read_text(encoding="utf-8")).group(1)
    equal = document(folder, source, "equal.sidelong", (r"scale-length=", f'scale-length-bass="{length}" scale-length='))
    one, both = (program.run("compute", path, "--format=csv").stdout.replace(str(path), "FILE") for path in (source, equal))
    ruler.tap.check(one == both, "equal scales in both attributes give exactly the figures of one")
    bare = document(folder, slanting, "bare-slanting.sidelong", (r' nut-width="[^"]*"', ""))
    data, done = write(program, folder, bare)
    ruler.tap.check(done.returncode == DONE and "fret rule" in done.stderr and len(pdfpaths.pages(data)) == 1, "slanting frets without the nut's width: the rule is left out, and said to be", [done.stderr])


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
        check_left_handed(ruler, program, folder, source, "plain")
        check_slanting(ruler, program, folder, source)
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
