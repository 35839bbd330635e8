#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Installs the build into an empty folder and looks at what is there.

install.py SOURCE_ROOT BUILD_ROOT PREFIX MODULES; speaks TAP. MODULES: where in PREFIX what is loaded on demand goes."""

import os
import pathlib
import subprocess
import sys
import tempfile
import wave

sys.dont_write_bytecode = True
from tap import Tap

APP_ID = "org.sidelong.Sidelong"
EXPECTED = [
    "bin/sidelong",
    "bin/sidelong-calc",
    f"share/applications/{APP_ID}.desktop",
    f"share/metainfo/{APP_ID}.metainfo.xml",
    f"share/mime/packages/{APP_ID}.xml",
    f"share/glib-2.0/schemas/{APP_ID}.gschema.xml",
    f"share/dbus-1/services/{APP_ID}.service",
    f"share/icons/hicolor/scalable/apps/{APP_ID}.svg",
    *[f"share/icons/hicolor/{size}x{size}/{icon}.png" for size in (16, 24, 32, 48, 64, 128, 256, 512) for icon in (f"apps/{APP_ID}", f"mimetypes/{APP_ID}.profile")],
    f"share/icons/hicolor/scalable/mimetypes/{APP_ID}.profile.svg",
    f"share/icons/hicolor/symbolic/apps/{APP_ID}-symbolic.svg",
    "share/man/man1/sidelong.1",
    "share/man/man1/sidelong-calc.1",
    "share/sidelong/sidelong-calc.schema.json",
    "share/bash-completion/completions/sidelong",
    "share/bash-completion/completions/sidelong-calc",
    "share/fish/vendor_completions.d/sidelong.fish",
    "share/fish/vendor_completions.d/sidelong-calc.fish",
    "share/zsh/site-functions/_sidelong",
]
TRANSLATIONS = "share/locale/{}/LC_MESSAGES/sidelong.mo"
CALLS = ("check", "compute", "plan", "draw", "pitch")


def main(source, build, prefix, modules):
    tap = Tap()
    with tempfile.TemporaryDirectory() as folder:
        result = subprocess.run(["meson", "install", "-C", build, "--no-rebuild", "--destdir", folder],
                                stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
        tap.check(result.returncode == 0, "meson install", result.stdout.splitlines())
        installed = pathlib.Path(folder + prefix)
        languages = [line for line in pathlib.Path(source, "po", "LINGUAS").read_text().splitlines() if line and not line.startswith("#")]
        for name in EXPECTED + [f"{modules}/sidelong-capture.so"] + [TRANSLATIONS.format(language) for language in languages]:
            tap.check((installed / name).is_file(), name)
        made, put = pathlib.Path(source, "data", "demo"), installed / "share/sidelong/demo"
        demos = sorted(str(path.relative_to(made)) for path in [*made.glob("*.sidelong"), *made.glob("*.photos/*")])
        there = sorted(str(path.relative_to(put)) for path in put.rglob("*") if path.is_file())
        tap.check(demos and demos == there, "the demonstration profiles and their photographs", [f"expected {demos}", f"installed {there}"])
        calc = installed / "bin" / "sidelong-calc"
        if not calc.exists():
            return tap.done()
        elsewhere = dict(os.environ, LC_ALL="C.UTF-8")
        elsewhere.pop("DISPLAY", None)
        result = subprocess.run([calc, "--help"], capture_output=True, text=True, cwd="/", env=elsewhere)
        tap.check(result.returncode == 0 and all(call in result.stdout for call in CALLS), "the installed sidelong-calc tells its calls",
                  (result.stdout + result.stderr).splitlines())
        result = subprocess.run([calc, "check", *(installed / "share/sidelong/demo").glob("*.sidelong")], capture_output=True, text=True, cwd="/", env=elsewhere)
        tap.check(result.returncode == 0, "the installed sidelong-calc finds the demonstration profiles sound", (result.stdout + result.stderr).splitlines())
        silence = pathlib.Path(folder, "silence.wav")
        with wave.open(str(silence), "wb") as file:
            file.setparams((1, 2, 44100, 0, "NONE", ""))
            file.writeframes(bytes(2 * 44100))
        for where, listens in ((installed / modules, True), (folder, False)):
            result = subprocess.run([calc, "pitch", silence, "--expect=110"], capture_output=True, text=True, cwd="/", env=dict(elsewhere, SIDELONG_MODULE_DIR=str(where)))
            tap.check(("apt install" not in result.stderr) == listens and (result.returncode == 3) != listens, f"it {'listens with its module' if listens else 'says what is missing without it'}",
                      [f"status {result.returncode}", *(result.stdout + result.stderr).splitlines()])
    return tap.done()


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
