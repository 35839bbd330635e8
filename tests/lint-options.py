#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Holds the manual pages and the shells' completion to what the programs say of themselves with --help: no option is missing, none invented.

lint-options.py SOURCE_ROOT CALC [DESK]; speaks TAP. The rules are tried on made-up faults first, so that a rule that finds nothing can't pass."""

import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ElementTree

sys.dont_write_bytecode = True
from tap import Tap

OPTION = re.compile(r"^  (?:-(?P<short>.), )?--(?P<name>[a-z-]+)(?:=(?P<value>\S+))?(?: .*)?$", re.MULTILINE)
COMMAND = re.compile(r"^  (?P<name>[a-z]+) +\S", re.MULTILINE)
MACROS = re.compile(r"\b(?:Ar|Cm|Pa|Ns|Fl)\b|[\s=\\&]")
DROPPED = {"help"}  # of every command; in the list of all options it is


def run(*command):
    return subprocess.run([str(part) for part in command], capture_output=True, text=True, env=dict(os.environ, LC_ALL="C.UTF-8", LANGUAGE=""), timeout=120)


def options_of_help(text):
    """Name to (letter or None, value or "")."""
    return {m["name"]: (m["short"], (m["value"] or "").lower()) for m in OPTION.finditer(text)}


def options_of_synopsis(page):
    """The same of each command in a manual page's synopsis: command to options, the short ones under "-x"."""
    synopsis = page.partition(".Sh SYNOPSIS\n")[2].partition(".Sh ")[0]
    commands = {}
    for call in synopsis.split(".Nm\n")[1:]:
        name = re.match(r"\.Cm (\S+)\n", call)
        options = {}
        for line in call.splitlines():
            found = re.match(r"\.(?:Op )?Fl (?:Fl (?P<long>[a-z-]+)|(?P<short>\w))(?P<value> .*)?$", line)
            if found:
                options[found["long"] or "-" + found["short"]] = MACROS.sub("", found["value"] or "").lower()
        commands[name[1] if name else ""] = options
    return commands


def options_of_list(page):
    """Of the list of options in a page: name to (letter or None, value)."""
    listed = {}
    section = page.partition(".Ss Options\n")[2].partition(".Ss ")[0].partition(".Sh ")[0]
    for item in re.findall(r"^\.It (Fl .*)$", section, re.MULTILINE):
        short = None
        for part in item.split(" , "):
            found = re.match(r"Fl (?:Fl (?P<long>[a-z-]+)|(?P<short>\w))(?P<value> .*)?$", part)
            if found["long"]:
                listed[found["long"]] = (short, MACROS.sub("", found["value"] or "").lower())
            short = found["short"]
    return listed


def unlike_synopsis(told, written):
    """What a command's synopsis has otherwise than its --help."""
    short = {letter: name for name, (letter, _) in told.items() if letter}
    written = {short.get(name[1:], name) if name.startswith("-") else name: value for name, value in written.items()}
    told = {name: value for name, (_, value) in told.items() if name not in DROPPED}
    return [f"--{name}: help {told.get(name)!r}, manual {written.get(name)!r}" for name in sorted(told.keys() | written.keys()) if told.get(name) != written.get(name)]


def unlike_list(told, listed):
    """What the list of options has otherwise than any command's --help: a letter, or none of the values it goes with."""
    faults = []
    for name in sorted(told.keys() | listed.keys()):
        letters, values = {l for l, _ in told.get(name, ())}, {frozenset(v.split("|")) for _, v in told.get(name, ())}
        letter, value = listed.get(name, ("?", "?"))
        if letters != {letter} or not (frozenset(value.split("|")) in values or name in ("string", "output")):
            faults.append(f"--{name}: help {sorted(map(str, told.get(name, ())))}, manual -{letter} {value}")
    return faults


