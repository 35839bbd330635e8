# SPDX-License-Identifier: GPL-3.0-or-later
"""What a PDF really draws: the paths of its pages in millimetres from the lower left corner, read from the content streams (ISO 32000-1, 8.5).

Knows as much of the format as cairo writes: plain cross references, Flate streams, paths built of m, l, c, h and re."""

import re
import zlib

MM_PER_POINT = 25.4 / 72  # ISO 32000-1, 8.3.2.3: a default unit is 1/72 in
NUMBER = rb"[-+]?\d*\.?\d+"


class Path:
    def __init__(self, kind, points, width):
        self.kind, self.points, self.width = kind, points, width

    def is_upright(self, slack=1e-3):
        return len(self.points) == 2 and abs(self.points[0][0] - self.points[1][0]) < slack

    def is_level(self, slack=1e-3):
        return len(self.points) == 2 and abs(self.points[0][1] - self.points[1][1]) < slack

    def length(self):
        (x0, y0), (x1, y1) = self.points[0], self.points[-1]
        return ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5


class Page:
    def __init__(self, width, height, paths):
        self.width, self.height, self.paths = width, height, paths

    def upright(self):
        return [p for p in self.paths if p.kind == "S" and p.is_upright()]

    def level(self):
        return [p for p in self.paths if p.kind == "S" and p.is_level()]


def objects(data):
    """Every object's last version: number to (dictionary, stream or None)."""
    found = {}
    for match in re.finditer(rb"(?<![\d])(\d+) 0 obj\s", data):
        end = data.find(b"endobj", match.end())
        body = data[match.end():end]
        stream = None
        if b"stream" in body:
            head, rest = body.split(b"stream", 1)
            rest = rest.lstrip(b"\r").lstrip(b"\n")
            try:
                stream = zlib.decompressobj().decompress(rest) if b"FlateDecode" in head else rest
            except zlib.error:
                continue
            body = head
        found[int(match.group(1))] = (body, stream)
    return found


def multiply(m, n):
    a, b, c, d, e, f = m
    g, h, i, j, k, l = n
    return (a * g + b * i, a * h + b * j, c * g + d * i, c * h + d * j, e * g + f * i + k, e * h + f * j + l)


def read_paths(content):
    matrix, width, saved, paths, parts, stack = (1, 0, 0, 1, 0, 0), 1.0, [], [], [], []
    content = re.sub(rb"BT.*?ET", b" ", content, flags=re.S)

    def at(x, y):
        a, b, c, d, e, f = matrix
        return ((a * x + c * y + e) * MM_PER_POINT, (b * x + d * y + f) * MM_PER_POINT)

    for token in re.findall(NUMBER + rb"|/[^\s/\[\]<>()]+|[A-Za-z*'\"]+|[\[\]]", content):
        if re.fullmatch(NUMBER, token):
            stack.append(float(token))
            continue
        if token == b"q":
            saved.append((matrix, width))
        elif token == b"Q" and saved:
            matrix, width = saved.pop()
        elif token == b"cm":
            matrix = multiply(tuple(stack[-6:]), matrix)
        elif token == b"w":
            width = stack[-1]
        elif token == b"m":
            parts.append([at(*stack[-2:])])
        elif token == b"l":
            parts[-1].append(at(*stack[-2:]))
        elif token == b"c":
            parts[-1].append(at(*stack[-2:]))
        elif token == b"re":
            x, y, w, h = stack[-4:]
            parts.append([at(x, y), at(x + w, y), at(x + w, y + h), at(x, y + h), at(x, y)])
        elif token == b"h" and parts:
            parts[-1].append(parts[-1][0])
        elif token in (b"S", b"s", b"f", b"f*", b"B", b"n"):
            paths += [Path(token.decode(), points, width * abs(matrix[0]) * MM_PER_POINT) for points in parts]
            parts = []
        elif token in (b"W", b"W*"):
            pass
        if not token.startswith(b"/"):
            stack = []
    return paths


def pages(data):
    found = objects(data)
    result = []
    for number in kids(found):
        body = found[number][0]
        box = [float(v) for v in re.search(rb"/MediaBox \[\s*([^\]]+)\]", body).group(1).split()]
        content = found[int(re.search(rb"/Contents (\d+) 0 R", body).group(1))][1]
        result.append(Page((box[2] - box[0]) * MM_PER_POINT, (box[3] - box[1]) * MM_PER_POINT, read_paths(content)))
    return result


def kids(found):
    for body, _ in found.values():
        if re.search(rb"/Type /Pages\b", body):
            return [int(n) for n in re.findall(rb"(\d+) 0 R", re.search(rb"/Kids \[([^\]]*)\]", body).group(1))]
    return []


def catalogue(data):
    """The catalogue's last version."""
    return next(body for body, _ in reversed(list(objects(data).values())) if b"/Type /Catalog" in body)
