#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Renders the photographs of the demonstration profiles from the figures in them; nobody took these pictures.

pictures.py [NAME…]; with names, only the pictures whose file's name has one of them. Needs rsvg-convert and ImageMagick. What is measured in a
picture is placed where the profile's reading says, and marked_places() tells where that is in pixels: tests/lint-data.py holds the profiles to it.
Twice the same bytes: every grain has a seed of its own, and no clock is read."""

import math
import pathlib
import random
import struct
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ElementTree

sys.dont_write_bytecode = True
HERE = pathlib.Path(__file__).resolve().parent
sys.path.insert(0, str(HERE))
from subjects import bridge_back, fret_side, frets_above, front, headstock_front, nut_front, saddle_side

NS = {"p": "urn:sidelong:profile:1"}
MOST_BYTES = 120_000


class Scene:
    """A picture under way. Places are mm, right and down from a place of the subject's own; the camera is turned by a tilt in degrees."""

    def __init__(self, size, px_per_mm, origin, tilt=0.0, seed=1):
        self.size, self.scale, self.origin, self.tilt, self.seed = size, px_per_mm, origin, tilt, seed
        self.body, self.defs, self.count, self.places = [], [], 0, {}
        self.random = random.Random(seed)

    def at(self, x, y):
        """Where a place is, px."""
        turn = math.radians(self.tilt)
        dx, dy = x * self.scale, y * self.scale
        return (self.origin[0] + dx * math.cos(turn) - dy * math.sin(turn), self.origin[1] + dx * math.sin(turn) + dy * math.cos(turn))

    def view(self):
        """What the picture shows and a little more: left, right, top and bottom, mm."""
        (x, y), (width, height), mm = self.origin, self.size, 1 / self.scale
        spare = 0.04 * max(self.size) * mm
        return -x * mm - spare, (width - x) * mm + spare, -y * mm - spare, (height - y) * mm + spare

    def place(self, name, *spots):
        """Notes where the marks of a measure belong."""
        self.places[name] = [self.at(*spot) for spot in spots]

    def add(self, *parts):
        self.body.extend(parts)

    def define(self, kind, inside, **attributes):
        self.count += 1
        name = f"d{self.count}"
        said = "".join(f' {key.replace("_", "-")}="{value}"' for key, value in attributes.items())
        self.defs.append(f'<{kind} id="{name}"{said}>{inside}</{kind}>')
        return f"url(#{name})"

    def fade(self, *stops, across=False):
        """A gradient downwards or across: (place 0 to 1, colour[, opacity])."""
        inside = "".join(f'<stop offset="{stop[0]}" stop-color="{stop[1]}" stop-opacity="{stop[2] if len(stop) > 2 else 1}"/>' for stop in stops)
        return self.define("linearGradient", inside, x1=0, y1=0, x2=1 if across else 0, y2=0 if across else 1)

    def glow(self, *stops, x=0.5, y=0.5, r=0.5):
        inside = "".join(f'<stop offset="{stop[0]}" stop-color="{stop[1]}" stop-opacity="{stop[2] if len(stop) > 2 else 1}"/>' for stop in stops)
        return self.define("radialGradient", inside, cx=x, cy=y, r=r)

    def soft(self, mm):
        """A blur."""
        return self.define("filter", f'<feGaussianBlur stdDeviation="{mm:.4f}"/>', filterUnits="userSpaceOnUse", x=-999, y=-999, width=1998, height=1998,
                           color_interpolation_filters="sRGB")

    def grain(self, along, across, dark, strength, octaves=4, kind="fractalNoise", cut=(1.9, -0.45)):
        """A grain laid over a shape's own colour: cycles per mm along and across, its colour (0 to 1 each), how much of it."""
        self.count += 1
        slope, start = cut
        r, g, b = dark
        inside = (f'<feTurbulence type="{kind}" baseFrequency="{along} {across}" numOctaves="{octaves}" seed="{self.seed * 31 + self.count}" result="n"/>'
                  f'<feColorMatrix in="n" values="0 0 0 0 {r} 0 0 0 0 {g} 0 0 0 0 {b} {slope * strength} 0 0 0 {start * strength}" result="c"/>'
                  '<feComposite in="c" in2="SourceAlpha" operator="in" result="g"/><feMerge><feMergeNode in="SourceGraphic"/><feMergeNode in="g"/></feMerge>')
        return self.define("filter", inside, x="0", y="0", width="100%", height="100%", color_interpolation_filters="sRGB")

    def group(self, inside, **attributes):
        said = "".join(f' {key.replace("_", "-")}="{value}"' for key, value in attributes.items())
        self.add(f"<g{said}>", *inside, "</g>")

    def svg(self):
        width, height = self.size
        turn = f"translate({self.origin[0]} {self.origin[1]}) rotate({self.tilt}) scale({self.scale})"
        return (f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" viewBox="0 0 {width} {height}">'
                f'<defs>{"".join(self.defs)}</defs><g transform="{turn}">{"".join(self.body)}</g></svg>')


