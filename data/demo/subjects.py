# SPDX-License-Identifier: GPL-3.0-or-later
"""What the photographs of the demonstration profiles show, drawn into a scene of pictures.py: places are mm, right and down."""

import math


def rect(x, y, width, height, fill, **attributes):
    said = "".join(f' {key.replace("_", "-")}="{value}"' for key, value in attributes.items())
    return f'<rect x="{x:.4f}" y="{y:.4f}" width="{width:.4f}" height="{height:.4f}" fill="{fill}"{said}/>'


def path(d, fill, **attributes):
    said = "".join(f' {key.replace("_", "-")}="{value}"' for key, value in attributes.items())
    return f'<path d="{d}" fill="{fill}"{said}/>'


def circle(x, y, r, fill, **attributes):
    said = "".join(f' {key.replace("_", "-")}="{value}"' for key, value in attributes.items())
    return f'<circle cx="{x:.4f}" cy="{y:.4f}" r="{r:.4f}" fill="{fill}"{said}/>'


# A rule's numbers in strokes, on a field 2 wide and 3 high, so that no font is needed.
STROKES = {"0": "M0 1Q0 0 1 0T2 1V2Q2 3 1 3T0 2Z", "1": "M.4 .6L1.2 0V3", "2": "M0 .9Q0 0 1 0T2 .9Q2 1.5 0 3H2", "3": "M0 .4Q1 -.3 1.7 .4T1 1.4Q2 1.5 2 2.2T1 3Q.2 3 0 2.5",
           "4": "M1.5 3V0L0 2H2", "5": "M1.8 0H.2V1.3Q2 .9 2 2T1 3Q.2 3 0 2.5"}


def number(text, x, y, high, turned=0):
    digits = "".join(f'<path transform="translate({2.9 * n} 0)" d="{STROKES[digit]}"/>' for n, digit in enumerate(text))
    return (f'<g transform="translate({x:.3f} {y:.3f}) rotate({turned}) scale({high / 3:.4f})" fill="none" stroke="#23272a" stroke-width="0.34" '
            f'stroke-linecap="round" stroke-linejoin="round">{digits}</g>')


