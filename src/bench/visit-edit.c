/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/visit-edit.h"

#include "bench/kind-lists.h"
#include "setup/record/checklist.h"
#include "setup/profile/money.h"
#include "setup/work/work.h"
#include "words/dates.h"

#include <glib/gi18n-lib.h>

#include <math.h>

const char *
sl_stage_title (SlStage stage)
{
  switch (stage)
    {
    case SL_STAGE_RECEIVED: return C_ ("stage of a reading set", "Received");
    case SL_STAGE_DURING: return C_ ("stage of a reading set", "During work");
    case SL_STAGE_FINAL:
    default: return C_ ("stage of a reading set", "Final");
    }
}

/* An owned copy of what stands in a document: nothing for an empty text. */
static void
set_owned (char **place, const char *text)
{
  g_free (*place);
  *place = text == NULL || *text == '\0' ? NULL : g_strdup (text);
}

/* ---- the visit itself ---- */

static void
edit_begin (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  SlVisit fresh = sl_visit_init ();

  if (visit != NULL && visit->closed == NULL)
    visit->closed = sl_today_iso ();
  fresh.id = sl_unused_id (profile, "v");
  fresh.opened = sl_today_iso ();
  g_array_append_val (profile->visits, fresh);
}

void
sl_visit_begin (SlBench *bench)
{
  sl_bench_edit (bench, C_ ("undo step", "new visit"), SL_CHANGED_VISIT | SL_CHANGED_READINGS | SL_CHANGED_WORK, FALSE,
                 edit_begin, NULL);
}

static void
edit_closed (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  g_clear_pointer (&visit->closed, g_free);
  if (GPOINTER_TO_INT (data))
    visit->closed = sl_today_iso ();
}

void
sl_visit_set_closed (SlBench *bench, gboolean closed)
{
  const SlVisit *visit = sl_bench_get_visit (bench);

  if (visit != NULL && (visit->closed != NULL) != closed)
    sl_bench_edit (bench, closed ? C_ ("undo step", "close the visit") : C_ ("undo step", "open the visit again"),
                   SL_CHANGED_VISIT, FALSE, edit_closed, GINT_TO_POINTER (closed));
}

static void
edit_note (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  set_owned (&visit->note, data);
}

void
sl_visit_set_note (SlBench *bench, const char *note)
{
  const SlVisit *visit = sl_bench_get_visit (bench);

  if (visit == NULL ? *note != '\0' : g_strcmp0 (visit->note == NULL ? "" : visit->note, note) != 0)
    sl_bench_edit (bench, C_ ("undo step", "note of the visit"), SL_CHANGED_VISIT, TRUE, edit_note, (gpointer) note);
}

typedef struct
{
  guint from, to;
} Move;

static void
edit_move (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  const Move *wanted = data;

  sl_plan_move (visit->plan, wanted->from, wanted->to);
}

const char *
sl_visit_move_operation (SlBench *bench, guint from, guint to)
{
  const char *objection = sl_plan_move_objection (sl_bench_get_visit (bench)->plan, from, to);
  Move wanted = { from, to };

  if (objection == NULL)
    sl_bench_edit (bench, C_ ("undo step", "order of work"), SL_CHANGED_PLAN, FALSE, edit_move, &wanted);
  return objection;
}

/* ---- checks ---- */

typedef struct
{
  guint index;
  SlCheckState state;
  const char *text;
} CheckEdit;

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

static void
edit_start_checks (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  g_auto (GStrv) kept = sl_kind_list (SL_SETTING_CHECK_LISTS, sl_kind_of (profile)),
                 usual = sl_checklist_usual (profile);
  char **names = kept != NULL ? kept : usual;

  for (guint i = 0; names[i] != NULL; i++)
    append_check (visit, names[i]);
}

void
sl_visit_start_checks (SlBench *bench)
{
  const SlVisit *visit = sl_bench_get_visit (bench);

  if (visit == NULL || visit->checks->len == 0)
    sl_bench_edit (bench, C_ ("undo step", "start the check list"), SL_CHANGED_VISIT, TRUE, edit_start_checks, NULL);
}

static void
edit_add_check (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  append_check (visit, data);
}

void
sl_visit_add_check (SlBench *bench, const char *name)
{
  g_autofree char *bare = g_strstrip (g_strdup (name));

  if (*bare != '\0')
    sl_bench_edit (bench, C_ ("undo step", "add a check"), SL_CHANGED_VISIT, TRUE, edit_add_check, bare);
}

static void
edit_remove_check (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  g_array_remove_index (visit->checks, *(const guint *) data);
}

