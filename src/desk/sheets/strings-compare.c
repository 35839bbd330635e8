/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/sheets/parts.h"

#include "draw/draw.h"

#define MOST_SETS 24
#define SLOT_STEP_MM 0.01 /* a slot file's own tolerance is wider (common practice) */

typedef struct
{
  SlBench *bench;
  /* bound in this order */
  GtkWidget *picture, *page, *tools, *gauges, *complaint, *notice, *sentence, *slots, *warnings, *chooser, *fit;
  SlFigureTable *table;
  const SlStringSet *listed[MOST_SETS];
  int n_listed, n_listed_for;
  const SlStringSet *other; /* NULL: none chosen */
  SlStringSet own;          /* by its gauges; without a string where none were typed */
  SlComparison comparison;
} Compare;

/* ---- which sets there are ---- */

static void
list_sets (Compare *self, int n_strings)
{
  g_autoptr (GtkStringList) list = gtk_string_list_new (NULL);
  int n;
  const SlStringSet *all = sl_string_sets (&n);
  g_autofree char *own = sl_string_set_name (&self->own);

  gtk_string_list_append (list, C_ ("set of strings", "no other set"));
  self->n_listed = 0;
  for (int i = 0; i < n && self->n_listed < MOST_SETS - 1; i++)
    if (all[i].n_strings == n_strings)
      {
        self->listed[self->n_listed++] = &all[i];
        gtk_string_list_append (list, _ (all[i].name));
      }
  if (self->own.n_strings == n_strings)
    {
      self->listed[self->n_listed++] = &self->own;
      gtk_string_list_append (list, own);
    }
  self->n_listed_for = n_strings;
  self->other = NULL;
  sl_chooser_fill (self->chooser, list, 0);
  gtk_widget_set_sensitive (self->chooser, self->n_listed > 0);
}

static char *
name_present (Compare *self, const SlInstrument *instrument)
{
  for (int i = 0; i < self->n_listed; i++)
    if (sl_string_set_is_on (self->listed[i], instrument))
      return sl_string_set_name (self->listed[i]);
  return sl_gauges_text (instrument->strings, instrument->n_strings);
}

/* ---- the table ---- */

/* "104 | 122": the present figure, and the other set's. */
static char *
pair_text (Compare *self, char *present, char *other)
{
  g_autofree char *first = present, *second = other;

  return self->other == NULL ? g_steal_pointer (&first) : g_strdup_printf ("%s | %s", first, second);
}

static char *
pair_plain (Compare *self, const SlTextStyle *style, double present, double other, int places)
{
  return pair_text (self, sl_text_plain (style, present, places, FALSE), sl_text_plain (style, other, places, FALSE));
}

static char *
pair_fine (Compare *self, const SlTextStyle *style, double present, double other)
{
  return pair_text (self, sl_text_fine (style, present), sl_text_fine (style, other));
}

static char *
stress_text (double share, const SlTextStyle *style)
{
  return isnan (share) ? g_strdup ("–") : sl_stress_percent (share, style->decimal);
}

static void
show_string (Compare *self, const SlTextStyle *style, int string)
{
  const SlStringWorth *a = &self->comparison.present.strings[string - 1],
                      *b = &self->comparison.other.strings[string - 1];

  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  const SlFigures *f = analysis->has_plan ? &analysis->planned_figures : &analysis->measured_figures;
  const int i = string - 1;

  sl_figure_table_fill (
      self->table, (guint) i, sl_text_string (sl_bench_get_profile (self->bench), string),
      pair_plain (self, style, a->tension, b->tension, 0),
      pair_text (self, stress_text (a->stress_share, style), stress_text (b->stress_share, style)),
      pair_plain (self, style, a->side_give, b->side_give, 2), pair_plain (self, style, a->nut_force, b->nut_force, 0),
      sl_marked (&f->saddle_force[i], pair_plain (self, style, a->saddle_force, b->saddle_force, 0)),
      sl_marked (&f->setback_needed[i], pair_fine (self, style, a->setback_needed, b->setback_needed)),
      sl_marked (&f->least_margin[i], pair_fine (self, style, a->least_margin, b->least_margin)),
      pair_fine (self, style, a->slot_width, b->slot_width), NULL);
}

/* What the slots cut for the present strings are to the other ones. */
static char *
slots_sentence (Compare *self, const SlTextStyle *style)
{
  double wider = 0, narrower = 0;
  g_autofree char *text = NULL;

  for (int s = 0; s < self->comparison.n_changed; s++)
    {
      double more = self->comparison.other.strings[s].slot_width - self->comparison.present.strings[s].slot_width;

      wider = MAX (wider, more);
      narrower = MAX (narrower, -more);
    }
  if (MAX (wider, narrower) < SLOT_STEP_MM)
    return NULL;
  text = sl_text_measure (style, wider >= SLOT_STEP_MM ? wider : narrower, 2, TRUE);
  return g_strdup_printf (
      wider >= SLOT_STEP_MM
          ? _ ("Its strings need slots up to %s wider than the present ones: widen them before fitting.")
          : _ ("Slots cut for the present strings are up to %s wider than its strings need."),
      text);
}

