/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/undo-steps.h"

/* A profile is a few kilobytes, so a long day at the bench stays below a few megabytes: the bytes are for a document
 * with a lot of text. */
#define MOST_STEPS 500
#define MOST_BYTES (32 * 1024 * 1024)

SlUndoStep *
sl_undo_step_new (const char *name, SlProfile *profile, guint64 serial, guint changes)
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
