/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The sheet's parts: four large figures in plain words, the table received → final → target, work, checks, strings,
 * care, charges, cautions. Each adds itself to the flow, or nothing where it is empty. */
#include "draw/paper/handover-parts.h"
#include "setup/profile/money.h"

#define CARD_GAP 8.0
#define CARD_PAD 6.0
#define NAME_SIZE 8.5
#define VALUE_SIZE 13.0
#define STRING_SHARE 0.13 /* of a table's width, for the strings' names */
#define NAME_SHARE 0.46
#define CENTS_PLACES 0
#define GAUGE_PLACES 3 /* millimetres; one fewer gives thousandths of an inch */
#define MOST_STRING_ROWS 8
#define HALVES_GAP 0.04 /* of the table's width */
#define KEEP_LINES 2.5  /* lines of what follows that stay with a heading */

/* ---- large figures ---- */

/* @name_height is raised to that of the name: figures beside each other stand on one line. */
static double
put_card (SlFlow *flow, const SlPlainFigure *figure, double x, double width, double *name_height)
{
  const SlType name = { .size = NAME_SIZE, .ink = SL_INK_QUIET, .most_lines = 2 };
  SlType value = { .size = VALUE_SIZE, .bold = TRUE, .ink = SL_INK_TEXT };
  const SlType words = { .size = NAME_SIZE, .ink = SL_INK_TEXT };
  g_autofree char *text =
      figure->before != NULL ? g_strdup_printf ("%s → %s", figure->before, figure->after) : g_strdup (figure->after);
  double y = flow->y + CARD_PAD, inner = width - 2 * CARD_PAD, natural = sl_flow_natural_width (text, &value) + 1;

  /* one line, if need be a smaller one */
  value.size = MAX (NAME_SIZE, value.size * MIN (1, inner / natural));

  *name_height = MAX (*name_height, sl_flow_put (flow, figure->name, &name, x + CARD_PAD, y, inner));
  y += *name_height + 1;
  y += sl_flow_put (flow, text, &value, x + CARD_PAD, y, inner) + 1;
  if (figure->words != NULL)
    y += sl_flow_put (flow, figure->words, &words, x + CARD_PAD, y, inner);
  return y + CARD_PAD - flow->y;
}

static void
put_figures (const SlHandover *h, SlFlow *flow)
{
  SlPlainFigure figures[SL_PLAIN_FIGURES];
  const int n = sl_plain_figures (&h->outcome, &h->speech, figures);
  double width = (flow->width - (n - 1) * CARD_GAP) / n, height = 0, name_height = 0;
  SlFlow trial = *flow;

  if (n == 0)
    return;
  trial.cr = NULL;
  for (int i = 0; i < 2 * n; i++) /* once more with the height of all names */
    height = MAX (height, put_card (&trial, &figures[i % n], 0, width, &name_height));
  sl_flow_need (flow, height + CARD_GAP);
  sl_flow_skip (flow, CARD_GAP);
  for (int i = 0; i < n; i++)
    {
      double x = flow->left + i * (width + CARD_GAP);

      sl_flow_frame (flow, SL_INK_PANEL_EDGE, x, width, height);
      put_card (flow, &figures[i], x, width, &name_height);
      sl_plain_figure_clear (&figures[i]);
    }
  flow->y += height;
}

/* ---- readings ---- */

static char *
figure_text (const SlHandover *h, const SlFigure *figure, gboolean planned)
{
  if (!isfinite (figure->value))
    return g_strdup ("–");
  if (figure->basis == SL_BASIS_ASSUMED)
    return g_strdup (planned ? "–" : C_ ("figure", "not read"));
  g_autofree char *value = sl_text_fine (&h->speech.style, figure->value),
                  *spread = sl_text_spread (&h->speech.style, figure->u);

  return g_strdup_printf ("%s%s%s", !planned && figure->basis == SL_BASIS_COMPUTED ? "≈ " : "", value, spread);
}

static char *
target_text (const SlHandover *h, double target, double tolerance)
{
  g_autofree char *value = sl_text_fine (&h->speech.style, target),
                  *spread = sl_text_spread (&h->speech.style, tolerance / 2);

  return g_strconcat (value, spread, NULL);
}

static gboolean
is_planned (const SlHandover *h)
{
  return h->outcome.as_planned && h->outcome.has_plan;
}

