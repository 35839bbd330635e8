#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Holds every source file to its layer and room: what it may include, no circles, no crowding; and what the programs may link.

lint-layers.py SOURCE_ROOT [CALC [DESK]]; speaks TAP. The rules are tried on made-up faults first, so that a rule that finds nothing can't pass."""

import pathlib
import re
import subprocess
import sys

sys.dont_write_bytecode = True
from tap import Tap

# The layers a layer may include from.
MAY_SEE = {
    "setup": {"setup"},
    "words": {"setup", "words"},
    "file": {"setup", "words", "file"},
    "photo": {"setup", "words", "file", "photo"},
    "draw": {"setup", "words", "draw"},
    "sound": {"sound"},
    "capture": {"capture"},
    "bench": {"setup", "words", "file", "photo", "draw", "sound", "capture", "bench"},
    "calc": {"setup", "words", "file", "photo", "draw", "sound", "capture", "calc"},
    "desk": {"setup", "words", "file", "photo", "draw", "sound", "capture", "bench", "desk"},
}
# Libraries by the folder or start of their headers, and the layers that may see them.
LIBRARIES = [
    (re.compile(r"^(gtk|gdk|gsk|graphene)\b(?!-pixbuf)"), {"desk"}),
    (re.compile(r"^(gdk-pixbuf|libexif)/"), {"photo", "desk"}),
    (re.compile(r"^libxml/"), {"file"}),
    (re.compile(r"^archive(_entry)?\.h$"), {"photo"}),
    (re.compile(r"^(cairo|pango)"), {"photo", "draw", "desk"}),
    (re.compile(r"^gsl/"), {"setup", "photo", "sound"}),
    (re.compile(r"^gst/"), {"capture"}),
    (re.compile(r"^gio/"), {"file", "photo", "capture", "bench", "calc", "desk"}),
]
# The rooms of the desk that one may include from, besides itself; what lies at the top of the desk may see all of them.
BENEATH = {
    "kit": set(),
    "help": {"kit"},
    "instrument": {"kit"},
    "customer": {"kit", "photos"},
    "readings": {"kit", "photos"},
    "work": {"kit", "readings"},
    "photos": {"kit"},
    "visit": {"kit", "readings", "work", "photos"},
    "sheets": {"kit", "instrument", "readings", "work", "photos"},
    "preferences": {"kit", "readings"},
}
BENEATH["window"] = {"kit", "instrument", "customer", "readings", "work", "photos", "visit", "sheets"}
BENEATH["shelf"] = BENEATH["window"] | {"window"}
MOST_FILES = 40  # source files and headers in one folder
MOST_LINES = 600  # in one file
INCLUDE = re.compile(r'^[ \t]*#[ \t]*include[ \t]*(?P<kind>[<"])(?P<name>[^>"]+)[>"]', re.MULTILINE)
OBJECT_TYPE = re.compile(r"^[ \t]*G_(DEFINE|DECLARE)_\w*(TYPE|INTERFACE)\b", re.MULTILINE)
TOOLKIT = re.compile(r"lib(gtk|gdk(?!_pixbuf)|gsk)[-_0-9.]")
# What listens is loaded where it is asked for, so that all else runs without it.
LISTENING = re.compile(r"lib(gst|pulse|asound)")


def faults_of(layer, text, own=()):
    """What is wrong with the text of a source file of the layer; own: the names of the layer's files."""
    for match in INCLUDE.finditer(text):
        name = match["name"]
        line = text.count("\n", 0, match.start("name")) + 1
        for pattern, layers in LIBRARIES:
            if pattern.match(name) and layer not in layers:
                yield f"{line}: {layer} must not see {name}"
        if match["kind"] == '"':
            folder, _, rest = name.partition("/")
            if not rest:
                if name not in own and not name.endswith(("-resources.h", "-rows.h")):
                    yield f"{line}: {name} is none of {layer}"
            elif folder not in MAY_SEE[layer]:
                yield f"{line}: {layer} must not include {name}"
    if layer not in ("bench", "desk"):
        for match in OBJECT_TYPE.finditer(text):
            yield f"{text.count(chr(10), 0, match.start()) + 1}: an object type below the bench"


def unit_of(path):
    """A header and what implements it are one; NAME-private.h belongs to NAME. path: below src."""
    return path.rpartition(".")[0].removesuffix("-private")


def includes_of(texts):
    """What each unit includes of the others, from {path below src: text}."""
    graph = {unit_of(path): set() for path in texts}
    for path, text in texts.items():
        for match in INCLUDE.finditer(text):
            if match["name"] in texts:
                graph[unit_of(path)].add(unit_of(match["name"]))
    return {unit: others - {unit} for unit, others in graph.items()}


def circles_of(graph):
    """Units that reach themselves: peels off what includes nothing more, and what nothing includes any more."""
    left = {unit: set(others) for unit, others in graph.items()}
    while True:
        included = set().union(*left.values()) if left else set()
        ends = {unit for unit, others in left.items() if not others or unit not in included}
        if not ends:
            return sorted(left)
        left = {unit: others - ends for unit, others in left.items() if unit not in ends}


def against_rooms(graph):
    """Includes from a room of the desk that lies above, or from the desk's top."""
    for unit, others in graph.items():
        room = unit.split("/")[1] if unit.startswith("desk/") and unit.count("/") == 2 else None
        for other in others if room else ():
            other_room = other.split("/")[1] if other.count("/") == 2 else None
            if other.startswith("desk/") and other_room != room and other_room not in BENEATH[room]:
                yield f"{unit} must not include {other}"


