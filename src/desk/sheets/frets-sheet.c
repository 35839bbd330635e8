/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/sheets/sheets.h"

#include "desk/kit/kit.h"
#include "words/sheet-text.h"
#include "bench/readings-question.h"
#include "draw/draw.h"

#define ENTRY_CHARS 4
#define CELL_CHARS 6
#define FALL_AWAY_CHARS 5

/* The rows of entries, and those of figures below. */
enum
{
  ENTRY_GAP,
  ENTRY_HEIGHT,
  N_ENTRIES
};
enum
{
  CELL_OFF,
  CELL_LAND,
  CELL_LEFT,
  CELL_WORD,
  N_CELLS
};
#define N_ROWS (N_ENTRIES + N_CELLS)

static const SlReadingKind entry_kinds[N_ENTRIES] = { SL_READ_CROWN_GAP, SL_READ_CROWN_HEIGHT };

typedef struct
{
  SlBench *bench;

  /* bound in this order */
  GtkWidget *sheet, *line, *summary, *replace, *fall_away, *level, *picture, *message, *effect;
  SlFigureTable *table;
  GtkWidget *entry[N_ENTRIES][SL_MAX_FRETS + 1]; /* by fret from 1 */

  SlLevelling work; /* as shown */
  SlBound bounds[N_ENTRIES];
  int n_frets; /* of the table as built */
  gboolean updating;
} Frets;

static SlQuestion
question_of (int entry, int fret)
{
  return (SlQuestion){ (int) entry_kinds[entry], 0, fret, SL_HELD_DEFAULT, 0 };
}

/* ---- the picture ---- */

static void
draw (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  Frets *self = data;
  SlPictureOptions options = sl_picture_options_for (self->bench, GTK_WIDGET (area), SL_PICTURE_FRETS, width, height);

  options.replacing = sl_is_on (self->replace);
  sl_picture_draw (cr, sl_bench_get_analysis (self->bench), &options, NULL);
}

/* ---- showing figures ---- */

static char *
cell_sentence (gpointer owner, guint row, guint column)
{
  Frets *self = owner;
  const SlTextStyle style = sl_bench_text_style (self->bench);

  return column == 0 ? NULL : sl_fret_sentence (&style, &self->work.frets[column], (int) column);
}

static void
show_fret (Frets *self, const SlTextStyle *style, int n)
{
  const SlFretWork *f = &self->work.frets[n];
  g_autofree char *off = sl_text_fine (style, f->off), *land = sl_text_fine (style, f->land),
                  *left = sl_text_fine (style, f->left);
  const char *const texts[N_CELLS] = { off, land, left, sl_fret_word (f) };

  for (guint c = 0; c < N_CELLS; c++)
    {
      sl_figure_table_set (self->table, N_ENTRIES + c, (guint) n, texts[c]);
      sl_figure_table_set_class (self->table, N_ENTRIES + c, (guint) n, "sl-key-fret", f->lowest);
      sl_figure_table_set_class (self->table, N_ENTRIES + c, (guint) n, "sl-wrong", c >= CELL_LEFT && !f->saved);
      sl_figure_table_set_class (self->table, N_ENTRIES + c, (guint) n, "sl-dim",
                                 c < CELL_LEFT && f->off < SL_FRET_SHOWN_MM);
    }
}

static void
show_entries (Frets *self)
{
  const SlProfile *profile = sl_bench_get_profile (self->bench);
  const SlReadingSet *set = sl_bench_get_set (self->bench);

  for (int e = 0; e < N_ENTRIES; e++)
    {
      self->bounds[e] = sl_ask_bound (profile, entry_kinds[e]);
      for (int n = 1; n <= self->n_frets; n++)
        {
          SlLengthEntry *entry = SL_LENGTH_ENTRY (self->entry[e][n]);
          SlQuestion question = question_of (e, n);
          double value = sl_question_value (set, &question);

          sl_length_entry_set_lengths (entry, sl_bench_get_lengths (self->bench));
          sl_length_entry_set_places (entry, isnan (value) ? 2 : sl_places_for (value, 2));
          sl_length_entry_set_value (entry, value);
          if (e == ENTRY_HEIGHT)
            sl_length_entry_set_assumed (entry, self->work.frets[n].replaced ? NAN : self->work.frets[n].height);
        }
    }
}

