/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/sheets/gaps-sheet.h"

#include "desk/kit/cells.h"
#include "desk/sheets/gaps-summary.h"
#include "words/gaps-text.h"
#include "desk/sheets/hand-button.h"
#include "words/results.h"
#include "desk/kit/sheet-frame.h"
#include "desk/kit/util.h"
#include "setup/physics/clearance.h"

#include <glib/gi18n-lib.h>

#include <math.h>

/* Room for "○ 2.30", "−0.12" and "1 3/64", in characters of average width. */
#define CELL_CHARS 5
#define NAME_CHARS 5
#define ASSUMED_CHARS 2
/* Descriptions for assistive technology follow when the figures have stood still this long. */
#define DESCRIBE_MS 250

#define SL_TYPE_GAPS_SHEET (sl_gaps_sheet_get_type ())
G_DECLARE_FINAL_TYPE (SlGapsSheet, sl_gaps_sheet, SL, GAPS_SHEET, GtkBox)

/* The frets shown unless all are asked for, with the last fret and the one next to the held one: where gaps are usually
 * read (common practice). */
static const int key_frets[] = { 1, 2, 3, 5, 7, 9, 12, 15 };

struct _SlGapsSheet
{
  GtkBox parent_instance;

  /* owned widgets; cells are indexed by string and fret from 1 */
  GtkWidget *line, *title, *all_frets, *gaps, *margins, *measured, *planned, *status;
  GtkWidget *names, *frets;
  SlGapsSummary summary;
  GtkWidget *name[SL_MAX_STRINGS + 1], *assumed[SL_MAX_STRINGS + 1];
  GtkWidget *head[SL_MAX_FRETS + 1];
  GtkWidget *cell[SL_MAX_STRINGS + 1][SL_MAX_FRETS + 1]; /* NULL, as the head is, where the fret was never shown */

  SlBench *bench; /* owned */

  SlClearance clear[SL_MAX_STRINGS + 1][SL_MAX_FRETS + 1]; /* of the state shown */
  int n_strings, n_frets;                                  /* of the cells built */
  int held, chosen;
  int least_string, least_fret; /* where the least margin of those shown is */
  int cursor_string, cursor_fret;
  guint describe_id;
  gboolean any_assumed;
  gboolean stale; /* changed while not shown */
};

G_DEFINE_FINAL_TYPE (SlGapsSheet, sl_gaps_sheet, GTK_TYPE_BOX)

static gboolean
shows_planned (SlGapsSheet *self)
{
  return gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (self->planned));
}

static gboolean
shows_margins (SlGapsSheet *self)
{
  return gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (self->margins));
}

/* ---- what a cell says ---- */

/* Nothing where the string is held. */
static SlWord
cell_word (SlGapsSheet *self, int string, int fret)
{
  return fret <= self->held ? SL_WORD_NONE : sl_clearance_word (&self->clear[string][fret]);
}

static char *
cell_sentence (SlGapsSheet *self, int string, int fret)
{
  const SlTextStyle style = sl_bench_text_style (self->bench);
  const SlFit *fit = &sl_bench_get_analysis (self->bench)->fit;

  return sl_clearance_sentence (&style, &self->clear[string][fret], string, self->held, fret,
                                fit->action_assumed[string - 1] || fit->first_gap_assumed[string - 1]);
}

static void
show_status (SlGapsSheet *self)
{
  g_autofree char *text = NULL;

  if (self->cursor_string < 1 || self->cursor_fret < 1)
    return;
  text = cell_sentence (self, self->cursor_string, self->cursor_fret);
  sl_label_set (self->status, text);
}

static gboolean
describe (gpointer data)
{
  SlGapsSheet *self = data;

  for (int s = 1; s <= self->n_strings; s++)
    for (int n = 1; n <= self->n_frets; n++)
      if (self->cell[s][n] != NULL)
        {
          g_autofree char *sentence = cell_sentence (self, s, n);

          sl_set_accessible_description (self->cell[s][n], sentence);
        }
  self->describe_id = 0;
  return G_SOURCE_REMOVE;
}

static void
describe_soon (SlGapsSheet *self)
{
  g_clear_handle_id (&self->describe_id, g_source_remove);
  self->describe_id = g_timeout_add_full (G_PRIORITY_LOW, DESCRIBE_MS, describe, self, NULL);
}

/* ---- showing figures ---- */

