/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/undo-steps.h"

#include "file/document.h"

/* A profile is a few kilobytes, so a long day at the bench stays below a few megabytes: the bytes are for a document
 * with a lot of text. */
#define MOST_STEPS 500
#define MOST_BYTES (32 * 1024 * 1024)

#define MOST_ID_NUMBER 1000000000 /* ids above are from elsewhere, and far from those given here */

SlUndoStep *
sl_undo_step_new (const char *name, SlProfile *profile, guint64 serial, SlChanges changes)
{
  SlUndoStep *step = g_new0 (SlUndoStep, 1);

  step->name = g_strdup (name);
  step->profile = profile;
  step->serial = serial;
  step->changes = changes;
  return step;
}

void
sl_undo_step_free (gpointer data)
{
  SlUndoStep *step = data;

  g_free (step->name);
  g_clear_pointer (&step->profile, sl_profile_free);
  g_free (step);
}

gboolean
sl_undo_step_leads_nowhere (SlUndoStep *step, const SlProfile *now)
{
  g_autoptr (GBytes) before = sl_document_print (step->profile), after = sl_document_print (now);

  step->bytes = g_bytes_get_size (before);
  return g_bytes_equal (before, after);
}

GPtrArray *
sl_undo_steps_new (void)
{
  return g_ptr_array_new_with_free_func (sl_undo_step_free);
}

void
sl_undo_steps_push (GPtrArray *steps, SlUndoStep *step)
{
  gsize bytes = step->bytes;
  guint kept = 1;

  g_ptr_array_add (steps, step);
  for (; kept < MIN (steps->len, MOST_STEPS); kept++)
    {
      bytes += ((const SlUndoStep *) g_ptr_array_index (steps, steps->len - 1 - kept))->bytes;
      if (bytes > MOST_BYTES)
        break;
    }
  g_ptr_array_remove_range (steps, 0, steps->len - kept);
}

const char *
sl_undo_steps_name (const GPtrArray *steps)
{
  return steps->len == 0 ? NULL : ((const SlUndoStep *) g_ptr_array_index (steps, steps->len - 1))->name;
}

/* Raises @last to the number of @id, if that is @prefix and a number. */
static void
note_id (const char *id, char prefix, guint *last)
{
  guint64 number;

  if (id != NULL && *id == prefix && g_ascii_string_to_unsigned (id + 1, 10, *last, MOST_ID_NUMBER, &number, NULL))
    *last = (guint) number;
}

void
sl_undo_keep_ids (SlProfile *profile, guint last_visit, guint last_set)
{
  profile->last_visit_number = MAX (profile->last_visit_number, last_visit);
  profile->last_set_number = MAX (profile->last_set_number, last_set);
  for (guint i = 0; i < profile->visits->len; i++)
    {
      const SlVisit *visit = &g_array_index (profile->visits, SlVisit, i);

      note_id (visit->id, 'v', &profile->last_visit_number);
      for (guint j = 0; j < visit->sets->len; j++)
        note_id (g_array_index (visit->sets, SlReadingSet, j).id, 'r', &profile->last_set_number);
    }
}
