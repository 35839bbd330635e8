#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Finds controls that assistive technology could only call by their type: in the templates of ui/ and in what src/desk makes in code.

lint-names.py SOURCE_ROOT; speaks TAP. A control is named by an accessible label or a labelled-by relation, by a text it shows (label, title, tooltip, a label
inside a button), or by a label whose mnemonic-widget it is. In code the name is given in the same function, or anywhere in the file for a field of an
object; a function of the file that names its parameter counts. A control
named elsewhere (list rows when they are bound) says so where it is made: a comment that starts with "named" on the line or the one before."""

import pathlib
import re
import sys
import xml.etree.ElementTree as ElementTree

sys.dont_write_bytecode = True
from tap import Tap

CONTROLS = {
    "GtkButton", "GtkToggleButton", "GtkMenuButton", "GtkLinkButton", "GtkCheckButton", "GtkLockButton", "GtkScaleButton", "GtkVolumeButton",
    "GtkColorButton", "GtkFontButton", "GtkAppChooserButton", "GtkSwitch", "GtkEntry", "GtkSearchEntry", "GtkPasswordEntry", "GtkText", "GtkTextView",
    "GtkEditableLabel", "GtkSpinButton", "GtkScale", "GtkDropDown", "GtkComboBox", "GtkComboBoxText", "GtkListView", "GtkColumnView", "GtkGridView",
    "GtkListBox", "GtkFlowBox", "GtkExpander", "GtkCalendar", "GtkDrawingArea", "GtkTreeView", "GtkIconView", "GtkGLArea",
}
# Controls whose own label is what they are called.
SHOWS_LABEL = {"GtkButton", "GtkToggleButton", "GtkMenuButton", "GtkLinkButton", "GtkCheckButton", "GtkExpander"}
NAMING_RELATION = "labelled-by"
NEW = re.compile(r"(?:(?P<name>[A-Za-z_][\w.\[\]]*(?:->[\w.\[\]]+)*)\s*=\s*(?:\(?\s*[A-Z]\w*\s*\*?\)?\s*\(?\s*)?(?:\w+_set_up\s*\(\s*)?)?"
                 r"\b(?P<call>(?:gtk|sl)_\w+_new(?P<with>_with_label|_with_mnemonic|_from_icon_name|_with_range|_from_strings|_with_buffer)?|g_object_new)\s*\(")
FUNCTION = re.compile(r"^(?P<name>\w+) \((?P<parameters>[^()]*)\)\n\{\n(?P<body>.*?)^\}", re.MULTILINE | re.DOTALL)
NAMED_COMMENT = re.compile(r"/\*\s*named\b", re.IGNORECASE)
COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
DEFINE = re.compile(r"G_DEFINE_(?:FINAL_)?TYPE(?:_WITH_CODE|_WITH_PRIVATE)?\s*\(\s*(Sl\w+)\s*,\s*(sl_\w+)\s*,\s*(GTK|SL)_TYPE_(\w+)")


def camel(prefix, upper):
    return prefix.capitalize() + "".join(word.capitalize() for word in upper.split("_"))


def dashed(name):
    return (name or "").replace("_", "-")


def own_controls(sources, templates):
    """Our own classes that are controls: those made from one, from C or from a template."""
    parents = {}
    for text in sources:
        for match in DEFINE.finditer(text):
            parents[match[1]] = camel(match[3], match[4])
    for root in templates:
        for template in root.iter("template"):
            if template.get("parent"):
                parents[template.get("class")] = template.get("parent")
    found = set()
    for name in parents:
        ancestor = name
        while ancestor in parents:
            ancestor = parents[ancestor]
        if ancestor in CONTROLS:
            found.add(name)
    return found, parents


def base_of(name, parents):
    while name in parents:
        name = parents[name]
    return name


def has_text(element):
    return bool((element.text or "").strip())


def named_in_template(element, base, labels_of, code):
    for child in element:
        kind = dashed(child.get("name"))
        if child.tag == "accessibility":
            for part in child:
                what = dashed(part.get("name"))
                if (part.tag == "property" and what == "label" or part.tag == "relation" and what == NAMING_RELATION) and has_text(part):
                    return True
        elif child.tag in ("property", "binding") and (has_text(child) or len(child)):
            if kind in ("tooltip-text", "tooltip-markup"):
                return True
            if kind == "label" and base in SHOWS_LABEL:
                return True
    if base in SHOWS_LABEL:
        for label in element.iter("object"):
            if label.get("class") == "GtkLabel" and any(dashed(p.get("name")) == "label" and has_text(p) for p in label if p.tag == "property"):
                return True
    name = element.get("id")
    return bool(name) and (name in labels_of or named_in_code(rf"(?:self|controls)->{re.escape(name)}", code))


def faults_of_template(root, controls, parents, code):
    labels_of = set()
    for label in root.iter("object"):
        if label.get("class") == "GtkLabel":
            properties = {dashed(p.get("name")): (p.text or "").strip() for p in label if p.tag == "property"}
            if properties.get("label") and properties.get("mnemonic-widget"):
                labels_of.add(properties["mnemonic-widget"])
    for element in root.iter("object"):
        name = element.get("class")
        if name in CONTROLS or name in controls:
            if not named_in_template(element, base_of(name, parents), labels_of, code):
                yield f"{name} {element.get('id') or '(no id)'} has no name"


def named_directly(variable, code):
    """Whether code hands what the pattern variable stands for to something that names it."""
    argument = rf"(?:[A-Z]\w+\s*\(\s*)?{variable}\s*\)?"
    return re.search(
        rf"(?:sl_set_accessible_label|sl_name_as|sl_name_with_tip)\s*\(\s*{argument}\s*,"
        rf"|gtk_accessible_update_(?:property|relation)\s*\(\s*{argument}\s*,[^;]*?(?:PROPERTY_LABEL\b|RELATION_LABELLED_BY\b)"
        rf"|gtk_\w+_set_label\s*\(\s*{argument}\s*,"
        rf"|gtk_widget_set_tooltip_(?:text|markup)\s*\(\s*{argument}\s*,"
        rf"|gtk_label_set_mnemonic_widget\s*\([^;]*?,\s*{argument}\s*\)", code) is not None


def helpers_of(code):
    """Functions of the code that name one of their parameters: pairs of name and place."""
    for match in FUNCTION.finditer(code):
        for place, parameter in enumerate(match["parameters"].split(",")):
            name = re.search(r"(\w+)\s*$", parameter)
            if name and "*" in parameter and named_directly(name[1], match["body"]):
                yield match["name"], place


def named_in_code(variable, code, whole=None):
    """The same, and by a function that names its parameter, or under another variable's name; whole: the file, where code is a part of it."""
    names = [variable] + [re.escape(alias[1]) for alias in re.finditer(rf"\b(\w+)\s*=\s*(?:[A-Z]\w+\s*\(\s*)?{variable}\s*\)?\s*[;,]", code)]
    if any(named_directly(name, code) for name in names):
        return True
    for helper, place in helpers_of(whole or code):
        for call in re.finditer(rf"\b{helper}\s*\(", code):
            arguments = call_arguments(code, call.end())
            while "(" in arguments and re.search(r"\([^()]*,[^()]*\)", arguments):
                arguments = re.sub(r"\([^()]*,[^()]*\)", "()", arguments)
            parts = arguments.split(",")
            if place < len(parts) and any(re.search(rf"(?<![\w>.]){name}(?![\w\[-])", parts[place]) for name in names):
                return True
    return False


