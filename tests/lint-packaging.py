#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Holds the packages to what they pack: what is built with, what is installed, which version it is, and what a sandbox lets through.

lint-packaging.py SOURCE_ROOT BUILD_ROOT; speaks TAP. The rules are tried on made-up faults first, so that a rule that finds nothing can't pass."""

import datetime
import email.utils
import fnmatch
import json
import pathlib
import re
import sys
import xml.etree.ElementTree as ElementTree

sys.dont_write_bytecode = True
from tap import Tap

APP_ID = "org.sidelong.Sidelong"
# What meson.build asks pkg-config for: the Debian package that has it, and the module of the Flatpak manifest; None: the runtime has it (from memory of
# what the GNOME runtime holds; its first build tells).
KNOWN = {
    "cairo": ("libcairo2-dev", None),
    "gdk-pixbuf-2.0": ("libgdk-pixbuf-2.0-dev", None),
    "gio-2.0": ("libglib2.0-dev", None),
    "gio-unix-2.0": ("libglib2.0-dev", None),
    "glib-2.0": ("libglib2.0-dev", None),
    "gmodule-no-export-2.0": ("libglib2.0-dev", None),
    "gsl": ("libgsl-dev", "gsl"),
    "gstreamer-1.0": ("libgstreamer1.0-dev", None),
    "gstreamer-app-1.0": ("libgstreamer-plugins-base1.0-dev", None),
    "gtk4": ("libgtk-4-dev", None),
    "libarchive": ("libarchive-dev", "libarchive"),
    "libexif": ("libexif-dev", "libexif"),
    "libxml-2.0": ("libxml2-dev", None),
    "pangocairo": ("libpango1.0-dev", None),
}
# Programs the build calls that the runtime's SDK has not.
TOOLS = {"cmark-gfm": "cmark-gfm"}
# What every build has, and what comes with a package that is named.
ALWAYS_THERE = {"gcc", "libc6-dev", "debhelper-compat"}
COMES_WITH = {"adwaita-icon-theme": "libgtk-4-dev"}
# What the program does, and the argument that lets it: windows, their drawing, sound in, files beside the one opened and on shares.
LETS = {"--share=ipc", "--socket=wayland", "--socket=fallback-x11", "--device=dri", "--socket=pulseaudio", "--filesystem=home", "--filesystem=xdg-run/gvfs"}
DEPENDENCY = re.compile(r"\bdependency\('(?P<name>[^']+)'(?:, version: '>= (?P<least>[\d.]+)')?")


def paragraphs(control):
    """The fields of each paragraph of a file in Debian's form."""
    for block in re.split(r"\n\s*\n", control.strip()):
        fields, name = {}, None
        for line in block.splitlines():
            if line[:1] in " \t":
                fields[name] += line.strip() + " "
            elif not line.startswith("#"):
                name, value = line.split(":", 1)
                fields[name] = value.strip() + " "
        yield fields


def relations(field):
    """Packages named in a field, with their least versions; alternatives count as the last, the one packages.sh names."""
    found = {}
    for part in filter(None, (part.strip() for part in field.split(","))):
        match = re.match(r"(?P<name>[\w.+-]+)(?: \(>?= (?P<least>[^)]+)\))?", part.split("|")[-1].strip())
        if match:
            found[match["name"]] = match["least"]
    return found


