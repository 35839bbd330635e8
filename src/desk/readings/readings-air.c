/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/readings/parts.h"

#include "bench/readings-question.h"
#include "desk/kit/build.h"
#include "desk/kit/util.h"

typedef struct
{
  SlBench *bench; /* kept by the box */
  GtkWidget *strings, *settled, *message;
  gboolean updating;
} AirRows;

/* ---- the strings ---- */

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

  if (self->updating)
    return;
  sl_label_set (self->message, refused ? _ ("These readings hold heights or pitch of the strings, which are read at "
                                            "pitch: read again, and enter relief there.")
                                       : "");
  gtk_widget_set_visible (self->message, refused);
  if (refused)
    {
      update (box);
      return;
    }
  g_auto (SlEdit) edit =
      sl_bench_begin_edit (self->bench, C_ ("undo step", "strings of the readings"), SL_CHANGED_READINGS, TRUE);
  edit.set->strings = state == SL_STRINGS_AT_PITCH ? SL_STRINGS_DEFAULT : state;
}

/* ---- the air ---- */

static void
on_settled (GtkWidget *box)
{
  AirRows *self = g_object_get_data (G_OBJECT (box), "rows");

  if (self->updating)
    return;
  g_auto (SlEdit) edit =
      sl_bench_begin_edit (self->bench, C_ ("undo step", "settled in the air"), SL_CHANGED_READINGS, TRUE);
  edit.set->settled = gtk_switch_get_active (GTK_SWITCH (self->settled)) ? SL_SETTLED_DEFAULT : SL_SETTLED_NO;
}

static void
update (GtkWidget *box)
{
  AirRows *self = g_object_get_data (G_OBJECT (box), "rows");
  const SlReadingSet *set = sl_bench_get_set (self->bench);
  const SlStringsState strings = set == NULL || set->strings == SL_STRINGS_DEFAULT ? SL_STRINGS_AT_PITCH : set->strings;

  self->updating = TRUE;
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->strings), (guint) (strings - SL_STRINGS_AT_PITCH));
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

GtkWidget *
sl_readings_air_new (SlBench *bench)
{
  AirRows *self = g_new0 (AirRows, 1);
  GtkWidget *box = sl_built_new ("readings.ui", "air", "strings", &self->strings, "settled", &self->settled, "message",
                                 &self->message, NULL);

  self->bench = sl_keep (box, bench);
  g_object_set_data_full (G_OBJECT (box), "rows", self, g_free);
  sl_set_accessible_label (self->strings, _ ("Strings while this was read"));
  sl_guard_wheel (self->strings);
  g_signal_connect_object (self->strings, "notify::selected", G_CALLBACK (on_strings), box, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->settled, "notify::active", G_CALLBACK (on_settled), box, G_CONNECT_SWAPPED);
  update (box);
  sl_bench_follow (bench, SL_CHANGED_READINGS | SL_CHANGED_VISIT, G_CALLBACK (on_readings), box);
  return box;
}
