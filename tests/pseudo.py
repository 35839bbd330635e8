#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Makes two languages nobody speaks of the messages in the sources, for tests.

pseudo.py SOURCE_ROOT FOLDER [STAMP] writes FOLDER/qal and FOLDER/qar (ISO 639-2 keeps qaa to qtz for local use), each with its
LC_MESSAGES/sidelong.mo. "qal" is long: Latin letters with accents, vowels doubled until a message is 1.38 times as long as
in English, one of up to ten characters 1.6 times. "qar" is written from right to left, in Hebrew letters. Both put a
message into ⟦ ⟧, which tells what is translated, what is cut and what was put together of pieces. Placeholders, markup,
the letter for the keyboard and blanks at the ends are kept."""

import importlib.util
import pathlib
import re
import subprocess
import sys

sys.dont_write_bytecode = True
sys.path.insert(0, str(pathlib.Path(__file__).parent))
spec = importlib.util.spec_from_file_location("lint_po", pathlib.Path(__file__).with_name("lint-po.py"))
lint_po = importlib.util.module_from_spec(spec)
spec.loader.exec_module(lint_po)

OPEN, CLOSE = "⟦", "⟧"
SHORT, SHORT_BY, LONG_BY = 10, 1.6, 1.38  # common practice: translations of short texts grow most
ACCENTED = str.maketrans("ACDEGHIJKLNORSTUWYZacdeghijklnorstuwyz", "ÅÇĐÉĜĤÎĴĶĻÑÔŘŠŢÛŴÝŽåçđéĝĥîĵķļñôřšţûŵýž")
HEBREW = str.maketrans("abcdefghijklmnopqrstuvwxyz", "אבסדעפגהיחכלמנוףקרשתוצשזטץ")
VOWELS = "aeiouAEIOU"
# What is kept: printf's placeholders, markup, entities, references to g_date_time_format(), one letter's mnemonic.
KEPT = re.compile(lint_po.PLACEHOLDER.pattern.replace("(?P<place>", "(?:").replace("(?P<what>", "(?:") + r"|<[^<>]+>|&\w+;|\{\w+\}")
DATE = re.compile(r"[-%dbBYHMe :,.]+")
VERBATIM = {"language tag"}  # contexts of what is no text


def longer(text, most):
    """Doubles vowels, in each word as many as it is to grow by, and fills up to @most characters."""
    by, out, left = most / max(1, len(text)), "", most - len(text)
    for word in re.split(r"(\W+)", text):
        grow = round(len(word) * (by - 1))
        for at, letter in enumerate(word):
            more = letter in VOWELS and grow > 0 and left > 0
            out += letter * (2 if more else 1)
            grow, left = grow - more, left - more
    end = text[len(text.rstrip(".:!?…)”")):]
    return out[:len(out) - len(end)] + "~" * max(0, left) + end


def spoken(text, language):
    parts, at = [], 0
    kept = [(found.start(), found.end()) for found in KEPT.finditer(text)] + [(len(text), len(text))]
    letters = sum(len(text[a:b]) for a, b in zip([0] + [end for _start, end in kept], [start for start, _end in kept]))
    for start, end in kept:
        piece = text[at:start]
        if language == "qal":
            by = SHORT_BY if letters <= SHORT else LONG_BY
            # the brackets are two of the characters
            want = round(len(piece) * by - 2 * len(piece) / max(1, letters)) if re.search(r"[A-Za-z]{2}", piece) else len(piece)
            piece = longer(piece, want).translate(ACCENTED)
        else:
            piece = piece.lower().translate(HEBREW)
        parts += [piece, text[start:end]]
        at = end
    return "".join(parts)


def pseudo(entry, language, text):
    if entry.context in VERBATIM or not re.search(r"\w|%", text):
        return text
    start, end, _lines = lint_po.edges(text)
    core = text[len(start):len(text) - len(end)]
    # as a translator has to where a message begins with something else, for that would turn the whole of it
    turn = "\u200f" if language == "qar" and re.match(r"[%\d]", core) and re.search(r"[A-Za-z]{2}", KEPT.sub("", core)) else ""
    return start + turn + OPEN + (core if DATE.fullmatch(core) else spoken(core, language)) + CLOSE + end


def quoted(text):
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n").replace("\t", "\\t") + '"'


def po(entries, language):
    out = ['msgid ""\nmsgstr ""\n"Content-Type: text/plain; charset=UTF-8\\n"\n"Content-Transfer-Encoding: 8bit\\n"\n'
           f'"Language: {language}\\n"\n"Plural-Forms: nplurals=2; plural=(n != 1);\\n"\n']
    for entry in entries:
        rows = ["#, c-format"] if entry.printf else []
        rows += [f"msgctxt {quoted(entry.context)}"] if entry.context is not None else []
        rows += [f"msgid {quoted(entry.text)}"]
        if entry.plural:
            rows += [f"msgid_plural {quoted(entry.plural)}"]
            rows += [f"msgstr[{n}] {quoted(pseudo(entry, language, text))}" for n, text in enumerate([entry.text, entry.plural])]
        else:
            rows += [f"msgstr {quoted(pseudo(entry, language, entry.text))}"]
        out.append("\n".join(rows) + "\n")
    return "\n".join(out)


class English:
    """Finds what was left in English in texts of the long language. @data: files whose words may stand anywhere."""

    WORD = re.compile(r"[^\W\d_]+")

    def __init__(self, data=()):
        allowed = pathlib.Path(__file__).with_name("pseudo-allowed.txt").read_text().splitlines()
        self.allowed = {word for line in allowed if line and not line.startswith("#") for word in line.split("  ")[0].split()}
        for path in data:
            self.allowed.update(self.WORD.findall(path.read_text(errors="replace").replace("\\n", " ")))

    def faults(self, text):
        """A sentence for each line with a word of more than one letter that is neither translated nor data. Each letter the language changes tells one."""
        for line in text.splitlines():
            words = [word for word in self.WORD.findall(line) if len(word) > 1 and word not in self.allowed and any(ord(letter) in ACCENTED for letter in word)]
            if words:
                yield f"{' '.join(words)}: {line.strip()}"


def main(root, folder, stamp=None):
    root = pathlib.Path(root)
    files = [line for line in (root / "po/POTFILES.in").read_text().splitlines() if line and not line.startswith("#")]
    entries = [entry for entry in lint_po.extracted(root, files) if entry.text]
    for language in ("qal", "qar"):
        into = pathlib.Path(folder, language, "LC_MESSAGES")
        into.mkdir(parents=True, exist_ok=True)
        (into / "sidelong.po").write_text(po(entries, language))
        subprocess.run(["msgfmt", "--check-format", f"--output-file={into / 'sidelong.mo'}", into / "sidelong.po"], check=True)
    if stamp:
        pathlib.Path(stamp).touch()


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