def faults_of_build(builds, control, manifest, packages):
    """What is built with, named in four places."""
    source, *binaries = paragraphs(control)
    wanted, modules = relations(source["Build-Depends"]), {module["name"] for module in manifest["modules"]}
    asked = {}
    for match in DEPENDENCY.finditer(builds):
        asked.setdefault(match["name"], match["least"])
    for name, least in asked.items():
        if name not in KNOWN:
            yield f"{name}: no Debian package and no module is known for it"
            continue
        package, module = KNOWN[name]
        if package not in wanted:
            yield f"{name}: {package} is missing from Build-Depends"
        elif least and wanted[package] != least:
            yield f"{name}: meson.build asks for {least}, Build-Depends for {package} {wanted[package]}"
        if module and module not in modules:
            yield f"{name}: the manifest has no module {module}"
    yield from (f"{name}: nothing asks for it any more" for name in KNOWN if name not in asked)
    yield from (f"{tool}: the manifest has no module {module}" for tool, module in TOOLS.items() if tool in builds and module not in modules)
    listed = set(re.search(r"^build_packages='([^']+)'", packages, re.MULTILINE)[1].split()) - ALWAYS_THERE
    runs = {name for binary in binaries for field in ("Depends", "Recommends") for name in relations(binary.get(field, ""))}
    yield from (f"{name}: in src/packages.sh, but nowhere in debian/control" for name in sorted(listed - set(wanted) - runs)
                if COMES_WITH.get(name) not in wanted)
    yield from (f"{name}: in Build-Depends, but not in src/packages.sh" for name in sorted(set(wanted) - listed - ALWAYS_THERE))


def faults_of_versions(build, metainfo, changelog, pages):
    """One version and one day, wherever they are said."""
    version = re.search(r"^  version: '([^']+)'", build, re.MULTILINE)[1]
    component = ElementTree.fromstring(metainfo)
    release = component.find("releases/release")
    named = [element.text for element in [*component.iter("image"), *release.iter("url")]]
    yield from (f"the metainfo names {address}, which is not of {version}" for address in named if f"/{version}/" not in address)
    if release.get("version") != version:
        yield f"the newest release of the metainfo is {release.get('version')}, not {version}"
    latest = re.match(r"sidelong \((?P<version>[^)]+)-\d+\)", changelog)
    if not latest or latest["version"] != version:
        yield f"debian/changelog begins with another version than {version}"
    day = datetime.date.fromisoformat(release.get("date"))
    yield from (f"{name} is not of the day of the release, {day}" for name, text in pages.items() if f".Dd {day:%B} {day.day}, {day.year}\n" not in text)
    signed = re.search(r"^ -- .*>  (.+)$", changelog, re.MULTILINE)
    if not signed or email.utils.parsedate_to_datetime(signed[1]).date() != day:
        yield f"debian/changelog is not signed on the day of the release, {day}"


def faults_of_files(installed, lists):
    """What is installed belongs to one package, and what a package names is installed."""
    used = set()
    for name in installed:
        owners = set()
        for package, patterns in lists.items():
            for pattern in patterns:
                if fnmatch.fnmatchcase(name, pattern) or fnmatch.fnmatchcase(name, pattern + "/*"):
                    owners.add(package)
                    used.add(pattern)
        if len(owners) != 1:
            yield f"{name}: in {sorted(owners) or 'no package'}"
    yield from (f"{pattern}: nothing like it is installed" for patterns in lists.values() for pattern in patterns if pattern not in used)


def faults_of_manifest(manifest, metainfo):
    """The sandbox lets through what the program does and no more, and what is fetched is known byte by byte."""
    lets = set(manifest["finish-args"])
    if manifest["id"] != APP_ID or manifest["command"] != "sidelong":
        yield "it is of another program"
    yield from (f"{argument} is missing" for argument in sorted(LETS - lets))
    if ("--share=network" in lets) == (ElementTree.fromstring(metainfo).find("supports/internet").text == "offline-only"):
        yield "the network is let through, or the metainfo says that it is needed"
    for module in manifest["modules"]:
        for source in module["sources"]:
            if source["type"] != "dir" and not (source["url"].startswith("https://") and re.fullmatch("[0-9a-f]{64}", source["sha256"])):
                yield f"{module['name']}: what is fetched is not known"


def installed_of(build):
    """What `meson install` puts where, below the root, without the folders of the prefix and of the machine."""
    told = json.loads(pathlib.Path(build, "meson-info", "intro-installed.json").read_text())
    options = {option["name"]: option["value"] for option in json.loads(pathlib.Path(build, "meson-info", "intro-buildoptions.json").read_text())}
    names = [str(pathlib.PurePath(name).relative_to(options["prefix"])) for name in told.values()]
    return ["usr/" + re.sub(rf"^{re.escape(options['libdir'])}/", "lib/any/", name) for name in names]