def rule(s, x, foot, width, long, known):
    """A steel rule that stands on its end: half millimetres up its left edge, whole ones up its right; a known length of it is marked."""
    steel = s.fade((0, "#b4babd"), (0.06, "#e3e6e6"), (0.3, "#cdd2d4"), (0.62, "#eceeed"), (0.9, "#c0c5c8"), (1, "#8d9396"), across=True)
    s.add(rect(x + 0.5, foot - long, width, long, "#0a0c0e", opacity=0.4, filter=s.soft(0.45)))
    s.add(rect(x, foot - long, width, long, steel, filter=s.grain(6, 0.09, (0.2, 0.22, 0.24), 0.42)))
    s.add(rect(x, foot - long, width, long, s.fade((0, "#fff", 0.28), (0.5, "#fff", 0), (1, "#000", 0.22))))
    s.add(rect(x, foot - long, 0.05, long, "#f3f5f5", opacity=0.8))
    ticks = []
    for half in range(1, int(long * 2)):
        y = foot - half / 2
        left = 3.4 if half % 20 == 0 else 2.7 if half % 10 == 0 else 2.0 if half % 2 == 0 else 1.2
        ticks.append(f"M{x:.3f} {y:.3f}h{left}")
        if half % 2 == 0 and width > 8:
            ticks.append(f"M{x + width:.3f} {y:.3f}h{-(3.2 if half % 20 == 0 else 2.6 if half % 10 == 0 else 1.7)}")
        if half % 20 == 0:
            s.add(number(str(half // 2), x + 4.0, y + 0.1, 1.5))
    s.add(path("".join(ticks), "none", stroke="#1d2124", stroke_width=0.085))
    s.place("known", *((x + 0.8, foot - mm) for mm in known))


def string(s, x0, x1, y0, y1, diameter, wound=0.0, sheen="#f4f3ee"):
    """A string from the left to the right, by the middle of its ends; wound: its winding's pitch."""
    r = diameter / 2
    shape = f"M{x0} {y0 - r:.4f}L{x1} {y1 - r:.4f}V{y1 + r:.4f}L{x0} {y0 + r:.4f}Z"
    tone = s.fade((0, "#34393c"), (0.14, "#6f7477"), (0.34, sheen), (0.5, "#a6abad"), (0.8, "#383c3f"), (1, "#1c2022"))
    s.add(path(shape, tone))
    if wound:
        lines, x = [], x0
        while x < x1:
            y = y0 + (y1 - y0) * (x - x0) / (x1 - x0)
            lines.append(f"M{x:.3f} {y - r:.3f}q{wound * 0.4:.3f} {r:.3f} {wound * 0.25:.3f} {diameter:.3f}")
            x += wound
        s.add(path("".join(lines), "none", stroke="#2b1b0c", stroke_width=wound * 0.2, opacity=0.75))


def workshop(s, left, top, width, height, tint="#3a3f40", warm="#8a6a45"):
    """What is behind, far out of focus."""
    s.add(rect(left, top, width, height, s.fade((0, tint), (0.55, "#26292a"), (1, warm))))
    lights = [circle(left + s.random.random() * width, top + s.random.random() * height * 0.7, width * (0.02 + 0.035 * s.random.random()),
                     s.random.choice(["#e8c48c", "#9fb4b8", "#d8d2c4", "#6f8a86"]), opacity=round(0.10 + 0.16 * s.random.random(), 3)) for _ in range(16)]
    s.group(lights, filter=s.soft(width * 0.006))


def paper(s, left, right, top, foot=0.0):
    """A card that stands behind, and the light that falls on it from the left."""
    edge, wide = top * 0.88, right - left
    s.add(rect(left, edge, wide, foot - edge, "#f3f0e6", filter=s.grain(1.6, 1.6, (0.4, 0.37, 0.3), 0.07)))
    s.add(rect(left, edge, wide, foot - edge, s.fade((0, "#fff", 0.34), (0.45, "#fff", 0.05), (1, "#2a2620", 0.16), across=True)))
    s.add(rect(left, foot - 1.7, wide, 1.7, s.fade((0, "#1c1712", 0), (1, "#1c1712", 0.3))))


def crown(width, height, land):
    """The outline of a fret over the board, worn or shaped to a land."""
    a, b, up = width / 2, land / 2, height * 0.18
    return (f"M{-a:.4f} 0V{-up:.4f}C{-a:.4f} {-height * 0.72:.4f} {-(b + (a - b) * 0.55):.4f} {-height:.4f} {-b:.4f} {-height:.4f}"
            f"H{b:.4f}C{b + (a - b) * 0.55:.4f} {-height:.4f} {a:.4f} {-height * 0.72:.4f} {a:.4f} {-up:.4f}V0Z")


def fret_end(s, height, width, land, worn):
    """The end of a fret: dark where it mirrors the room, a filed facet within, light along its shoulder."""
    outline = crown(width, height, land)
    s.add(path(outline, s.fade((0, "#343634"), (0.14, "#565955"), (0.4, "#8f918c"), (0.75, "#6b6d69"), (1, "#3d3f3c")), filter=s.grain(7, 1.4, (0.1, 0.1, 0.09), 0.35)))
    facet = s.fade((0, "#f4f4ee"), (0.4, "#c9cac4"), (0.75, "#a2a49e"), (1, "#8b8d87"), across=True)
    inner = f'transform="translate(0.03 0) scale(0.84 0.78)"'
    s.add(f"<g {inner}>{path(outline, facet, filter=s.grain(1.3, 16, (0.2, 0.2, 0.18), 0.5))}</g>")
    s.add(f"<g {inner}>{path(outline, s.fade((0, '#fff', 0.5), (0.3, '#fff', 0.0), (1, '#000', 0.35)))}</g>")
    s.add(f'<g {inner} filter="{s.soft(0.012)}">' + path(outline, "none", stroke="#fffef8", stroke_width=0.035, opacity=0.8) + "</g>")
    if worn:
        # What a string has rubbed flat is bright and scratched along; verdigris sits in the corners.
        s.add(path(f"M{-land / 2 + 0.05:.3f} {-height + 0.07:.3f}H{land / 2 - 0.05:.3f}", "none", stroke="#fdf6e4", stroke_width=0.05, opacity=0.9, stroke_linecap="round"))
        s.add(path(f"M{-land / 2:.3f} {-height + 0.13:.3f}q{land / 4:.3f} 0.05 {land / 2:.3f} 0t{land / 2:.3f} 0", "none", stroke="#4a4237", stroke_width=0.05, opacity=0.6, filter=s.soft(0.02)))
        s.add(path(outline, s.fade((0, "#6a5a35", 0), (0.6, "#5e5a36", 0.12), (1, "#3f4a35", 0.75))))


def fret_side(s, gap, diameter, height, width, land, rise=0.0, worn=False, rule_at=4.5, known=(2, 12), thick=5.6):
    """A fret from the neck's treble edge, square to it: the string over the crown, a rule upright on the board, a card behind them.
    gap: the string over the crown; rise: of the string, mm per mm towards the bridge."""
    left, right, top, low = s.view()
    workshop(s, left, top, right - left, low - top)
    paper(s, left, right, top)
    rule(s, rule_at, 0, 13, -top + 1, known)
    y0, y1 = (-height - gap - diameter / 2 - rise * x for x in (left, right))
    # The shadows of the string and the fret on what is behind them.
    s.add(path(f"M{left} {y0 + 0.55:.3f}L{right} {y1 + 0.55:.3f}", "none", stroke="#15120e", stroke_width=diameter, opacity=0.33, filter=s.soft(0.22)))
    s.add(f'<g transform="translate(0.55 0.05)" opacity="0.4" filter="{s.soft(0.28)}">{path(crown(width, height, land), "#120f0b")}</g>')
    board(s, left, right, low, thick)
    fret_end(s, height, width, land, worn)
    string(s, left, right, y0, y1, diameter)
    at = -height - gap
    s.place("action", (0, at), (0, -height))
    s.place("crown-height", (0, -height), (0, 0))
    s.place("crown-land", (-land / 2, -height), (land / 2, -height))


def board(s, left, right, low, thick):
    """The edge of the fingerboard and the neck under it, seen square on."""
    wide = right - left
    s.add(rect(left, 0, wide, thick, "#7a4d36", filter=s.grain(0.12, 2.6, (0.12, 0.05, 0.03), 0.85)))
    s.add(rect(left, 0, wide, thick, "#7a4d36", opacity=0.45, filter=s.grain(0.9, 17, (0.06, 0.02, 0.01), 1.0)))
    s.add(rect(left, 0, wide, thick, s.fade((0, "#000", 0), (0.75, "#000", 0.12), (1, "#000", 0.42))))
    s.add(rect(left, 0, wide, 0.16, s.fade((0, "#a47c5e", 0.9), (1, "#6b4631", 0.0))))
    s.add(rect(left, thick, wide, low - thick, "#b5763f", filter=s.grain(0.06, 1.8, (0.3, 0.14, 0.05), 0.7)))
    s.add(rect(left, thick, wide, low - thick, s.fade((0, "#000", 0.35), (0.06, "#000", 0.05), (1, "#000", 0.55))))
    s.add(rect(left, thick - 0.03, wide, 0.06, "#170d07", opacity=0.7))
    # The fret's tang in its slot.
    s.add(rect(-0.27, 0, 0.54, 1.8, "#1d120b", opacity=0.6))
    s.add(circle(-11.5, thick * 0.48, 1.1, "#ece6d6"), circle(-11.5, thick * 0.48, 1.1, s.glow((0.5, "#000", 0), (1, "#000", 0.3))))


def saddle_side(s, exposure, diameter, thickness, back, drop):
    """The saddle from the treble side, square to it: its crest over the bridge's top, and the string that breaks over it down to its pin."""
    left, right, top, low = s.view()
    workshop(s, left, top, right - left, low - top)
    paper(s, left, right, top, 9.0)
    rule(s, 10.4, 0, 13, -top + 1, (2, 12))
    r, front = diameter / 2, -8.6
    crest, anchor = -exposure - r, drop
    over = f"M{left} {crest + 0.012 * left:.3f}L-0.5 {crest - 0.006:.3f}Q0 {crest - 0.006:.3f} 0.45 {crest + 0.27:.3f}L{back * 0.80:.3f} {crest + (anchor - crest) * 0.80:.3f}"
    s.add(path(over, "none", stroke="#15120e", stroke_width=diameter, opacity=0.3, transform="translate(0.6 0.5)", filter=s.soft(0.25)))
    # The pin's head behind the string.
    s.add(path("M4.6 0Q4.6 -2.9 7.9 -2.9T11.2 0Z", s.glow((0, "#5a5652"), (0.5, "#262423"), (1, "#0f0e0e"), x=0.35, y=0.3, r=0.8)))
    s.add(path("M5.6 -1.9Q6.3 -2.6 7.6 -2.6", "none", stroke="#fff", stroke_width=0.16, opacity=0.55, stroke_linecap="round", filter=s.soft(0.06)))
    a = thickness / 2
    bone = f"M{-a:.3f} 0.2V{-exposure + 0.9:.3f}Q{-a:.3f} {-exposure:.3f} 0 {-exposure:.3f}T{a:.3f} {-exposure + 0.9:.3f}V0.2Z"
    s.add(f'<g transform="translate(0.5 0)" opacity="0.35" filter="{s.soft(0.3)}">{path(bone, "#120f0b")}</g>')
    s.add(path(bone, s.fade((0, "#b9ab87"), (0.18, "#e6d9b8"), (0.5, "#efe5c9"), (0.85, "#c9b98f"), (1, "#8f8160"), across=True), filter=s.grain(0.7, 5, (0.5, 0.4, 0.22), 0.32)))
    s.add(path(bone, s.fade((0, "#5f5334", 0.45), (0.18, "#fff", 0), (0.8, "#000", 0), (1, "#000", 0.12))))
    s.add(path(over, "none", stroke="#1f2325", stroke_width=diameter), path(over, "none", stroke="#8d9396", stroke_width=diameter * 0.55),
          path(over, "none", stroke="#f2f2ec", stroke_width=diameter * 0.18, transform=f"translate(0 {-r * 0.3:.3f})"))
    block = f"M{front} 1.2Q{front} 0 {front + 1.2} 0H{right}V9H{front + 0.4}Q{front} 9 {front} 8.4Z"
    s.add(rect(left, 9, right - left, low - 9, "#e3bf83", filter=s.grain(0.1, 2.4, (0.55, 0.36, 0.14), 0.6)))
    s.add(rect(left, 9, right - left, low - 9, s.fade((0, "#000", 0.42), (0.3, "#000", 0.08), (1, "#000", 0.3))))
    s.add(path(block, "#5d3a29", filter=s.grain(0.1, 2.7, (0.09, 0.04, 0.02), 0.8)))
    s.add(path(block, "#5d3a29", opacity=0.4, filter=s.grain(0.9, 16, (0.05, 0.02, 0.01), 1.0)))
    s.add(path(block, s.fade((0, "#ffe9d0", 0.08), (0.05, "#000", 0.0), (0.6, "#000", 0.1), (1, "#000", 0.55))))
    s.add(path(f"M{front + 1.0} 0.04H{-a - 0.2:.2f}M{a + 0.2:.2f} 0.04H{right}", "none", stroke="#c79c7c", stroke_width=0.07, opacity=0.8))
    s.place("exposure", (0, -exposure), (0, 0))
    slope = (anchor - crest) / back
    s.place("break-angle", (-8, crest - 8 * 0.012), (0, crest), (3.6, crest + 3.6 * slope))


def spruce(s, left, right, near, far, away=60.0):
    """A top that recedes from the near to the far height, sharp as far as 0: its grain runs together towards a point out of sight."""
    inside = [rect(left, far, right - left, near - far, s.fade((0, "#b58a50"), (0.45, "#e2bd82"), (1, "#f0d29d")))]
    lines, x = {}, left * 4
    while x < right * 4:
        x += 0.3 + 0.8 * s.random.random() * (1.4 + math.sin(x / 9))
        share = [(y + away) / (near + away) for y in (near, far)]
        lines.setdefault(s.random.choice((0.08, 0.14, 0.24)), []).append(f"M{x * share[0]:.2f} {near:.2f}L{x * share[1]:.2f} {far:.2f}")
    inside += [path("".join(found), "none", stroke="#8a5a22", stroke_width=0.14, opacity=opacity) for opacity, found in lines.items()]
    s.group(inside, filter=s.soft(0.03))
    fading = s.fade((0, "#fff"), (-(far + 5) / (near - far), "#fff"), (-(far - 1) / (near - far), "#000"), (1, "#000"))
    s.group([f'<g filter="{s.soft(0.5)}">{"".join(inside)}</g>'], mask=s.define("mask", rect(left, far, right - left, near - far, fading), maskUnits="userSpaceOnUse", x=left, y=far, width=right - left, height=near - far))


def bridge_back(s, lifted):
    """The bridge from the tail, low: its back edge on the top, or lifted at the bass corner with a strip of paper in the gap."""
    left, right, top, low = s.view()
    spruce(s, left, right, low, top)
    s.add(rect(left, top, right - left, -top * 0.75, s.fade((0, "#20180e", 0.6), (1, "#20180e", 0))))
    corner, end, gap = -18.5, 17.0, (1.5 if lifted else 0.0)
    height = 8.0

    def under(x):
        return -gap * max(0.0, (end - x) / (end - corner)) ** 1.6

    xs = [corner + 1.2 + n * (right - corner - 1.2) / 40 for n in range(41)]
    foot = "".join(f"L{x:.2f} {under(x):.3f}" for x in xs)
    back = "".join(f"L{x:.2f} {under(x) * 0.8 - height:.3f}" for x in reversed(xs))
    face = f"M{corner} {under(corner) - 1.2:.3f}Q{corner} {under(corner):.3f} {corner + 1.2} {under(corner + 1.2):.3f}{foot}{back}Q{corner} {under(corner) - height:.3f} {corner} {under(corner) - height + 1.5:.3f}Z"
    # What is farther off than the back edge: the bridge's top, pins, saddle and strings.
    far = [path(f"M{corner + 1} {-height - gap * 0.8 + 0.3:.2f}L{corner + 8} {-height - 7.2}H{right}V{-height + 0.3}Z", s.fade((0, "#73503b"), (1, "#8d6650")), filter=s.grain(0.14, 4, (0.12, 0.06, 0.03), 0.6))]
    for n in range(5):
        x = -6 + 11 * n
        far += [path(f"M{x * 0.9:.2f} {-height - 6.3}L{x * 0.52:.2f} {top}", "none", stroke="#caa062" if n < 3 else "#d9dcdc", stroke_width=(0.62, 0.52, 0.42, 0.34, 0.3)[n])]
    far.append(rect(corner + 11.5, -height - 7.0, right - corner, 1.5, s.fade((0, "#fff8e2"), (1, "#cdbd92"))))
    for n in range(5):
        x = -6 + 11 * n
        far += [f'<ellipse cx="{x + 0.5:.2f}" cy="{-height - 2.2}" rx="3.4" ry="1.5" fill="#1d120b" opacity="0.55"/>',
                f'<ellipse cx="{x:.2f}" cy="{-height - 3.1}" rx="3.1" ry="2.1" fill="{s.glow((0, "#8a8078"), (0.25, "#4a443f"), (0.7, "#211e1c"), (1, "#0f0e0d"), x=0.35, y=0.25, r=0.75)}"/>', f'<ellipse cx="{x}" cy="{-height - 3.7}" rx="0.55" ry="0.36" fill="#e8ebe4"/>']
    s.group(far, filter=s.soft(0.16))
    if lifted:
        shadow = f"M{corner} 0.15{foot}L{right} 0.3L{corner} 0.3Z"
        s.add(path(f"M{corner + 0.2} {under(corner):.3f}{foot}L{end} 0.10L{corner + 0.2} 0.10Z", s.fade((0, "#7d5c33"), (0.03, "#3a2712"), (0.1, "#140b06"), (1, "#140b06"), across=True)))
        s.add(path(shadow, "#1a0f07", opacity=0.8, filter=s.soft(0.14)))
        for _ in range(30):  # old glue that let go
            x = corner + 1 + s.random.random() * (end - corner - 8)
            s.add(path(f"M{x:.2f} {0.02 + 0.3 * s.random.random():.2f}l{0.3 + 0.7 * s.random.random():.2f} -0.1l0.2 0.14Z", "#c98a2e", opacity=0.75))
    s.add(path(f"M{corner + 0.3} 0.25H{right}V1.9H{corner - 0.6}Z", "#1c0f06", opacity=0.55, filter=s.soft(0.5)))
    s.add(path(face, "#5a3626", filter=s.grain(0.09, 2.2, (0.08, 0.03, 0.02), 0.85)), path(face, "#5a3626", opacity=0.4, filter=s.grain(0.8, 13, (0.05, 0.02, 0.01), 1.0)))
    s.add(path(face, s.fade((0, "#ffe2c0", 0.34), (0.07, "#000", 0.0), (0.55, "#000", 0.08), (1, "#000", 0.5))))
    s.add(path("M" + back[1:], "none", stroke="#e0b592", stroke_width=0.13, opacity=0.75, filter=s.soft(0.04)))
    if lifted:
        s.add(path("M-15.2 0.3L-16.6 12.4L-7.6 13.2L-8.4 0.3Z", "#1c0f06", opacity=0.45, filter=s.soft(0.45), transform="translate(0.7 0.3)"))
        y = under(-12)
        s.add(path(f"M-15.4 {y + 0.35:.2f}L-17 12L-8 12.8L-8.6 {y + 0.42:.2f}Z", s.fade((0, "#b9b4a6"), (0.12, "#e9e6db"), (0.6, "#fbfaf4"), (1, "#eae6da"))))
        s.add(path(f"M-15.4 {y + 0.35:.2f}L-17 12L-8 12.8", "none", stroke="#fff", stroke_width=0.08), path(f"M-15.2 {y + 0.3:.2f}H-8.5L-8.5 {y + 1.0:.2f}H-15.3Z", "#120a05", opacity=0.5, filter=s.soft(0.2)))
    else:
        s.add(path(f"M{corner + 0.8} 0.03H{right}", "none", stroke="#1a0e06", stroke_width=0.09, opacity=0.9))


def nut_front(s, diameters, spacing, margin, chipped):
    """The treble end of the nut from the fingerboard, a little from above, strings laid aside."""
    left, right, top, low = s.view()
    edge, front, back = 0.0, -2.7, -5.6
    workshop(s, left, top, right - left, low - top, tint="#4a4b47")
    head = [path(f"M{left} {back - 0.2}L{left} {top + 2}L{edge + 1} {top + 3.2}L{edge + 0.4} {back - 0.2}Z", s.fade((0, "#3a2519"), (1, "#5e3d2b")), filter=s.grain(0.25, 0.9, (0.06, 0.03, 0.01), 0.7)),
            circle(-5.2, top + 4.4, 2.0, s.glow((0, "#ffffff"), (0.35, "#c9cccb"), (0.7, "#7d8181"), (1, "#2f3232"), x=0.38, y=0.3, r=0.75)), circle(-5.2, top + 4.2, 0.6, "#2c2f2f"),
            circle(-13.5, top + 2.4, 2.0, s.glow((0, "#ffffff"), (0.35, "#c9cccb"), (0.7, "#7d8181"), (1, "#2f3232"), x=0.38, y=0.3, r=0.75))]
    s.group(head, filter=s.soft(0.42))
    # The fingerboard runs out of focus towards the lens.
    s.group([path(f"M{left} 0H{edge}L{edge + 3.2} {low}H{left}Z", "#6d4531", filter=s.grain(1.6, 0.16, (0.1, 0.04, 0.02), 0.6))], filter=s.soft(0.09))
    s.add(path(f"M{edge} 0L{edge + 3.2} {low}H{edge + 6.5}L{edge + 0.9} 0.4Z", s.fade((0, "#4c2d1d"), (1, "#2b180e"))))
    s.add(rect(left, 0, right - left, low, s.fade((0, "#000", 0.5), (0.12, "#000", 0.1), (1, "#000", 0.35))))
    fret = [path(f"M{left} 5.2H{edge + 2.0}Q{edge + 2.9} 5.4 {edge + 2.9} 6.7V7H{left}Z", s.fade((0, "#70726e"), (0.25, "#fbfbf4"), (0.5, "#b3b5af"), (1, "#454743"))), rect(left, 7, edge + 2.9 - left, 0.8, s.fade((0, "#000", 0.7), (1, "#000", 0)))]
    s.group(fret, filter=s.soft(0.22))
    old = chipped
    face = f"M{left} 0V{front}H{edge - 0.5}Q{edge} {front} {edge} {front + 0.6}V0Z"
    upper = f"M{left} {front}V{back}H{edge - 1.2}Q{edge - 0.5} {back} {edge - 0.4} {back + 0.5}L{edge} {front + 0.5}L{edge - 0.5} {front}Z"
    tones = ("#e2d3a6", "#c7b483", "#efe3bd") if old else ("#f1ead6", "#d9cfb4", "#faf5e6")
    s.add(path(upper, s.fade((0, tones[1]), (1, tones[2])), filter=s.grain(0.5, 2.2, (0.5, 0.38, 0.18), 0.26 if old else 0.1)))
    s.add(path(face, s.fade((0, tones[0]), (0.4, tones[0]), (1, tones[1])), filter=s.grain(0.45, 3.2, (0.45, 0.33, 0.15), 0.26 if old else 0.09)))
    s.add(path(face, s.fade((0, "#fff", 0.25), (0.2, "#fff", 0), (0.75, "#000", 0.05), (1, "#000", 0.42))))
    if old:  # grime above the board and in the corners
        s.add(path(f"M{left} -0.5Q-12 -0.7 -6 -0.4T0 -0.6V0H{left}Z", "#4a3517", opacity=0.5, filter=s.soft(0.12)))
    for n, diameter in enumerate(diameters):
        x, half = edge - margin - n * spacing, diameter / 2 + 0.03
        bottom = front + 0.62 * diameter + 0.42
        s.add(path(f"M{x - half * 0.96:.3f} {back}L{x - half * 1.02:.3f} {front}H{x + half * 1.02:.3f}L{x + half * 0.96:.3f} {back}Z", s.fade((0, "#241808"), (1, "#6f5a30"))))
        s.add(path(f"M{x - half:.3f} {front - 0.02}V{bottom - half:.3f}A{half:.3f} {half:.3f} 0 0 0 {x + half:.3f} {bottom - half:.3f}V{front - 0.02}Z", s.fade((0, "#5a4722"), (1, "#1c1206"))))
        s.add(path(f"M{x + half:.3f} {front}V{bottom - half:.3f}", "none", stroke="#fffbe8", stroke_width=0.04, opacity=0.7))
    s.add(path(f"M{left} {front}H{edge - 0.5}", "none", stroke="#fffdf0", stroke_width=0.07, opacity=0.75, filter=s.soft(0.03)))
    if chipped:
        x = edge - margin
        rim = [(-0.3, front - 0.9), (0.35, front - 1.25), (0.95, front - 0.8), (1.5, front - 0.55), (1.95, front + 0.1), (1.7, front + 0.55), (1.35, front + 0.8), (1.05, front + 1.3),
               (0.5, front + 1.45), (0.12, front + 1.2), (-0.4, front + 0.75), (-0.25, front)]
        rough = []
        for n, (rx, ry) in enumerate(rim):  # the break runs ragged from one corner of it to the next
            nx, ny = rim[(n + 1) % len(rim)]
            rough += [(x + rx + (nx - rx) * k / 5 + 0.07 * (s.random.random() - 0.5), ry + (ny - ry) * k / 5 + 0.07 * (s.random.random() - 0.5)) for k in range(5)]
        hole = "M" + "L".join(f"{px:.3f} {py:.3f}" for px, py in rough) + "Z"
        cut = s.define("clipPath", path(hole, "#000"))
        s.group([path(hole, s.fade((0, "#4c3a1a"), (0.3, "#8d7440"), (0.5, "#e6d7a8"), (0.8, "#f6edcc"), (1, "#cbb680")), filter=s.grain(1.1, 2.4, (0.36, 0.25, 0.09), 0.6)),
                 f'<g filter="{s.soft(0.13)}">' + path(hole, "none", stroke="#1a1005", stroke_width=0.34, opacity=0.75, transform="translate(0.06 0.1)") + "</g>",
                 path(f"M{x - 0.3} {front + 0.2}L{x + 0.4} {front - 0.1}L{x + 0.9} {front + 0.35}L{x + 1.9} {front - 0.1}", "none", stroke="#fff8df", stroke_width=0.05, opacity=0.8),
                 path(f"M{x - 0.3} {front + 0.6}Q{x + 0.5} {front + 0.5} {x + 1.0} {front + 0.95}", "none", stroke="#8d7440", stroke_width=0.05, opacity=0.8)], clip_path=cut)
        s.add(path(f"M{x + 1.0:.2f} {front + 1.3}l0.3 0.4l0.1 0.6", "none", stroke="#4d3a17", stroke_width=0.03, opacity=0.7))
        crumbs = [path(f"M{x + s.random.random() * 3 - 0.6:.2f} {0.4 + s.random.random() * 2:.2f}l0.16 -0.1l0.13 0.15l-0.17 0.1Z", "#efe4c2", opacity=0.9) for _ in range(7)]
        s.group(crumbs)


def frets_above(s, scale_length, diameters, spacing, margin, worn):
    """Frets 1 to 3 from straight above with their strings; worn: pits under the three trebles, a dry board, dirt along the frets."""
    left, right, top, low = s.view()
    at = [scale_length * (1 - 2 ** (-n / 12)) for n in range(5)]
    shift, width = at[2], 2.3
    s.add(rect(left, top, right - left, low - top, s.fade((0, "#6d7a73"), (1, "#56625c"))))
    s.add(rect(left, -1, right - left, 4.5, "#000", opacity=0.6, filter=s.soft(1.2)))
    wood = "#80593f" if worn else "#6a412c"
    s.add(rect(left, top, right - left, -top, wood, filter=s.grain(0.035, 0.85, (0.12, 0.05, 0.03), 0.85)))
    s.add(rect(left, top, right - left, -top, wood, opacity=0.5, filter=s.grain(0.25, 5, (0.06, 0.02, 0.01), 1.05)))
    s.add(rect(left, -0.5, right - left, 1.1, s.fade((0, "#fff", 0.0), (0.4, "#d9b08c", 0.45), (1, "#000", 0.55))))
    s.add(rect(left, top, right - left, low - top, s.glow((0, "#fff3dd", 0.30 if worn else 0.22), (0.6, "#fff3dd", 0.05), (1, "#000", 0.22), x=0.3, y=0.2, r=0.95)))
    x = (at[2] + at[3]) / 2 - shift
    s.add(circle(x + 0.12, -21.6, 3.05, "#1b100a", opacity=0.7), circle(x, -21.75, 3.0, s.glow((0, "#ffffff"), (0.4, "#e6ece8"), (0.75, "#cfd9d8"), (1, "#a9b1ad"), x=0.35, y=0.3, r=0.8), filter=s.grain(0.5, 0.25, (0.45, 0.62, 0.62), 0.5)))
    places = [-margin - n * spacing for n in range(6)]
    for n in (1, 2, 3):
        x = at[n] - shift
        if worn:
            s.add(rect(x - width / 2 - 1.0, top, width + 2.0, -top, s.fade((0, "#17110b", 0), (0.3, "#17110b", 0.5), (0.7, "#17110b", 0.5), (1, "#17110b", 0), across=True)))
        s.add(rect(x - width / 2 + 0.7, top, width + 0.5, -top - 0.5, "#0c0704", opacity=0.65, filter=s.soft(0.35)))
        tone = (((0, "#3b3c38"), (0.22, "#7f7f76"), (0.40, "#cfcdbf"), (0.50, "#a8a79b"), (0.75, "#6d6d65"), (1, "#2a2a27")) if worn
                else ((0, "#3f4241"), (0.22, "#8f9491"), (0.36, "#e9ebe6"), (0.42, "#ffffff"), (0.50, "#c4c8c4"), (0.75, "#787c7a"), (1, "#2c2e2d")))
        s.add(path(f"M{x - width / 2} {top}H{x + width / 2}V-0.9Q{x + width / 2} -0.4 {x + width / 2 - 0.5} -0.4H{x - width / 2 + 0.5}Q{x - width / 2} -0.4 {x - width / 2} -0.9Z",
                   s.fade(*tone, across=True), filter=s.grain(0.25 if worn else 3.0, 1.4 if worn else 0.06, (0.15, 0.13, 0.09), 0.55 if worn else 0.22)))
        s.add(path(f"M{x - width / 2 + 0.1} -0.5L{x - width / 2 + 0.5} -1.3H{x + width / 2 - 0.5}L{x + width / 2 - 0.1} -0.5Z", "#fff", opacity=0.35, filter=s.soft(0.08)))
        for which, deep in enumerate((1.0, 0.9, 0.6) if worn else ()):
            y, long, wide = places[which], 1.7 * deep + 0.7 + 0.3 * (3 - n), width + 0.12
            trough = f"M{x - wide / 2:.3f} {y - long / 2:.3f}Q{x:.3f} {y - long * 0.62:.3f} {x + wide / 2:.3f} {y - long / 2:.3f}V{y + long / 2:.3f}Q{x:.3f} {y + long * 0.62:.3f} {x - wide / 2:.3f} {y + long / 2:.3f}Z"
            bare = s.fade((0, "#1d1a15"), (0.16, "#5b5545"), (0.34, "#b8ad90"), (0.6, "#efe5c8"), (0.82, "#fffbea"), (0.93, "#d5cbae"), (1, "#6e6654"))
            s.add(path(trough, bare, opacity=0.55 + 0.4 * deep, filter=s.soft(0.07)))
            s.add(rect(x - wide / 2, y - long * 0.45, wide, long * 0.9, s.fade((0, "#000", 0.55), (0.2, "#000", 0), (0.8, "#000", 0), (1, "#000", 0.6), across=True), filter=s.soft(0.06)))
            s.add(path("".join(f"M{x - wide * 0.42:.2f} {y + (k - 4) * long * 0.09 + 0.05 * s.random.random():.2f}h{wide * 0.84:.2f}" for k in range(9)), "none", stroke="#4b4230", stroke_width=0.035, opacity=0.55))
    for n, (diameter, wound) in enumerate(diameters):
        y = places[n]
        s.add(path(f"M{left} {y + 1.5}H{right}", "none", stroke="#080503", stroke_width=diameter * 1.3, opacity=0.55, filter=s.soft(0.3)))
        if wound:
            s.add(rect(left, y - diameter / 2, right - left, diameter, s.fade((0, "#4d351a"), (0.3, "#d6ac6c"), (0.42, "#ffe9bd"), (0.6, "#b98a4b"), (1, "#2c1c0b"))))
            s.add(path("".join(f"M{left + k * wound:.2f} {y - diameter / 2:.3f}l{wound * 0.35:.3f} {diameter:.3f}" for k in range(int((right - left) / wound))), "none", stroke="#2b1a08", stroke_width=wound * 0.25, opacity=0.65))
        else:
            s.add(rect(left, y - diameter / 2, right - left, diameter, s.fade((0, "#4a4f52"), (0.35, "#fafaf5"), (0.6, "#a3a8aa"), (1, "#25292b"))))


def bench_mat(s, left, right, top, low):
    """A felt mat on the bench, lit from the upper left."""
    s.add(rect(left, top, right - left, low - top, "#5f6d66", filter=s.grain(10 / s.scale, 10 / s.scale, (0.1, 0.13, 0.12), 0.22, octaves=2)))
    s.add(rect(left, top, right - left, low - top, s.glow((0, "#fff", 0.22), (0.5, "#fff", 0.03), (1, "#000", 0.42), x=0.35, y=0.25, r=0.9)))


def metal(s):
    return s.glow((0, "#ffffff"), (0.3, "#d5d8d7"), (0.65, "#858a89"), (1, "#2f3333"), x=0.36, y=0.3, r=0.8)


def headstock_front(s, posts, nut, margins, diameters):
    """The headstock from in front, square on. posts: distance from the nut and to the side of the string's slot, of each string."""
    left, right, top, low = s.view()
    bench_mat(s, left, right, top, low)
    half = nut / 2
    outline = f"M{-half} 0C{-half - 1} -14 {-half - 17} -16 {-half - 16} -32L{-half - 6} -150Q{-half - 6} -163 {-half + 8} -164Q{-half / 2} -165 0 -172Q{half / 2} -165 {half - 8} -164Q{half + 6} -163 {half + 6} -150L{half + 16} -32C{half + 17} -16 {half + 1} -14 {half} 0Z"
    spots = []
    for n, (distance, side) in enumerate(posts):
        x = half - margins[1] - n * (nut - sum(margins)) / 5
        spots.append((x, x + side, -distance))
    # Buttons first: they stand out from under the edge.
    for x, px, y in spots:
        way = 1 if px > 0 else -1
        bx = way * (half + 16 + (y + 32) * 10 / 118 + 8.5)
        s.add(rect(min(bx, way * 20), y - 2.4, abs(bx - way * 20), 4.8, s.fade((0, "#6f7473"), (0.3, "#eef0ee"), (1, "#4a4e4d"))))
        s.add(f'<ellipse cx="{bx + way * 3 + 1.6:.1f}" cy="{y + 2.6:.1f}" rx="8.2" ry="10.5" fill="#000" opacity="0.45" filter="{s.soft(2.2)}"/>',
              f'<ellipse cx="{bx + way * 3:.1f}" cy="{y:.1f}" rx="7" ry="9.6" fill="{s.glow((0, "#fffdf4"), (0.5, "#e9dfc6"), (1, "#a2946f"), x=0.36, y=0.28, r=0.85)}"/>')
    s.add(f'<g transform="translate(3 3.6)" opacity="0.6" filter="{s.soft(3)}">{path(outline, "#000")}</g>')
    s.add(path(outline, "#5b3b2a", filter=s.grain(0.42, 0.012, (0.09, 0.04, 0.02), 0.9)), path(outline, "#5b3b2a", opacity=0.4, filter=s.grain(2.4, 0.06, (0.05, 0.02, 0.01), 1.0)))
    s.add(path(outline, s.glow((0, "#ffeeda", 0.38), (0.35, "#ffeeda", 0.06), (1, "#000", 0.42), x=0.28, y=0.2, r=0.9)), path(outline, "none", stroke="#e8d8ae", stroke_width=1.3), path(outline, "none", stroke="#2a180d", stroke_width=0.3))
    # The neck below the nut: board, two frets.
    s.add(path(f"M{-half} 5H{half}L{half + 1.2} {low + 2}H{-half - 1.2}Z", "#5e3c2a", filter=s.grain(0.5, 0.02, (0.08, 0.04, 0.02), 0.9)))
    s.add(path(f"M{-half} 5H{half}L{half + 1.2} {low + 2}H{-half - 1.2}Z", s.fade((0, "#000", 0.45), (0.1, "#fff", 0.10), (0.9, "#000", 0.1), (1, "#000", 0.5), across=True)))
    s.add(rect(-half - 0.6, 38.6, nut + 1.2, 2.2, s.fade((0, "#555955"), (0.35, "#fafaf5"), (0.6, "#a5a8a4"), (1, "#2b2d2b"))))
    s.add(rect(-half - 0.2, 0.4, nut + 0.4, 5.6, s.fade((0, "#fffaf0"), (0.5, "#e6dcc0"), (1, "#a89a76"))), rect(-half, 6.0, nut, 1.6, s.fade((0, "#000", 0.6), (1, "#000", 0))))
    cover = "M-9 -4Q-10 -9 -7 -14Q-2.5 -24 0 -31Q2.5 -24 7 -14Q10 -9 9 -4Q0 -1.5 -9 -4Z"
    s.add(f'<g transform="translate(0.7 0.9)" opacity="0.6" filter="{s.soft(0.7)}">{path(cover, "#000")}</g>', path(cover, s.fade((0, "#39393b"), (0.5, "#1b1b1d"), (1, "#0e0e10"))),
          path(cover, "none", stroke="#d9d2bd", stroke_width=0.35), circle(-5.5, -7, 1.1, metal(s)), circle(5.5, -7, 1.1, metal(s)), circle(0, -26, 1.1, metal(s)))
    for (x, px, y), (diameter, wound) in zip(spots, diameters):
        way = 1 if px > 0 else -1
        run = f"M{x:.2f} {low + 2}V3L{px - way * 2.6:.2f} {y + 0.6:.2f}"
        s.add(path(run, "none", stroke="#000", stroke_width=diameter * 1.4, opacity=0.5, transform="translate(1.3 1.5)", filter=s.soft(0.7)))
        s.add(circle(px + 1.2, y + 1.6, 6.2, "#000", opacity=0.5, filter=s.soft(1.1)), circle(px, y, 5.6, metal(s)), circle(px, y, 4.4, s.glow((0, "#b8bcbb"), (1, "#565b5a"), x=0.6, y=0.65, r=0.8)), circle(px, y, 3.0, metal(s)))
        s.add(path(run, "none", stroke="#3a2a14" if wound else "#2c3032", stroke_width=diameter), path(run, "none", stroke="#e2b97a" if wound else "#e9ecec", stroke_width=diameter * 0.5))
        for k in range(3):
            s.add(f'<ellipse cx="{px:.2f}" cy="{y:.2f}" rx="{3.5 - 0.28 * k:.2f}" ry="{3.5 - 0.28 * k:.2f}" fill="none" stroke="{"#b98a4b" if wound else "#9aa0a2"}" stroke-width="{0.22 + diameter * 0.12:.2f}" opacity="0.9"/>')
        s.add(circle(px, y, 2.3, metal(s)), path(f"M{px - 2} {y + 0.2}L{px + 2} {y - 0.5}", "none", stroke="#1b1d1d", stroke_width=0.7))


def front(s, diameters, spread):
    """The whole front on the bench's mat, from straight above."""
    left, right, top, low = s.view()
    bench_mat(s, left, right, top, low)
    half = "M0 -252C46 -254 92 -247 118 -218C146 -188 144 -140 128 -108C112 -76 112 -44 136 -10C166 30 204 66 200 128C196 200 122 236 0 238"

    def both(fill, **attributes):
        return f'{path(half, fill, **attributes)}<g transform="scale(-1 1)">{path(half, fill, **attributes)}</g>'

    s.add(f'<g transform="translate(10 13)" opacity="0.6" filter="{s.soft(9)}">{both("#000")}</g>')
    # Two halves of one billet, opened like a book: the grain is mirrored.
    s.add(both("#e9c285", filter=s.grain(0.22, 0.0012, (0.56, 0.34, 0.12), 0.62, octaves=3)))
    s.group([rect(-210, -260, 420, 505, s.glow((0, "#fff7e0", 0.5), (0.4, "#fff0cf", 0.08), (1, "#5a3510", 0.42), x=0.36, y=0.3, r=0.75))], clip_path=s.define("clipPath", both("#000")))
    for colour, wide in (("#2b190e", 6.4), ("#efe3c6", 3.6), ("#2b190e", 0.7)):
        s.add(both("none", stroke=colour, stroke_width=wide))
    s.add(path("M0 -250V236", "none", stroke="#9a6a2e", stroke_width=0.5, opacity=0.6))
    hole = -98
    guard = f"M40 {hole - 46}C70 {hole - 30} 84 {hole + 10} 100 {hole + 52}C108 {hole + 84} 72 {hole + 92} 56 {hole + 68}C50 {hole + 56} 40 {hole + 54} 28 {hole + 56}A62 62 0 0 0 40 {hole - 46}Z"
    s.add(path(guard, "#3a1a0e", filter=s.grain(0.06, 0.05, (0.72, 0.36, 0.1), 0.8, cut=(2.6, -1.0))), path(guard, s.glow((0, "#fff", 0.28), (0.5, "#fff", 0.02), (1, "#000", 0.2), x=0.3, y=0.2, r=0.9)))
    for r, colour, wide in ((61, "#2b190e", 1.6), (58.6, "#efe3c6", 2), (56.4, "#6e2f1c", 3), (54.2, "#efe3c6", 1.2), (52.6, "#2b190e", 1.4)):
        s.add(circle(0, hole, r, "none", stroke=colour, stroke_width=wide))
    s.add(circle(0, hole, 50, s.glow((0, "#5b3d22"), (0.6, "#2c1c0f"), (1, "#0d0804"), x=0.62, y=0.7, r=0.7)), circle(0, hole, 50, "none", stroke="#c99a58", stroke_width=1.2))
    far = top - 5
    s.add(path(f"M-28.5 {hole - 47}H28.5L{26} {far}H-26Z", "#000", opacity=0.5, transform="translate(4 4)", filter=s.soft(3)))
    s.add(path(f"M-28.5 {hole - 47}H28.5L26 {far}H-26Z", "#573625", filter=s.grain(0.5, 0.008, (0.08, 0.04, 0.02), 0.9)), path(f"M-28.5 {hole - 47}H28.5L26 {far}H-26Z", s.fade((0, "#000", 0.4), (0.15, "#fff", 0.12), (0.85, "#000", 0.1), (1, "#000", 0.5), across=True)))
    saddle, scale = 84, 645
    for n in range(8, 21):
        y = saddle - scale * 2 ** (-n / 12)
        if far < y < hole - 48:
            s.add(rect(-28.3, y - 1.1, 56.6, 2.2, s.fade((0, "#565a57"), (0.35, "#f4f5f0"), (1, "#2b2d2b"))))
    for y in [saddle - scale * (2 ** (-n / 12) + 2 ** (-(n - 1) / 12)) / 2 for n in (9, 12, 15, 17)]:
        s.add(circle(0, y, 3, "#e6ece6", opacity=0.9))
    block = f"M-78 {saddle + 16}Q-80 {saddle - 2} -60 {saddle - 6}H60Q80 {saddle - 2} 78 {saddle + 16}Q60 {saddle + 15} 44 {saddle + 21}Q0 {saddle + 33} -44 {saddle + 21}Q-60 {saddle + 15} -78 {saddle + 16}Z"
    s.add(f'<g transform="translate(3.5 5)" opacity="0.6" filter="{s.soft(2.6)}">{path(block, "#000")}</g>', path(block, "#553423", filter=s.grain(0.02, 0.4, (0.08, 0.03, 0.02), 0.85)), path(block, s.fade((0, "#ffe6cc", 0.3), (0.3, "#000", 0), (1, "#000", 0.45))))
    s.add(path(f"M-37 {saddle + 4.2}L37 {saddle + 0.4}", "none", stroke="#f4ead0", stroke_width=2.8, stroke_linecap="round"))
    for n, (diameter, wound) in enumerate(diameters):
        x = spread / 2 - n * spread / 5
        pin = saddle + 12 + (6 - abs(2.5 - n)) * 0.5
        xf = x * 43 / 54 * (1 + (far - -560) / 1300)
        s.add(path(f"M{x:.2f} {pin:.2f}L{xf:.2f} {far}", "none", stroke="#000", stroke_width=1.4, opacity=0.28, transform="translate(2.4 2)", filter=s.soft(0.9)))
        s.add(path(f"M{x:.2f} {pin:.2f}L{xf:.2f} {far}", "none", stroke="#d9b27a" if wound else "#eceff0", stroke_width=max(0.55, diameter * 0.9)))
        s.add(circle(x + 0.9, pin + 1.4, 3.6, "#000", opacity=0.5, filter=s.soft(0.8)), circle(x, pin, 3.3, s.glow((0, "#fffdf2"), (0.6, "#e4d9bd"), (1, "#978a67"), x=0.35, y=0.3, r=0.75)), circle(x, pin, 0.9, "#23201c"))
