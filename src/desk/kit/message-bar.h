/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Messages inside the window, above what they are about: one line each with what can be done about it. Announced as
 * alerts; nothing is blocked. A bar for them is a box "messages", upright and hidden at first. */
#pragma once

#include <gtk/gtk.h>

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
