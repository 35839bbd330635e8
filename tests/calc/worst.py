# SPDX-License-Identifier: GPL-3.0-or-later
"""The heaviest documents that pass check: as many of everything as docs/format.md says there may be.

worst.py FOLDER writes them there, to be measured or looked at."""

import pathlib
import random
import sys

NAME, NOTE, OWN_NOTE, CHECK_NOTE, CHECK_TEXT, CURRENCY, ID = 256, 65536, 16000, 4096, 65536, 32, 64
VISITS, SETS, ALL_SETS, READINGS, VISIT_READINGS, ALL_READINGS, OPERATIONS, CHECKS, CHARGES = 150, 16, 300, 1000, 2000, 4000, 500, 500, 200
ALL_OPERATIONS, ALL_CHECKS, ALL_CHARGES = 2000, 3000, 3000
MOST_BYTES = 8 * 1024 * 1024

# What costs most to shape, to break into lines or to turn: combining accents, joined and stacked scripts, both directions, no place to break, nothing but breaks.
SCRIPTS = {"latin": "Wm ", "unbroken": "W", "accents": "a" + "\u0301" * 7, "only-accents": "\u0301", "han": "\u6f22", "joined-emoji": "\U0001f469\u200d\U0001f52c", "arabic": "\u0645\u0631",
           "joiners": "a\u200d", "short-lines": "x\n", "empty-lines": "\n", "thai": "\u0e01\u0e34\u0e4a", "both-ways": "\u05d0a1 ", "devanagari": "\u0915\u094d\u0937\u093f"}


