#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""What leaves the window: the picture as SVG, PNG of a chosen width and PDF, the table as CSV and by the clipboard, templates with what is asked before. Files are
looked into with other programs' eyes: the PNG header (ISO/IEC 15948), pdfinfo of poppler-utils, Python's csv and XML readers."""

import csv
import io
import shutil
import struct
import subprocess
import sys
import xml.etree.ElementTree

from gi.repository import Gio, GLib

from journey import BUTTON, DEMOS, ENTRY, Program, act, end, find, find_all, keys, run, scratch, text_of, wait

PROFILE = "anchor-street-flat-top.sidelong"
TITLE = "Anchor Street flat-top"
EXPORT = "_Export Export"  # as the toolkit names the buttons of its own dialog
NAME = "org.sidelong.Sidelong"


def ask(name):
    """Does an action of the window as its menu does, over the session bus."""
    bus = Gio.bus_get_sync(Gio.BusType.SESSION)
    bus.call_sync(NAME, "/org/sidelong/Sidelong/window/1", "org.gtk.Actions", "Activate", GLib.Variant("(sava{sv})", (name, [], {})), None, Gio.DBusCallFlags.NONE, -1)


def name_file(program, target, title):
    """Names the file in the dialog and exports."""
    chooser = wait(lambda: next((w for w in program.windows() if w.name == title and find_all(w.node, BUTTON, EXPORT)), None), f"the dialog “{title}”")
    entry = wait(lambda: next((n for n in find_all(chooser.node, ENTRY) if text_of(n)), None), "the entry for the name")
    chooser.type_into(entry, str(target), key=None)
    act(find(chooser.node, BUTTON, EXPORT))


def choose(program, target, title):
    name_file(program, target, title)
    return wait(lambda: target.exists() and target.read_bytes(), f"{target.name}")


def options(program, title, button="Choose file…"):
    return wait(lambda: next((w for w in program.windows() if w.name == title and find_all(w.node, BUTTON, button)), None), f"the options of “{title}”")


def export_picture(program, target):
    ask("export")
    return choose(program, target, "Export picture")


def pictures(tap):
    """the picture as SVG, PDF and PNG of the width asked for; a width that can't be is refused with what can"""
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        window = program.window(TITLE)
        window.rows()
        svg = export_picture(program, folder / "a.svg")
        root = xml.etree.ElementTree.fromstring(svg)
        tap.check(root.tag.endswith("svg") and len(list(root.iter())) > 100, "SVG: a drawing")
        window.wait_says("a.svg")
        export_picture(program, folder / "a.pdf")
        said = subprocess.run(["pdftotext", folder / "a.pdf", "-"], capture_output=True, text=True, check=True).stdout
        tap.check("mm" in said, "PDF: its text is text")
        window.wait_says("a.pdf")
        ask("export")
        name_file(program, folder / "a.png", "Export picture")
        dialog = options(program, "Export picture", "Export")
        tap.check(not (folder / "a.png").exists(), "a PNG alone is asked for its width, before it is written")
        dialog.take_keys()
        entry = find(dialog.node, ENTRY, "Width in pixels")
        tap.check(text_of(entry) == "2800", "a width is proposed", [text_of(entry)])
        for wrong in ("12", "wide", "2000.5", "9000"):
            dialog.type_into(entry, wrong, key=None)
            note = dialog.wait_says(f"“{wrong}” can’t be the width")
            act(find(dialog.node, BUTTON, "Export"))
            tap.check("1400 to 5600" in note and dialog.name in [w.name for w in program.windows()], f"a width of {wrong} is refused with what is accepted", [note])
        dialog.type_into(entry, "3000", key=None)
        act(find(dialog.node, BUTTON, "Export"))
        png = wait(lambda: (folder / "a.png").exists() and (folder / "a.png").read_bytes(), "a.png")
        tap.check(png[:8] == b"\x89PNG\r\n\x1a\n" and struct.unpack(">I", png[16:20])[0] == 3000, "PNG: as wide as asked for", [str(png[:24])])
        window.wait_says("a.png")
        wait(lambda: not window.says("a.png"), "the message to go by itself")
        end(tap, program, "pictures")