def made_class(match, arguments, makers):
    """The class a constructor call makes, or None where it is no widget of ours to judge."""
    if match["call"] == "g_object_new":
        kind = re.match(r"\s*(GTK|SL)_TYPE_(\w+)", arguments)
        return camel(kind[1], kind[2]) if kind else None
    stem = match["call"][: match["call"].index("_new")]
    return makers.get(stem) or camel(*stem.split("_", 1))


def call_arguments(text, start):
    depth = 1
    for index in range(start, len(text)):
        depth += {"(": 1, ")": -1}.get(text[index], 0)
        if depth == 0:
            return text[start:index]
    return text[start:]


def faults_of_code(text, controls, parents, makers):
    bare = COMMENT.sub(lambda match: re.sub(r"[^\n]", " ", match[0]), text)
    lines = text.splitlines()
    for match in NEW.finditer(bare):
        if bare[bare.rfind("\n", 0, match.start("call")) + 1 : match.start("call")].strip() == "" and bare[: match.start("call")].rstrip().endswith("*"):
            continue  # the constructor's own definition: its return type stands on the line before
        arguments = call_arguments(bare, match.end())
        name = made_class(match, arguments, makers)
        if name not in CONTROLS and name not in controls:
            continue
        base = base_of(name, parents)
        line = bare.count("\n", 0, match.start("call"))
        if any(NAMED_COMMENT.search(lines[i]) for i in (line - 1, line) if i >= 0):
            continue
        if match["with"] in ("_with_label", "_with_mnemonic") and arguments.strip() not in ("", "NULL", '""'):
            continue
        if base == "GtkLinkButton" or base == "GtkExpander" and arguments.strip() != "NULL":
            continue
        if match["call"] == "g_object_new" and re.search(r'"(label|tooltip-text)"\s*,\s*(?!NULL)', arguments) and base in SHOWS_LABEL | {base if "tooltip" in arguments else ""}:
            continue
        variable = match["name"]
        if variable:
            end = re.compile(r"^}", re.MULTILINE).search(bare, match.end())
            scope = bare if "->" in variable else bare[match.end() : end.start() if end else len(bare)]
            if named_in_code(re.escape(variable), scope, bare):
                continue
        # One that is made to be handed on is the caller's to name.
        before = bare[bare.rfind("\n", 0, match.start("call")) + 1 : match.start("call")]
        if name in controls and re.search(r"\breturn\b", before):
            continue
        yield f"{line + 1}: {name} {variable or ''} is made without a name"


