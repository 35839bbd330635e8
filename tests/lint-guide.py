#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Holds the user guide to itself and to the program: pages, places, links and pictures that are named are there, in every language; what F1 asks for is told.

lint-guide.py SOURCE_ROOT; speaks TAP."""

import importlib.util
import pathlib
import re
import sys
import tempfile
from xml.etree import ElementTree

sys.dont_write_bytecode = True
from tap import Tap

TOPIC = re.compile(r'(?:>help-|SL_HELP_NAME ")([a-z-]+(?:#[a-z-]*)?)')
SHEET = re.compile(r'add_sheet \(self, \w+, "([a-z-]+)"')


def load(path):
    spec = importlib.util.spec_from_file_location("to_ui", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def faults_of(to_ui, folder):
    """What is wrong with the guide of one language, and the topics it tells of."""
    faults, topics, pictures = [], set(), set()
    with tempfile.TemporaryDirectory() as out:
        try:
            to_ui.language(folder, pathlib.Path(out), pictures)
        except to_ui.Fault as fault:
            faults.append(str(fault))
    listed = {name for name, _ in to_ui.pages_of(folder)} if not faults else set()
    for path in folder.glob("*.md"):
        if path.name != to_ui.INDEX and path.stem not in listed:
            faults.append(f"{path.name} isn't in {to_ui.INDEX}")
        topics.add(path.stem)
        topics |= {f"{path.stem}#{place}" for place in re.findall(r'<a id="([^"]+)"></a>', path.read_text(encoding="utf-8"))}
    faults += [f"{path} is shown nowhere" for path in folder.glob("pictures/*.png") if f"pictures/{path.name}" not in pictures]
    return faults, topics


def main(root):
    tap = Tap()
    guide = root / "docs" / "guide"
    to_ui = load(guide / "to-ui.py")

    with tempfile.TemporaryDirectory() as made:
        wrong = pathlib.Path(made)
        texts = {"index.md": "- [A](a.md)\n", "a.md": "# A\n\n[gone](b.md)\n", "c.md": "# C\n"}
        for name, text in texts.items():
            (wrong / name).write_text(text, encoding="utf-8")
        tap.check(any("no page b.md" in fault for fault in faults_of(to_ui, wrong)[0]), "a link to no page is found")
        (wrong / "a.md").write_text("# A\n\n![none](pictures/none.png)\n", encoding="utf-8")
        tap.check(any("no picture" in fault for fault in faults_of(to_ui, wrong)[0]), "a picture that isn't there is found")
        (wrong / "a.md").write_text("# A\n", encoding="utf-8")
        tap.check(faults_of(to_ui, wrong)[0] == ["c.md isn't in index.md"], "a page that the contents lack is found", faults_of(to_ui, wrong)[0])

    topics = {}
    for language, below in to_ui.LANGUAGES.items():
        faults, topics[language] = faults_of(to_ui, guide / below)
        tap.check(not faults, f"{language}: pages, places, links and pictures are there", faults)
    for language, told in topics.items():
        tap.check(told == topics["en"], f"{language} has the pages and places of en", sorted(told ^ topics["en"]))
    sources = "\n".join(path.read_text(encoding="utf-8") for folder in ("src/desk", "ui") for path in sorted((root / folder).rglob("*")) if path.suffix in (".c", ".ui"))
    asked = {topic for topic in TOPIC.findall(sources) if not topic.endswith("#")}
    asked |= set(SHEET.findall(sources))
    operations = {row.get("element") for row in ElementTree.parse(root / "data/built-in.ui").getroot().findall("operation")}
    asked |= {f"work#{operation}" for operation in operations}
    tap.check(len(asked) > 15 and len(operations) == 14 and not asked - topics["en"], f"what F1 asks for is told ({len(asked)})", sorted(asked - topics["en"]))
    return tap.done()


if __name__ == "__main__":
    sys.exit(main(pathlib.Path(sys.argv[1])))
