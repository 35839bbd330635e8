#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Draws docs/pictures/layers.svg from the includes in src: a box a layer with its rooms, an arrow where a layer includes from another.

layers-picture.py SOURCE_ROOT [--write]; without --write it checks that the committed picture is this one, and speaks TAP. Layers stand in rows by
the includes, and the rooms of a layer from left to right: a room includes from those to its left, where they don't include from each other."""

import collections
import html
import pathlib
import re
import sys

sys.dont_write_bytecode = True
from tap import Tap

PICTURE = pathlib.Path("docs", "pictures", "layers.svg")
INCLUDE = re.compile(r'^[ \t]*#[ \t]*include[ \t]*"([^"]+)"', re.MULTILINE)
# Boxes that may stand in one row, from left to right.
ORDER = ["bench", "calc", "words", "file"]
WIDTH, MARGIN, GAP, HEIGHT, BETWEEN, LANE, CORNER = 960, 20, 40, 58, 44, 30, 15
INK, PAPER, FILL = "#22303c", "#ffffff", "#eef2f5"


def includes(root):
    """Folder → the folders of src it includes from, itself left out; every folder that holds a source file is a key."""
    sources = sorted(path for path in (root / "src").rglob("*") if path.suffix in (".c", ".h"))
    found = {path.relative_to(root / "src").parent.as_posix(): set() for path in sources}
    for path in sources:
        folder = path.relative_to(root / "src").parent.as_posix()
        for name in INCLUDE.findall(path.read_text()):
            other = name.rpartition("/")[0]
            if other in found and other != folder:
                found[folder].add(other)
    return found


def layered(found):
    layers = collections.defaultdict(set)
    for folder, others in found.items():
        own = folder.split("/")[0]
        layers[own] |= {other.split("/")[0] for other in others} - {own}
    return dict(layers)


def reached(graph, start):
    seen, todo = set(), list(graph[start])
    while todo:
        node = todo.pop()
        if node not in seen:
            seen.add(node)
            todo += graph[node]
    return seen


def heights(graph):
    """How far each stands above the lowest; those in a circle stand side by side."""
    below = {node: {other for other in reached(graph, node) if node not in reached(graph, other)} for node in graph}
    result = {}
    for node in sorted(graph, key=lambda node: (len(below[node]), node)):
        result[node] = max((result[other] + 1 for other in below[node]), default=0)
    return result


def rooms_of(found, layer):
    own = {folder: {o for o in others if o.startswith(layer + "/")} for folder, others in found.items() if folder.startswith(layer + "/")}
    height = heights(own)
    return [folder.split("/")[1] for folder in sorted(own, key=lambda folder: (height[folder], folder))]


def arrows(graph):
    """Includes between layers that don't follow from others."""
    return sorted((node, other) for node in graph for other in graph[node] if not any(other in reached(graph, via) for via in graph[node] - {other}))


def place(graph):
    """Layer → (x, y, width), and for each arrow the points it passes. An arrow that skips a row has a lane of its own there."""
    row = heights(graph)
    lanes = collections.defaultdict(list)
    for node, other in arrows(graph):
        for level in range(row[other] + 1, row[node]):
            if other not in lanes[level]:
                lanes[level].append(other)
    top = max(row.values())
    boxes, ways = {}, {}
    for level in range(top + 1):
        names = sorted((node for node in graph if row[node] == level), key=lambda node: (ORDER.index(node) if node in ORDER else -1, node))
        free = WIDTH - 2 * MARGIN - GAP * (len(names) - 1) - (GAP + LANE) * len(lanes[level])
        x, y = MARGIN, MARGIN + (top - level) * (HEIGHT + BETWEEN)
        for name in names:
            boxes[name] = (x, y, free / len(names))
            x += free / len(names) + GAP
        for name in lanes[level]:
            ways[level, name] = (x + LANE / 2, y)
            x += LANE + GAP
    paths = {}
    for node, other in arrows(graph):
        paths[node, other] = [ways[level, other] for level in range(row[node] - 1, row[other], -1)]
    return boxes, paths


