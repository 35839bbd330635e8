#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Holds the translations to the sources, and to what a translation must keep.

lint-po.py SOURCE_ROOT [LOCALE_FOLDER PROGRAM]; speaks TAP. Checked by gettext's own tools (xgettext, msgfmt), and by rules for what those leave
unchecked. The rules are tried on made-up faults first, so that a rule that finds nothing can't pass."""

import collections
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

sys.dont_write_bytecode = True
from tap import Tap

# What marks a string for translation: the keywords of Meson's "glib" preset.
KEYWORDS = ["_", "N_", "C_:1c,2", "NC_:1c,2", "g_dcgettext:2", "g_dngettext:2,3", "g_dpgettext2:2c,3"]
MARKED_C = re.compile(r"\b(?:_|N_|C_|NC_|ngettext|g_dcgettext|g_dngettext|g_dpgettext2?)\s*\(\s*(?:GETTEXT_PACKAGE\s*,\s*)?(?:/\*.*?\*/\s*)?\"")
MARKED_UI = re.compile(r"""\btranslatable=["'](?:yes|true|1)["']""")
PLACEHOLDER = re.compile(r"%(?:(?P<place>\d+)\$)?(?P<what>[-+ #0]*(?:\*|\d+)?(?:\.(?:\*|\d+))?(?:hh|h|ll|l|z|j|t)?[diouxXeEfFgGcsp]|%)")
LISTED_FORMAT = re.compile(r"%(?:\d+\$)?[sd]") # of a list in data too, whose formats xgettext does not mark
QUOTED = re.compile(r'"((?:[^"\\]|\\.)*)"')

# Words of the trade that mean one thing wherever they stand, so that every language has one word for them: its glossary, in the comments at the head
# of its file, says which.
HELD = ["baseline", "bench", "board", "break point", "charge", "compensation", "core", "crown chord", "first pass", "hand-over sheet", "photograph",
        "profile", "reading run", "scale length", "shelf", "straightedge", "string tree", "template", "tool", "treble", "truss rod", "tuner post"]
TERM = re.compile(r"^#     (\S.*?)(?:\s{2,}|(?<=\S{21}) )(\S.*)$", re.M)

Entry = collections.namedtuple("Entry", "context text plural translations fuzzy printf line")


def unquoted(lines):
    text = "".join(QUOTED.search(line)[1] for line in lines)
    return re.sub(r"\\(.)", lambda found: {"n": "\n", "t": "\t"}.get(found[1], found[1]), text)


def entries_of(text):
    """The messages of a PO file, obsolete ones left out; the header is the one without a text."""
    line = 1
    for block in re.split(r"\n[ \t]*\n", text):
        fields, name, comments = {}, None, []
        for row in block.splitlines():
            found = re.match(r'(msgctxt|msgid_plural|msgid|msgstr(?:\[\d+\])?)\s+"', row)
            if found:
                name = found[1]
                fields[name] = [row]
            elif row.startswith('"') and name:
                fields[name].append(row)
            elif row.startswith("#,"):
                comments += [flag.strip() for flag in row[2:].split(",")]
        if "msgid" in fields:
            done = {name: unquoted(lines) for name, lines in fields.items()}
            yield Entry(done.get("msgctxt"), done["msgid"], done.get("msgid_plural"),
                        [done[name] for name in sorted(done) if name.startswith("msgstr")], "fuzzy" in comments,
                        "c-format" in comments or LISTED_FORMAT.search(done["msgid"]) is not None, line)
        line += block.count("\n") + 2


def keys_of(entries):
    return {(entry.context, entry.text, entry.plural) for entry in entries if entry.text}


def shown(key):
    context, text, _plural = key
    return (f"[{context}] " if context else "") + text.replace("\n", "\\n")[:110]


def placeholders(text):
    """In the order of the arguments that they take; "%%" takes none and may move."""
    found = [(int(match["place"] or 0), match["what"]) for match in PLACEHOLDER.finditer(text)]
    taking = [what for _place, what in sorted((pair for pair in found if pair[1] != "%"), key=lambda pair: pair[0])]
    return taking + ["%"] * sum(what == "%" for _place, what in found)


def edges(text):
    """What the parts of a glued text rely on: blanks and ends of line at its ends, and how many lines it has."""
    return text[:len(text) - len(text.lstrip())], text[len(text.rstrip()):], text.count("\n")


def mnemonics(text):
    return len(re.findall(r"_(?=[^\W_])", text))


