/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The bench's readings: put, taken away, and begun again. */
#include "bench/bench.h"

#include "words/dates.h"

#include <glib/gi18n-lib.h>

static void
edit_put_reading (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  sl_reading_set_put (set, *(const SlReading *) data);
}

void
sl_bench_put_reading (SlBench *self, const char *name, SlReading reading)
{
  sl_bench_edit (self, name, SL_CHANGED_READINGS, TRUE, edit_put_reading, &reading);
}

static void
edit_remove_reading (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  const SlReading *wanted = data;
  SlReading *found = sl_reading_set_find (set, wanted->kind, wanted->string, wanted->fret, wanted->held);

  g_array_remove_index (set->readings, (guint) (found - (SlReading *) (void *) set->readings->data));
}

void
sl_bench_remove_reading (SlBench *self, const char *name, SlReadingKind kind, int string, int fret, SlHeld held)
{
  const SlReadingSet *set = sl_bench_get_set (self);
  SlReading wanted = sl_reading_init (kind);

  if (set == NULL || sl_reading_set_find (set, kind, string, fret, held) == NULL)
    return;
  wanted.string = string;
  wanted.fret = fret;
  wanted.held = held;
  sl_bench_edit (self, name, SL_CHANGED_READINGS, FALSE, edit_remove_reading, &wanted);
}

static void
edit_read_again (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  const gboolean final = GPOINTER_TO_INT (data);
  SlReadingSet *last = sl_visit_last_set (visit), fresh;

  if (last->readings->len == 0)
    {
      g_free (last->taken);
      last->taken = sl_now_iso ();
      last->stage = final ? SL_STAGE_FINAL : last->stage;
      return;
    }
  fresh = sl_reading_set_init ();
  fresh.id = sl_unused_id (profile, "r");
  fresh.stage = final || last->stage == SL_STAGE_FINAL ? SL_STAGE_FINAL : SL_STAGE_DURING;
  fresh.taken = sl_now_iso ();
  g_array_append_vals (fresh.tools, last->tools->data, last->tools->len);
  g_array_append_val (visit->sets, fresh);
}

void
sl_bench_read_again (SlBench *self, gboolean final)
{
  sl_bench_show_set (self, NULL);
  sl_bench_edit (self, C_ ("undo step", "read again"), SL_CHANGED_READINGS, TRUE, edit_read_again,
                 GINT_TO_POINTER (final));
}