TEMPLATE = '<interface><template class="SlTry" parent="GtkBox">{}</template></interface>'
MADE_UP_TEMPLATES = [
    ('<child><object class="GtkButton" id="a"/></child>', 1),
    ('<child><object class="GtkButton"><property name="label"></property></object></child>', 1),
    ('<child><object class="GtkButton"><property name="icon-name">go-up-symbolic</property></object></child>', 1),
    ('<child><object class="GtkEntry"><property name="placeholder-text">2.3</property></object></child>', 1),
    ('<child><object class="SlTryEntry"/></child>', 1),
    ('<child><object class="GtkLabel"><property name="label">Text</property></object></child>', 0),
    ('<child><object class="GtkButton"><property name="label" translatable="yes">Undo</property></object></child>', 0),
    ('<child><object class="GtkButton"><property name="tooltip_text">Undo</property></object></child>', 0),
    ('<child><object class="GtkButton"><child><object class="GtkLabel"><property name="label">Undo</property></object></child></object></child>', 0),
    ('<child><object class="GtkScale"><accessibility><property name="label">Cut</property></accessibility></object></child>', 0),
    ('<child><object class="GtkScale"><accessibility><property name="label"/></accessibility></object></child>', 1),
    ('<child><object class="GtkScale"><accessibility><property name="description">Cut</property></accessibility></object></child>', 1),
    ('<child><object class="GtkEntry"><accessibility><relation name="labelled-by">l</relation></accessibility></object></child>', 0),
    ('<child><object class="GtkLabel"><property name="label">_Cut</property><property name="mnemonic-widget">e</property></object></child>'
     '<child><object class="GtkEntry" id="e"/></child>', 0),
    ('<child><object class="GtkScale" id="in_code"/></child>', 0),
]
TRY_CODE = """G_DEFINE_FINAL_TYPE (SlTryEntry, sl_try_entry, GTK_TYPE_ENTRY)
static void f (SlTry *self) {
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->in_code), GTK_ACCESSIBLE_PROPERTY_LABEL, _("Cut"), -1);
}
"""
HELPER = """
static void
attach (GtkWidget *grid, int row, GtkWidget *control)
{
  sl_set_accessible_label (control, "x");
"""
MADE_UP_CODE = [
    ("  GtkWidget *b = gtk_button_new ();\n  use (b);\n", 1),
    ('  GtkWidget *b = gtk_button_new_from_icon_name ("go-up-symbolic");\n  use (b);\n', 1),
    ("  gtk_box_append (box, gtk_entry_new ());\n", 1),
    ("  GtkWidget *e = sl_try_entry_new ();\n  use (e);\n", 1),
    ("  GtkWidget *e = g_object_new (SL_TYPE_TRY_ENTRY, NULL);\n  use (e);\n", 1),
    ("  GtkWidget *e = sl_try_entry_set_up (sl_try_entry_new (), way);\n  use (e);\n", 1),
    ('  GtkWidget *e = sl_try_entry_set_up (sl_try_entry_new (), way);\n  sl_set_accessible_label (e, "x");\n', 0),
    ('  GtkWidget *b = gtk_button_new ();\n  use (b);\n}\nstatic void g (void) {\n  sl_set_accessible_label (b, "x");\n', 1),
    ('  GtkWidget *b = gtk_button_new_with_label (_("Undo"));\n', 0),
    ('  GtkWidget *b = gtk_button_new ();\n  sl_set_accessible_label (b, _("Undo"));\n', 0),
    ('  GtkWidget *b = gtk_button_new ();\n  gtk_widget_set_tooltip_text (b, _("Undo"));\n', 0),
    ('  self->b = GTK_BUTTON (gtk_button_new ());\n}\nstatic void g (SlTry *self) {\n  gtk_button_set_label (self->b, "x");\n', 0),
    ("  GtkWidget *e = gtk_entry_new (); /* named when bound */\n", 0),
    ("  GtkWidget *b = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);\n  GtkWidget *l = gtk_label_new (NULL);\n", 0),
    ('  GtkWidget *b = g_object_new (GTK_TYPE_BUTTON, "label", _("Undo"), NULL);\n', 0),
    ('  self->b = gtk_button_new ();\n  attach (grid, f (0, 1), self->b);\n}\n' + HELPER, 0),
    ('  self->b = gtk_button_new ();\n  attach (self->b, 0, other);\n}\n' + HELPER, 1),
    ('  self->b = gtk_button_new ();\n}\nstatic void\ng (SlTry *self)\n{\n  GtkButton *b = GTK_BUTTON (self->b);\n  sl_set_accessible_label (b, "x");\n', 0),
]