static void
show_cell (SlGapsSheet *self, const SlTextStyle *style, int string, int fret)
{
  static const char *const marks[] = {
    [SL_WORD_NONE] = "", [SL_WORD_IN_RANGE] = "", [SL_WORD_CLOSE] = "◐ ", [SL_WORD_OUT] = "○ "
  };
  const SlClearance *c = &self->clear[string][fret];
  const gboolean margins = shows_margins (self);
  const SlWord word = cell_word (self, string, fret);
  GtkWidget *cell = self->cell[string][fret];
  g_autofree char *figure = NULL, *text = NULL;

  if (word == SL_WORD_NONE)
    figure = g_strdup ("–");
  else
    figure = margins ? sl_text_fine (style, c->margin) : sl_text_length (style, c->gap);
  /* a margin has its sign and the cell's pattern */
  text = g_strconcat (margins ? "" : marks[word], figure, NULL);
  sl_cell_set (cell, text);
  sl_set_class (cell, "sl-wrong", word == SL_WORD_OUT);
  /* patterns, so that the map is read without colour */
  sl_set_class (cell, "sl-touches", margins && word == SL_WORD_OUT);
  sl_set_class (cell, "sl-near", margins && word == SL_WORD_CLOSE);
  sl_set_class (cell, "sl-least", margins && string == self->least_string && fret == self->least_fret);
}

static void
compute (SlGapsSheet *self)
{
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  const gboolean planned = shows_planned (self);
  const SlState *state = planned ? &analysis->planned : &analysis->measured;
  const SlFigures *figures = planned ? &analysis->planned_figures : &analysis->measured_figures;

  double least = INFINITY;

  self->held = sl_bench_get_held (self->bench);
  for (int string = 1; string <= self->n_strings; string++)
    {
      SlStringState s;

      sl_state_string (&analysis->instrument, state, string, &s);
      for (int n = self->held + 1; n <= self->n_frets; n++)
        {
          SlClearance *c = &self->clear[string][n];

          sl_clearance (&analysis->instrument, state, &s, figures->tension[string - 1].value, self->held, n, c);
          if (c->margin >= least)
            continue;
          least = c->margin;
          self->least_string = string;
          self->least_fret = n;
        }
    }
}

static void
show_title (SlGapsSheet *self)
{
  const char *open = shows_margins (self) ? _ ("Margins, open") : _ ("Gaps, open"),
             *at = shows_margins (self) ? _ ("Margins, held at fret %d") : _ ("Gaps, held at fret %d");
  g_autofree char *held = self->held == 0 ? g_strdup (open) : g_strdup_printf (at, self->held);
  g_autofree char *patterns =
      shows_margins (self) ? g_strdup_printf (_ ("%s · hatched touches, dotted is close"), held) : g_strdup (held);
  g_autofree char *title = self->any_assumed ? g_strdup_printf (_ ("%s · ≈ assumed"), patterns) : g_strdup (patterns);

  if (g_strcmp0 (gtk_label_get_text (GTK_LABEL (self->title)), title) != 0)
    {
      gtk_label_set_text (GTK_LABEL (self->title), title);
      gtk_widget_set_tooltip_text (self->title, title);
    }
}

static void
show_chosen (SlGapsSheet *self)
{
  self->chosen = sl_bench_get_string (self->bench);
  for (int s = 1; s <= self->n_strings; s++)
    {
      sl_set_class (self->name[s], "sl-chosen", s == self->chosen);
      sl_set_class (self->assumed[s], "sl-chosen", s == self->chosen);
      for (int n = 1; n <= self->n_frets; n++)
        if (self->cell[s][n] != NULL)
          sl_set_class (self->cell[s][n], "sl-chosen", s == self->chosen);
      for (int c = 0; c < SL_GAPS_N_SUMMARIES; c++)
        sl_set_class (self->summary.cell[s][c], "sl-chosen", s == self->chosen);
    }
}