def faults_of(entry):
    """What is wrong with a translated message."""
    if entry.fuzzy:
        yield "fuzzy"
    if not entry.translations or not all(entry.translations):
        yield "not translated"
        return
    last = entry.plural or entry.text
    for number, translation in enumerate(entry.translations):
        wanted = [entry.text, last] if number == 0 else [last]
        if entry.printf and placeholders(translation) not in [placeholders(text) for text in wanted]:
            yield f"takes {placeholders(translation)}, not {placeholders(wanted[0])}: {translation}"
        if edges(translation) != edges(entry.text):
            yield f"begins or ends with other blanks: {translation!r}"
        if mnemonics(entry.text) == 1 and mnemonics(translation) != 1:
            yield f"has no letter for the keyboard, or more than one: {translation}"


def glossary_of(text):
    """What the comments at the head of a PO file say: for a term, how each word begins that may stand for it."""
    head = text.partition("\nmsgid")[0]
    return {term.strip(): {word[:max(4, len(word) - 2)].lower() for word in re.findall(r"[^\W\d_]{3,}", words)}
            for terms, words in TERM.findall(head) for term in re.sub(r"\(.*?\)", "", terms).split(",")}


def strays_of(entry, glossary):
    """The held terms of a message whose translation has none of the glossary's words for them, nor the word itself, as of the document."""
    for term in HELD:
        if re.search(rf"(?<![-\w]){term}s?(?![-\w])", entry.text, re.I):
            if not any(word in translation.lower() for translation in entry.translations for word in glossary.get(term, set()) | {term}):
                yield f"says “{term}” otherwise than the glossary: {entry.translations[0]}"


def marked_files(root):
    """Every file with a string that is shown, as po/POTFILES.in names it."""
    for path in [*root.glob("src/**/*.[ch]"), *root.glob("ui/*.ui"), *root.glob("data/*.in"), *root.glob("data/*.ui"), *root.glob("data/*.gschema.xml")]:
        text = path.read_text()
        if path.parent.name == "data" or (MARKED_UI if path.suffix == ".ui" else MARKED_C).search(text):
            yield path.relative_to(root).as_posix()


def extracted(root, files):
    """The messages in the files, as xgettext finds them."""
    with tempfile.TemporaryDirectory() as folder:
        out = pathlib.Path(folder, "found.pot")
        command = ["xgettext", "--from-code=UTF-8", *("--keyword=" + word for word in KEYWORDS), f"--directory={root}", f"--output={out}", "--force-po", *files]
        subprocess.run(command, check=True, capture_output=True, text=True)
        return list(entries_of(out.read_text()))


def differences(found, template):
    missing, left = keys_of(found) - keys_of(template), keys_of(template) - keys_of(found)
    return [f"not in the template: {shown(key)}" for key in sorted(missing, key=shown)] + [f"no longer in the sources: {shown(key)}" for key in sorted(left, key=shown)]


def try_rules(tap):
    """Every rule on a fault made up for it, and on a sound message."""
    sound = '#, c-format\nmsgid "%s of %d\\n"\nmsgstr "%1$s von %2$d\\n"\n\nmsgid "_Open"\nmsgstr "Ö_ffnen"\n'
    tap.check(not any(list(faults_of(entry)) for entry in entries_of(sound)), "a sound translation passes")
    for name, text in [
            ("an empty translation", 'msgid "a"\nmsgstr ""'),
            ("a fuzzy one", '#, fuzzy\nmsgid "a"\nmsgstr "b"'),
            ("an empty plural", 'msgid "a"\nmsgid_plural "as"\nmsgstr[0] "b"\nmsgstr[1] ""'),
            ("a lost placeholder", '#, c-format\nmsgid "%s of %d"\nmsgstr "%s"'),
            ("exchanged placeholders", '#, c-format\nmsgid "%s of %d"\nmsgstr "%d von %s"'),
            ("a lost blank", 'msgid ", done "\nmsgstr ", fertig"'),
            ("a lost mnemonic", 'msgid "_Open"\nmsgstr "Öffnen"')]:
        tap.check(any(list(faults_of(entry)) for entry in entries_of(text)), f"{name} is found")
    glossary = glossary_of("# Glossary\n#     truss rod, shelf      Halsstab, Regal [Brett]\n#\nmsgid")
    tap.check(glossary.get("shelf") == {"halsst", "rega", "bret"}, "the glossary is read", [str(glossary)])
    for text, strays in [("Regal suchen", 0), ("Regale", 0), ("Ordner suchen", 1)]:
        entry = next(entries_of(f'msgid "Find a shelf"\nmsgstr "{text}"'))
        tap.check(len(list(strays_of(entry, glossary))) == strays, f"a word {'against' if strays else 'of'} the glossary: {text}")
    with tempfile.TemporaryDirectory() as folder:
        root = pathlib.Path(folder)
        for name, text in [("src/a/new.c", 'void f (void) { g (_ ("never seen")); h (C_("side", "left")); }'), ("src/a/plain.c", 'void f (void) { g ("raw"); }'),
                           ("ui/a.ui", '<interface><object class="GtkLabel"><property name="label" translatable="yes">label</property></object></interface>')]:
            (root / name).parent.mkdir(parents=True, exist_ok=True)
            (root / name).write_text(text)
        files = sorted(marked_files(root))
        tap.check(files == ["src/a/new.c", "ui/a.ui"], "files with marked strings are told from others", files)
        found = extracted(root, files)
        tap.check(keys_of(found) == {(None, "never seen", None), ("side", "left", None), (None, "label", None)}, "marked strings are found in C and in a template",
                  [shown(key) for key in keys_of(found)])
        template = [entry for entry in found if entry.text != "never seen"]
        tap.check(differences(found, template) == ["not in the template: never seen"], "a string that the template lacks is found")
        tap.check(differences(template, found) == ["no longer in the sources: never seen"], "a string that only the template has is found")