# What each shell offers for the last of the words, a line each. Of zsh what its widget would be given; that needs no terminal.
SHELLS = {
    "bash": ["--norc", "-c", 'source "$0/bash-completion/completions/sidelong-calc"; COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); COMPREPLY=(); '
             '"$(complete -p "${1##*/}" | sed "s/.*-F \\([^ ]*\\).*/\\1/")"; printf "%s\\n" "${COMPREPLY[@]}"'],
    "zsh": ["-f", "-c", 'fpath=($0/zsh/site-functions); autoload -U _sidelong; compadd () { while [[ $1 != -- ]]; do shift; done; shift; print -rl -- "$@" }; '
            'words=("$@") CURRENT=$#; _sidelong'],
    "fish": ["--no-config", "-c", 'source $argv[1]/fish/vendor_completions.d/sidelong-calc.fish; complete -C (string escape -- $argv[2..] | string join " " | string replace -r " \'\'\\$" " ")'],
}


def completed(shell, share, folder, program, *words):
    path = f"{pathlib.Path(program).parent}:{os.environ['PATH']}"
    done = subprocess.run([shell, *SHELLS[shell], share, pathlib.Path(program).name, *words], capture_output=True, text=True, cwd=folder, env=dict(os.environ, PATH=path, HOME=str(folder)), timeout=120)
    offered = {line.partition("\t")[0] for line in done.stdout.split("\n")} - {""}
    return sorted(line.removesuffix("/") for line in offered), done.stderr


def check_rules(tap):
    told = {"format": ("f", "text|csv"), "write": (None, ""), "help": ("h", "")}
    tap.check(unlike_synopsis(told, {"format": "text|csv", "write": ""}) == [] and unlike_synopsis(told, {"-f": "text|csv", "write": ""}) == [], "rules: a true synopsis passes")
    for name, written in (("missing", {"format": "text|csv"}), ("invented", {"format": "text|csv", "write": "", "gloss": ""}), ("with other values", {"format": "text", "write": ""})):
        tap.check(len(unlike_synopsis(told, written)) == 1, f"rules: an option {name} is found")
    both = {name: {pair} for name, pair in told.items()}
    tap.check(unlike_list(both, dict(told)) == [], "rules: a true list passes")
    for name, listed in (("missing", {"format": ("f", "text|csv"), "help": ("h", "")}), ("invented", dict(told, gloss=(None, ""))), ("under another letter", dict(told, format=("g", "text|csv")))):
        tap.check(len(unlike_list(both, listed)) == 1, f"rules: an option {name} in the list is found")


def check_manual(tap, page, helps):
    """A page against the --help of its program, or of each of its commands."""
    text = page.read_text(encoding="utf-8")
    synopsis = options_of_synopsis(text)
    tap.check(set(synopsis) - {""} == set(helps) - {""}, f"{page.name}: the commands", [str(sorted(set(synopsis) ^ set(helps)))])
    every = {}
    for command, told in helps.items():
        if command:
            faults = unlike_synopsis(told, synopsis.get(command, {}))
            tap.check(not faults, f"{page.name}: the options of {command}", faults)
        for name, pair in told.items():
            every.setdefault(name, set()).add(pair)
    faults = unlike_list(every, options_of_list(text))
    tap.check(not faults, f"{page.name}: the list of options", faults)