def try_rules(tap, given):
    """Each rule on the texts as they are with one fault made."""
    control, manifest, metainfo, changelog = given["control"], given["manifest"], given["metainfo"], given["changelog"]
    fewer = dict(manifest, modules=[module for module in manifest["modules"] if module["name"] != "gsl"])
    cases = {
        "a dependency that no package is known for": lambda: faults_of_build(given["builds"] + "dependency('made-up')", control, manifest, given["packages"]),
        "a missing Build-Depends": lambda: faults_of_build(given["builds"], control.replace(" libgsl-dev (>= 2.7),\n", ""), manifest, given["packages"]),
        "an older Build-Depends": lambda: faults_of_build(given["builds"], control.replace("libgsl-dev (>= 2.7)", "libgsl-dev (>= 2.6)"), manifest, given["packages"]),
        "a missing module": lambda: faults_of_build(given["builds"], control, fewer, given["packages"]),
        "a package that only packages.sh names": lambda: faults_of_build(given["builds"], control, manifest, given["packages"].replace("build_packages='", "build_packages='made-up ")),
        "another version": lambda: faults_of_versions(given["build"], metainfo, changelog.replace("(1.", "(0.", 1), given["pages"]),
        "a picture of another version": lambda: faults_of_versions(given["build"], metainfo.replace("screenshots/1.", "screenshots/0.", 1), changelog, given["pages"]),
        "a page of another day": lambda: faults_of_versions(given["build"], metainfo, changelog, {"page": ".Dd May 4, 2026\n"}),
        "a file of no package": lambda: faults_of_files([*given["installed"], "usr/share/made-up"], given["lists"]),
        "a file that is not installed": lambda: faults_of_files(given["installed"][1:2], given["lists"]),
        "a sandbox without sound": lambda: faults_of_manifest(dict(manifest, **{"finish-args": manifest["finish-args"][:3]}), metainfo),
        "a sandbox with the network": lambda: faults_of_manifest(dict(manifest, **{"finish-args": [*manifest["finish-args"], "--share=network"]}), metainfo),
    }
    for name, faults in cases.items():
        tap.check(list(faults()), f"found where made up: {name}")


def main(root, build):
    tap = Tap()
    root = pathlib.Path(root)
    debian = root / "data" / "packaging" / "debian"
    given = {
        "builds": "\n".join(path.read_text() for path in [root / "meson.build", *sorted(root.glob("src/**/meson.build")), *sorted(root.glob("docs/**/meson.build"))])
                  + (root / "docs/guide/to-ui.py").read_text(),
        "build": (root / "meson.build").read_text(),
        "control": (debian / "control").read_text(),
        "changelog": (debian / "changelog").read_text(),
        "manifest": json.loads((root / "data/packaging" / f"{APP_ID}.json").read_text()),
        "metainfo": (root / "data" / f"{APP_ID}.metainfo.xml.in").read_text(),
        "packages": (root / "src/packages.sh").read_text(),
        "pages": {path.name: path.read_text() for path in root.glob("data/man/*.1")},
        "installed": installed_of(build),
        "lists": {name: [line.split()[0] for line in (debian / f"{name}.install").read_text().splitlines()] for name in ("sidelong", "sidelong-calc")},
    }
    try_rules(tap, given)
    for name, faults in {
        "what is built with is the same in meson.build, debian/control, the Flatpak manifest and src/packages.sh":
            faults_of_build(given["builds"], given["control"], given["manifest"], given["packages"]),
        "the version is the same wherever it is said": faults_of_versions(given["build"], given["metainfo"], given["changelog"], given["pages"]),
        "every installed file belongs to one package": faults_of_files(given["installed"], given["lists"]),
        "the Flatpak manifest lets the program do its work and no more": faults_of_manifest(given["manifest"], given["metainfo"]),
    }.items():
        faults = list(faults)
        tap.check(not faults, name, faults)
    return tap.done()


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
