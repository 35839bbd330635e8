/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/run-order.h"

#include <glib/gi18n-lib.h>

const int sl_run_asks[SL_N_RUN_ASKS] = {
  SL_READ_RELIEF,   SL_READ_TONGUE,  SL_READ_CROWN_GAP,  SL_READ_FIRST_GAP, SL_READ_ACTION,
  SL_READ_EXPOSURE, SL_READ_SETBACK, SL_ASK_TEMPERATURE, SL_ASK_HUMIDITY,   SL_READ_PITCH,
};

/* What is read seldom is left out until the shop asks for it (common practice). */
static gboolean
is_usual (int ask)
{
  return ask != SL_READ_SETBACK && ask != SL_READ_CROWN_GAP && ask != SL_READ_PITCH;
}

/* As the order is kept: elements and attributes of the document. */
static const char *
ask_name (int ask)
{
  const SlBound *bound = &sl_readings[ask].bound;

  return bound->element != NULL ? bound->element : bound->attribute;
}

static gboolean
holds (const GArray *order, int ask)
{
  for (guint i = 0; i < order->len; i++)
    if (g_array_index (order, int, i) == ask)
      return TRUE;
  return FALSE;
}

static GArray *
usual_order (void)
{
  GArray *order = g_array_new (FALSE, FALSE, sizeof (int));

  for (int i = 0; i < SL_N_RUN_ASKS; i++)
    if (is_usual (sl_run_asks[i]))
      g_array_append_val (order, sl_run_asks[i]);
  return order;
}

GArray *
sl_run_order (SlBridgeKind kind)
{
  g_auto (GStrv) kept = sl_kind_list (SL_SETTING_RUN_ORDERS, kind);
  GArray *order = g_array_new (FALSE, FALSE, sizeof (int));

  for (guint k = 0; kept != NULL && kept[k] != NULL; k++)
    for (int i = 0; i < SL_N_RUN_ASKS; i++)
      if (g_str_equal (kept[k], ask_name (sl_run_asks[i])) && !holds (order, sl_run_asks[i]))
        g_array_append_val (order, sl_run_asks[i]);
  if (order->len > 0)
    return order;
  g_array_unref (order);
  return usual_order ();
}

void
sl_run_order_keep (SlBridgeKind kind, const GArray *order)
{
  g_autoptr (GArray) usual = usual_order ();
  g_autoptr (GStrvBuilder) names = g_strv_builder_new ();
  gboolean same = order == NULL || order->len == usual->len;

  for (guint i = 0; order != NULL && i < order->len; i++)
    {
      same = same && g_array_index (order, int, i) == g_array_index (usual, int, i);
      g_strv_builder_add (names, ask_name (g_array_index (order, int, i)));
    }
  g_auto (GStrv) list = g_strv_builder_end (names);

  sl_kind_list_keep (SL_SETTING_RUN_ORDERS, kind, same ? NULL : (const char *const *) list);
}

GArray *
sl_run_questions (const SlProfile *profile)
{
  g_autoptr (GArray) usual = sl_questions_usual (profile), order = sl_run_order (sl_kind_of (profile));
  GArray *questions = g_array_new (FALSE, FALSE, sizeof (SlQuestion));

  for (guint k = 0; k < order->len; k++)
    for (guint i = 0; i < usual->len; i++)
      if (g_array_index (usual, SlQuestion, i).ask == g_array_index (order, int, k))
        g_array_append_vals (questions, &g_array_index (usual, SlQuestion, i), 1);
  /* an instrument that has nothing of what is asked for, such as a tongue, is asked what is usual */
  if (questions->len == 0)
    g_array_append_vals (questions, usual->data, usual->len);
  return questions;
}