void
sl_visit_remove_check (SlBench *bench, guint index)
{
  if (nth_check (sl_bench_get_visit (bench), index) != NULL)
    sl_bench_edit (bench, C_ ("undo step", "remove a check"), SL_CHANGED_VISIT, FALSE, edit_remove_check, &index);
}

static void
edit_check_state (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  const CheckEdit *edit = data;

  nth_check (visit, edit->index)->state = edit->state;
}

void
sl_visit_set_check_state (SlBench *bench, guint index, SlCheckState state)
{
  const SlCheck *check = nth_check (sl_bench_get_visit (bench), index);
  CheckEdit edit = { index, state, NULL };

  if (check == NULL || (check->state == SL_CHECK_DEFAULT ? SL_CHECK_OPEN : check->state) == state)
    return;
  sl_bench_edit (bench, C_ ("undo step", "check"), SL_CHANGED_VISIT, FALSE, edit_check_state, &edit);
}

static void
edit_check_note (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  const CheckEdit *edit = data;

  set_owned (&nth_check (visit, edit->index)->note, edit->text);
}

void
sl_visit_set_check_note (SlBench *bench, guint index, const char *note)
{
  const SlCheck *check = nth_check (sl_bench_get_visit (bench), index);
  CheckEdit edit = { index, SL_CHECK_OPEN, note };

  if (check != NULL && g_strcmp0 (check->note == NULL ? "" : check->note, note) != 0)
    sl_bench_edit (bench, C_ ("undo step", "note of a check"), SL_CHANGED_VISIT, FALSE, edit_check_note, &edit);
}

/* ---- charges ---- */

typedef struct
{
  guint index;
  const char *what;
  double number;
} ChargeEdit;

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

static void
edit_add_charge (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  const SlUsualCharge *usual = data;
  SlCharge charge = { g_strdup (usual->what), number_of (usual->minutes, -1),
                      number_of (usual->amount, sl_money_places ()), NULL };
  const SlCharge *last = visit->charges->len > 0 ? nth_charge (visit, visit->charges->len - 1) : NULL;
  g_autofree char *currency = last != NULL ? g_strdup (last->currency) : sl_shop_currency ();

  set_owned (&charge.currency, currency);
  g_array_append_val (visit->charges, charge);
}

void
sl_visit_add_charge (SlBench *bench, const SlUsualCharge *usual)
{
  const SlUsualCharge plain = { (char *) _ ("Setup"), NAN, NAN };

  sl_bench_edit (bench, C_ ("undo step", "add a charge"), SL_CHANGED_VISIT, TRUE, edit_add_charge,
                 (gpointer) (usual != NULL ? usual : &plain));
}

static void
edit_remove_charge (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  g_array_remove_index (visit->charges, *(const guint *) data);
}

void
sl_visit_remove_charge (SlBench *bench, guint index)
{
  if (nth_charge (sl_bench_get_visit (bench), index) != NULL)
    sl_bench_edit (bench, C_ ("undo step", "remove a charge"), SL_CHANGED_VISIT, FALSE, edit_remove_charge, &index);
}

static void
edit_charge_what (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  const ChargeEdit *edit = data;
  SlCharge *charge = nth_charge (visit, edit->index);

  g_free (charge->what);
  charge->what = g_strdup (edit->what);
}

void
sl_visit_set_charge_what (SlBench *bench, guint index, const char *what)
{
  const SlCharge *charge = nth_charge (sl_bench_get_visit (bench), index);
  ChargeEdit edit = { index, what, NAN };

  if (charge != NULL && g_strcmp0 (charge->what, what) != 0)
    sl_bench_edit (bench, C_ ("undo step", "charge"), SL_CHANGED_VISIT, FALSE, edit_charge_what, &edit);
}

static void
edit_charge_minutes (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  const ChargeEdit *edit = data;

  nth_charge (visit, edit->index)->minutes = number_of (edit->number, -1);
}

void
sl_visit_set_charge_minutes (SlBench *bench, guint index, double minutes)
{
  ChargeEdit edit = { index, NULL, minutes };

  if (nth_charge (sl_bench_get_visit (bench), index) != NULL)
    sl_bench_edit (bench, C_ ("undo step", "charge"), SL_CHANGED_VISIT, FALSE, edit_charge_minutes, &edit);
}

static void
edit_charge_amount (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  const ChargeEdit *edit = data;

  nth_charge (visit, edit->index)->amount = number_of (edit->number, sl_money_places ());
}

void
sl_visit_set_charge_amount (SlBench *bench, guint index, double amount)
{
  ChargeEdit edit = { index, NULL, amount };

  if (nth_charge (sl_bench_get_visit (bench), index) != NULL)
    sl_bench_edit (bench, C_ ("undo step", "charge"), SL_CHANGED_VISIT, FALSE, edit_charge_amount, &edit);
}