def check_figures(tap, root):
    """Quantities, and the columns of every command, as the manual has them."""
    text = (root / "data/man/sidelong-calc.1").read_text(encoding="utf-8")
    rows = ElementTree.parse(root / "data" / "built-in.ui").getroot()
    missing = [row.get("name") for row in rows.findall("quantity") if not re.search(rf"^\.It .*\b{row.get('name')}\b", text, re.MULTILINE)]
    tap.check(not missing, "sidelong-calc.1: every quantity", missing)
    columns = re.findall(r'^  *"?((?:[a-z-]+,){6,}[a-z-]*)"?|"((?:[a-z-]+,){6,}[a-z-]*)"', "\n".join(p.read_text() for p in sorted((root / "src/calc").glob("*.c"))), re.MULTILINE)
    heads = [a or b for a, b in columns]
    told = text.replace("\\:", "")
    tap.check(len(heads) >= 6 and all(head in told for head in heads), "sidelong-calc.1: the columns of every command", [head for head in heads if head not in told])
    for name in set(re.findall(r'g_getenv \("(\w+)"\)', "".join(p.read_text() for p in (root / "src").rglob("*.c")))):
        pages = "".join(p.read_text() for p in (root / "data/man").glob("*.1"))
        tap.check(re.search(rf"^\.It Ev .*\b{name}\b", pages, re.MULTILINE), f"the environment variable {name} is in a manual page")


def check_completion(tap, shell, share, program, helps):
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        for file in ("one.sidelong", "two.sidelong", "note.txt", "a.wav", "all.zip"):
            (folder / file).touch()
        (folder / "shelf").mkdir()
        profiles = ["one.sidelong", "shelf", "two.sidelong"]
        if set(helps) != {""}:
            found, err = completed(shell, share, folder, program, "")
            tap.check(found == sorted(set(helps) - {""}) and not err, f"{shell}: the commands", [*found, err])
        for command, told in helps.items():
            call = [command] if command else []
            want = sorted({f"--{n}" + ("=" if value else "") for n, (_, value) in told.items()} | {f"-{letter}" for letter, _ in told.values() if letter})
            found, err = completed(shell, share, folder, program, *call, "-")
            tap.check(found == want and not err, f"{shell}: {' '.join(call) or pathlib.Path(program).name}: the options of --help and no others", [f"missing {sorted(set(want) - set(found))}", f"invented {sorted(set(found) - set(want))}", err])
            for option, (_, value) in told.items():
                if "|" in value:
                    before = "" if shell == "bash" else f"--{option}="
                    values, _ = completed(shell, share, folder, program, *call, *([f"--{option}", "=", ""] if shell == "bash" else [before]))
                    tap.check(values in [sorted(before + one for one in v.split("|")) for v in (value, value.replace("n|", "N|"))], f"{shell}: {command} --{option}", values)
            if command or set(helps) == {""}:
                want = {"list": ["shelf"], "unpack": ["all.zip", "shelf"], "pitch": sorted(profiles + ["a.wav"])}.get(command, profiles)
                found, err = completed(shell, share, folder, program, *call, "")
                tap.check(found == want, f"{shell}: {command or 'sidelong'}: files", [*found, err])


def main(source, calc, desk=None):
    tap = Tap()
    root, calc = pathlib.Path(source).resolve(), pathlib.Path(calc).resolve()
    check_rules(tap)
    general = run(calc, "--help").stdout
    commands = COMMAND.findall(general.partition("Commands:\n")[2].partition("\n\n")[0])
    helps = {"": options_of_help(general), **{command: options_of_help(run(calc, command, "--help").stdout) for command in commands}}
    check_manual(tap, root / "data/man/sidelong-calc.1", helps)
    check_figures(tap, root)
    programs = [(calc, helps)]
    if desk:
        desk = pathlib.Path(desk).resolve()
        programs.append((desk, {"": options_of_help(run(desk, "--help").stdout)}))
        check_manual(tap, root / "data/man/sidelong.1", programs[1][1])
    with tempfile.TemporaryDirectory() as share:
        for place, name in (("bash-completion/completions", "sidelong-calc"), ("zsh/site-functions", "_sidelong"), ("fish/vendor_completions.d", "sidelong-calc.fish")):
            (pathlib.Path(share) / place).mkdir(parents=True)
            shutil.copy(root / "data/completions" / name, pathlib.Path(share) / place)
        for shell in filter(shutil.which, SHELLS):
            for program, told in programs:
                check_completion(tap, shell, share, program, told)
    return tap.done()


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