static void
show_controls (Frets *self, gboolean planned, double fall_away)
{
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  const gboolean has_tongue = analysis->instrument.frets > analysis->instrument.joint;

  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->level), planned);
  gtk_widget_set_sensitive (self->level, planned || self->work.read);
  gtk_widget_set_tooltip_text (self->level, planned || self->work.read
                                                ? _ ("All crowns down to the lowest, as part of the plan")
                                                : _ ("Read crown gaps first: crowns not read are assumed level"));
  gtk_widget_set_visible (gtk_widget_get_parent (self->fall_away), has_tongue);
  gtk_widget_set_sensitive (self->fall_away, planned);
  sl_length_entry_set_lengths (SL_LENGTH_ENTRY (self->fall_away), sl_bench_get_lengths (self->bench));
  sl_length_entry_set_value (SL_LENGTH_ENTRY (self->fall_away), planned && fall_away > 0 ? fall_away : NAN);
}

/* What is wrong with an entry is said below the row, with its fret: the other entries keep what they hold. */
static void
show_message (Frets *self)
{
  for (int e = 0; e < N_ENTRIES; e++)
    for (int n = 1; n <= self->n_frets; n++)
      {
        const char *message = sl_length_entry_get_message (SL_LENGTH_ENTRY (self->entry[e][n]));
        g_autofree char *text = message == NULL ? NULL : g_strdup_printf (_ ("Fret %d: %s"), n, message);

        sl_set_remark (self->message, text);
        if (text != NULL)
          return;
      }
}

/* ---- what is entered ---- */

/* Entries have places fret by fret, the row of gaps first. */
static int
place_of (gpointer entry)
{
  return GPOINTER_TO_INT (g_object_get_data (G_OBJECT (entry), "place"));
}

static void
on_committed (SlLengthEntry *entry, double value, Frets *self)
{
  SlQuestion question = question_of (place_of (entry) / self->n_frets, place_of (entry) % self->n_frets + 1);

  if (!self->updating)
    sl_question_put (self->bench, &question, value);
}

/* From fret to fret, then on to the row of heights, and past the last one to levelling. */
static void
on_step (GtkWidget *entry, int by)
{
  Frets *self = sl_part_of (entry);
  const int place = place_of (entry) + by;

  if (place >= N_ENTRIES * self->n_frets)
    gtk_widget_grab_focus (gtk_widget_get_sensitive (self->level) ? self->level : self->picture);
  else if (place >= 0)
    gtk_widget_grab_focus (self->entry[place / self->n_frets][place % self->n_frets + 1]);
}

static void
on_level (Frets *self)
{
  if (!self->updating)
    sl_edit_level (self->bench, sl_is_on (self->level));
}

static void
on_fall_away (SlLengthEntry *entry, double value, Frets *self)
{
  if (!self->updating)
    sl_edit_amount (self->bench, SL_OP_LEVEL_FRETS, 0, FALSE, isnan (value) ? 0 : value);
}

/* ---- building ---- */

static GtkWidget *
new_entry (Frets *self, int row, int fret)
{
  SlQuestion question = question_of (row, fret);
  g_autofree char *name = sl_question_full_name (&question), *step = sl_question_step_name (&question);

  GtkWidget *entry =
      sl_length_entry_set_up (sl_length_entry_new (), (SlLengthUse){ &self->bounds[row], NULL, 2, .chars = ENTRY_CHARS,
                                                                     .bench = self->bench, .step_name = step });

  gtk_entry_set_alignment (GTK_ENTRY (entry), 0.5);
  gtk_widget_add_css_class (entry, "sl-fret-entry");
  sl_set_accessible_label (entry, name);
  g_object_set_data (G_OBJECT (entry), "place", GINT_TO_POINTER (row * self->n_frets + fret - 1));
  g_signal_connect (entry, "committed", G_CALLBACK (on_committed), self);
  g_signal_connect (entry, "step", G_CALLBACK (on_step), NULL);
  g_signal_connect_swapped (entry, "notify::message", G_CALLBACK (show_message), self);
  sl_figure_table_put (self->table, (guint) row, (guint) fret, entry);
  return entry;
}