/* A string whose gaps rest on what was assumed has a mark beside its name, which the title explains. */
static void
show_names (SlGapsSheet *self)
{
  const SlFit *fit = &sl_bench_get_analysis (self->bench)->fit;
  const SlProfile *profile = sl_bench_get_profile (self->bench);
  gboolean any = FALSE;

  for (int s = 1; s <= self->n_strings; s++)
    {
      g_autofree char *name = sl_text_string (profile, s);
      gboolean assumed = fit->action_assumed[s - 1] || fit->first_gap_assumed[s - 1];

      sl_cell_set (self->name[s], name);
      sl_cell_set (self->assumed[s], assumed ? "≈" : "");
      sl_set_accessible_label (self->assumed[s], assumed ? _ ("assumed") : _ ("read"));
      if (assumed != (gtk_widget_get_tooltip_text (self->assumed[s]) != NULL))
        gtk_widget_set_tooltip_text (
            self->assumed[s],
            assumed ? _ ("Not read: its height at fret 1 or its action is assumed from the other strings or the target")
                    : NULL);
      sl_set_class (self->name[s], "sl-dim", assumed);
      any = any || assumed;
    }
  self->any_assumed = any;
  for (int s = 0; s <= self->n_strings; s++)
    gtk_widget_set_visible (self->assumed[s], any);
}

static gboolean
fret_is_shown (SlGapsSheet *self, int fret)
{
  if (gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (self->all_frets)) || fret == self->n_frets ||
      fret == self->held + 1 || (shows_margins (self) && fret == self->least_fret))
    return TRUE;
  for (guint i = 0; i < G_N_ELEMENTS (key_frets); i++)
    if (fret == key_frets[i])
      return TRUE;
  return FALSE;
}

static void move_cursor (SlGapsSheet *self, int string, int fret, gboolean focus);

static int
row_of (SlGapsSheet *self, int string)
{
  return self->n_strings - string + 1; /* the bass on top */
}

/* The cell, or for a string beyond the last the head, that comes before in the order of reading; NULL for the first. */
static GtkWidget *
cell_before (SlGapsSheet *self, int string, int fret)
{
  for (; string <= self->n_strings + 1; string++, fret = self->n_frets + 1)
    for (int n = fret - 1; n >= 1; n--)
      {
        GtkWidget *before = string > self->n_strings ? self->head[n] : self->cell[string][n];

        if (before != NULL)
          return before;
      }
  return NULL;
}

/* Head and cells of a fret, made when it is first shown: most are looked at by their key frets only. */
static void
build_column (SlGapsSheet *self, int fret)
{
  g_autofree char *text = g_strdup_printf ("%d", fret);
  g_autofree char *name = g_strdup_printf (_ ("fret %d"), fret);

  self->head[fret] = sl_cell_new (self->frets, fret, 0, CELL_CHARS, 1, "sl-dim");
  sl_cell_set (self->head[fret], fret == 1 ? name : text);
  sl_set_accessible_label (self->head[fret], name);
  sl_set_class (self->head[fret], "sl-figure", fret == SL_OCTAVE_FRET);
  gtk_widget_set_hexpand (self->head[fret], TRUE); /* the frets share what room there is */
  gtk_widget_insert_after (self->head[fret], self->frets, cell_before (self, self->n_strings + 1, fret));
  for (int s = self->n_strings; s >= 1; s--)
    {
      GtkWidget *cell = self->cell[s][fret] = sl_cell_new (self->frets, fret, row_of (self, s), CELL_CHARS, 1,
                                                           fret == SL_OCTAVE_FRET ? "sl-key-fret" : NULL);

      g_object_set_data (G_OBJECT (cell), "place", GINT_TO_POINTER (s * (SL_MAX_FRETS + 1) + fret));
      gtk_widget_insert_after (cell, self->frets, cell_before (self, s, fret));
      sl_set_class (cell, "sl-chosen", s == self->chosen);
    }
}

static void
show_columns (SlGapsSheet *self)
{
  for (int n = 1; n <= self->n_frets; n++)
    {
      gboolean shown = fret_is_shown (self, n);

      if (shown && self->head[n] == NULL)
        build_column (self, n);
      if (self->head[n] == NULL || gtk_widget_get_visible (self->head[n]) == shown)
        continue;
      gtk_widget_set_visible (self->head[n], shown);
      for (int s = 1; s <= self->n_strings; s++)
        gtk_widget_set_visible (self->cell[s][n], shown);
    }
  if (self->cursor_string > 0 && !fret_is_shown (self, self->cursor_fret))
    move_cursor (self, self->cursor_string, MIN (SL_OCTAVE_FRET, self->n_frets), FALSE);
}

static void build_cells (SlGapsSheet *self);