def crowding(texts):
    """Folders with too many files and files with too many lines."""
    folders = [path.rpartition("/")[0] for path in texts]
    yield from (f"{folder}: {folders.count(folder)} files" for folder in sorted(set(folders)) if folders.count(folder) > MOST_FILES)
    lines = {path: text.count("\n") for path, text in texts.items()}
    yield from (f"{path}: {count} lines" for path, count in sorted(lines.items()) if count > MOST_LINES)


def linked(program):
    """Every shared library the program loads, those of its libraries included."""
    return subprocess.run(["ldd", program], check=True, capture_output=True, text=True).stdout


def try_rules(tap):
    made_up = [
        ("setup", "#include <gtk/gtk.h>\n", True),
        ("setup", '#include "file/document.h"\n', True),
        ("setup", "#include <cairo.h>\n", True),
        ("setup", "#include <pango/pangocairo.h>\n", True),
        ("setup", "#include <gio/gio.h>\n", True),
        ("file", "# include <gdk/gdk.h>\n", True),
        ("file", '#include "draw/picture.h"\n', True),
        ("file", "#include <cairo.h>\n", True),
        ("draw", "#include <libxml/parser.h>\n", True),
        ("draw", '#include "calc/calc.h"\n', True),
        ("calc", '#include "desk/bench.h"\n', True),
        ("calc", "#include <libxml/tree.h>\n", True),
        ("words", '#include "file/document.h"\n', True),
        ("bench", "#include <gtk/gtk.h>\n", True),
        ("bench", '#include "desk/app.h"\n', True),
        ("desk", '#include "calc/calc.h"\n', True),
        ("desk", "#include <gsl/gsl_math.h>\n", True),
        ("file", '#include "picture.h"\n', True),
        ("file", '#include "../draw/picture.h"\n', True),
        ("file", "G_DECLARE_FINAL_TYPE (SlFile, sl_file, SL, FILE, GObject)\n", True),
        ("setup", '#include <gsl/gsl_multifit.h>\n#include "setup/state.h"\n', False),
        ("file", '#include <libxml/parser.h>\n#include <gio/gio.h>\n#include "setup/profile.h"\n#include "document.h"\n', False),
        ("desk", '#include <gtk/gtk.h>\n#include "draw/picture.h"\nG_DEFINE_FINAL_TYPE (A, a, B)\n', False),
    ]
    wrong = [(layer, text) for layer, text, faulty in made_up if bool(list(faults_of(layer, text, {"document.h"}))) != faulty]
    tap.check(not wrong, "the rules tell made-up faults from sound lines", map(repr, wrong))
    circle = {"draw/a.c": '#include "draw/b.h"', "draw/a-private.h": "", "draw/b.h": "", "draw/b.c": '#include "draw/a-private.h"\n#include "draw/c.h"', "draw/c.h": ""}
    tap.check(circles_of(includes_of(circle)) == ["draw/a", "draw/b"] and not circles_of({"a": {"b", "c"}, "b": {"c"}, "c": set()}),
              "a circle is found, and nothing else")
    tap.check(list(against_rooms({"desk/work/a": {"desk/visit/b"}, "desk/visit/b": {"desk/kit/c"}, "desk/app": {"desk/shelf/d"}})) ==
              ["desk/work/a must not include desk/visit/b"] and len(list(against_rooms({"desk/window/a": {"desk/app"}}))) == 1,
              "an include against the order of the rooms is found")
    tap.check(list(crowding({"a/b.c": "\n" * (MOST_LINES + 1), "a/c.c": "\n" * MOST_LINES})) == [f"a/b.c: {MOST_LINES + 1} lines"] and
              list(crowding({f"a/{i}.c": "" for i in range(MOST_FILES + 1)})) == [f"a: {MOST_FILES + 1} files"],
              "a crowded folder and a long file are found")
    tap.check(bool(TOOLKIT.search("libgtk-4.so.1 => /usr/lib/libgtk-4.so.1")) and not TOOLKIT.search("libgsl.so.27 => /usr/lib"),
              "the toolkit is known by its library's name")
    tap.check(bool(LISTENING.search("libgstreamer-1.0.so.0 => /usr/lib/x86_64-linux-gnu/libgstreamer-1.0.so.0")) and not LISTENING.search("libgsl.so.27"),
              "what listens is known by its library's name")


def main(root, calc=None, desk=None):
    tap = Tap()
    try_rules(tap)
    for layer in MAY_SEE:
        files = sorted(path for path in pathlib.Path(root, "src", layer).rglob("*") if path.suffix in (".c", ".h"))
        own = {path.name for path in files}
        own.update(re.findall(r"output: '([^']+)'", pathlib.Path(root, "src", layer, "meson.build").read_text()))  # made of data/
        found = [f"{path.relative_to(root)}:{fault}" for path in files for fault in faults_of(layer, path.read_text(), own)]
        tap.check(files and not found, f"{layer} sees only what it may ({len(files)} files)", found or ["no files"])
    src = pathlib.Path(root, "src")
    texts = {str(path.relative_to(src)): path.read_text() for path in src.rglob("*.[ch]")}
    graph = includes_of(texts)
    tap.check(not circles_of(graph), "no file includes what includes it", circles_of(graph))
    against = sorted(against_rooms(graph))
    tap.check(not against, "the rooms of the desk keep their order", against)
    crowded = list(crowding(texts))
    tap.check(not crowded, "no folder is crowded and no file too long", crowded)
    if calc:
        libraries = linked(calc)
        tap.check(not TOOLKIT.search(libraries), "the command-line program links no toolkit", libraries.splitlines())
    for program in (calc, desk):
        libraries = linked(program) if program else ""
        tap.check(not LISTENING.search(libraries), f"{pathlib.Path(program or 'none').name} runs without what listens", libraries.splitlines())
    return tap.done()


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
