#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The program in a language nobody speaks (tests/pseudo.py): nothing that people read is left in English or put together of pieces.

pseudo.py PROGRAM SOURCE_ROOT PSEUDO_FOLDER; speaks TAP."""

import os
import pathlib
import re
import subprocess
import sys
import tempfile

sys.dont_write_bytecode = True
sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent))
from pseudo import English
from program import Program
from tap import Tap

# Commands, options and what they take are spelled the same in every language.
SPELLING = re.compile(r"^  (?:[a-z]+(?= )|sidelong-calc.*)|--[a-z-]+(?:=[A-Za-z0-9|-]+)?|acoustic-light.*?⟧|\.sidelong", re.MULTILINE)
COMMANDS = ["check", "compute", "plan", "draw", "sheet", "template", "list", "history", "pitch", "photos", "copy"]


class Speaker(Program):
    """In the long language; what it writes as a PDF is read by pdftotext."""

    def __init__(self, path, folder):
        super().__init__(path)
        os.environ["SIDELONG_LOCALE_DIR"] = str(folder)

    def said(self, *arguments):
        environment = {**os.environ, "LC_ALL": "C.UTF-8", "LANGUAGE": "qal"}
        done = subprocess.run([self.path, *map(str, arguments)], stdin=subprocess.DEVNULL, capture_output=True, text=True, encoding="utf-8", env=environment, timeout=600)
        return done.stdout + done.stderr

    def drawn(self, *arguments):
        with tempfile.TemporaryDirectory() as folder:
            out = pathlib.Path(folder, "out.pdf")
            said = self.said(*arguments, "-o", out)
            if not out.exists():
                return f"nothing was drawn: {said}"
            return subprocess.run(["pdftotext", "-layout", out, "-"], capture_output=True, text=True, encoding="utf-8").stdout


def main(path, root, pseudo):
    tap, root = Tap(), pathlib.Path(root)
    speaker = Speaker(path, pseudo)
    demos = sorted((root / "data/demo").glob("*.sidelong"))
    english = English(demos)
    english.allowed.update(word for file in demos for word in English.WORD.findall(str(file)))
    example = root / "data/demo/anchor-street-flat-top.sidelong"
    texts = {f"{command} --help": speaker.said(command, "--help") for command in COMMANDS}
    texts["--help"] = speaker.said("--help")
    for file in demos:
        for call in [["compute", "--detail"], ["plan"], ["history", "--format=text"], ["photos"]]:
            texts[f"{call[0]} {file.stem}"] = speaker.said(*call, file)
        for sheet in ["strings", "pitch", "frets", "gaps"]:
            texts[f"draw {sheet} {file.stem}"] = speaker.drawn("draw", f"--sheet={sheet}", "--width=1600", "--height=1000", file)
        texts[f"draw {file.stem}"] = speaker.drawn("draw", "--width=1600", "--height=1000", file)
        texts[f"sheet {file.stem}"] = speaker.drawn("sheet", "--charges", file)
        texts[f"template {file.stem}"] = speaker.drawn("template", file)
    texts["list"] = speaker.said("list", root / "data/demo")
    for name, text in texts.items():
        text = text.replace("\\n", " ")
        if name.endswith("--help"):
            text = SPELLING.sub("", text)
        wrong = list(english.faults(text))
        tap.check(text and not wrong, f"{name}: nothing is left in English", wrong[:30])
    return tap.done()


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