static void
update (SlGapsSheet *self)
{
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  const SlFigures *figures = shows_planned (self) ? &analysis->planned_figures : &analysis->measured_figures;
  const SlTextStyle style = sl_bench_text_style (self->bench);

  self->stale = !gtk_widget_get_mapped (GTK_WIDGET (self));
  if (self->stale)
    return;
  if (self->n_strings != analysis->instrument.n_strings || self->n_frets != analysis->instrument.frets)
    build_cells (self);
  if (self->n_strings < 1)
    return;
  compute (self);
  show_columns (self);
  show_names (self);
  show_title (self);
  for (int s = 1; s <= self->n_strings; s++)
    {
      for (int n = 1; n <= self->n_frets; n++)
        if (self->cell[s][n] != NULL)
          show_cell (self, &style, s, n);
      sl_gaps_summary_show (&self->summary, figures, &style, s);
    }
  if (self->chosen != sl_bench_get_string (self->bench))
    show_chosen (self);
  show_status (self);
  describe_soon (self);
}

static void
on_map (SlGapsSheet *self)
{
  if (self->stale)
    update (self);
}

/* ---- the cell cursor ---- */

/* One cell at a time takes the focus, so that Tab passes the sheet in one step and the arrow keys walk in it. */
static void
move_cursor (SlGapsSheet *self, int string, int fret, gboolean focus)
{
  GtkWidget *old = self->cursor_string > 0 ? self->cell[self->cursor_string][self->cursor_fret] : NULL;
  GtkWidget *cell;

  self->cursor_string = CLAMP (string, 1, self->n_strings);
  self->cursor_fret = CLAMP (fret, 1, self->n_frets);
  cell = self->cell[self->cursor_string][self->cursor_fret];
  gtk_widget_set_focusable (cell, TRUE);
  if (focus)
    gtk_widget_grab_focus (cell);
  if (old != NULL && old != cell)
    {
      gtk_widget_set_focusable (old, FALSE);
      gtk_widget_remove_css_class (old, "sl-cursor");
    }
  gtk_widget_add_css_class (cell, "sl-cursor");
  show_status (self);
}

/* The next shown fret in the direction of @step, or the one it is at. */
static int
step_fret (SlGapsSheet *self, int fret, int step)
{
  for (int n = fret + step; n >= 1 && n <= self->n_frets; n += step)
    if (fret_is_shown (self, n))
      return n;
  return fret;
}

static gboolean
on_key (GtkEventControllerKey *controller, guint key, guint code, GdkModifierType state, SlGapsSheet *self)
{
  int string = self->cursor_string, fret = self->cursor_fret;

  if ((state & (GDK_CONTROL_MASK | GDK_ALT_MASK | GDK_SHIFT_MASK)) != 0 || string < 1)
    return GDK_EVENT_PROPAGATE;
  switch (key)
    {
    case GDK_KEY_Left:
    case GDK_KEY_KP_Left: fret = step_fret (self, fret, -1); break;
    case GDK_KEY_Right:
    case GDK_KEY_KP_Right: fret = step_fret (self, fret, 1); break;
    case GDK_KEY_Up: /* the bass is on top */
    case GDK_KEY_KP_Up: string++; break;
    case GDK_KEY_Down:
    case GDK_KEY_KP_Down: string--; break;
    case GDK_KEY_Home: fret = 1; break;
    case GDK_KEY_End: fret = self->n_frets; break;
    case GDK_KEY_Return:
    case GDK_KEY_KP_Enter:
    case GDK_KEY_space: sl_bench_set_string (self->bench, string); return GDK_EVENT_STOP;
    default: return GDK_EVENT_PROPAGATE;
    }
  move_cursor (self, string, fret, TRUE);
  return GDK_EVENT_STOP;
}

static gboolean
find_cell (SlGapsSheet *self, double x, double y, int *string, int *fret)
{
  GtkWidget *picked = gtk_widget_pick (self->frets, x, y, GTK_PICK_DEFAULT);
  int place = picked == NULL ? 0 : GPOINTER_TO_INT (g_object_get_data (G_OBJECT (picked), "place"));

  *string = place / (SL_MAX_FRETS + 1);
  *fret = place % (SL_MAX_FRETS + 1);
  return place > 0;
}

static void
on_click (GtkGestureClick *gesture, int presses, double x, double y, SlGapsSheet *self)
{
  int string, fret;

  if (!find_cell (self, x, y, &string, &fret))
    return;
  move_cursor (self, string, fret, TRUE);
  sl_bench_set_string (self->bench, string);
}