def try_rules(tap):
    template_controls, parents = own_controls([TRY_CODE], [])
    wrong = []
    for inside, expected in MADE_UP_TEMPLATES:
        if len(list(faults_of_template(ElementTree.fromstring(TEMPLATE.format(inside)), template_controls, parents, TRY_CODE))) != expected:
            wrong.append(inside)
    makers = {"sl_try_entry": "SlTryEntry"}
    for inside, expected in MADE_UP_CODE:
        if len(list(faults_of_code(f"static void\nf (void)\n{{\n{inside}}}\n", template_controls, parents, makers))) != expected:
            wrong.append(inside)
    tap.check(not wrong, "the rules tell made-up unnamed controls from named ones", map(repr, wrong))


def main(root):
    tap = Tap()
    try_rules(tap)
    code_files = sorted(pathlib.Path(root, "src", "desk").rglob("*.c"))
    texts = {path: path.read_text() for path in code_files}
    templates = {path: ElementTree.parse(path).getroot() for path in sorted(pathlib.Path(root, "ui").glob("*.ui"))}
    controls, parents = own_controls(texts.values(), templates.values())
    makers = {match[2]: match[1] for text in texts.values() for match in DEFINE.finditer(text)}
    everything = "\n".join(texts.values())
    for path, tree in templates.items():
        # A template's fields are named in the file of its class, if in code.
        classes = {template.get("class") for template in tree.iter("template")}
        code = "\n".join(text for text in texts.values() if any(match[1] in classes for match in DEFINE.finditer(text))) if classes else everything
        faults = list(faults_of_template(tree, controls, parents, code))
        tap.check(not faults, f"{path.relative_to(root)}: every control has a name", faults)
    faults = [f"{path.relative_to(root)}:{fault}" for path, text in texts.items() for fault in faults_of_code(text, controls, parents, makers)]
    tap.check(texts and not faults, f"controls made in code have names ({len(texts)} files)", faults or ["no files"])
    return tap.done()


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
