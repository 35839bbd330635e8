/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The sheet's words: work, checks, strings, care, charges, cautions. */
#include "draw/paper/handover-parts.h"
#include "setup/profile/money.h"
#include "words/care.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

#define GAUGE_PLACES 3 /* millimetres; one fewer gives thousandths of an inch */
#define MOST_STRING_ROWS 8
#define HALVES_GAP 0.04 /* of the table's width */
#define KEEP_LINES 2.5  /* lines of what follows that stay with a heading */

static const SlType body = { .size = SL_HANDOVER_TEXT, .ink = SL_INK_TEXT };

static char *
copy (const char *text)
{
  return g_strdup (text != NULL ? text : "");
}

static void
put_list (SlFlow *flow, const char *heading, GPtrArray *texts)
{
  if (texts->len == 0)
    return;
  sl_flow_heading (flow, heading, KEEP_LINES * SL_HANDOVER_TEXT);
  sl_flow_list (flow, texts, &body);
}

/* The sentences, each as a person rewrote it where one did. */
static void
put_work (const SlHandover *h, SlFlow *flow, const char *heading, gboolean planned)
{
  g_autoptr (GPtrArray) sentences = sl_explain_work (&h->outcome, &h->speech, planned), texts = g_ptr_array_new ();

  for (guint i = 0; i < sentences->len; i++)
    {
      const SlSentence *sentence = g_ptr_array_index (sentences, i);
      const char *rewritten =
          h->options.rewritten != NULL ? g_hash_table_lookup (h->options.rewritten, sentence->id) : NULL;
      const char *text = rewritten != NULL ? rewritten : sentence->text;

      if (*text != '\0')
        g_ptr_array_add (texts, (gpointer) text);
    }
  put_list (flow, heading, texts);
}

void
sl_handover_work (const SlHandover *handover, SlFlow *flow)
{
  put_work (handover, flow, _ ("What was done"), FALSE);
  put_work (handover, flow, handover->outcome.as_planned ? _ ("What is planned") : _ ("Planned and not done"), TRUE);
}

/* How many of @n rows are written: all of them, or most_rows with a row more that counts the rest. */
static guint
rows_of (const SlHandover *h, guint n)
{
  const guint most = (guint) h->tight.most_rows;

  return most > 0 && n > most ? most : n;
}

/* The row that stands for those there is no room for, in a table of three columns. */
static void
put_rest (const SlHandover *h, SlFlow *flow, SlTable *table, guint n)
{
  const guint left = n - rows_of (h, n);

  if (left == 0)
    return;
  flow->n_cut++;
  /* Translators: in the last row of a table, for the rows there is no room for */
  sl_table_cells (table, g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "and %u more", "and %u more", left), left),
                  g_strdup (""), g_strdup (""), NULL);
}

void
sl_handover_checks (const SlHandover *handover, SlFlow *flow)
{
  const GArray *checks = handover->outcome.visit != NULL ? handover->outcome.visit->checks : NULL;
  g_auto (SlTable) table = { .most_lines = handover->tight.most_lines };

  if (checks == NULL || checks->len == 0)
    return;
  sl_table_column (&table, NULL, 0.30, SL_ALIGN_LEFT, TRUE, SL_INK_TEXT);
  sl_table_column (&table, NULL, 0.18, SL_ALIGN_LEFT, FALSE, SL_INK_TEXT);
  sl_table_column (&table, NULL, 0.52, SL_ALIGN_LEFT, FALSE, SL_INK_QUIET);
  for (guint i = 0; i < rows_of (handover, checks->len); i++)
    {
      const SlCheck *check = &g_array_index (checks, SlCheck, i);

      sl_table_cells (&table, copy (check->name), copy (sl_check_state_text (check->state)), copy (check->note), NULL);
    }
  put_rest (handover, flow, &table, checks->len);
  sl_flow_table (flow, _ ("Checks"), &table);
}

/* ---- strings ---- */

static const char *
core_text (SlCore core)
{
  static const char *const names[] = { NC_ ("string", "steel"), NC_ ("string", "stainless steel"),
                                       NC_ ("string", "nylon"), NC_ ("string", "fluorocarbon"), NC_ ("string", "gut") };

  G_STATIC_ASSERT (G_N_ELEMENTS (names) == SL_N_CORES);
  return g_dpgettext2 (GETTEXT_PACKAGE, "string", names[core]);
}

static const char *
wrap_text (SlWrap wrap)
{
  static const char *const names[] = {
    NC_ ("string", "wound"),
    NC_ ("string", "phosphor bronze"),
    NC_ ("string", "brass"),
    NC_ ("string", "nickel"),
    NC_ ("string", "nickel-plated steel"),
    NC_ ("string", "stainless steel"),
    NC_ ("string", "silver-plated copper"),
  };

  G_STATIC_ASSERT (G_N_ELEMENTS (names) == SL_N_WRAPS);
  return g_dpgettext2 (GETTEXT_PACKAGE, "string", names[wrap]);
}

static char *
build_text (const SlString *string)
{
  if (string->build == SL_BUILD_PLAIN)
    /* Translators: %s is a material: "plain steel" */
    return g_strdup_printf (C_ ("string", "plain %s"), core_text (string->core));
  /* Translators: what a wound string is made of: "phosphor bronze on steel" */
  return g_strdup_printf (C_ ("string", "%1$s on %2$s"), wrap_text (string->wrap), core_text (string->core));
}