/* What was received stands in a column of its own where the outcome differs. */
static gboolean
has_received (const SlHandover *h)
{
  return sl_outcome_has_change (&h->outcome);
}

static const char *
after_head (const SlHandover *h)
{
  if (is_planned (h))
    return C_ ("readings", "as planned");
  return h->outcome.as_planned ? C_ ("readings", "as read") : C_ ("readings", "final");
}

/* Received (where there is such), final or planned, target. */
static void
add_columns (const SlHandover *h, SlTable *table, double share)
{
  if (has_received (h))
    sl_table_column (table, C_ ("readings", "received"), share, SL_ALIGN_RIGHT, FALSE, SL_INK_TEXT);
  sl_table_column (table, after_head (h), share, SL_ALIGN_RIGHT, TRUE, SL_INK_TEXT);
  sl_table_column (table, C_ ("readings", "target"), share, SL_ALIGN_RIGHT, FALSE, SL_INK_QUIET);
}

/* What add_columns() names. Takes @target. */
static void
add_cells (const SlHandover *h, SlTable *table, const SlFigure *before, const SlFigure *after, char *target)
{
  if (has_received (h))
    sl_table_cells (table, figure_text (h, before, FALSE), NULL);
  sl_table_cells (table, figure_text (h, after, is_planned (h)), target, NULL);
}

static void
add_string_row (const SlHandover *h, SlTable *table, int i)
{
  const SlFigures *before = h->outcome.before_figures, *after = h->outcome.after_figures;
  const SlInstrument *in = &h->outcome.instrument;
  const char *note = h->profile->strings[i].note;

  sl_table_cells (table, note != NULL ? g_strdup_printf ("%d  %s", i + 1, note) : g_strdup_printf ("%d", i + 1), NULL);
  add_cells (h, table, &before->first_gap[i], &after->first_gap[i],
             target_text (h, in->target_first_gap[i], in->first_gap_tolerance));
  add_cells (h, table, &before->action[i][SL_OCTAVE_FRET], &after->action[i][SL_OCTAVE_FRET],
             target_text (h, in->target_action[i], in->action_tolerance));
}

/* A string nothing was read of has no row: with many strings there would be little else. */
static gboolean
is_listed (const SlHandover *h, int i)
{
  const SlFigures *both[] = { h->outcome.before_figures, h->outcome.after_figures };

  for (gsize k = 0; k < G_N_ELEMENTS (both); k++)
    if ((k > 0 || has_received (h)) && (both[k]->first_gap[i].basis != SL_BASIS_ASSUMED ||
                                        both[k]->action[i][SL_OCTAVE_FRET].basis != SL_BASIS_ASSUMED))
      return TRUE;
  return FALSE;
}

static void
put_string_table (const SlHandover *h, SlFlow *flow)
{
  g_autofree char *gap = g_strdup_printf (_ ("String height at the 1st fret, %s"), sl_text_unit (&h->speech.style));
  g_autofree char *action = g_strdup_printf (_ ("String height at the 12th fret, %s"), sl_text_unit (&h->speech.style));
  const int n = has_received (h) ? 3 : 2;
  double share = (1 - STRING_SHARE) / (2 * n);
  g_auto (SlTable) table = { .n_spans = 2 };

  sl_table_column (&table, _ ("string"), STRING_SHARE, SL_ALIGN_LEFT, TRUE, SL_INK_TEXT);
  add_columns (h, &table, share);
  add_columns (h, &table, share);
  table.spans[0] = (SlSpan){ gap, 1, n };
  table.spans[1] = (SlSpan){ action, 1 + n, n };
  for (int i = 0; i < h->outcome.instrument.n_strings; i++)
    if (is_listed (h, i))
      add_string_row (h, &table, i);
  sl_flow_table (flow, _ ("Readings"), &table);
}

/* @name as a format, of the unit. */
static void
add_row (const SlHandover *h, SlTable *table, const char *name, const SlFigure *before, const SlFigure *after,
         const char *target)
{
  if (!isfinite (after->value) || (before->basis == SL_BASIS_ASSUMED && after->basis == SL_BASIS_ASSUMED))
    return;
  sl_table_cells (table, g_strdup_printf (name, sl_text_unit (&h->speech.style)), NULL);
  add_cells (h, table, before, after, g_strdup (target));
}

