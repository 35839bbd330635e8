/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Small helpers for every widget of the window: names for assistive technology, and the mouse wheel kept from changing
 * values. */
#pragma once

#include <glib/gi18n-lib.h>
#include <gtk/gtk.h>

/* What a widget and all within it are told of in the user guide: its GtkWidget:name begins with this, and a topic
 * follows, a page or a place on it ("help-work#turn-rod"). */
#define SL_HELP_NAME "help-"

/* Gives @widget its accessible name, or description. The button inside a drop-down is named with it. */
void sl_set_accessible_label (GtkWidget *widget, const char *label);
void sl_name_as (GtkWidget *widget, const char *format, ...) G_GNUC_PRINTF (2, 3);
void sl_set_accessible_description (GtkWidget *widget, const char *description);

/* Has a screen reader say @sentence once, in @window or whichever of its program's is worked in. GTK 4.8 tells it of
 * nothing but what has the keyboard, so the sentence is that control's description until it loses it. */
void sl_tell_reader (GtkWindow *window, const char *sentence);

/* The name an entry or text view was given; NULL: none. The toolkit doesn't say. */
const char *sl_entry_name (GtkWidget *entry);

/* Names what shows a picture only, to assistive technology and in its tooltip. */
void sl_name_with_tip (GtkWidget *button, const char *format, ...) G_GNUC_PRINTF (2, 3);

/* Names a paned container and the handle between its panes. */
void sl_name_paned (GtkWidget *paned, const char *name);

/* Where one of the panes is hidden, the toolkit (4.8) takes clicks where the handle was: moves it out of the way. After
 * it was laid out. */
void sl_clear_handle (GtkWidget *paned);

/* Names a scrolled panel, which takes the focus where nothing in it does, and its scroll bars, after what is scrolled
 * in it. */
void sl_name_scrolled (GtkWidget *scrolled, const char *name);

/* @child in a panel so named, which scrolls up and down and takes the height there is. */
GtkWidget *sl_scrolled_new (GtkWidget *child, const char *name);

/* Once @widget is laid out, scrolls the panel it lies in no farther than it takes to see it with a little above it;
 * with
 * @top until it is at the panel's top. */
void sl_scroll_to (GtkWidget *widget, gboolean top);

/* A scroll bar by itself, after what it scrolls. */
void sl_name_scroll_bar (GtkWidget *bar, const char *scrolled);

/* Names a button whose label has a mnemonic by that label alone: left to itself the toolkit says the label twice, once
 * with its underscore. */
void sl_name_mnemonic_button (GtkWidget *button);

/* Keys of the keypad as those they stand for. */
guint sl_plain_key (guint key);

/* The mouse wheel over a slider, spin button or drop-down scrolls the panel it lies in instead of changing its value.
 */
void sl_guard_wheel (GtkWidget *widget);

/* The rows of a drop-down's list are filled when it is first opened: left to itself the toolkit makes some four widgets
 * for each of them at once. */
void sl_list_late (GtkWidget *drop_down);

void sl_empty_box (GtkWidget *box);

/* A label that begins at its left edge (right, where it is read from there), and one that wraps too; @css_classes,
 * apart by spaces, may be NULL. */
GtkWidget *sl_label_new (const char *text, const char *css_classes);
GtkWidget *sl_text_new (const char *text, const char *css_classes);

/* Such a text appended to @box, its long words broken where they have to be. */
GtkWidget *sl_text_add (GtkWidget *box, const char *text, const char *css_classes);

/* Appends widgets to @box, which is returned; NULL ends them. */
GtkWidget *sl_box_add (GtkWidget *box, ...) G_GNUC_NULL_TERMINATED;

/* @text with its first letter a capital, where it begins a line; free with g_free(). */
char *sl_capital (const char *text);

/* A label that is there only where it has something to say; @text may be NULL. */
void sl_set_remark (GtkWidget *remark, const char *text);

/* Setting the text a label has already costs nothing. */
void sl_label_set (GtkWidget *label, const char *text);

/* The same of a name that may wrap: a number at its end stays with the word before it. */
void sl_label_set_name (GtkWidget *label, const char *name);
void sl_label_say (GtkWidget *label, const char *format, ...) G_GNUC_PRINTF (2, 3);

void sl_set_class (GtkWidget *widget, const char *css_class, gboolean on);

/* Actions on @widget, in a group called @name, which is returned. */
GActionMap *sl_add_actions (GtkWidget *widget, const char *name, const GActionEntry *entries, int n, gpointer data);

/* Keeps @kept, one of its type, which is returned, as long as @keeper is there: a part of the window keeps its bench
 * so. */
gpointer sl_keep (gpointer keeper, gpointer kept);

