#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The hand-over sheet: its text, taken out of the PDF again, against the model's numbers; pages, fonts, bytes; long and right-to-left text.

sheet.py PROGRAM SOURCE_ROOT; speaks TAP. Paper: ISO 216 (A4), ASME Y14.1 (Letter). Thickness of a bank card: ISO/IEC 7810."""

import html
import os
import pathlib
import re
import subprocess
import sys
import tempfile

sys.dont_write_bytecode = True
import pdfpaths
from program import DONE, FAULT, FILE, USAGE, Tap, by_key, paths

CARD_MM = 0.76
POINTS = {"a4": (210 / 25.4 * 72, 297 / 25.4 * 72), "letter": (8.5 * 72, 11 * 72)}
LEAST_MARGIN_POINTS = 24  # text nearer to the paper's edge is cut off by common printers
DONE_AT = "2026-02-10T11:00:00Z"
FINAL = """<readings id="r9" stage="final" taken="2026-02-11T09:30:00Z" temperature="19" humidity="52">
      <tool measures="action" resolution="0.05" error-limit="0.05"/>
      <relief string="1" fret="7" gap="0.14"/>
      <relief string="6" fret="7" gap="0.17"/>
      <first-gap string="1" gap="0.41"/>
      <first-gap string="6" gap="0.52"/>
      <action string="1" fret="12" gap="1.83"/>
      <action string="6" fret="12" gap="2.36"/>
      <exposure string="1" height="2.6"/>
      <exposure string="6" height="3.5"/>
    </readings>
    <plan>"""


class Sheets:
    def __init__(self, tap, program, folder):
        self.tap, self.program, self.folder = tap, program, folder

    def write(self, source, *options, locale="C.UTF-8", name="s.pdf"):
        out = self.folder / name
        out.unlink(missing_ok=True)
        done = self.program.run("sheet", source, "-o", out, *options, locale=locale)
        self.tap.check(done.returncode == DONE and done.stderr == "" and out.exists(), f"sheet {pathlib.Path(source).stem} {' '.join(options)}".rstrip(), [done.stderr])
        return out

    def text(self, out, *options):
        """The text, white space evened out; row by row, or with no options in the order in which it is selected."""
        done = subprocess.run(["pdftotext", *options, out, "-"], capture_output=True, text=True, check=True)
        return re.sub(r"\s+", " ", done.stdout)


def info(out):
    done = subprocess.run(["pdfinfo", "-isodates", out], capture_output=True, text=True, check=True)
    return dict(line.split(":", 1) for line in done.stdout.splitlines() if ":" in line)


def pair(row):
    return f"{float(row['value']):.2f} ± {float(row['uncertainty']):.2f}"


def without_photos(source, folder):
    """The same without photographs, whose folder would have to go with it (sheet-photos.py tries them)."""
    path = folder / source.name
    path.write_text(re.sub(r"\s*<photo\b[^>]*?(/>|>.*?</photo>)", "", source.read_text(encoding="utf-8"), flags=re.DOTALL), encoding="utf-8")
    return path


def finished(source, folder):
    """The same visit, its work done and read again."""
    text = source.read_text(encoding="utf-8")
    head, last = text[:text.rindex("<plan>")], text[text.rindex("<plan>"):]
    last = re.sub(r"<((?:turn-rod|lower-slot|cut-saddle-base|shape-crest|move-crest)[^/]*)/>", rf'<\1 done="{DONE_AT}"/>', last)
    path = folder / "finished.sidelong"
    path.write_text(head + last.replace("<plan>", FINAL, 1), encoding="utf-8")
    return path


def check_planned(s, source):
    rows = by_key(s.program.rows(source))
    text = s.text(s.write(source), "-layout")
    for state in ("measured", "planned"):
        for string in ("1", "2", "5", "6"):
            s.tap.check(pair(rows[state, "first-gap", string, "", ""]) in text, f"first gap of string {string}, {state}")
            s.tap.check(pair(rows[state, "action", string, "", "12"]) in text, f"action of string {string}, {state}")
    s.tap.check(text.count("As planned: there are no final readings yet") == 1, "it says that there are no final readings")
    s.tap.check("as planned" in text and " final " not in text.replace("no final readings", "").replace("Final readings", ""), "no column of it is called final")
    s.tap.check("is to be lowered" in text and "was lowered" not in text, "work still to do is told as such")
    s.tap.check("Charges" not in text and "EUR" not in text, "no charges unless asked for")
    s.tap.check("Slipway" not in text and "cheese wire" not in text, "no shop where none is given, and no notes of the shop's")


def check_finished(s, source):
    rows = by_key(s.program.rows(source))
    out = s.write(source, "--charges", "--shop-name=Slipway Fret Bench", "--address=4 Ropewalk Steps;Harrowmouth")
    text = s.text(out, "-layout")
    for string in ("1", "6"):
        s.tap.check(pair(rows["measured", "first-gap", string, "", ""]) in text, f"final first gap of string {string}")
        s.tap.check(pair(rows["measured", "action", string, "", "12"]) in text, f"final action of string {string}")
        s.tap.check(pair(rows["measured", "relief", string, "", ""]) in text, f"final relief of string {string}")
    s.tap.check("≈ " + pair(rows["measured", "action", "3", "", "12"]) in text, "a string not read again shows as worked out")
    s.tap.check("as planned" not in text.lower() and "is to be" not in text, "nothing of it is called planned")
    s.tap.check("The saddle was lowered by 0.85 mm" in text and "The nut was cut deeper under all strings by 0.03 to 0.06 mm" in text, "work done is told in sentences")
    before, after = 3.24, float(rows["measured", "action", "6", "", "12"]["value"])
    s.tap.check(round(before / CARD_MM) == 4 and round(after / CARD_MM) == 3 and "from about four bank cards to three" in s.text(out), "heights in bank cards")
    s.tap.check("55.00 EUR" in text and "Sum" in text, "charges where asked for")
    s.tap.check(all(part in text for part in ("Slipway Fret Bench", "4 Ropewalk Steps", "Harrowmouth", "Ilsa Varnholt", "11 February 2026", "9 February 2026")), "shop, owner and dates")
    s.tap.check("52 %" in text and "74 %" in text and "45 to 55 %" in text, "humidity by the instrument's own readings")
    s.tap.check("page 1 of 2" in text and "page 2 of 2" in text, "two pages")
    about = info(out)
    s.tap.check(about["Title"].strip() == "Hand-over sheet: Anchor Street flat-top", "the title", [about["Title"]])
    s.tap.check("2026-02-11T09:30:00" in about["CreationDate"], "the date is the document's", [about["CreationDate"]])
    s.tap.check(b"/Lang (en)" in pdfpaths.catalogue(out.read_bytes()), "the language")
    fonts = subprocess.run(["pdffonts", out], capture_output=True, text=True, check=True).stdout.splitlines()[2:]
    s.tap.check(fonts and all(line.split()[-5:-2] == ["yes", "yes", "yes"] for line in fonts), "every font is embedded, a subset, and maps to Unicode", fonts)
    first = out.read_bytes()
    s.tap.check(s.write(source, "--charges", "--shop-name=Slipway Fret Bench", "--address=4 Ropewalk Steps;Harrowmouth").read_bytes() == first, "the same document, the same bytes")


def check_days(s, source):
    """08:00 in Sydney is of the day before in UTC; the sheet has the day of the place it was read at."""
    path = s.folder / "sydney.sidelong"
    path.write_text(source.read_text(encoding="utf-8").replace('taken="2026-02-11T09:30:00Z"', 'taken="2026-02-12T08:00:00+11:00"'), encoding="utf-8")
    out = s.write(path, name="sydney.pdf")
    read = s.text(out)
    s.tap.check("12 February 2026" in read and "11 February 2026" not in read, "the day where it was read")
    s.tap.check("2026-02-12T08:00:00+11:00" in path.read_text(encoding="utf-8"), "from a time with its zone")


def words(out):
    """Every word with its box, page by page: (page width, page height, [(x0, y0, x1, y1, word)])."""
    done = subprocess.run(["pdftotext", "-bbox", out, "-"], capture_output=True, text=True, check=True)
    for part in done.stdout.split("<page ")[1:]:
        width, height = (float(v) for v in re.search(r'width="([\d.]+)" height="([\d.]+)"', part).groups())
        found = re.findall(r'xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*?)</word>', part)
        yield width, height, [(*map(float, box[:4]), html.unescape(box[4])) for box in found]


def check_inside(s, out, what):
    stray = []
    for number, (width, height, found) in enumerate(words(out), 1):
        for x0, y0, x1, y1, word in found:
            if min(x0, y0, width - x1, height - y1) < LEAST_MARGIN_POINTS:
                stray.append(f"page {number}: “{word}” at {x0:.0f} {y0:.0f} {x1:.0f} {y1:.0f}")
    s.tap.check(not stray, f"{what}: no text leaves the page", stray[:5])
    streams = [stream for _, stream in pdfpaths.objects(out.read_bytes()).values() if stream]
    runs = [text for stream in streams for text in re.findall(rb"\[(.*?)\]TJ", stream, re.DOTALL)]
    # what stands in another column of the same line is not the same text again
    shown = [b"".join(re.findall(rb"[(<](.*?)[)>]", part)) for text in runs for part in re.split(rb"-\d{4,}(?:\.\d+)?", text)]
    twice = [text for text in shown if len(text) > 8 and text[: len(text) // 2] == text[len(text) // 2 :]]
    s.tap.check(not twice, f"{what}: nothing is written twice over", [repr(text) for text in twice[:5]])


def check_figures(s, source):
    """In Spanish the names of some of the large figures take two lines, of others one."""
    out = s.folder / "es.pdf"
    into = s.folder / "es" / "LC_MESSAGES"
    into.mkdir(parents=True)
    subprocess.run(["msgfmt", "-o", into / "sidelong.mo", pathlib.Path(os.environ["SL_SOURCE_ROOT"], "po", "es.po")], check=True)
    environment = {**os.environ, "LC_ALL": "C.UTF-8", "LANGUAGE": "es", "SIDELONG_LOCALE_DIR": str(s.folder)}
    subprocess.run([s.program.path, "sheet", source, "-o", out], check=True, env=environment)
    found = next(words(out))[2]
    heights = [y for _, y, _, _, word in found if word == "→"]
    s.tap.check(any(word == "gruesas," for *_, word in found) and len(heights) == 4 and len(set(heights)) == 1, "the large figures stand on one line", [f"{heights}"])


def check_paper(s, source):
    for paper, size in POINTS.items():
        out = s.write(source, f"--paper={paper}", "--charges")
        pages = list(words(out))
        s.tap.check(all(abs(w - size[0]) < 0.1 and abs(h - size[1]) < 0.1 for w, h, _ in pages), f"{paper}: the pages' size", [str(p[:2]) for p in pages])
        s.tap.check(len(pages) <= 2, f"{paper}: no more than two pages", [f"{len(pages)}"])
        check_inside(s, out, paper)


def check_text(s, source, folder):
    """Text that is long, without a place to break, or runs from right to left."""
    rope = "Halyardblockandtacklewithoutaspaceanywhere" * 6
    hebrew, arabic = "גיטרה של הנמל הישן", "قيثارة الميناء القديم"
    long = "A line of the log, and another, and a third. " * 60
    for name, label, owner, note in (("rope", rope, rope, rope), ("long", "Long tale " * 20, "Ilsa Varnholt " * 12, long), ("hebrew", hebrew, hebrew, hebrew * 9), ("arabic", arabic, arabic, arabic * 9)):
        text = source.read_text(encoding="utf-8")
        text = re.sub(r'label="[^"]*"', f'label="{label.strip()}"', text, 1)
        text = re.sub(r'owner="[^"]*"', f'owner="{owner.strip()}"', text, 1)
        text = text.replace("About 2 mm higher than in July; look again when the air is dry.", note)
        path = folder / f"{name}.sidelong"
        path.write_text(text, encoding="utf-8")
        out = s.write(path, f"--shop-name={label.strip()}", f"--address={note.strip()}", "--charges")
        check_inside(s, out, name)
        s.tap.check(any(found for _, _, found in words(out)), f"{name}: it has text")


BREAK = "&#10;"
MOST_OF_CHARGE = 256  # characters (docs/format.md, how much there may be)


def filled(source, folder, name, label, text, checks, charges):
    """The demo with as many checks and charges, each with @text, or as much of it as a charge takes, and a label of its own."""
    whole = source.read_text(encoding="utf-8")
    head, last = whole[:whole.rindex("</plan>") + len("</plan>")], whole[whole.rindex("</visit>"):]
    head = re.sub(r'label="[^"]*"', f'label="{label}"', head, 1)
    rows = [f'<check name="{label} {i}" state="attend"><note>{text}</note></check>' for i in range(checks)]
    what = text.replace(BREAK, "\n")[:MOST_OF_CHARGE].strip().replace("\n", BREAK)
    rows += [f'<charge what="{what}" minutes="10" amount="1.5" currency="EUR"/>' for i in range(charges)]
    path = folder / f"{name}.sidelong"
    path.write_text(head + "\n".join(rows) + last, encoding="utf-8")
    return path


def check_two_pages(s, source, folder):
    """However much was written, one or two pages: smaller first, then shortened, and it says so."""
    latin, arabic, hebrew = "The brace was glued again and held overnight. ", "تم لصق الدعامة مرة أخرى وتثبيتها طوال الليل. ", "התמיכה הודבקה שוב והוחזקה למשך הלילה. "
    for name, text, checks, charges in (("few", latin, 3, 2), ("some", latin * 3, 12, 4), ("long", latin * 20, 10, 2), ("arabic", arabic * 20, 10, 2), ("hebrew", hebrew * 20, 10, 2),
                                        ("many", latin, 150, 90), ("lines", latin.replace(" ", BREAK) * 20, 4, 4)):
        path = filled(source, folder, name, text.strip()[:30].replace("&#10", ""), text.strip(), checks, charges)
        for paper in POINTS:
            out = s.write(path, f"--paper={paper}", "--charges", "--shop-name=Slipway Fret Bench", "--address=" + ";".join(["4 Ropewalk Steps"] * 30))
            pages = list(words(out))
            check_inside(s, out, f"{name}, {paper}")
            s.tap.check(1 <= len(pages) <= 2, f"{name}, {paper}: one or two pages", [str(len(pages))])
            read = s.text(out)
            s.tap.check(f"{1.5 * charges:.2f} EUR" in read, f"{name}, {paper}: the sum is of all charges", [read[-600:]])
            cut = name not in ("few", "some")
            s.tap.check(("Shortened to fit two pages" in read) == cut, f"{name}, {paper}: {'says that it is shortened' if cut else 'nothing is shortened'}", [read[-600:]])
            s.tap.check(cut or read.count(text.strip()) >= checks or name == "some" and read.count("held overnight") == 3 * (checks + charges), f"{name}, {paper}: nothing else is lost", [read[-900:]])
            if name == "many":
                s.tap.check(len(re.findall(r"and \d+ more", read)) == 2, f"{name}, {paper}: rows that are left out are counted", [read[-600:]])


def check_faults(s, source, folder):
    def refused(status, what, *call):
        done = s.program.run("sheet", *call)
        s.tap.check(done.returncode == status and done.stderr.strip(), what, [str(done.returncode), done.stderr])
        return done.stderr

    refused(USAGE, "name the file to write", source)
    s.tap.check("a4, letter" in refused(USAGE, "an unknown paper", source, "-o", folder / "x.pdf", "--paper=a3"), "says which papers there are")
    refused(USAGE, "not a PDF", source, "-o", folder / "x.png")
    refused(FILE, "a folder that isn't there", source, "-o", folder / "nowhere" / "x.pdf")
    broken = folder / "broken.sidelong"
    broken.write_text("<profile/>", encoding="utf-8")
    refused(FAULT, "a broken document", broken, "-o", folder / "x.pdf")
    s.tap.check(not (folder / "x.pdf").exists(), "nothing is written then")


def main():
    tap = Tap()
    program, root = paths()
    demo = root / "data" / "demo" / "anchor-street-flat-top.sidelong"
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        s = Sheets(tap, program, folder)
        demo = without_photos(demo, folder)
        check_planned(s, demo)
        check_finished(s, finished(demo, folder))
        check_days(s, folder / "finished.sidelong")
        for source in sorted((root / "data" / "demo").glob("*.sidelong")):
            check_inside(s, s.write(source, "--charges"), source.stem)
        check_figures(s, demo)
        check_paper(s, finished(demo, folder))
        check_text(s, demo, folder)
        check_two_pages(s, demo, folder)
        check_faults(s, demo, folder)
    return tap.done()


if __name__ == "__main__":
    sys.exit(main())