def ends(boxes, pair, lane):
    """Where an arrow leaves its box and where it comes in: straight down where the boxes overlap, else as near to its lane as the boxes reach."""
    (left, _, width), (other_left, _, other_width) = boxes[pair[0]], boxes[pair[1]]
    if lane is None:
        lane = (max(left, other_left) + min(left + width, other_left + other_width)) / 2
    return [min(max(lane, x + CORNER), x + w - CORNER) for x, w in ((left, width), (other_left, other_width))]


def draw(found):
    graph = layered(found)
    boxes, paths = place(graph)
    bottom = max(y for _, y, _ in boxes.values()) + HEIGHT + MARGIN
    lines = ["<!-- SPDX-License-Identifier: GPL-3.0-or-later -->",
             f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH}" height="{bottom}" viewBox="0 0 {WIDTH} {bottom}" font-family="sans-serif">',
             "<title>The layers of Sidelong and what includes what</title>",
             f'<defs><marker id="head" viewBox="0 0 10 10" refX="9" refY="5" markerWidth="8" markerHeight="8" orient="auto"><path d="M0 1 L9 5 L0 9 Z" fill="{INK}"/></marker></defs>',
             f'<rect width="{WIDTH}" height="{bottom}" fill="{PAPER}"/>']
    for pair in sorted(paths):
        start, end = ends(boxes, pair, paths[pair][0][0] if paths[pair] else None)
        points = [(start, boxes[pair[0]][1] + HEIGHT)]
        for x, y in paths[pair]:
            points += [(x, y), (x, y + HEIGHT)]
        points.append((end, boxes[pair[1]][1]))
        lines.append(f'<polyline points="{" ".join(f"{x:.0f},{y:.0f}" for x, y in points)}" fill="none" stroke="{INK}" stroke-width="1.2" marker-end="url(#head)"/>')
    for name in sorted(boxes):
        x, y, width = boxes[name]
        rooms = rooms_of(found, name)
        lines.append(f'<rect x="{x:.0f}" y="{y:.0f}" width="{width:.0f}" height="{HEIGHT}" rx="4" fill="{FILL}" stroke="{INK}" stroke-width="1.2"/>')
        lines.append(f'<text x="{x + width / 2:.0f}" y="{y + (25 if rooms else 35):.0f}" text-anchor="middle" font-size="17" font-weight="bold" fill="{INK}">{html.escape(name)}</text>')
        if rooms:
            lines.append(f'<text x="{x + width / 2:.0f}" y="{y + 45:.0f}" text-anchor="middle" font-size="13" fill="{INK}">{html.escape(" · ".join(rooms))}</text>')
    return "\n".join(lines + ["</svg>", ""])


def try_rules(tap):
    graph = {"desk": {"bench", "draw", "file", "setup"}, "bench": {"draw", "file"}, "draw": {"setup"}, "file": {"setup"}, "setup": set()}
    wanted = [("bench", "draw"), ("bench", "file"), ("desk", "bench"), ("draw", "setup"), ("file", "setup")]
    tap.check(arrows(graph) == wanted, "an include that follows from others has no arrow", map(str, arrows(graph)))
    tap.check(heights({"a": {"b"}, "b": {"a", "c"}, "c": set()}) == {"a": 1, "b": 1, "c": 0}, "rooms in a circle stand side by side")
    one = {"setup/fit": set(), "draw/base": {"setup/fit"}}
    more = dict(one, calc={"draw/base"})
    tap.check(draw(one) == draw(dict(reversed(one.items()))) != draw(more), "the picture is of the includes alone")


def main(root, write=None):
    root = pathlib.Path(root)
    text = draw(includes(root))
    if write:
        (root / PICTURE).write_text(text)
        return 0
    tap = Tap()
    try_rules(tap)
    committed = (root / PICTURE).read_text()
    tap.check(committed == text, f"{PICTURE} is what the includes say", [f"write it anew: python3 tests/{pathlib.Path(__file__).name} . --write"])
    return tap.done()


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