static gboolean
on_tooltip (GtkWidget *widget, int x, int y, gboolean keyboard, GtkTooltip *tooltip, SlGapsSheet *self)
{
  int string = self->cursor_string, fret = self->cursor_fret;
  g_autofree char *text = NULL;

  if (!keyboard && !find_cell (self, x, y, &string, &fret))
    return FALSE;
  if (string < 1)
    return FALSE;
  text = cell_sentence (self, string, fret);
  gtk_tooltip_set_text (tooltip, text);
  return TRUE;
}

/* ---- building ---- */

static void
build_heads (SlGapsSheet *self)
{
  GtkWidget *head = sl_cell_new (self->names, 0, 0, NAME_CHARS, 0, "sl-dim");

  sl_cell_set (head, C_ ("column", "string"));
  self->assumed[0] = sl_cell_new (self->names, 1, 0, ASSUMED_CHARS, 0, "sl-dim");
  sl_set_accessible_label (self->assumed[0], _ ("what is assumed"));
}

/* Built once for each number of strings and frets; from then on only texts change. */
static void
build_cells (SlGapsSheet *self)
{
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);

  self->cursor_string = self->cursor_fret = 0;
  self->chosen = -1;
  sl_grid_empty (self->names);
  sl_grid_empty (self->frets);
  memset (self->head, 0, sizeof self->head);
  memset (self->cell, 0, sizeof self->cell);
  self->n_strings = analysis->instrument.n_strings;
  self->n_frets = analysis->instrument.frets;
  build_heads (self);
  sl_gaps_summary_build (&self->summary, self->n_strings);
  for (int s = 1; s <= self->n_strings; s++)
    {
      self->name[s] = sl_cell_new (self->names, 0, row_of (self, s), NAME_CHARS, 0, "sl-string-name");
      self->assumed[s] = sl_cell_new (self->names, 1, row_of (self, s), ASSUMED_CHARS, 0, "sl-dim");
    }
  if (self->n_strings < 1)
    return;
  show_columns (self);
  move_cursor (self, self->n_strings, MIN (SL_OCTAVE_FRET, self->n_frets), FALSE);
}

static void
build_head_line (SlGapsSheet *self)
{
  GtkWidget *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *choices = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  self->title = gtk_label_new (NULL);
  gtk_label_set_xalign (GTK_LABEL (self->title), 0);
  gtk_label_set_ellipsize (GTK_LABEL (self->title), PANGO_ELLIPSIZE_END);
  gtk_widget_add_css_class (self->title, "sl-section");
  self->status = gtk_label_new (NULL);
  gtk_label_set_xalign (GTK_LABEL (self->status), 0);
  gtk_label_set_ellipsize (GTK_LABEL (self->status), PANGO_ELLIPSIZE_END);
  gtk_widget_add_css_class (self->status, "sl-numbers");
  self->all_frets = gtk_toggle_button_new_with_label (_ ("All frets"));
  gtk_widget_add_css_class (self->all_frets, "flat");
  gtk_widget_set_hexpand (self->title, TRUE);
  self->line = line;
  gtk_box_append (GTK_BOX (line), self->title);
  gtk_box_append (GTK_BOX (line), self->all_frets);
  gtk_widget_set_halign (choices, GTK_ALIGN_END);
  gtk_box_append (GTK_BOX (choices), sl_segments_new (_ ("Gaps or margins"), &self->gaps, C_ ("figure", "Gap"),
                                                      &self->margins, C_ ("figure", "Margin")));
  gtk_box_append (GTK_BOX (choices),
                  sl_segments_new (_ ("Gaps as measured or as planned"), &self->measured, C_ ("state", "Measured"),
                                   &self->planned, C_ ("state", "Planned")));
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->planned), TRUE);
  sl_set_accessible_label (self->gaps, _ ("Show gaps"));
  sl_set_accessible_label (self->margins, _ ("Show margins: gap less swing"));
  sl_set_accessible_label (self->measured, _ ("Gaps as measured"));
  sl_set_accessible_label (self->planned, _ ("Gaps as planned"));
  gtk_box_append (GTK_BOX (self), sl_sheet_head_new (line, choices, _ ("Which gaps are shown")));
}

static void
show_bar (GtkAdjustment *frets, GtkWidget *bar)
{
  gtk_widget_set_visible (bar, gtk_adjustment_get_upper (frets) > gtk_adjustment_get_page_size (frets));
}