def text(script, length):
    part = SCRIPTS[script]
    return (part * (length // len(part) + 1))[:length].replace("\n", "&#10;")


def head(script, strings=12, frets=36, name=NAME):
    t = text(script, name)
    posts = "".join(f'<post string="{s}" distance="{10 + 20 * s}" side="5" wrap-height="2"/>' for s in range(1, strings + 1))
    anchors = "".join(f'<anchor string="{s}" distance="10" drop="2"/>' for s in range(1, strings + 1))
    wires = "".join(f'<string number="{s}" note="E{4 - s // 4}" build="plain" core="steel" core-diameter="{0.25 + 0.05 * s:.2f}"/>' for s in range(1, strings + 1))
    return (f'<?xml version="1.0" encoding="UTF-8"?>\n<profile xmlns="urn:sidelong:profile:1" id="00000000-0000-4000-8000-000000000007" kind="instrument">\n'
            f'  <identity label="{t}" owner="{t}" contact="{t}" maker="{t}" model="{t}" serial="{t}" year="{t}"><note>{text(script, OWN_NOTE)}</note></identity>\n'
            f'  <neck scale-length="650" frets="{frets}" joint-fret="14" nut-width="60"/>\n  <headstock tilt="14">{posts}</headstock>\n  <bridge spread="70">{anchors}</bridge>\n'
            f'  <strings>{wires}</strings>\n')


def moment(visit, k):
    """Days that follow each other, so that each set may be compared with the one before; within one, minutes."""
    day = visit % 28 + 1
    return f"{2000 + visit // 336}-{visit // 28 % 12 + 1:02d}-{day:02d}T{10 + k // 60:02d}:{k % 60:02d}"


def readings(visit, k, n, rand, strings, frets, ident):
    """One set: what a fit needs of every string, then actions that agree with nothing."""
    rows = [f'<relief string="{s}" fret="7" gap="{0.2 + 0.05 * (k % 2):.2f}"/>' for s in (1, strings)]
    rows += [f'<first-gap string="{s}" gap="0.5"/>' for s in range(1, strings + 1)][: max(0, n - len(rows) - 2)]
    rows = rows[:n]
    rows += [f'<action string="{rand.randint(1, strings)}" fret="{rand.randint(2, frets)}" gap="{rand.uniform(-5, 30):.2f}" held="{rand.choice(("open", "1"))}"/>' for _ in range(n - len(rows))]
    tools = "".join(f'<tool measures="{m}" resolution="0.02" error-limit="0.01"/>' for m in ("relief", "tongue", "first-gap", "action", "exposure", "crown", "pitch"))
    return f'    <readings id="{ident}" stage="during" taken="{moment(visit, 2 * k)}:00Z" temperature="20" humidity="50">{tools}{"".join(rows)}</readings>\n'


def operations(visit, n, sets, strings):
    """Turns of the rod between the sets, each counted, and cuts."""
    kinds = ('<turn-rod change="{c}" turns="0.25" done="{d}"/>', '<lower-slot string="{s}" by="0.01" done="{d}"/>', '<cut-saddle-base bass="0.01" treble="0.01" done="{d}"/>', '<level-frets done="{d}"/>')
    return "".join(kinds[i % 4].format(c=(0.05, -0.05)[i // 4 % 2], s=i % strings + 1, d=f"{moment(visit, 2 * (i * max(1, sets) // n) + 1)}:{i % 60:02d}.5+00:00") for i in range(n))  # in another zone than the sets, so that no two are written alike


def visit(v, rand, script="latin", sets=1, n=20, operations_n=4, note=0, checks=0, charges=0, strings=12, frets=36):
    out = [f'  <visit id="v{v}" opened="{moment(v, 0)[:10]}"><note>{text(script, note)}</note>\n']
    out += [readings(v, k, n, rand, strings, frets, f"r{v}-{k}") for k in range(sets)]
    out.append(f"    <plan>{operations(v, operations_n, sets, strings)}</plan>\n" if operations_n else "")
    each = min(CHECK_NOTE, max(0, CHECK_TEXT // max(1, checks) - 64))
    out += [f'    <check name="{text(script, 64)}" state="attend"><note>{text(script, each)}</note></check>\n' for _ in range(checks)]
    out += [f'    <charge what="{text(script, NAME)}" minutes="30" amount="10.5" currency="{text("unbroken", CURRENCY)}"/>\n' for _ in range(charges)]
    return "".join(out) + "  </visit>\n"


def with_visits(script, visits, **name):
    return head(script, **name) + "".join(visits) + "</profile>\n"


def documents():
    """Name and text of each."""
    rand = random.Random(20260302)
    yield "large-sets", with_visits("latin", [visit(v, rand, n=READINGS, sets=1) for v in range(ALL_READINGS // READINGS)])
    yield "two-large-sets", with_visits("latin", [visit(v, rand, n=READINGS, sets=2) for v in range(2)])
    yield "many-sets", with_visits("latin", [visit(v, rand, n=10, sets=SETS, operations_n=ALL_OPERATIONS // (ALL_SETS // SETS)) for v in range(ALL_SETS // SETS)])
    yield "large-visits", with_visits("latin", [visit(v, rand, n=VISIT_READINGS // SETS, sets=SETS, operations_n=OPERATIONS) for v in range(2)])
    yield "many-visits", with_visits("latin", [visit(v, rand, n=10, sets=2, operations_n=ALL_OPERATIONS // VISITS, charges=ALL_CHARGES // VISITS) for v in range(VISITS)])
    yield "many-checks", with_visits("latin", [visit(v, rand, n=10, checks=CHECKS) for v in range(ALL_CHECKS // CHECKS)])
    yield "work", with_visits("latin", [visit(0, rand, n=VISIT_READINGS // SETS, sets=SETS, operations_n=OPERATIONS)])
    for script in SCRIPTS:
        yield f"text-{script}", with_visits(script, [visit(0, rand, script, note=NOTE, checks=CHECKS, charges=CHARGES)])
    for script in ("han", "short-lines"):
        many = min(VISITS, (MOST_BYTES - 1024 * 1024) // (len(text(script, NOTE).encode()) + 4096))
        yield f"notes-{script}", with_visits(script, [visit(v, rand, script, note=NOTE) for v in range(many)])
    yield "checks", with_visits("latin", [visit(0, rand, checks=16, charges=CHARGES)])


if __name__ == "__main__":
    for document, content in documents():
        (pathlib.Path(sys.argv[1]) / f"{document}.sidelong").write_text(content, encoding="utf-8")
