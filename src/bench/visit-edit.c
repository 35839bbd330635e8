/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/visit-edit.h"

#include "setup/profile/moment.h"
#include "setup/profile/money.h"
#include "words/dates.h"
#include "words/proposal.h"

#define DAY_CHARS 10 /* of an ISO 8601 date */

const char *
sl_stage_title (SlStage stage)
{
  static const char *const titles[] = { [SL_STAGE_RECEIVED] = NC_ ("stage of a reading set", "Received"),
                                        [SL_STAGE_DURING] = NC_ ("stage of a reading set", "During work"),
                                        [SL_STAGE_FINAL] = NC_ ("stage of a reading set", "Final") };

  return g_dpgettext2 (GETTEXT_PACKAGE, "stage of a reading set", titles[stage]);
}

/* An owned copy of what stands in a document: nothing for an empty text. */
static void
set_owned (char **place, const char *text)
{
  g_free (*place);
  *place = text == NULL || *text == '\0' ? NULL : g_strdup (text);
}

/* ---- the visit itself ---- */

/* Today or, of a visit that was opened by a clock ahead of this one, the day of that: no visit ends before it begins.
 */
static char *
closing_day (const SlVisit *visit)
{
  g_autofree char *today = sl_today_iso ();

  return g_strndup (strncmp (visit->opened, today, DAY_CHARS) > 0 ? visit->opened : today, DAY_CHARS);
}

void
sl_visit_begin (SlBench *bench)
{
  SlVisit fresh;

  if (!sl_bench_settle (bench))
    return;
  g_auto (SlEdit) edit = sl_bench_begin_edit (bench, C_ ("undo step", "new visit"),
                                              SL_CHANGED_VISIT | SL_CHANGED_READINGS | SL_CHANGED_WORK, FALSE);
  fresh = sl_visit_init ();
  if (edit.visit != NULL && edit.visit->closed == NULL)
    edit.visit->closed = closing_day (edit.visit);
  fresh.id = sl_unused_id (edit.profile, "v");
  fresh.opened = sl_today_iso ();
  g_array_append_val (edit.profile->visits, fresh);
}

void
sl_visit_set_closed (SlBench *bench, gboolean closed)
{
  const SlVisit *visit = sl_bench_get_visit (bench);

  if (visit == NULL || (visit->closed != NULL) == closed)
    return;
  g_auto (SlEdit) edit = sl_bench_begin_edit (
      bench, closed ? C_ ("undo step", "close the visit") : C_ ("undo step", "open the visit again"), SL_CHANGED_VISIT,
      FALSE);
  g_clear_pointer (&edit.visit->closed, g_free);
  edit.visit->closed = closed ? closing_day (edit.visit) : NULL;
}

char *
sl_visit_right_day (SlBench *bench)
{
  const SlVisit *visit = sl_bench_get_visit (bench);
  g_autofree char *today = sl_today_iso ();
  const char *right = today;

  if (visit == NULL || strncmp (visit->opened, today, DAY_CHARS) <= 0)
    return NULL;
  for (guint i = 0; i < visit->sets->len; i++)
    if (strncmp (g_array_index (visit->sets, SlReadingSet, i).taken, right, DAY_CHARS) < 0)
      right = g_array_index (visit->sets, SlReadingSet, i).taken;
  return g_strndup (right, DAY_CHARS);
}

char *
sl_visit_set_opened (SlBench *bench, const char *day)
{
  const SlVisit *visit = sl_bench_get_visit (bench);
  g_autofree char *today = sl_today_iso ();
  g_autoptr (GDateTime) moment = sl_moment_new (day, NULL);
  const gboolean closed = visit->closed != NULL && strncmp (visit->closed, today, DAY_CHARS) < 0;
  const char *last = closed ? visit->closed : today;

  if (strncmp (visit->opened, day, DAY_CHARS) == 0 && strlen (day) == DAY_CHARS)
    return NULL;
  if (moment == NULL || strlen (day) != DAY_CHARS || strncmp (day, last, DAY_CHARS) > 0)
    return g_strdup_printf (
        closed ? _ ("“%1$s” can’t be the day the visit was opened: year-month-day, up to %2$.10s, when it was closed")
               : _ ("“%1$s” can’t be the day the visit was opened: year-month-day, up to today, %2$.10s"),
        day, last);
  g_auto (SlEdit) edit = sl_bench_begin_edit (bench, C_ ("undo step", "day of the visit"), SL_CHANGED_VISIT, FALSE);
  set_owned (&edit.visit->opened, day);
  if (edit.visit->closed != NULL && !closed) /* by the same clock that was ahead */
    set_owned (&edit.visit->closed, today);
  return NULL;
}

void
sl_visit_set_note (SlBench *bench, const char *note)
{
  const SlVisit *visit = sl_bench_get_visit (bench);

  if (visit == NULL ? *note == '\0' : g_strcmp0 (visit->note == NULL ? "" : visit->note, note) == 0)
    return;
  g_auto (SlEdit) edit = sl_bench_begin_edit (bench, C_ ("undo step", "note of the visit"), SL_CHANGED_VISIT, TRUE);
  set_owned (&edit.visit->note, note);
}

const char *
sl_visit_move_operation (SlBench *bench, guint from, guint to)
{
  const SlObjection objection = sl_plan_move_objection (sl_bench_get_visit (bench)->plan, from, to);

  if (objection != SL_OBJECTION_NONE)
    return sl_objection_text (objection);
  g_auto (SlEdit) edit = sl_bench_begin_edit (bench, C_ ("undo step", "order of work"), SL_CHANGED_PLAN, FALSE);
  sl_plan_move (edit.visit->plan, from, to);
  return NULL;
}

