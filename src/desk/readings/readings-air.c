/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/readings/readings-air.h"

#include "bench/readings-question.h"
#include "desk/kit/util.h"

#include <glib/gi18n-lib.h>

#define LINE_SPACING 6

typedef struct
{
  SlBench *bench; /* kept by the box */
  GtkWidget *strings, *settled, *message;
  gboolean updating;
} AirRows;

/* ---- the strings ---- */

static void
edit_strings (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  const SlStringsState state = (SlStringsState) GPOINTER_TO_INT (data);

  set->strings = state == SL_STRINGS_AT_PITCH ? SL_STRINGS_DEFAULT : state;
}

/* With the strings slack or off there is no height of theirs to read. */
static gboolean
holds_heights (const SlReadingSet *set)
{
  const SlReadingSet slack = { .strings = SL_STRINGS_SLACK };

  for (guint i = 0; set != NULL && i < set->readings->len; i++)
    {
      const SlQuestion question = sl_question_of_reading (set, i);

      if (!sl_question_is_asked (&slack, &question))
        return TRUE;
    }
  return FALSE;
}

static void update (GtkWidget *box);

static void
on_strings (GtkWidget *box)
{
  AirRows *self = g_object_get_data (G_OBJECT (box), "rows");
  const SlStringsState state =
      (SlStringsState) (SL_STRINGS_AT_PITCH + (int) gtk_drop_down_get_selected (GTK_DROP_DOWN (self->strings)));
  const gboolean refused = state != SL_STRINGS_AT_PITCH && holds_heights (sl_bench_get_set (self->bench));

  sl_label_set (self->message, refused ? _ ("These readings hold heights or pitch of the strings, which are read at "
                                            "pitch: read again, and enter relief there.")
                                       : "");
  gtk_widget_set_visible (self->message, refused);
  if (refused)
    update (box);
  else
    sl_bench_edit (self->bench, C_ ("undo step", "strings of the readings"), SL_CHANGED_READINGS, TRUE, edit_strings,
                   GINT_TO_POINTER (state));
}

/* ---- the air ---- */

static void
edit_settled (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  set->settled = GPOINTER_TO_INT (data) ? SL_SETTLED_DEFAULT : SL_SETTLED_NO;
}

static void
on_settled (GtkWidget *box)
{
  AirRows *self = g_object_get_data (G_OBJECT (box), "rows");

  if (!self->updating)
    sl_bench_edit (self->bench, C_ ("undo step", "settled in the air"), SL_CHANGED_READINGS, TRUE, edit_settled,
                   GINT_TO_POINTER (gtk_switch_get_active (GTK_SWITCH (self->settled))));
}

static void
update (GtkWidget *box)
{
  AirRows *self = g_object_get_data (G_OBJECT (box), "rows");
  const SlReadingSet *set = sl_bench_get_set (self->bench);
  const SlStringsState strings = set == NULL || set->strings == SL_STRINGS_DEFAULT ? SL_STRINGS_AT_PITCH : set->strings;

  self->updating = TRUE;
  sl_chooser_fill (self->strings, NULL, (guint) (strings - SL_STRINGS_AT_PITCH));
  gtk_switch_set_active (GTK_SWITCH (self->settled), set == NULL || set->settled != SL_SETTLED_NO);
  self->updating = FALSE;
}

static void
on_readings (GtkWidget *box)
{
  AirRows *self = g_object_get_data (G_OBJECT (box), "rows");

  gtk_widget_set_visible (self->message, FALSE);
  update (box);
}

static GtkWidget *
line_new (GtkWidget *box, const char *text)
{
  GtkWidget *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, LINE_SPACING);

  gtk_widget_add_css_class (line, "air");
  gtk_widget_set_hexpand (sl_text_add (line, text, NULL), TRUE);
  gtk_box_append (GTK_BOX (box), line);
  return line;
}

GtkWidget *
sl_readings_air_new (SlBench *bench)
{
  const char *const states[] = { C_ ("strings", "at pitch"), C_ ("strings", "slack"), C_ ("strings", "off"), NULL };
  g_autoptr (GtkStringList) titles = gtk_string_list_new (states);
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0), *line;
  AirRows *self = g_new0 (AirRows, 1);

  self->bench = sl_keep (box, bench);
  g_object_set_data_full (G_OBJECT (box), "rows", self, g_free);
  self->strings = sl_chooser_add (line_new (box, _ ("Strings")), _ ("Strings while this was read"),
                                  _ ("Relief read slack and at pitch tells how far the strings pull this neck"),
                                  G_CALLBACK (on_strings), box);
  sl_chooser_fill (self->strings, titles, 0);
  self->message = sl_text_add (box, NULL, "sl-wrong");
  gtk_widget_add_css_class (self->message, "sl-small");
  gtk_widget_set_visible (self->message, FALSE);
  line = line_new (box, _ ("Settled in this air"));
  self->settled = g_object_new (GTK_TYPE_SWITCH, "valign", GTK_ALIGN_CENTER, NULL);
  sl_set_accessible_label (self->settled, _ ("Settled in this air"));
  gtk_widget_set_tooltip_text (self->settled,
                               _ ("Off: it came in from other air and has not had a week or two in this"));
  g_signal_connect_object (self->settled, "notify::active", G_CALLBACK (on_settled), box, G_CONNECT_SWAPPED);
  gtk_box_append (GTK_BOX (line), self->settled);
  update (box);
  sl_bench_follow (bench, SL_CHANGED_READINGS | SL_CHANGED_VISIT, G_CALLBACK (on_readings), box);
  return box;
}