/* Two style classes at once; the second may be NULL. */
void sl_add_classes (GtkWidget *widget, const char *first, const char *second);

/* An entry's width: room for @chars, neither more nor less. */
void sl_set_chars (GtkWidget *entry, int chars);

/* Names a drop-down, which the mouse wheel leaves alone then; @chosen is called with @data alone, which lives as long.
 */
void sl_chooser_init (GtkWidget *chooser, const char *name, GCallback chosen, gpointer data);

/* Shows in one so made what is chosen, of other titles unless they are NULL; @chosen is not called. */
void sl_chooser_fill (GtkWidget *chooser, GtkStringList *titles, guint selected);

/* Which of a drop-down's is chosen; whether a button, check or switch is on. */
guint sl_chosen (gpointer drop_down);
gboolean sl_is_on (gpointer control);

/* A chooser of files or of a folder, beginning at @at (NULL: anywhere), that is shown over @from; @chosen is called
 * with it and what is chosen. */
typedef void (*SlFilesChosen) (gpointer from, GListModel *files);
GtkFileChooser *sl_choose_files (GtkWidget *from, const char *title, GtkFileChooserAction action, const char *accept,
                                 GFile *at, SlFilesChosen chosen);

/* One more of the linked buttons of which one is pressed, the first to begin with. */
GtkWidget *sl_segment_add (GtkWidget *segments, const char *label);

/* Lays out @box, whose height depends on its width. */
void sl_lay_out (GtkWidget *box, GtkCustomMeasureFunc measure, GtkCustomAllocateFunc allocate);

/* A widget's minimum, and the width or, so wide, height it would like. */
int sl_least (GtkWidget *widget, GtkOrientation orientation, int for_size);
int sl_natural_width (GtkWidget *widget);
int sl_natural_height (GtkWidget *widget, int width);

/* What is called @name (GtkWidget:name) of @root and all within it; NULL: nothing. */
GtkWidget *sl_find_named (GtkWidget *root, const char *name);

/* ---- typed ----
 *
 * What stands in the entries of the program and is not in force yet, because it was typed and neither Enter was pressed
 * nor the entry left, or because it was refused. Nothing of it is lost: whoever saves, closes, prints or shows what an
 * entry belongs to calls sl_typed_take() first and does nothing where that says FALSE.
 *
 * Texts belong to the window the entry lies in and to the one beneath that. */

/* Takes in the text of @entry, which is in force then. FALSE: it is refused, stays, and its reason shows. */
typedef gboolean (*SlTypedTake) (GtkWidget *entry);

/* An entry tells so whenever its text changes or is taken in: whether another text stands in it than the one in force.
 * NULL as @take: only a button takes it, and it is refused until then. */
void sl_typed_note (GtkWidget *entry, gboolean differs, SlTypedTake take);

/* The same for an entry whose text is in force with each key unless it is @wrong: so it is marked, and refused. */
void sl_typed_judge (GtkWidget *entry, gboolean wrong);

/* Marks the text of an entry as wrong, to the eye and for assistive technology; or no longer. */
void sl_typed_mark (GtkWidget *entry, gboolean wrong);

/* Takes in what stands in the entries of @window and of the windows over it; NULL: of the whole program. All that is
 * good is taken; FALSE where something is refused, which then is shown and has the keyboard. */
gboolean sl_typed_take (GtkWindow *window);

/* The same texts, to be kept in case the program dies: the entry's name for assistive technology and what stands in it,
 * in turn, in the order in which they came to be typed. Free with g_strfreev(); NULL: there are none. */
char **sl_typed_list (GtkWindow *window);

/* Calls @changed with @window at each key that may change what sl_typed_list() says of it. */
void sl_typed_follow (GtkWindow *window, void (*changed) (GtkWindow *window));

/* @window, which is part of the one @beneath (NULL: of none), closes only once what stands in it is taken in. */
void sl_typed_guard (GtkWindow *window, GtkWindow *beneath);

/* Makes such an entry of an entry or a text view: Enter (in an entry), leaving it and sl_typed_take() give @take the
 * text with @owner, which lives as long. FALSE: refused, and @take has said why. Escape brings back the text in force,
 * which @take is told too. */
typedef gboolean (*SlTypedTakeText) (gpointer owner, const char *text, GtkWidget *entry);
void sl_typed_bind (GtkWidget *entry, SlTypedTakeText take, gpointer owner);

/* The text in force of an entry so made. What a person is typing stays. */
void sl_typed_show (GtkWidget *entry, const char *text);

/* Takes in the text of one entry so made, as Enter does. */
gboolean sl_typed_take_one (GtkWidget *entry);
