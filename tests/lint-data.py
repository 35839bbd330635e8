#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Holds the files that other programs read to their standards, and the top folder to what belongs there.

lint-data.py SOURCE_ROOT BUILD_ROOT; speaks TAP. Checked by the tools of the standards' own authors: desktop-file-validate, appstreamcli, glib-compile-schemas,
update-mime-database, xmllint, mandoc."""

import importlib.util
import math
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ElementTree

sys.dont_write_bytecode = True
from tap import Tap

APP_ID = "org.sidelong.Sidelong"
TOP = {"README.md", "DEVELOPERS.md", "LICENSE", "meson.build", "src", "ui", "data", "tests", "po", "docs"}
SPDX = "SPDX-License-Identifier: "
SPDX_ENDINGS = {".c", ".h", ".py", ".sh", ".css", ".ui", ".xsd", ".svg", ".in", ".build", ".1"}
# Text whose first lines are fixed by its reader.
SPDX_NOT_IN = {"POTFILES.in"}


def run(tap, name, *command):
    """A check that a command succeeds."""
    if not shutil.which(command[0]):
        tap.skip(name, f"{command[0]} is not installed")
        return
    result = subprocess.run([str(part) for part in command], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    tap.check(result.returncode == 0, name, result.stdout.splitlines())


def tracked(root):
    """The project's files, or None outside a checkout."""
    result = subprocess.run(["git", "-c", "safe.directory=*", "-C", root, "ls-files", "-z"], capture_output=True, text=True)
    return [name for name in result.stdout.split("\0") if name] if result.returncode == 0 else None


def check_mime(tap, package):
    with tempfile.TemporaryDirectory() as folder:
        packages = pathlib.Path(folder, "packages")
        packages.mkdir()
        shutil.copy(package, packages)
        run(tap, "the media type can be installed", "update-mime-database", folder)
        globs = pathlib.Path(folder, "globs2")
        known = globs.read_text() if globs.exists() else ""
        tap.check("application/x-sidelong+xml:*.sidelong" in known, "*.sidelong has the media type", known.splitlines())
        roots = pathlib.Path(folder, "XMLnamespaces")
        known = roots.read_text() if roots.exists() else ""
        tap.check("urn:sidelong:profile:1 profile application/x-sidelong+xml" in known, "the root element has the media type", known.splitlines())


def check_page(tap, page):
    name = f"manual page {page.name}"
    if not shutil.which("mandoc"):
        tap.skip(name, "mandoc is not installed")
        return
    found = subprocess.run(["mandoc", "-T", "lint", page], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True).stdout.splitlines()
    # Before they are installed, the pages can't find each other.
    found = [line for line in found if "referenced manual not found: Xr sidelong" not in line]
    tap.check(not found, name, found)


def check_svg(tap, path):
    """An icon must not fetch anything, and its size must fit its folder."""
    text = path.read_text()
    tap.check("<image" not in text and "href" not in text and "<script" not in text, f"{path.name} stands alone")
    drawn = re.search(r"-(\d+)$", path.stem)
    size = drawn[1] if drawn else 16 if path.stem.endswith("-symbolic") else 128
    tap.check(f'viewBox="0 0 {size} {size}"' in text, f"{path.name} has the size of its folder")


def check_sizes(tap, folder):
    """A picture of an icon has its folder's size, shows something, and is clear at its corners."""
    wrong, pictures = [], sorted(folder.glob("*x*/*.png"))
    for path in pictures:
        told = subprocess.run(["identify", "-format", "%wx%h %k %[fx:u.p{0,0}.a]", path], capture_output=True, text=True).stdout.split()
        if len(told) != 3 or told[0] != path.parent.name or int(told[1]) < 16 or float(told[2]) > 0.5:
            wrong.append(f"{path.parent.name}/{path.name}: {told}")
    tap.check(pictures and not wrong, "each icon has the size of its folder", wrong)