static char *
note_text (const SlHandover *h, const SlString *string)
{
  if (string->note != NULL)
    return g_strdup (string->note);
  g_autofree char *number = sl_plain_format (string->frequency.v, 1, h->speech.style.decimal);

  return g_strdup_printf (_ ("%s Hz"), number);
}

static void
add_string (const SlHandover *h, SlTable *table, int i)
{
  /* gauges are thousandths of an inch where 64ths are chosen: they are given no other way (common practice) */
  const int places = h->options.lengths == SL_LENGTHS_MM ? GAUGE_PLACES : GAUGE_PLACES - 1;
  const SlString *string = &h->profile->strings[i];

  sl_table_cells (table, g_strdup_printf ("%d", i + 1), note_text (h, string), build_text (string),
                  sl_text_measure (&h->speech.style, h->outcome.instrument.strings[i].outside_mm, places, TRUE), NULL);
}

/* Many strings stand in two columns. */
void
sl_handover_strings (const SlHandover *handover, SlFlow *flow)
{
  const int n = handover->profile->n_strings, halves = n > MOST_STRING_ROWS ? 2 : 1, rows = (n + halves - 1) / halves;
  g_auto (SlTable) table = { .n_columns = 0 };

  for (int k = 0; k < halves; k++)
    {
      if (k > 0)
        sl_table_column (&table, NULL, HALVES_GAP, SL_ALIGN_LEFT, FALSE, SL_INK_TEXT);
      sl_table_column (&table, _ ("string"), 0.12 / halves, SL_ALIGN_LEFT, TRUE, SL_INK_TEXT);
      sl_table_column (&table, _ ("note"), 0.16 / halves, SL_ALIGN_LEFT, FALSE, SL_INK_TEXT);
      sl_table_column (&table, _ ("made of"), 0.52 / halves - (halves > 1 ? HALVES_GAP / 2 : 0), SL_ALIGN_LEFT, FALSE,
                       SL_INK_TEXT);
      sl_table_column (&table, _ ("thickness"), 0.20 / halves, SL_ALIGN_RIGHT, FALSE, SL_INK_TEXT);
    }
  for (int i = 0; i < rows; i++)
    for (int k = 0; k < halves && i + k * rows < n; k++)
      {
        if (k > 0)
          sl_table_cells (&table, g_strdup (""), NULL);
        add_string (handover, &table, i + k * rows);
      }
  sl_flow_table (flow, _ ("Strings fitted"), &table);
}

void
sl_handover_care (const SlHandover *handover, SlFlow *flow)
{
  g_autoptr (GPtrArray) care = sl_explain_care (&handover->outcome, &handover->speech);

  put_list (flow, _ ("Looking after it"), care);
}

/* ---- charges ---- */

static void
add_charge (const SlHandover *h, SlTable *table, const char *what, double minutes, double amount, const char *currency)
{
  sl_table_cells (table, copy (what),
                  isnan (minutes) ? g_strdup ("") : sl_plain_format (minutes, 0, h->speech.style.decimal),
                  isnan (amount) ? g_strdup ("") : sl_money_text (amount, currency), NULL);
}

/* Each currency has its own sum: nothing is converted. */
static void
add_sums (const SlHandover *h, SlTable *table, const GArray *charges)
{
  g_autoptr (GPtrArray) currencies = g_ptr_array_new ();

  for (guint i = 0; i < charges->len; i++)
    {
      const SlCharge *charge = &g_array_index (charges, SlCharge, i);
      const char *currency = charge->currency != NULL ? charge->currency : "";
      double sum = 0;

      if (isnan (charge->amount.v) || g_ptr_array_find_with_equal_func (currencies, currency, g_str_equal, NULL))
        continue;
      g_ptr_array_add (currencies, (gpointer) currency);
      for (guint k = 0; k < charges->len; k++)
        {
          const SlCharge *other = &g_array_index (charges, SlCharge, k);

          if (!isnan (other->amount.v) && g_str_equal (other->currency != NULL ? other->currency : "", currency))
            sum += other->amount.v;
        }
      add_charge (h, table, C_ ("charges", "Sum"), NAN, sum, currency);
    }
}

void
sl_handover_charges (const SlHandover *handover, SlFlow *flow)
{
  const GArray *charges = handover->outcome.visit != NULL ? handover->outcome.visit->charges : NULL;
  g_auto (SlTable) table = { .most_lines = handover->tight.most_lines };

  if (charges == NULL || charges->len == 0)
    return;
  sl_table_column (&table, _ ("work"), 0.60, SL_ALIGN_LEFT, FALSE, SL_INK_TEXT);
  sl_table_column (&table, _ ("minutes"), 0.15, SL_ALIGN_RIGHT, FALSE, SL_INK_QUIET);
  sl_table_column (&table, _ ("amount"), 0.25, SL_ALIGN_RIGHT, TRUE, SL_INK_TEXT);
  for (guint i = 0; i < rows_of (handover, charges->len); i++)
    {
      const SlCharge *charge = &g_array_index (charges, SlCharge, i);

      add_charge (handover, &table, charge->what, charge->minutes.v, charge->amount.v, charge->currency);
    }
  put_rest (handover, flow, &table, charges->len);
  add_sums (handover, &table, charges);
  sl_flow_table (flow, _ ("Charges"), &table);
}

void
sl_handover_cautions (const SlHandover *handover, SlFlow *flow)
{
  g_autoptr (GPtrArray) cautions = sl_explain_cautions (&handover->outcome);

  put_list (flow, _ ("If you work on it yourself"), cautions);
}
