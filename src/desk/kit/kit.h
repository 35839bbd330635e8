/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The kit: what windows, columns and sheets are built from. */
#pragma once

#include "desk/kit/figure-table.h"
#include "desk/kit/length-entry.h"
#include "desk/kit/util.h"

/* ---- flow ----
 *
 * Controls in a line, or in as many lines as they need. */

/* Lays out the children of @box so, @spacing apart. What a line has left goes to those of its children that expand. */
void sl_flow (GtkWidget *box, int spacing);

/* ---- build ----
 *
 * What the files of ui/ describe, put into a struct: its pointers to what is described follow each other in the order
 * of @names, which are apart by spaces, from the one at @first to the one at @last. */

/* For @first and @last. */
#define SL_MEMBERS(type, first, last) G_STRUCT_OFFSET (type, first), G_STRUCT_OFFSET (type, last)

/* A handler of signals by its own name. */
#define SL_CALL(handler) #handler, G_CALLBACK(handler)

/* Makes ui/@file.ui (NULL: it is set) the template of a class of widgets, its children bound into the widget's own
 * struct. Signals in the file call what follows @names: each an SL_CALL(), up to NULL. */
void sl_template_bind (gpointer class, const char *file, gsize first, gsize last, const char *names,
                       ...) G_GNUC_NULL_TERMINATED;

/* The widgets of ui/@file.ui into @own; an entry is named by its tooltip. The first one is returned. Those without
 * a parent are floating, unless they are windows. Signals in the file call what follows @names, as above. */
GtkWidget *sl_build (const char *file, gpointer own, gsize first, gsize last, const char *names,
                     ...) G_GNUC_NULL_TERMINATED;

/* The same with what ends @names in a list, and with @row, an object, for signals in the file by that name. */
GtkWidget *sl_build_for (gpointer row, const char *file, gpointer own, gsize first, gsize last, const char *names,
                         va_list handlers);

/* For @size, @first and @last. */
#define SL_PART(type, first, last) sizeof (type), SL_MEMBERS (type, first, last)

/* A part of a window: a new struct, zero but for the widgets of ui/@file.ui as above, kept by the first of them and
 * freed with it by @free_own; it begins with @bench, which that keeps too (NULL: with what it likes). Handlers in the
 * file that are given no object are given the struct. */
gpointer sl_part_new (SlBench *bench, gsize size, gsize first, gsize last, GDestroyNotify free_own, const char *file,
                      const char *names, ...) G_GNUC_NULL_TERMINATED;

/* The struct of the part that @widget is, or lies in. */
gpointer sl_part_of (GtkWidget *widget);

/* The widget @root of ui/@file, one of several there, floating as new ones are. Names of widgets within it follow, each
 * with where to put it (GtkWidget **); NULL ends them. */
GtkWidget *sl_built_new (const char *file, const char *root, ...) G_GNUC_NULL_TERMINATED;

/* ---- colour-scheme ----
 *
 * Light or dark: as the user prefers, or as the desktop does; in high contrast where the desktop asks for it. Loads the
 * palette the style sheet's colours come from, and keeps every window of class "sidelong" marked "light" or "dark", and
 * "contrast". */

/* Applies the preference and follows it, and the desktop's. Call once, before the first window. */
void sl_colour_scheme_start (void);

/* Marks a new window. */
void sl_colour_scheme_mark (GtkWidget *window);

/* What pictures are drawn with. */
SlLook sl_look (void);

/* How large @widget's text is, 1 as the toolkit has it by default: what a picture in it scales its texts by. */
double sl_text_scale (GtkWidget *widget);

/* Draws @area again where its colours or the size of texts change. */
void sl_follow_look (GtkWidget *area);

/* ---- message-bar ----
 *
 * Messages inside the window, above what they are about: one line each with what can be done about it. Announced as
 * alerts; nothing is blocked. A bar for them is a box "messages", upright and hidden at first. */

typedef enum
{
  SL_MESSAGE_NOTICE,
  SL_MESSAGE_WARNING,
  SL_MESSAGE_ERROR,
  SL_MESSAGE_PASSING /* a notice that goes by itself, but not from under the pointer or the focus */
} SlMessageKind;

/* A button: its label and the action it activates ("win.save-as", or "win.name::text" for one with a text); the message
 * goes when it is pressed. */
typedef struct
{
  const char *label, *action;
} SlMessageButton;

/* Shows a message in @bar in place of an earlier one under the same @key: its text by @format. @buttons end with a NULL
 * label; may be NULL. */
void sl_message_show (GtkWidget *bar, const char *key, SlMessageKind kind, const SlMessageButton *buttons,
                      const char *format, ...) G_GNUC_PRINTF (5, 6);

/* Takes the message under @key away, if there is one. */
void sl_message_withdraw (GtkWidget *bar, const char *key);

/* ---- bar-entry ----
 *
 * An entry for what the 100 mm bar of a printed template really measures. What is kept is the factor that templates are
 * corrected by. */