/* Where there are more frets than room a bar says so, below the rows rather than over them. */
static GtkWidget *
bar_new (GtkAdjustment *frets)
{
  GtkWidget *bar = gtk_scrollbar_new (GTK_ORIENTATION_HORIZONTAL, frets);

  sl_name_scroll_bar (bar, _ ("More frets"));
  g_signal_connect_object (frets, "changed", G_CALLBACK (show_bar), bar, 0);
  show_bar (frets, bar);
  return bar;
}

static void
build_grids (SlGapsSheet *self)
{
  GtkWidget *body = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);
  GtkWidget *scroller = gtk_scrolled_window_new ();
  GtkGesture *click = gtk_gesture_click_new ();
  GtkEventController *keys = gtk_event_controller_key_new ();
  GtkWidget **grids[] = { &self->names, &self->frets, &self->summary.grid };

  for (guint i = 0; i < G_N_ELEMENTS (grids); i++)
    {
      *grids[i] = gtk_grid_new ();
      gtk_grid_set_row_homogeneous (GTK_GRID (*grids[i]), TRUE);
      gtk_widget_set_valign (*grids[i], GTK_ALIGN_START);
    }
  sl_set_accessible_label (self->frets, _ ("Gaps by string and fret"));
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (scroller), GTK_POLICY_EXTERNAL, GTK_POLICY_NEVER);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scroller), self->frets);
  sl_name_scrolled (scroller, _ ("Gaps by string and fret"));
  gtk_widget_set_hexpand (scroller, TRUE);
  gtk_widget_set_has_tooltip (self->frets, TRUE);
  g_signal_connect (self->frets, "query-tooltip", G_CALLBACK (on_tooltip), self);
  g_signal_connect (click, "pressed", G_CALLBACK (on_click), self);
  gtk_widget_add_controller (self->frets, GTK_EVENT_CONTROLLER (click));
  g_signal_connect (keys, "key-pressed", G_CALLBACK (on_key), self);
  gtk_widget_add_controller (self->frets, keys);
  gtk_box_append (GTK_BOX (body), self->names);
  gtk_box_append (GTK_BOX (body), scroller);
  gtk_box_append (GTK_BOX (body), self->summary.grid);
  gtk_box_append (GTK_BOX (self), body);
  gtk_box_append (GTK_BOX (self), bar_new (gtk_scrolled_window_get_hadjustment (GTK_SCROLLED_WINDOW (scroller))));
}

static void
sl_gaps_sheet_dispose (GObject *object)
{
  SlGapsSheet *self = SL_GAPS_SHEET (object);

  g_clear_handle_id (&self->describe_id, g_source_remove);
  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_clear_object (&self->bench);
  G_OBJECT_CLASS (sl_gaps_sheet_parent_class)->dispose (object);
}

static void
sl_gaps_sheet_class_init (SlGapsSheetClass *class)
{
  G_OBJECT_CLASS (class)->dispose = sl_gaps_sheet_dispose;
  gtk_widget_class_set_accessible_role (GTK_WIDGET_CLASS (class), GTK_ACCESSIBLE_ROLE_GROUP);
}

static void
sl_gaps_sheet_init (SlGapsSheet *self)
{
  self->stale = TRUE;
  gtk_orientable_set_orientation (GTK_ORIENTABLE (self), GTK_ORIENTATION_VERTICAL);
  gtk_box_set_spacing (GTK_BOX (self), 4);
  gtk_widget_add_css_class (GTK_WIDGET (self), "sl-gaps");
  sl_set_accessible_label (GTK_WIDGET (self), _ ("Gaps"));
  build_head_line (self);
  build_grids (self);
  gtk_box_append (GTK_BOX (self), self->status);
}

GtkWidget *
sl_gaps_sheet_new (SlBench *bench)
{
  SlGapsSheet *self = g_object_new (SL_TYPE_GAPS_SHEET, NULL);

  self->bench = g_object_ref (bench);
  sl_bench_follow (bench, SL_CHANGED_FIGURES | SL_CHANGED_LENGTHS | SL_CHANGED_STRING | SL_CHANGED_HELD,
                   G_CALLBACK (update), self);
  g_signal_connect_swapped (self->planned, "toggled", G_CALLBACK (update), self);
  g_signal_connect_swapped (self->margins, "toggled", G_CALLBACK (update), self);
  gtk_box_insert_child_after (GTK_BOX (self->line), sl_hand_button_new (bench), self->title);
  g_signal_connect_swapped (self->all_frets, "toggled", G_CALLBACK (update), self);
  g_signal_connect (self, "map", G_CALLBACK (on_map), NULL);
  return GTK_WIDGET (self);
}