void
sl_visit_remove_nth (SlBench *bench, gboolean charge, guint index)
{
  const SlVisit *visit = sl_bench_get_visit (bench);

  if (visit == NULL || index >= (charge ? visit->charges : visit->checks)->len)
    return;
  g_auto (SlEdit) edit =
      sl_bench_begin_edit (bench, charge ? C_ ("undo step", "remove a charge") : C_ ("undo step", "remove a check"),
                           SL_CHANGED_VISIT, FALSE);
  g_array_remove_index (charge ? edit.visit->charges : edit.visit->checks, index);
}

/* ---- checks ---- */

static SlCheck *
nth_check (const SlVisit *visit, guint index)
{
  return visit == NULL || index >= visit->checks->len ? NULL : &g_array_index (visit->checks, SlCheck, index);
}

static void
append_check (SlVisit *visit, const char *name)
{
  SlCheck check = { g_strdup (name), SL_CHECK_OPEN, NULL };

  g_array_append_val (visit->checks, check);
}

void
sl_visit_start_checks (SlBench *bench)
{
  const SlVisit *visit = sl_bench_get_visit (bench);
  g_auto (GStrv) kept = NULL, usual = NULL;

  if (visit != NULL && visit->checks->len > 0)
    return;
  g_auto (SlEdit) edit = sl_bench_begin_edit (bench, C_ ("undo step", "start the check list"), SL_CHANGED_VISIT, TRUE);
  kept = sl_kind_list (SL_SETTING_CHECK_LISTS, sl_family_of (edit.profile));
  usual = sl_checklist_usual (edit.profile);
  for (char **name = kept != NULL ? kept : usual; *name != NULL; name++)
    append_check (edit.visit, *name);
}

gboolean
sl_visit_add_check (SlBench *bench, const char *name)
{
  g_autofree char *bare = g_strstrip (g_strdup (name));
  const guint64 before = sl_bench_get_revision (bench);

  if (*bare == '\0')
    return TRUE;
  SlEdit edit = sl_bench_begin_edit (bench, C_ ("undo step", "add a check"), SL_CHANGED_VISIT, TRUE);
  append_check (edit.visit, bare);
  sl_bench_end_edit (&edit);
  return sl_bench_get_revision (bench) != before;
}

void
sl_visit_set_check_state (SlBench *bench, guint index, SlCheckState state)
{
  const SlCheck *check = nth_check (sl_bench_get_visit (bench), index);

  if (check == NULL || (check->state == SL_CHECK_DEFAULT ? SL_CHECK_OPEN : check->state) == state)
    return;
  g_auto (SlEdit) edit = sl_bench_begin_edit (bench, C_ ("undo step", "check"), SL_CHANGED_VISIT, FALSE);
  nth_check (edit.visit, index)->state = state;
}

void
sl_visit_set_check_note (SlBench *bench, guint index, const char *note)
{
  const SlCheck *check = nth_check (sl_bench_get_visit (bench), index);

  if (check == NULL || g_strcmp0 (check->note == NULL ? "" : check->note, note) == 0)
    return;
  g_auto (SlEdit) edit = sl_bench_begin_edit (bench, C_ ("undo step", "note of a check"), SL_CHANGED_VISIT, FALSE);
  set_owned (&nth_check (edit.visit, index)->note, note);
}

/* ---- charges ---- */

static SlCharge *
nth_charge (const SlVisit *visit, guint index)
{
  return visit == NULL || index >= visit->charges->len ? NULL : &g_array_index (visit->charges, SlCharge, index);
}

static SlNumber
number_of (double value, int places)
{
  return isnan (value) ? SL_NUMBER_ABSENT : (SlNumber){ value, (signed char) places };
}

void
sl_visit_add_charge (SlBench *bench, const SlUsualCharge *usual)
{
  g_auto (SlEdit) edit = sl_bench_begin_edit (bench, C_ ("undo step", "add a charge"), SL_CHANGED_VISIT, TRUE);
  const SlUsualCharge plain = { (char *) _ ("Setup"), NAN, NAN }, *added = usual != NULL ? usual : &plain;
  const SlCharge *last = nth_charge (edit.visit, edit.visit->charges->len - 1);
  g_autofree char *currency = last != NULL ? g_strdup (last->currency) : sl_shop_currency ();
  SlCharge charge = { g_strdup (added->what), number_of (added->minutes, -1),
                      number_of (added->amount, sl_money_places (currency)), NULL };

  set_owned (&charge.currency, currency);
  g_array_append_val (edit.visit->charges, charge);
}

void
sl_visit_set_charge_what (SlBench *bench, guint index, const char *what)
{
  const SlCharge *charge = nth_charge (sl_bench_get_visit (bench), index);

  if (charge == NULL || g_strcmp0 (charge->what, what) == 0)
    return;
  g_auto (SlEdit) edit = sl_bench_begin_edit (bench, C_ ("undo step", "charge"), SL_CHANGED_VISIT, FALSE);
  g_free (nth_charge (edit.visit, index)->what);
  nth_charge (edit.visit, index)->what = g_strdup (what);
}

void
sl_visit_set_charge_number (SlBench *bench, guint index, gboolean amount, double value)
{
  const SlCharge *charge = nth_charge (sl_bench_get_visit (bench), index);

  if (charge == NULL)
    return;
  const SlNumber number = number_of (value, amount ? sl_money_places (charge->currency) : -1);
  g_auto (SlEdit) edit = sl_bench_begin_edit (bench, C_ ("undo step", "charge"), SL_CHANGED_VISIT, FALSE);
  if (amount)
    nth_charge (edit.visit, index)->amount = number;
  else
    nth_charge (edit.visit, index)->minutes = number;
}
