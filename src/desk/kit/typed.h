/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What stands in the entries of the program and is not in force yet, because it was typed and neither Enter was pressed
 * nor the entry left, or because it was refused. Nothing of it is lost: whoever saves, closes, prints or shows what an
 * entry belongs to calls sl_typed_take() first and does nothing where that says FALSE.
 *
 * Texts belong to the window the entry lies in and to the one beneath that. */
#pragma once

#include <gtk/gtk.h>

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