/* Makes @entry such an entry for the setting @key; @note says what it is for, or what is accepted. Both are the
 * caller's. */
void sl_bar_entry_bind (GtkEditable *entry, GtkWidget *note, const char *key);

/* ---- sheet-frame ----
 *
 * What the sheets of strings and of pitch are built from: a frame with a row of parts (one shown at a time, each with
 * its tools beside the row) and the sheet's picture, beside the part where there is room and below it where there is
 * not; parts, pictures and remarks; and a way to follow the bench only while seen. */

/* Calls @update (@data) when something of @which changed on the bench while @widget is mapped, and when it comes to be
 * mapped after such a change. @data lives as long as the widget. */
void sl_follow_while_seen (GtkWidget *widget, SlBench *bench, SlChanges which, GCallback update, gpointer data);

/* Updates as the next change would: at once if seen. */
void sl_update_seen (GtkWidget *widget);

/* The box of a part's tools: they stand beside the row of parts while it is shown. */
void sl_part_set_tools (GtkWidget *page, GtkWidget *tools);

/* How the window draws a picture of what is on a bench: in the units, with the decimal sign and in the palette that are
 * in use. For a picture in @widget, of the string the bench shows; all else as sl_picture_options_init() has it. */
SlPictureOptions sl_picture_options_for (SlBench *bench, GtkWidget *widget, SlPictureKind kind, double width,
                                         double height);

/* Has an area show a picture, drawn again where the palette changes. Its name and what sl_set_accessible_description()
 * gives it stand for it in words. */
void sl_picture_area_init (GtkWidget *area, GtkDrawingAreaDrawFunc draw, gpointer data);

/* For a draw function to give to what draws a chart: its marks then say under the pointer what they stand for. And the
 * one at a place of @area, NULL: none. */
SlPictureMap *sl_picture_area_map (GtkWidget *area);
const SlPictureLabel *sl_picture_area_mark (GtkWidget *area, double x, double y);

/* A frame for parts, with the sheet's picture beside them, or below them where that would leave it less than
 * @picture_least; 0: what most need for their labels. @name is what assistive technology calls the sheet. */
GtkWidget *sl_sheet_frame_new (const char *name, GtkWidget *picture, int picture_least);

/* One part more. The first one added is shown first. */
void sl_sheet_frame_add (GtkWidget *frame, const char *title, GtkWidget *page);

/* The pages of @stack as a list, named, of which the one shown is chosen; what a key does in such a list. */
GtkWidget *sl_page_list_new (GtkStack *stack, const char *name);
gboolean sl_list_key (GtkWidget *list, guint key);

/* ---- row-list ----
 *
 * A list in which the elements of an array are edited, a row each: the row at a place belongs to the element at that
 * place. Controls of the same column are of one width. */

#define SL_TYPE_ROW (sl_row_get_type ())
G_DECLARE_FINAL_TYPE (SlRow, sl_row, SL, ROW, GtkBox)

#define SL_TYPE_ROW_LIST (sl_row_list_get_type ())
G_DECLARE_FINAL_TYPE (SlRowList, sl_row_list, SL, ROW_LIST, GtkBox)

struct _SlRow
{
  GtkBox parent_instance;

  gpointer owner, controls; /* for all to read; the latter: the struct, zero at first */

  /* inside */
  SlRowList *list; /* borrowed */
  GtkWidget *line; /* child */
};

typedef void (*SlRowFunc) (SlRow *row);

/* @make builds the controls of a new row; @fill shows in them, and names them and the row by, what is at the row's
 * place now. @size: of the struct in which they keep the row's controls. @owner is theirs. @spacing is between columns.
 */
GtkWidget *sl_row_list_new (const char *name, int spacing, gsize size, SlRowFunc make, SlRowFunc fill, gpointer owner);

/* Heads of all columns (a button's is ""), up to NULL; shown while there are rows. */
void sl_row_list_set_heads (SlRowList *self, const char *const *heads);

/* Fills the rows; where they are not @n, adds some at the end or takes the last ones away. Of many, a hundred are
 * shown, and the others by a button; one that is added is. */
void sl_row_list_update (SlRowList *self, guint n);

/* Takes out one row; the keyboard, if it is there, goes to the same column of the next. To be followed by an update,
 * once its element is gone too. */
void sl_row_list_remove (SlRow *row);

/* Gives the keyboard to the control in a column of a row, or where that is insensitive to the row's first. */
void sl_row_list_focus (SlRowList *self, guint place, guint column);

guint sl_row_get_place (SlRow *row);

/* Whether what its controls tell comes from a person: not while they are filled or taken away. */
gboolean sl_row_listens (SlRow *row);

/* The controls of a new row, from ui/@file.ui into its struct as by sl_build(). The first is a line of the columns;
 * what is wrong with a length entry is shown below. Handlers have the row from object "row". A button takes the
 * keyboard before its own handler, which ends the typing elsewhere before places change. */
void sl_row_build (SlRow *row, const char *file, gsize first, gsize last, const char *names,
                   ...) G_GNUC_NULL_TERMINATED;