static void
add_neck_rows (const SlHandover *h, SlTable *table)
{
  const SlFigures *before = h->outcome.before_figures, *after = h->outcome.after_figures;
  const SlInstrument *in = &h->outcome.instrument;
  const int bass = in->n_strings - 1;
  g_autofree char *relief = target_text (h, in->target_relief, in->relief_tolerance),
                  *least = sl_text_fine (&h->speech.style, in->least_exposure);
  /* Translators: of a figure that must not be less than this */
  g_autofree char *exposure =
      in->least_exposure > 0 ? g_strdup_printf (C_ ("target", "at least %s"), least) : g_strdup ("–");

  add_row (h, table, bass > 0 ? _ ("Forward bow (relief), thick-string side, %s") : _ ("Forward bow (relief), %s"),
           &before->relief[bass], &after->relief[bass], relief);
  if (bass > 0)
    add_row (h, table, _ ("Forward bow (relief), thin-string side, %s"), &before->relief[0], &after->relief[0], relief);
  add_row (h, table,
           bass > 0 ? _ ("Saddle above the bridge, thick-string side, %s") : _ ("Saddle above the bridge, %s"),
           &before->exposure[bass], &after->exposure[bass], exposure);
  if (bass > 0)
    add_row (h, table, _ ("Saddle above the bridge, thin-string side, %s"), &before->exposure[0], &after->exposure[0],
             exposure);
}

static char *
cents_text (const SlHandover *h, const SlReadingSet *set, int string)
{
  double cents;

  if (!sl_tuner_cents (set, string, &cents))
    return g_strdup (C_ ("figure", "not read"));
  g_autofree char *number = sl_plain_format (cents, CENTS_PLACES, h->speech.style.decimal);

  return g_strconcat (cents > 0.5 ? "+" : "", number, NULL);
}

/* What a tuner read; a plan foresees no reading of one. */
static void
add_pitch_rows (const SlHandover *h, SlTable *table)
{
  const SlReadingSet *last = h->outcome.final != NULL ? h->outcome.final : sl_visit_last_set (h->outcome.visit);

  for (int string = h->outcome.instrument.n_strings; string >= 1; string--)
    {
      double ignored;

      if (!sl_tuner_cents (h->outcome.first, string, &ignored) && !sl_tuner_cents (h->outcome.final, string, &ignored))
        continue;
      sl_table_cells (table, g_strdup_printf (_ ("Pitch at the 12th fret, string %d, cents"), string), NULL);
      if (has_received (h))
        sl_table_cells (table, cents_text (h, h->outcome.first, string), NULL);
      sl_table_cells (table, is_planned (h) ? g_strdup ("–") : cents_text (h, last, string), g_strdup ("0"), NULL);
    }
}

static void
put_neck_table (const SlHandover *h, SlFlow *flow)
{
  g_auto (SlTable) table = { .n_columns = 0 };

  sl_table_column (&table, _ ("neck and saddle"), NAME_SHARE, SL_ALIGN_LEFT, FALSE, SL_INK_TEXT);
  add_columns (h, &table, (1 - NAME_SHARE) / (has_received (h) ? 3 : 2));
  add_neck_rows (h, &table);
  add_pitch_rows (h, &table);
  sl_flow_skip (flow, 8);
  sl_flow_table (flow, NULL, &table);
}

static void
put_readings (const SlHandover *h, SlFlow *flow)
{
  const SlType type = { .size = NAME_SIZE, .ink = SL_INK_QUIET };

  if (h->outcome.visit == NULL)
    return;
  put_string_table (h, flow);
  put_neck_table (h, flow);
  flow->y += 3;
  sl_flow_need (flow, 2 * 1.4 * NAME_SIZE);
  sl_flow_paragraph (flow,
                     _ ("± is the range that holds the true value in about 95 of 100 cases, and of a target its "
                        "tolerance. “≈” is worked out from the other readings. Strings are numbered from the "
                        "highest-pitched; one that was not read has no line."),
                     &type, 0);
}

