/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Messages inside the window, above what they are about: one line each with what can be done about it. Announced as
 * alerts; nothing is blocked. */
#pragma once

#include <gtk/gtk.h>

#define SL_TYPE_MESSAGE_BAR (sl_message_bar_get_type ())
G_DECLARE_FINAL_TYPE (SlMessageBar, sl_message_bar, SL, MESSAGE_BAR, GtkBox)

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

/* Shows @text in place of an earlier message under the same @key. @buttons end with a NULL label; may be NULL. */
void sl_message_bar_show (SlMessageBar *self, const char *key, SlMessageKind kind, const char *text,
                          const SlMessageButton *buttons);

/* Takes the message under @key away, if there is one. */
void sl_message_bar_withdraw (SlMessageBar *self, const char *key);
