/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The bench's readings: put, taken away, and begun again. */
#include "bench/bench.h"

#include "words/dates.h"

#include <glib/gi18n-lib.h>

void
sl_bench_put_reading (SlBench *self, const char *name, SlReading reading)
{
  const SlEdit edit = sl_bench_begin_edit (self, name, SL_CHANGED_READINGS, TRUE);

  sl_reading_set_put (edit.set, reading);
  sl_bench_end_edit (&edit);
}

void
sl_bench_remove_reading (SlBench *self, const char *name, SlReadingKind kind, int string, int fret, SlHeld held)
{
  const SlReading *found = sl_reading_set_find (sl_bench_get_set (self), kind, string, fret, held);
  SlEdit edit;
  guint index;

  if (found == NULL)
    return;
  index = (guint) (found - &g_array_index (sl_bench_get_set (self)->readings, SlReading, 0));
  edit = sl_bench_begin_edit (self, name, SL_CHANGED_READINGS, FALSE);
  g_array_remove_index (edit.set->readings, index);
  sl_bench_end_edit (&edit);
}

void
sl_bench_read_again (SlBench *self, gboolean final)
{
  SlReadingSet *last, fresh;
  SlEdit edit;

  sl_bench_show_set (self, NULL);
  edit = sl_bench_begin_edit (self, C_ ("undo step", "read again"), SL_CHANGED_READINGS, TRUE);
  last = edit.set;
  if (last->readings->len == 0)
    {
      g_free (last->taken);
      last->taken = sl_now_iso ();
      last->stage = final ? SL_STAGE_FINAL : last->stage;
    }
  else
    {
      fresh = sl_reading_set_init ();
      fresh.id = sl_unused_id (edit.profile, "r");
      fresh.stage = final || last->stage == SL_STAGE_FINAL ? SL_STAGE_FINAL : SL_STAGE_DURING;
      fresh.taken = sl_now_iso ();
      g_array_append_vals (fresh.tools, last->tools->data, last->tools->len);
      g_array_append_val (edit.visit->sets, fresh);
    }
  sl_bench_end_edit (&edit);
}