def check_metainfo(tap, path):
    """Clean by appstreamcli's strictest rules, but for the capital letter: the name stands in people's settings."""
    name = "metainfo"
    if not shutil.which("appstreamcli"):
        tap.skip(name, "appstreamcli is not installed")
        return
    told = subprocess.run(["appstreamcli", "validate", "--pedantic", "--no-net", "--no-color", path], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    found = [line for line in told.stdout.splitlines() if re.match(r"[EWIP]: ", line) and "cid-contains-uppercase-letter" not in line]
    tap.check(told.returncode == 0 and not found, name, told.stdout.splitlines())


def check_screenshots(tap, path, folder):
    """Each screenshot named is one that tests/screenshots.sh made, as large as it is said to be."""
    wrong, images = [], ElementTree.parse(path).findall("screenshots/screenshot/image")
    version = ElementTree.parse(path).find("releases/release").get("version")
    for image in images:
        file = folder / image.text.rsplit("/", 1)[1]
        told = subprocess.run(["identify", "-format", "%w %h", file], capture_output=True, text=True).stdout.split()
        if told != [image.get("width"), image.get("height")] or image.text.split("/")[-2] != version:
            wrong.append(f"{image.text}: {told}")
    tap.check(images and not wrong, "the metainfo's screenshots are there", wrong)


def check_try(tap, root, build):
    """Trying the program builds both programs, their settings and their translations, and none of the tests."""
    called = re.findall(r"^meson compile -C \$build (.+)$", pathlib.Path(root, "src", "try.sh").read_text(), re.MULTILINE)
    tap.check(len(called) == 1, "src/try.sh says what it builds", called)
    done = subprocess.run(["ninja", "-C", build, "-t", "commands", *called[0].split()], capture_output=True, text=True)
    named = set(done.stdout.split())
    missing = {"src/desk/sidelong", "src/calc/sidelong-calc", "po/de/LC_MESSAGES/sidelong.mo", "po/es/LC_MESSAGES/sidelong.mo"} - named
    tap.check(not missing and "glib-compile-schemas" in done.stdout, "src/try.sh builds what it opens", [done.stderr, *sorted(missing)])
    tests = sorted(name for name in named if name.startswith(("tests/", "../tests/")))
    tap.check(named and not tests, "src/try.sh builds no test", tests[:10])


def spots_of(element):
    """The places a mark names, px."""
    return [(float(element.get(f"x{n}")), float(element.get(f"y{n}"))) for n in (1, 2, 3) if element.get(f"x{n}")]


def check_photos(tap, folder):
    """What the demonstration profiles name is there and can be opened, nothing else is, and marks lie where the picture was drawn to have them."""
    spec = importlib.util.spec_from_file_location("pictures", folder / "pictures.py")
    pictures = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(pictures)
    named, faults, read = set(), [], 0
    for profile in sorted(folder.glob("*.sidelong")):
        for photo in ElementTree.parse(profile).getroot().iter("{urn:sidelong:profile:1}photo"):
            file = f"{profile.stem}.photos/{photo.get('file')}"
            named.add(file)
            if (profile.stem, photo.get("file")) not in pictures.PICTURES:
                faults.append(f"{file}: pictures.py doesn't make it")
                continue
            s = pictures.PICTURES[profile.stem, photo.get("file")][0]()
            known = photo.find("p:known", pictures.NS)
            marks = photo.findall("p:mark", pictures.NS)
            for mark, name in [(known, "known")] * (known is not None) + [(mark, mark.get("of")) for mark in marks]:
                off = max(math.dist(*pair) for pair in zip(spots_of(mark), s.places[name]))
                if off > 0.5:
                    faults.append(f"{file}: {name} is {off:.1f} px from where it was drawn")
            for mark in marks:
                if mark.get("of") not in ("action", "exposure"):
                    continue
                mm = math.dist(*spots_of(mark)) * float(known.get("length")) / math.dist(*spots_of(known))
                if not any(abs(mm - figure) < 0.02 for figure in pictures.readings_like(profile.stem, mark)):
                    faults.append(f"{file}: {mark.get('of')} is {mm:.2f} mm, which no reading says")
                read += 1
    there = {f"{path.parent.name}/{path.name}" for path in folder.glob("*.photos/*")}
    tap.check(named and there == named, "the photographs that the demonstration profiles name are there and no others", sorted(there ^ named))
    tap.check(read > 3 and not faults, "what is marked in them is where it was drawn, and what was read", faults)
    large = [f"{name}: {(folder / name).stat().st_size}" for name in sorted(there) if (folder / name).stat().st_size > pictures.MOST_BYTES]
    tap.check(not large, "none is large", large)
    run(tap, "they can be decoded", "identify", "-regard-warnings", *(folder / name for name in sorted(there)))


def main(root, build):
    tap = Tap()
    source_data = pathlib.Path(root, "data")
    data = pathlib.Path(build, "data")
    run(tap, "desktop file", "desktop-file-validate", data / f"{APP_ID}.desktop")
    check_metainfo(tap, data / f"{APP_ID}.metainfo.xml")
    check_screenshots(tap, data / f"{APP_ID}.metainfo.xml", pathlib.Path(root, "docs", "screenshots"))
    run(tap, "settings schema", "glib-compile-schemas", "--strict", "--dry-run", source_data)
    run(tap, "media type is XML", "xmllint", "--noout", data / f"{APP_ID}.xml")
    check_mime(tap, data / f"{APP_ID}.xml")
    for page in sorted(source_data.glob("man/*.1")):
        check_page(tap, page)
    for icon in sorted(source_data.glob("icons/*/*.svg")):
        check_svg(tap, icon)
    check_sizes(tap, source_data / "icons")
    check_photos(tap, source_data / "demo")
    check_try(tap, root, build)
    files = tracked(root)
    if files is None:
        tap.skip("top folder", "not a git checkout")
    else:
        strangers = {name.split("/")[0] for name in files if not name.startswith(".")} - TOP
        tap.check(not strangers, "the top folder holds what belongs there and nothing else", sorted(strangers))
        bare = [name for name in files if pathlib.Path(name).suffix in SPDX_ENDINGS and pathlib.Path(name).name not in SPDX_NOT_IN
                and pathlib.Path(root, name).exists() and SPDX not in "\n".join(pathlib.Path(root, name).read_text().splitlines()[:4])]
        tap.check(not bare, "every source file names its licence", bare)
    return tap.done()


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