/* ---- words ---- */

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
put_sentences (const SlHandover *h, SlFlow *flow, const char *heading, gboolean planned)
{
  g_autoptr (GPtrArray) sentences = sl_explain_work (&h->outcome, &h->speech, planned), texts = g_ptr_array_new ();
  g_autofree char *passed = planned ? NULL : sl_explain_passed (&h->outcome);

  SL_EACH_OF (const SlSentence, sentence, sentences)
    {
      const char *rewritten =
          h->options.rewritten != NULL ? g_hash_table_lookup (h->options.rewritten, sentence->id) : NULL;
      const char *text = rewritten != NULL ? rewritten : sentence->text;

      if (*text != '\0')
        g_ptr_array_add (texts, (gpointer) text);
    }
  if (passed != NULL)
    g_ptr_array_add (texts, passed);
  put_list (flow, heading, texts);
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

static void
put_checks (const SlHandover *h, SlFlow *flow)
{
  const GArray *checks = h->outcome.visit != NULL ? h->outcome.visit->checks : NULL;
  g_auto (SlTable) table = { .most_lines = h->tight.most_lines };

  if (checks == NULL || checks->len == 0)
    return;
  sl_table_column (&table, NULL, 0.30, SL_ALIGN_LEFT, TRUE, SL_INK_TEXT);
  sl_table_column (&table, NULL, 0.18, SL_ALIGN_LEFT, FALSE, SL_INK_TEXT);
  sl_table_column (&table, NULL, 0.52, SL_ALIGN_LEFT, FALSE, SL_INK_QUIET);
  for (guint i = 0; i < rows_of (h, checks->len); i++)
    {
      const SlCheck *check = &g_array_index (checks, SlCheck, i);

      sl_table_cells (&table, copy (check->name), copy (sl_check_state_text (check->state)), copy (check->note), NULL);
    }
  put_rest (h, flow, &table, checks->len);
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
static void
put_strings (const SlHandover *h, SlFlow *flow)
{
  const int n = h->profile->n_strings, halves = n > MOST_STRING_ROWS ? 2 : 1, rows = (n + halves - 1) / halves;
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
        add_string (h, &table, i + k * rows);
      }
  sl_flow_table (flow, _ ("Strings fitted"), &table);
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

  SL_EACH (const SlCharge, charge, charges)
    {
      const char *currency = charge->currency != NULL ? charge->currency : "";
      double sum = 0;

      if (isnan (charge->amount.v) || g_ptr_array_find_with_equal_func (currencies, currency, g_str_equal, NULL))
        continue;
      g_ptr_array_add (currencies, (gpointer) currency);
      SL_EACH (const SlCharge, other, charges)
        if (!isnan (other->amount.v) && g_str_equal (other->currency != NULL ? other->currency : "", currency))
          sum += other->amount.v;
      add_charge (h, table, C_ ("charges", "Sum"), NAN, sum, currency);
    }
}

static void
put_charges (const SlHandover *h, SlFlow *flow)
{
  const GArray *charges = h->outcome.visit != NULL ? h->outcome.visit->charges : NULL;
  g_auto (SlTable) table = { .most_lines = h->tight.most_lines };

  if (charges == NULL || charges->len == 0)
    return;
  sl_table_column (&table, _ ("work"), 0.60, SL_ALIGN_LEFT, FALSE, SL_INK_TEXT);
  sl_table_column (&table, _ ("minutes"), 0.15, SL_ALIGN_RIGHT, FALSE, SL_INK_QUIET);
  sl_table_column (&table, _ ("amount"), 0.25, SL_ALIGN_RIGHT, TRUE, SL_INK_TEXT);
  for (guint i = 0; i < rows_of (h, charges->len); i++)
    {
      const SlCharge *charge = &g_array_index (charges, SlCharge, i);

      add_charge (h, &table, charge->what, charge->minutes.v, charge->amount.v, charge->currency);
    }
  put_rest (h, flow, &table, charges->len);
  add_sums (h, &table, charges);
  sl_flow_table (flow, _ ("Charges"), &table);
}

void
sl_handover_parts (const SlHandover *handover, SlFlow *flow)
{
  g_autoptr (GPtrArray) cautions = sl_explain_cautions (&handover->outcome);

  put_figures (handover, flow);
  put_readings (handover, flow);
  put_sentences (handover, flow, _ ("What was done"), FALSE);
  put_sentences (handover, flow, handover->outcome.as_planned ? _ ("What is planned") : _ ("Planned and not done"),
                 TRUE);
  if (handover->photo_page == 0)
    sl_handover_put_photos (handover, flow);
  put_checks (handover, flow);
  put_strings (handover, flow);
  put_list (flow, _ ("Looking after it"), handover->care);
  if (handover->options.show_charges)
    put_charges (handover, flow);
  put_list (flow, _ ("If you work on it yourself"), cautions);
}