static void
show_sentences (Compare *self, const SlInstrument *instrument, const SlTextStyle *style)
{
  g_autofree char *name = name_present (self, instrument);
  g_autofree char *what = self->other != NULL
                              ? sl_comparison_sentence (&self->comparison, style->lengths, style->decimal)
                              : g_strdup_printf (_ ("On the instrument: %s. Choose another set to compare."), name);
  g_autofree char *slots = self->other == NULL ? NULL : slots_sentence (self, style);
  const SlSetWorth *worth = self->other == NULL ? &self->comparison.present : &self->comparison.other;
  double shares[SL_MAX_STRINGS];

  sl_set_remark (self->sentence, what);
  sl_set_remark (self->slots, slots);
  for (int s = 0; s < worth->n_strings; s++)
    shares[s] = worth->strings[s].stress_share;
  sl_strings_warn (self->warnings, shares, worth->n_strings);
}

static void
update (Compare *self)
{
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  const SlInstrument *in = &analysis->planned_instrument;
  const SlTextStyle style = sl_bench_text_style (self->bench);

  if (self->n_listed_for != in->n_strings)
    list_sets (self, in->n_strings);
  if (self->other == NULL)
    {
      sl_set_worth (in, sl_state_ahead (analysis), &self->comparison.present);
      self->comparison.other = self->comparison.present;
    }
  else
    sl_compare (in, sl_state_ahead (analysis), self->other->strings, self->other->n_strings, &self->comparison);
  gtk_widget_queue_draw (self->picture);
  sl_figure_table_set_rows (self->table, (guint) in->n_strings + 1);
  sl_figure_table_set_unit (self->table, sl_text_unit (&style));
  for (int s = 1; s <= in->n_strings; s++)
    show_string (self, &style, s);
  const SlSetWorth *a = &self->comparison.present, *b = &self->comparison.other;

  sl_figure_table_fill (self->table, (guint) in->n_strings, g_strdup (C_ ("row of a table", "in all")),
                        pair_plain (self, &style, a->tension_total, b->tension_total, 0), g_strdup (""), g_strdup (""),
                        pair_plain (self, &style, a->nut_force_total, b->nut_force_total, 0),
                        pair_plain (self, &style, a->saddle_force_total, b->saddle_force_total, 0), NULL);
  show_sentences (self, in, &style);
  sl_strings_fit_check (self->bench, self->notice);
  gtk_widget_set_sensitive (self->fit, self->other != NULL && !sl_string_set_is_on (self->other, in));
}

static void
draw (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  const Compare *self = data;
  g_autofree char *name = self->other == NULL ? NULL : sl_string_set_name (self->other);
  SlPictureOptions options = sl_picture_options_for (self->bench, GTK_WIDGET (area), SL_PICTURE_STRINGS, width, height);

  options.other = self->other == NULL ? NULL : &self->comparison;
  options.other_name = name;
  sl_picture_draw (cr, sl_bench_get_analysis (self->bench), &options, NULL);
}

/* ---- choosing and fitting ---- */

static void
on_chosen (Compare *self)
{
  const guint selected = sl_chosen (self->chooser);

  self->other = selected == 0 ? NULL : self->listed[selected - 1];
  sl_update_seen (self->picture);
}

/* Gauges that can't be read stay for correction, with what is accepted. */
static gboolean
take (gpointer picture, const char *text, GtkWidget *entry)
{
  Compare *self = sl_part_of (picture);
  const SlInstrument *in = &sl_bench_get_analysis (self->bench)->planned_instrument;
  g_autoptr (GError) error = NULL;
  SlStringSet own = { 0 };
  const gboolean good = *text == '\0' || sl_string_set_parse (text, in, &own, &error);
  g_autofree char *why = good ? NULL : sl_capital (error->message);

  sl_set_remark (self->complaint, why);
  if (!good)
    return FALSE;
  self->own = own;
  list_sets (self, in->n_strings);
  sl_typed_show (entry, text);
  if (own.n_strings > 0)
    gtk_drop_down_set_selected (GTK_DROP_DOWN (self->chooser), (guint) self->n_listed);
  sl_update_seen (picture);
  return TRUE;
}

static void
on_fit (Compare *self)
{
  if (self->other != NULL)
    sl_strings_fit (self->bench, self->other, self->notice);
}

GtkWidget *
sl_strings_compare_new (SlBench *bench, GtkWidget **picture)
{
  Compare *self = sl_part_new (bench, SL_PART (Compare, picture, table), g_free, "strings-compare",
                               "picture page tools gauges complaint notice sentence slots warnings chooser fit table",
                               SL_CALL (on_fit), NULL);

  *picture = self->picture;
  sl_follow_while_seen (*picture, bench, SL_CHANGED_FIGURES | SL_CHANGED_LENGTHS, G_CALLBACK (update), self);
  sl_part_set_tools (self->page, self->tools);
  sl_picture_area_init (*picture, draw, self);
  sl_bench_follow (bench, SL_CHANGED_STRING, G_CALLBACK (gtk_widget_queue_draw), *picture);
  sl_typed_bind (self->gauges, take, *picture);
  sl_chooser_init (self->chooser, _ ("Compare with this set"), G_CALLBACK (on_chosen), self);
  return self->page;
}
