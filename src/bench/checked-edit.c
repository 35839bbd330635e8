/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/checked-edit.h"

#include "setup/profile/bounds.h"

/* The first fault of @profile that is not among @known. */
static const char *
find_new_fault (const GPtrArray *faults, const GPtrArray *known)
{
  for (guint i = 0; i < faults->len; i++)
    {
      const SlFault *fault = g_ptr_array_index (faults, i);
      gboolean is_known = FALSE;

      for (guint j = 0; j < known->len && !is_known; j++)
        is_known = g_strcmp0 (fault->message, ((const SlFault *) g_ptr_array_index (known, j))->message) == 0;
      if (!is_known)
        return fault->message;
    }
  return NULL;
}

char *
sl_checked_edit (SlBench *bench, const char *name, SlChanges changes, SlBenchEdit edit, gconstpointer data)
{
  const SlProfile *profile = sl_bench_get_profile (bench);
  g_autoptr (SlProfile) trial = sl_profile_copy (profile);
  g_autoptr (GPtrArray) known = sl_profile_check (profile);
  g_autoptr (GPtrArray) faults = NULL;
  SlVisit *visit = sl_profile_last_visit (trial);
  const char *fault;

  edit (trial, visit, visit == NULL ? NULL : sl_visit_last_set (visit), (gpointer) data);
  faults = sl_profile_check (trial);
  fault = find_new_fault (faults, known);
  if (fault != NULL)
    return g_strdup (fault);
  sl_bench_edit (bench, name, changes, FALSE, edit, (gpointer) data);
  return NULL;
}
