#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Holds the project's pages to what is there: sections of docs/model.md that are cited, files, folders and names of the source.

lint-words.py SOURCE_ROOT; speaks TAP. The rules are tried on made-up faults first, so that a rule that finds nothing can't pass."""

import glob
import os
import pathlib
import re
import sys

sys.dont_write_bytecode = True
from tap import Tap

SECTION = re.compile(r"^##+ (?P<number>\d+(?:\.\d+)?) \S", re.MULTILINE)
HEADING = re.compile(r"^##+ .*", re.MULTILINE)
NUMBER = r"\d{1,2}(?:\.\d)?"
# "(model 3.2)", "model 2, 3", "model 7–12"; a comment may break the line between the word and its number.
CITED = re.compile(rf"\b[Mm]odel[ \n]+(?P<numbers>{NUMBER}(?:(?:, | and |–){NUMBER})*)(?!\.?\d)")
# Pages that are not in the repository.
ELSEWHERE = re.compile(r"\b(?:[Dd]esign|[Aa]dvice|[Rr]eview|[Hh]ouse)(?:\.md| (?:section )?[A-Z]?\d+(?:\.\d+)?\b)")
TEXT = {".c", ".h", ".py", ".sh", ".md", ".in", ".1", ".xsd", ".ui", ".css", ".build"}
LISTED = ("src", "tests", "docs", "data", "ui")
# What a page names: links, code, and in code the paths from the top, files by their last parts, and names of the source.
LINK = re.compile(r"\]\((?!https?:)(?P<path>[^)#\s]+)")
CODE = re.compile(r"`([^`\n]+)`|^(?: {4,}|\t)(\S.*)$", re.MULTILINE)
FROM_TOP = re.compile(r"(?<![\w/.$-])(?:src|tests|data|docs|po|ui|\.ci)/[\w./*-]*")
PART = re.compile(r"(?<![\w/.$*-])[\w-]+(?:/[\w-]+)*\.(?:c|h|py|xsd|css|ui)\b")
NAME = re.compile(r"\b(?:sl_[a-z]\w*|Sl[A-Z]\w+|SL_[A-Z]\w+)\b")


def sections(text):
    return [match["number"] for match in SECTION.finditer(text)]


def faults_of_model(text):
    """What is wrong with the headings of the page on the model."""
    wanted = []
    for heading in HEADING.findall(text):
        found = SECTION.match(heading)
        deep = heading.startswith("###")
        if not found:
            yield f"no number: {heading}"
            continue
        parts = [int(part) for part in found["number"].split(".")]
        last = wanted or [0]
        follows = last[:1] + [(last[1] if len(last) > 1 else 0) + 1] if deep else [last[0] + 1]
        if parts != follows:
            yield f"{found['number']} does not follow {'.'.join(map(str, last))}"
        wanted = parts


def faults_of(text, known):
    """Citations in a file's text of what is not there."""
    flat = re.sub(r"\n[ \t]*(?:\*|#)?[ \t]*(?=\d)", "\n", text)
    for match in CITED.finditer(flat):
        for number in re.findall(NUMBER, match["numbers"]):
            if number not in known:
                yield f"model {number} is no section"
    for match in ELSEWHERE.finditer(text):
        yield f"cites {match[0]}"


def faults_of_page(text, folder, exists, is_part, names):
    """What a page in @folder names that is not there."""
    for match in LINK.finditer(text):
        if not exists(folder / match["path"]):
            yield f"no {match['path']}"
    for code in ("".join(groups) for groups in CODE.findall(text)):
        for path in FROM_TOP.findall(code):
            if not exists(pathlib.PurePath(path.rstrip("."))):
                yield f"no {path}"
        for part in PART.findall(FROM_TOP.sub("", code)):
            if not is_part(part):
                yield f"no file {part}"
        for name in NAME.findall(code):
            if name not in names:
                yield f"no {name} in the source"


def faults_of_rooms(text, folders):
    """Folders of the source that the page on the architecture leaves out, or has twice, as rows of its tables."""
    rows = re.findall(r"^\| `((?:setup|words|file|photo|draw|sound|capture|bench|calc|desk)[\w/-]*)/?` \|", text, re.MULTILINE)
    for folder in sorted(set(rows) ^ folders):
        yield f"{folder}: {'no such folder' if folder in rows else 'not in the table'}"
    for folder in sorted({row for row in rows if rows.count(row) > 1}):
        yield f"{folder}: twice in the table"