def table(tap):
    """the table as CSV and on the clipboard, with the same figures"""
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        window = program.window(TITLE)
        window.rows()
        ask("export-table")
        rows = list(csv.reader(io.StringIO(choose(program, folder / "t.csv", "Export table").decode())))
        tap.check(len(rows) > 10 and len({len(row) for row in rows}) == 1, "CSV: a table", [str(rows[:3])])
        window.wait_says("t.csv")
        ask("copy-table")
        window.wait_says("The table is on the clipboard.")
        window.take_keys()
        keys("ctrl+comma")
        preferences = program.window("Preferences")
        preferences.show_page("Sheets and templates")
        address = find(preferences.node, ENTRY, "Address")
        preferences.focus(address)
        keys("ctrl+v")
        pasted = wait(lambda: text_of(address), "the pasted table")
        tap.check([line.split("\t") for line in pasted.splitlines()] == rows, "the clipboard holds the same cells", [pasted[:200]])
        keys("Escape")
        program.no_window("Preferences")
        ask("copy-picture")
        tap.check(window.wait_says("The picture is on the clipboard.") is not None, "the picture goes there as well")
        end(tap, program, "table")


def pages(path):
    said = subprocess.run(["pdfinfo", path], capture_output=True, text=True, check=True).stdout
    return int(next(line.split()[1] for line in said.splitlines() if line.startswith("Pages:")))


def templates(tap):
    """templates are asked for the printed bar and for two strips a page; a bar that can't be is refused"""
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        window = program.window(TITLE)
        window.rows()
        ask("export-templates")
        dialog = options(program, "Export templates")
        dialog.take_keys()
        bar = find(dialog.node, ENTRY, "100 mm bar, along the paper")
        dialog.type_into(bar, "50", key=None)
        tap.check("91 to 111 mm" in dialog.wait_says("“50” is not the length of the bar"), "a bar of 50 mm is refused with what is accepted")
        act(find(dialog.node, BUTTON, "Choose file…"))
        tap.check(find_all(dialog.node, BUTTON, "Choose file…"), "and nothing goes on")
        dialog.type_into(bar, "98.8", key=None)
        act(find(dialog.node, BUTTON, "Choose file…"))
        choose(program, folder / "whole.pdf", "Export templates")
        window.wait_says("whole.pdf")
        said = subprocess.run(["pdftotext", folder / "whole.pdf", "-"], capture_output=True, text=True, check=True).stdout
        tap.check("× 1.0121 along" in said, "the page says what it is corrected by: 100 / 98.8")  # by hand
        ask("export-templates")
        dialog = options(program, "Export templates")
        dialog.click(find(dialog.node, "check box", "Two strips of the fret rule on a page"))
        act(find(dialog.node, BUTTON, "Choose file…"))
        choose(program, folder / "halves.pdf", "Export templates")
        window.wait_says("halves.pdf")
        tap.check(pages(folder / "halves.pdf") < pages(folder / "whole.pdf"), "two strips a page take fewer pages")
        (folder / "w-2.svg").write_text("somebody's")
        ask("export-templates")
        act(find(options(program, "Export templates").node, BUTTON, "Choose file…"))
        name_file(program, folder / "w.svg", "Export templates")
        said = window.wait_says("Each page is a file")
        tap.check("w-2.svg" in said and (folder / "w-2.svg").read_text() == "somebody's" and not (folder / "w-1.svg").exists(), "pages in the way are named, and left", [said])
        act(find(window.node, BUTTON, "Replace"))
        said = window.wait_says("pages written")
        written = sorted(p.name for p in folder.glob("w-*.svg"))
        tap.check(len(written) > 1 and all(name in said for name in written), "once they may be replaced, all that were written are named", [said, *written])
        end(tap, program, "templates")


def n_images(path):
    """How many pictures are in a PDF, by pdfimages of poppler-utils."""
    return len(subprocess.run(["pdfimages", "-list", path], capture_output=True, text=True, check=True).stdout.splitlines()) - 2


def sheet(tap):
    """the hand-over sheet with its photographs; printed it says which of them is gone"""
    photos = PROFILE.replace(".sidelong", ".photos")
    with scratch(PROFILE) as folder, Program(folder / PROFILE) as program:
        shutil.copytree(DEMOS / photos, folder / photos)
        window = program.window(TITLE)
        window.rows()
        ask("export-sheet")
        choose(program, folder / "with.pdf", "Export hand-over sheet")
        window.wait_says("with.pdf")
        count = n_images(folder / "with.pdf")
        tap.check(count > 0 and not window.says("is without the photograph"), "it has photographs", [str(count)])
        for path in (folder / photos).iterdir():
            path.unlink()
        ask("print-sheet")
        tap.check(window.wait_says("is without the photograph") is not None, "what is printed without one that is gone is told")
        dialog = program.window("Print")
        dialog.take_keys()
        keys("Escape")
        program.no_window("Print")
        end(tap, program, "sheet")


if __name__ == "__main__":
    sys.exit(run(pictures, table, templates, sheet))