/* Built when first looked at, and again where the number of frets changes; otherwise only texts change. */
static void
build_table (Frets *self)
{
  const char *const heads[N_ROWS] = { C_ ("row of frets", "crown gap"), C_ ("row of frets", "height"),
                                      C_ ("row of frets", "off"),       C_ ("row of frets", "land"),
                                      C_ ("row of frets", "left"),      "" };

  self->n_frets = sl_bench_get_analysis (self->bench)->instrument.frets;
  sl_figure_table_cut_columns (self->table, 1);
  sl_figure_table_add_frets (self->table, self->n_frets, CELL_CHARS, SL_COLUMN_WIDE | SL_COLUMN_CENTRED);
  sl_figure_table_set_rows (self->table, N_ROWS);
  for (guint row = 0; row < N_ROWS; row++)
    sl_figure_table_set (self->table, row, 0, heads[row]);
  for (int e = 0; e < N_ENTRIES; e++)
    for (int n = 1; n <= self->n_frets; n++)
      self->entry[e][n] = new_entry (self, e, n);
}

static void
update (Frets *self)
{
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  const SlTextStyle style = sl_bench_text_style (self->bench);
  g_autofree char *summary = NULL, *effect = NULL;
  SlLevelling replacing;
  gboolean planned;

  if (self->updating)
    return;
  self->updating = TRUE;
  if (self->n_frets != analysis->instrument.frets)
    build_table (self);
  planned = sl_level_planned (&analysis->instrument, &analysis->measured, analysis->plan,
                              analysis->set != NULL ? analysis->set->taken : NULL, &self->work);
  sl_level_replacing (&analysis->instrument, &analysis->measured, self->work.fall_away, &replacing);
  gtk_widget_set_visible (self->replace, replacing.n_replaced > 0 || sl_is_on (self->replace));
  const double fall_away = self->work.fall_away;
  if (sl_is_on (self->replace))
    self->work = replacing;
  show_entries (self);
  show_controls (self, planned, fall_away);
  for (int n = 1; n <= self->n_frets; n++)
    show_fret (self, &style, n);
  summary = sl_levelling_summary (&style, &analysis->instrument, &self->work);
  sl_label_set (self->summary, summary);
  effect = sl_levelling_effect (&style, analysis, sl_bench_get_profile (self->bench), &self->work);
  sl_label_set (self->effect, effect);
  sl_set_accessible_description (self->picture, summary);
  self->updating = FALSE;
  show_message (self);
  gtk_widget_set_vexpand (self->picture, self->work.read); /* level crowns show no more in more room */
  gtk_widget_queue_draw (self->picture);
}

GtkWidget *
sl_frets_sheet_new (SlBench *bench)
{
  Frets *self = sl_part_new (bench, SL_PART (Frets, sheet, table), g_free, "frets",
                             "sheet line summary replace fall_away level picture message effect table",
                             SL_CALL (sl_update_seen), SL_CALL (on_level), SL_CALL (on_fall_away), NULL);

  sl_follow_while_seen (self->sheet, bench, SL_CHANGED_FIGURES | SL_CHANGED_LENGTHS, G_CALLBACK (update), self);
  sl_flow (self->line, SL_SPACE_WIDE);
  sl_length_entry_set_up (self->fall_away, (SlLengthUse){ &sl_operations[SL_OP_LEVEL_FRETS].bound, NULL, 2,
                                                          .chars = FALL_AWAY_CHARS, .bench = self->bench,
                                                          .step_name = sl_operation_undo_name (SL_OP_LEVEL_FRETS) });
  sl_length_entry_set_assumed (SL_LENGTH_ENTRY (self->fall_away), 0);
  sl_set_accessible_label (self->fall_away, _ ("Fall-away at the last fret when levelling"));
  sl_picture_area_init (self->picture, draw, self);
  sl_figure_table_set_sentences (self->table, cell_sentence, self);
  return self->sheet;
}