def finish(s, to, quality=76, exif=None, turn=0, soft=0.7):
    """What the lens, the sensor and the camera do: fall-off of light, blur, grain, JPEG."""
    with tempfile.TemporaryDirectory() as folder:
        drawn, plain = pathlib.Path(folder, "drawn.svg"), pathlib.Path(folder, "plain.png")
        drawn.write_text(s.svg())
        subprocess.run(["rsvg-convert", drawn, "-o", plain], check=True)
        width, height = s.size
        # One thread: several would share the seed's numbers out as they come.
        subprocess.run(["convert", "-limit", "thread", "1", plain, "-background", "#222", "-flatten",
                        "(", "-size", f"{width}x{height}", "radial-gradient:#ffffff-#c9c4bc", ")", "-compose", "multiply", "-composite",
                        "-blur", f"0x{soft}",
                        "(", "-size", f"{width}x{height}", "xc:gray50", "-seed", str(s.seed), "-attenuate", "0.25", "+noise", "Gaussian", "-colorspace", "Gray", "-blur", "0x0.6", ")",
                        "-compose", "overlay", "-composite", "-rotate", str(turn), "-strip", "-sampling-factor", "4:2:0", "-quality", str(quality),
                        pathlib.Path(folder, "out.jpg")], check=True)
        data = pathlib.Path(folder, "out.jpg").read_bytes()
    if exif:
        data = data[:2] + exif + data[2:]
    to.write_bytes(data)
    return len(data)


def reading(profile, taken, what, string, fret=None):
    """A figure of a set of readings in a profile."""
    root = ElementTree.parse(HERE / f"{profile}.sidelong").getroot()
    at = "" if fret is None else f"[@fret='{fret}']"
    found = root.find(f".//p:readings[@id='{taken}']/p:{what}[@string='{string}']{at}", NS)
    return float(found.get("height" if what == "exposure" else "gap"))


def readings_like(profile, mark):
    """Every figure in a profile of what a mark measures, in whichever set."""
    root = ElementTree.parse(HERE / f"{profile}.sidelong").getroot()
    found = root.findall(f".//p:readings/p:{mark.get('of')}[@string='{mark.get('string')}']", NS)
    return [float(one.get("height") or one.get("gap")) for one in found if one.get("fret") == mark.get("fret")]


def profile_of(name):
    return ElementTree.parse(HERE / f"{name}.sidelong").getroot()


def strings_of(name):
    """The diameter of each string of a profile, first to last, and the pitch of its winding or 0."""
    found = profile_of(name).findall("p:strings/p:string", NS)
    return [(float(one.get("core-diameter")) + 2 * float(one.get("wrap-diameter") or 0), float(one.get("wrap-diameter") or 0)) for one in found]


def figure(name, element, attribute):
    return float(profile_of(name).find(f"p:{element}", NS).get(attribute))


def slots(name):
    """How far the slots lie apart at the nut, and the first from the edge."""
    bass, treble = (figure(name, "nut", f"edge-margin-{side}") for side in ("bass", "treble"))
    return (figure(name, "neck", "nut-width") - bass - treble) / 5, treble


def at_twelve(name, taken, seed, tilt, origin):
    s = Scene((1400, 1050), 60, origin, tilt, seed)
    fret_side(s, reading(name, taken, "action", 1, 12), strings_of(name)[0][0], 1.02, 2.3, 0.30, rise=0.0035)
    return s


def fret_two(name, seed, tilt, height, land, worn):
    s = Scene((1400, 1050), 150, (430, 760), tilt, seed)
    fret_side(s, 0.62, strings_of(name)[0][0], height, 2.3, land, rise=0.0035, worn=worn, rule_at=2.5, known=(1, 4))
    return s


def three_frets(name, seed, tilt, worn):
    s = Scene((1400, 1000), 18.6, (672, 866), tilt, seed)
    frets_above(s, figure(name, "neck", "scale-length"), strings_of(name), *slots(name), worn)
    return s


def saddle(name, taken, seed, tilt):
    s = Scene((1400, 1050), 46, (560, 570), tilt, seed)
    anchor = profile_of(name).find("p:bridge/p:anchor[@string='1']", NS)
    saddle_side(s, reading(name, taken, "exposure", 1), strings_of(name)[0][0], figure(name, "saddle", "thickness"), float(anchor.get("distance")), float(anchor.get("drop")))
    return s


def bridge(name, seed, tilt, lifted):
    s = Scene((1400, 1000), 29, (690, 620), tilt, seed)
    bridge_back(s, lifted)
    return s