def try_rules(tap):
    known = {"1", "3", "3.2"}
    made_up = [
        ("/* the fit (model 3.2) */", False), ("/* (model 3.3) */", True), ("/* as model\n * 4 says */", True), ("/* as model\n * 3 says */", False),
        ("# Model 5: levelling", True), ("(model 1, 3)", False), ("(model 1, 2)", True), ("(model 1–3.2)", False), ("(model 1–4)", True),
        ("/* (design 3.4) */", True), ("see advice.md", True), ("advice A4", True), ("model 1.95, tuner 1.70", False), ("the model says 4", False),
        ("a sound design", False),
    ]
    wrong = [text for text, faulty in made_up if bool(list(faults_of(text, known))) != faulty]
    tap.check(not wrong, "made-up citations are told apart", map(repr, wrong))
    pages = [
        ("## 1 A\n### 1.1 B\n### 1.2 C\n## 2 D\n", False), ("## 1 A\n## 3 B\n", True), ("## 1 A\n### 1.2 B\n", True), ("## A\n", True),
        ("## 1 A\n### 2.1 B\n", True), ("## 1 A\n## 1 B\n", True),
    ]
    wrong = [text for text, faulty in pages if bool(list(faults_of_model(text))) != faulty]
    tap.check(not wrong, "made-up headings are told apart", map(repr, wrong))
    there = {"src/setup", "src/setup/fit.c", "docs/a.md", "README.md"}
    pages = [
        ("[a](a.md) `src/setup/` `fit.c` `setup/fit.c` `sl_fit()`", False), ("[a](b.md)", True), ("see `src/fit`", True), ("`other.c`", True),
        ("`desk/fit.c`", True), ("`sl_other`", True), ("    sh src/try.sh\n", True), ("sl_other and src/fit in plain words", False), ("[up](../README.md)", False),
    ]
    wrong = [text for text, faulty in pages if bool(list(faults_of_page(text, pathlib.PurePath("docs"),
             lambda path: os.path.normpath(path) in there, lambda part: any(("/" + name).endswith("/" + part) for name in there), {"sl_fit"}))) != faulty]
    tap.check(not wrong, "made-up names of files are told apart", map(repr, wrong))
    tables = [("| `setup/fit` | readings |", False), ("", True), ("| `setup/fit` | a |\n| `setup/wood` | b |", True), ("| `setup/fit` | a |\n| `setup/fit` | b |", True)]
    wrong = [text for text, faulty in tables if bool(list(faults_of_rooms(text, {"setup/fit"}))) != faulty]
    tap.check(not wrong, "made-up tables of rooms are told apart", map(repr, wrong))


def main(root):
    tap = Tap()
    root = pathlib.Path(root)
    try_rules(tap)
    model = (root / "docs" / "model.md").read_text()
    found = list(faults_of_model(model))
    known = set(sections(model))
    tap.check(known and not found, f"docs/model.md counts its sections ({len(known)})", found)
    own = pathlib.Path(__file__).name
    files = [path for name in LISTED for path in sorted((root / name).rglob("*")) if path.suffix in TEXT and path.name != own] + sorted(root.glob("*.md"))
    found, cited = [], 0
    for path in files:
        text = path.read_text()
        cited += len(CITED.findall(text))
        found += [f"{path.relative_to(root)}: {fault}" for fault in faults_of(text, known)]
    tap.check(cited > 20 and not found, f"what is cited is there ({cited} citations)", found)
    pages = [path for path in files if path.suffix == ".md"]
    names = set(NAME.findall("\n".join(path.read_text() for path in files if path.suffix in (".c", ".h"))))
    known_files = [path.relative_to(root).as_posix() for name in LISTED + ("po",) for path in (root / name).rglob("*")]
    found = [f"{page.relative_to(root)}: {fault}" for page in pages
             for fault in faults_of_page(page.read_text(), page.parent, lambda path: bool(glob.glob(str(root / path))),
                                         lambda part: any(("/" + name).endswith("/" + part) for name in known_files), names)]
    tap.check(len(pages) > 10 and not found, f"what the pages name is there ({len(pages)} pages)", found)
    folders = {path.parent.relative_to(root / "src").as_posix() for path in (root / "src").rglob("*.[ch]")}
    found = list(faults_of_rooms((root / "docs" / "architecture.md").read_text(), folders))
    tap.check(not found, f"docs/architecture.md tells of every folder of the source ({len(folders)})", found)
    return tap.done()


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