def check_files(tap, root):
    listed = [line for line in (root / "po/POTFILES.in").read_text().splitlines() if line and not line.startswith("#")]
    marked = set(marked_files(root))
    wrong = [f"not listed: {name}" for name in sorted(marked - set(listed))] + [f"listed, but has no string: {name}" for name in sorted(set(listed) - marked)]
    tap.check(not wrong, "POTFILES.in lists every file with a string that is shown, and no other", wrong)
    return [name for name in listed if (root / name).exists()]


def check_language(tap, path, template):
    language = path.stem
    result = subprocess.run(["msgfmt", "--check", "--check-format", "--output-file=/dev/null", path], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    tap.check(result.returncode == 0, f"{language}: msgfmt finds no fault", result.stdout.splitlines())
    text = path.read_text()
    entries = list(entries_of(text))
    wrong = differences(template, entries)
    tap.check(not wrong, f"{language}: has the template's messages and no others", wrong[:40])
    wrong = [f"line {entry.line}: {shown((entry.context, entry.text, None))}: {fault}" for entry in entries if entry.text for fault in faults_of(entry)]
    tap.check(not wrong, f"{language}: complete, and keeps what it must", wrong[:40])
    glossary = glossary_of(text)
    wrong = [f"the glossary lacks “{term}”" for term in HELD if not glossary.get(term)]
    wrong += [f"line {entry.line}: {shown((entry.context, entry.text, None))}: {stray}" for entry in entries if entry.text for stray in strays_of(entry, glossary)]
    tap.check(not wrong, f"{language}: has one word for one thing", wrong[:40])


def check_program(tap, locale_folder, program, language, path):
    """The built translation, found by the program: its help is in the language."""
    locale = f"{language}_{language.upper()}.UTF-8"
    has = subprocess.run(["locale", "-a"], capture_output=True, text=True).stdout.lower().replace("-", "").split()
    made = any(pathlib.Path(folder, locale).is_dir() for folder in os.environ.get("LOCPATH", "").split(":") if folder)
    if locale.lower().replace("-", "") not in has and not made:
        tap.skip(f"{language}: the program speaks it", f"this machine has no {locale}")
        return
    env = {**os.environ, "LC_ALL": locale, "LANGUAGE": language, "SIDELONG_LOCALE_DIR": locale_folder}
    text = subprocess.run([program, "--help"], capture_output=True, text=True, env=env, encoding="utf-8").stdout
    heading = next(entry.translations[0] for entry in entries_of(path.read_text()) if entry.text == "Commands:")
    tap.check(heading in text and "Commands:" not in text, f"{language}: the program speaks it", text.splitlines())


def main(root, locale_folder=None, program=None):
    tap = Tap()
    if not shutil.which("xgettext") or not shutil.which("msgfmt"):
        tap.skip("translations", "gettext is not installed")
        return tap.done()
    root = pathlib.Path(root)
    try_rules(tap)
    files = check_files(tap, root)
    template = list(entries_of((root / "po/sidelong.pot").read_text()))
    wrong = differences(extracted(root, files), template)
    tap.check(not wrong, "the template has the sources' strings (meson compile sidelong-pot sidelong-update-po)", wrong[:40])
    languages = [line for line in (root / "po/LINGUAS").read_text().split("\n") if line and not line.startswith("#")]
    tap.check(languages, "there are translations")
    for language in languages:
        path = root / "po" / f"{language}.po"
        check_language(tap, path, template)
        if program:
            check_program(tap, locale_folder, program, language, path)
    return tap.done()


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