def nut(name, seed, tilt, chipped):
    s = Scene((1400, 1000), 60, (1170, 640), tilt, seed)
    nut_front(s, [diameter for diameter, _ in strings_of(name)[:3]], *slots(name), chipped)
    return s


def headstock(name, seed, tilt):
    s = Scene((1050, 1400), 6.4, (525, 1130), tilt, seed)
    posts = [(float(post.get("distance")), float(post.get("side"))) for post in profile_of(name).findall("p:headstock/p:post", NS)]
    headstock_front(s, posts, figure(name, "neck", "nut-width"), [figure(name, "nut", f"edge-margin-{side}") for side in ("bass", "treble")], strings_of(name))
    return s


def whole(name, seed, tilt):
    s = Scene((1050, 1400), 2.25, (525, 830), tilt, seed)
    front(s, strings_of(name), figure(name, "bridge", "spread"))
    return s


def camera(taken, orientation):
    """EXIF as a camera writes it: which way it was held, and when ("2026:02:09 09:50:00")."""
    count = struct.pack("<H", 2) + struct.pack("<HHIHH", 0x0112, 3, 1, orientation, 0) + struct.pack("<HHII", 0x8769, 4, 1, 38) + struct.pack("<I", 0)
    taken_at = struct.pack("<H", 1) + struct.pack("<HHII", 0x9003, 2, 20, 56) + struct.pack("<I", 0) + taken.encode() + b"\0"
    body = b"Exif\0\0II*\0" + struct.pack("<I", 8) + count + taken_at
    return b"\xff\xe1" + struct.pack(">H", len(body) + 2) + body


ANCHOR, FERRY = "anchor-street-flat-top", "ferry-steps-flat-top"
# Profile, file: what makes its scene, and what finish() is to be told.
PICTURES = {
    (ANCHOR, "frets.jpg"): (lambda: three_frets(ANCHOR, 21, 0.4, True), {"quality": 68}),
    (ANCHOR, "frets-2.jpg"): (lambda: three_frets(ANCHOR, 22, 0.2, False), {"quality": 68}),
    (ANCHOR, "fret-2.jpg"): (lambda: fret_two(ANCHOR, 5, -0.4, 0.92, 1.20, True), {}),
    (ANCHOR, "fret-2-2.jpg"): (lambda: fret_two(ANCHOR, 6, 0.3, 0.88, 0.30, False), {}),
    # The camera was held upright: the pixels lie on their side, as such cameras store them.
    (ANCHOR, "front.jpg"): (lambda: whole(ANCHOR, 31, 0.8), {"exif": camera("2026:02:09 09:50:00", 6), "turn": -90, "quality": 70}),
    (ANCHOR, "headstock.jpg"): (lambda: headstock(ANCHOR, 32, -0.6), {"exif": camera("2026:02:09 09:52:00", 1), "quality": 72}),
    (ANCHOR, "fret-12.jpg"): (lambda: at_twelve(ANCHOR, "r2", 3, 0.6, (440, 800)), {}),
    (ANCHOR, "saddle.jpg"): (lambda: saddle(ANCHOR, "r2", 33, 0.5), {}),
    (ANCHOR, "bridge.jpg"): (lambda: bridge(ANCHOR, 34, -0.5, True), {}),
    (ANCHOR, "bridge-2.jpg"): (lambda: bridge(ANCHOR, 35, -0.2, False), {}),
    (FERRY, "nut.jpg"): (lambda: nut(FERRY, 41, 0.5, True), {}),
    (FERRY, "nut-2.jpg"): (lambda: nut(FERRY, 42, -0.3, False), {}),
    (FERRY, "fret-12.jpg"): (lambda: at_twelve(FERRY, "r1", 11, -0.5, (430, 790)), {}),
    (FERRY, "fret-12-2.jpg"): (lambda: at_twelve(FERRY, "r2", 12, 0.4, (445, 802)), {}),
    (FERRY, "fret-12-3.jpg"): (lambda: at_twelve(FERRY, "r3", 13, -0.8, (452, 795)), {}),
}


def marked_places(profile, file):
    """Where the marks of each measure belong in a picture, px from its upright top left corner; {} where nothing is measured."""
    return PICTURES[profile, file][0]().places


def main(names):
    for (profile, file), (scene, told) in PICTURES.items():
        if names and not any(name in f"{profile}.photos/{file}" for name in names):
            continue
        folder = HERE / f"{profile}.photos"
        folder.mkdir(exist_ok=True)
        s = scene()
        size = finish(s, folder / file, **told)
        print(f"{profile}.photos/{file}: {size / 1000:.0f} kB")
        for name, spots in s.places.items():
            print("   ", name, " ".join(f'x{n + 1}="{x:.1f}" y{n + 1}="{y:.1f}"' for n, (x, y) in enumerate(spots)))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
