/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/photos/parts.h"

#include "bench/visit-edit.h"
#include "bench/readings-question.h"
#include "words/dates.h"
#include "words/photos.h"

#define RULE_MM 10.0 /* what is drawn on a rule unless another length is typed, */
#define RULE_U 0.05  /* and U of it, of strings and of fretwire, mm: our own choice */
#define STRING_U 0.01
#define WIRE_U 0.03
#define SCALE_PLACES 1
#define PART_PLACES 3 /* of what U is made of */
#define PERCENT 100.0

/* The controls of a row of the list, in the order they are bound in. */
typedef struct
{
  GtkWidget *line, *title, *value, *removing;
} MarkRow;

/* ---- numbers ---- */

/* The entries, in the window's order. */
enum
{
  LENGTH,
  LENGTH_U,
  WIDTH,
  HEIGHT,
  PLANE,
  N_ENTRIES
};

/* What an entry is for: of what is chosen, or else of the next one (@next: of that). */
static SlNumber *
number_of (SlPhotoWindow *self, int nth, gboolean next)
{
  SlShape s;
  SlKnownLength *known = !next && sl_photo_shape (&self->photo, self->chosen, &s) && s.kind == SL_SHAPE_KNOWN
                             ? &g_array_index (self->photo.known, SlKnownLength, s.nth)
                             : &self->known;
  SlFlat *flat = !next && self->photo.flat.given ? &self->photo.flat : &self->flat;
  SlNumber *const numbers[N_ENTRIES] = { &known->length, &known->uncertainty, &flat->width, &flat->height,
                                         &self->photo.out_of_plane };

  return numbers[nth];
}

static void
set_number (SlPhotoWindow *self, int nth, double value)
{
  SlNumber *now = number_of (self, nth, FALSE), *next = number_of (self, nth, TRUE);

  *now = *next = isnan (value) ? SL_NUMBER_ABSENT : sl_number (value);
  if (now != next || nth == PLANE)
    sl_photo_window_keep (self, C_ ("undo step", "known length"));
  else
    sl_photo_window_moved (self);
}

static void
on_number (GtkWidget *entry, double value, SlPhotoWindow *self)
{
  int nth = 0;

  while (self->entries[nth] != entry)
    nth++;
  set_number (self, nth, nth == PLANE ? value / PERCENT : value);
}

/* ---- lengths that are known ---- */

typedef struct
{
  double mm, U;
} Known;

static void
add_known (SlPhotoWindow *self, GtkStringList *titles, char *title, double mm, double U)
{
  const Known one = { mm, U };

  if (!isnan (mm))
    {
      g_array_append_val (self->presets, one);
      gtk_string_list_append (titles, title);
    }
  g_free (title);
}

static void
fill_known (SlPhotoWindow *self)
{
  const SlProfile *profile = sl_bench_get_profile (self->bench);
  const SlInstrument *in = &sl_bench_get_analysis (self->bench)->instrument;
  g_autoptr (GtkStringList) titles = gtk_string_list_new (NULL);

  add_known (self, titles, g_strdup (C_ ("known length", "Length marked on the rule")), RULE_MM, RULE_U);
  for (int s = 1; s <= profile->n_strings; s++)
    {
      add_known (self, titles, g_strdup_printf (_ ("String %d, across"), s), in->strings[s - 1].outside_mm, STRING_U);
      if (profile->strings[s - 1].build == SL_BUILD_WOUND)
        add_known (self, titles, g_strdup_printf (_ ("String %d, its core"), s),
                   profile->strings[s - 1].core_diameter.v, STRING_U);
    }
  add_known (self, titles, g_strdup (C_ ("known length", "Fretwire, width")), profile->fretwire.width.v, WIRE_U);
  add_known (self, titles, g_strdup (C_ ("known length", "Fretwire, height")), profile->fretwire.height.v, WIRE_U);
  sl_chooser_fill (self->known_as, titles, 0);
}

static void
on_known_as (SlPhotoWindow *self)
{
  const Known *one = &g_array_index (self->presets, Known, MIN (sl_chosen (self->known_as), self->presets->len - 1));

  *number_of (self, LENGTH_U, FALSE) = *number_of (self, LENGTH_U, TRUE) = sl_number (one->U);
  set_number (self, LENGTH, sl_length_kept (one->mm));
}

/* ---- what is measured ---- */

/* The chosen mark, or what the next one is like. */
static SlMark *
mark_shown (SlPhotoWindow *self, gboolean *kept)
{
  SlShape s;

  *kept = sl_photo_shape (&self->photo, self->chosen, &s) && s.kind == SL_SHAPE_MARK;
  return *kept ? &g_array_index (self->photo.marks, SlMark, s.nth) : &self->mark;
}

/* What is chosen; a string or fret that the instrument has no longer stays as it is. */
static int
number_in (GtkWidget *chooser, int was)
{
  return sl_chosen (chooser) != GTK_INVALID_LIST_POSITION ? (int) sl_chosen (chooser) : was;
}

static void
on_mark (SlPhotoWindow *self)
{
  gboolean kept;
  SlMark *mark = mark_shown (self, &kept);

  mark->of = sl_chosen (self->of);
  mark->string = number_in (self->string, mark->string);
  mark->fret = number_in (self->fret, mark->fret);
  mark->held = sl_chosen (self->held) == 0 ? SL_HELD_DEFAULT : mark->of == SL_MEASURE_FIRST_GAP ? SL_HELD_3 : SL_HELD_1;
  if (kept)
    sl_photo_window_keep (self, C_ ("undo step", "what is measured in a photograph"));
  else
    sl_photo_window_moved (self);
}

static void
fill_numbered (GtkWidget *chooser, int most)
{
  g_autoptr (GtkStringList) titles = gtk_string_list_new (NULL);

  for (int n = 0; n <= most; n++)
    gtk_string_list_take (titles, n == 0 ? g_strdup ("–") : g_strdup_printf ("%d", n));
  sl_chooser_fill (chooser, titles, 0);
}

/* What has to be said of a measure, by the names of the choosers. */
static const char *const asks[SL_N_MEASURES] = { "string fret held", "string held", "string", "fret", "fret",
                                                 "string",           "string" };

void
sl_photo_fit_mark (SlMark *mark)
{
  if (strstr (asks[mark->of], "string") == NULL)
    mark->string = 0;
  if (strstr (asks[mark->of], "fret") == NULL)
    mark->fret = 0;
}

/* What the model has of the same now; NAN where it has nothing. */
static double
modelled (SlPhotoWindow *self, const SlMark *mark)
{
  const SlAnalysis *a = sl_bench_get_analysis (self->bench);
  const int i = mark->string - 1;
  SlQuestion question;

  if (i < 0 || i >= a->instrument.n_strings || mark->fret > a->instrument.frets)
    return NAN;
  if (mark->of == SL_MEASURE_BREAK_ANGLE)
    return (self->photo.about == SL_ABOUT_NUT ? a->measured_figures.nut_break : a->measured_figures.saddle_break)[i]
        .value;
  if (mark->of == SL_MEASURE_EXPOSURE)
    return a->measured_figures.exposure[i].value;
  if (mark->of > SL_MEASURE_FIRST_GAP || !sl_mark_question (mark, &question) || question.fret == 0)
    return NAN;
  const SlReading asked = sl_question_reading (&question);

  return sl_predict_reading (&a->instrument, &a->measured, &asked, NULL);
}

/* "taken into Received, 2 March", and whether what stands there is another figure now. */
static char *
taken_text (SlPhotoWindow *self, const SlMark *mark)
{
  const SlVisit *visit = NULL;
  const SlPhoto *photo = sl_photo_find (sl_bench_get_profile (self->bench), self->id, &visit);
  const SlReadingSet *set = NULL;
  double value = NAN, U = NAN;

  if (photo == NULL || mark->readings == NULL)
    return NULL;
  const SlReading *reading = sl_mark_reading (visit, photo, mark, &set);
  g_autofree char *when = set == NULL ? NULL : sl_date_text (set->taken),
                  *complaint = sl_mark_figures (&self->photo, mark, &value, &U);

  if (set == NULL)
    return g_strdup (_ ("The readings it was taken into are gone."));
  if (reading == NULL)
    return g_strdup_printf (_ ("Taken into %s, %s; typed over or removed since."), sl_stage_title (set->stage), when);
  if (complaint == NULL && reading->value.v == value)
    return g_strdup_printf (_ ("Taken into %s, %s."), sl_stage_title (set->stage), when);
  g_autofree char *now = sl_measured_text (self->bench, mark->of, reading->value.v, reading->uncertainty.v);

  return g_strdup_printf (_ ("Taken into %s, %s: the reading has %s."), sl_stage_title (set->stage), when, now);
}

/* How U is made. */
static char *
parts_text (SlPhotoWindow *self, const SlMark *mark, const SlMeasured *m)
{
  const double u[] = { m->u_scale, m->u_edges, m->u_blur, m->u_plane };
  const SlTextStyle style = sl_bench_text_style (self->bench);
  char *part[G_N_ELEMENTS (u)], *text;

  for (guint i = 0; i < G_N_ELEMENTS (u); i++)
    part[i] = mark->of == SL_MEASURE_BREAK_ANGLE ? sl_text_plain (&style, SL_COVERAGE * u[i], PART_PLACES, FALSE)
                                                 : sl_text_measure (&style, SL_COVERAGE * u[i], PART_PLACES, FALSE);
  /* Translators: what an uncertainty is made up of, figures of the same unit */
  text = g_strdup_printf (_ ("± by scale %s, edges %s, blur %s, out of plane %s"), part[0], part[1], part[2], part[3]);
  for (guint i = 0; i < G_N_ELEMENTS (u); i++)
    g_free (part[i]);
  return text;
}

static void
show_mark (SlPhotoWindow *self)
{
  gboolean kept;
  const SlMark *mark = mark_shown (self, &kept);
  const double figure = modelled (self, mark);
  SlMeasured m;
  SlQuestion question;
  g_autofree char *complaint = kept ? sl_photo_measure (&self->photo, mark, &m) : NULL,
                  *result = kept && complaint == NULL ? sl_measured_text (self->bench, mark->of, m.value, m.U) : NULL,
                  *parts = result != NULL ? parts_text (self, mark, &m) : NULL,
                  *now = isnan (figure) ? NULL : sl_measured_text (self->bench, mark->of, figure, NAN),
                  *model = now != NULL ? g_strdup_printf (_ ("The model has %s now."), now) : NULL,
                  *told = kept ? taken_text (self, mark) : NULL;
  const gboolean reading = sl_mark_question (mark, &question);

  sl_set_remark (self->result, result != NULL ? result : complaint);
  sl_set_class (self->result, "sl-figure", result != NULL);
  sl_set_remark (self->parts, parts);
  sl_set_remark (self->model, model);
  gtk_widget_set_visible (self->take, reading && kept);
  gtk_widget_set_sensitive (self->take, result != NULL);
  sl_set_remark (self->told, reading ? told : _ ("It stays with the picture: no reading is made of it."));
}

static void
show_scale (SlPhotoWindow *self)
{
  const SlTextStyle style = sl_bench_text_style (self->bench);
  SlPhotoScale scale;

  if (!sl_photo_scale (&self->photo, &scale))
    {
      sl_label_set (self->scale, _ ("No length is known yet: nothing can be measured."));
      return;
    }
  g_autofree char *px = sl_text_plain (&style, 1 / scale.mm_per_px, SCALE_PLACES, FALSE),
                  *off = sl_text_plain (&style, fabs (scale.direction), 0, FALSE),
                  *text = self->photo.flat.given ? g_strdup_printf (_ ("By the four corners, %s° off level"), off)
                                                 : g_strdup_printf (_ ("%s px per mm, %s° off level"), px, off),
                  *apart = isnan (scale.apart) ? NULL : sl_text_plain (&style, 100 * scale.apart, SCALE_PLACES, FALSE);

  if (apart == NULL)
    sl_label_set (self->scale, text);
  else
    sl_label_say (self->scale, _ ("%s; the two scales differ by %s %%"), text, apart);
}

/* ---- the list ---- */

static void
on_row (SlRow *row)
{
  SlPhotoWindow *self = row->owner;

  if (sl_row_listens (row))
    sl_photo_view_choose (self, (int) sl_row_get_place (row), 0);
}

static void
on_remove (SlRow *row)
{
  SlPhotoWindow *self = row->owner;
  const int place = (int) sl_row_get_place (row);

  sl_row_list_remove (row);
  sl_photo_view_remove (self, place);
}

static void
make_row (SlRow *row)
{
  sl_row_build (row, "mark-row", SL_MEMBERS (MarkRow, line, removing), "line title value removing", SL_CALL (on_row),
                SL_CALL (on_remove), NULL);
}

static void
fill_row (SlRow *row)
{
  SlPhotoWindow *self = row->owner;
  MarkRow *controls = row->controls;
  const int place = (int) sl_row_get_place (row);
  SlShape s;

  if (!sl_photo_shape (&self->photo, place, &s))
    return;
  g_autofree char *name = sl_photo_shape_name (&self->photo, &s), *value = sl_photo_shape_text (self, &s);

  sl_label_set (controls->title, name);
  sl_set_accessible_label (GTK_WIDGET (row), name);
  sl_label_set (controls->value, value != NULL ? value : "–");
  sl_name_with_tip (controls->removing, _ ("Remove: %s"), name);
  sl_set_class (GTK_WIDGET (row), "sl-chosen", place == self->chosen);
}

/* ---- all of it ---- */

void
sl_photo_panel_update (SlPhotoWindow *self)
{
  SlShape s;
  guint n = 0;

  for (int i = 0; i < N_ENTRIES; i++)
    {
      if (i != PLANE)
        sl_length_entry_set_lengths (SL_LENGTH_ENTRY (self->entries[i]), sl_bench_get_lengths (self->bench));
      sl_length_entry_set_value (SL_LENGTH_ENTRY (self->entries[i]),
                                 number_of (self, i, FALSE)->v * (i == PLANE ? PERCENT : 1));
    }
  GtkWidget *const choosers[] = { self->string, self->fret, self->held };
  gboolean kept;
  const SlMark *mark = mark_shown (self, &kept);
  const char *held[] = { C_ ("string held at no fret", "open"),
                         mark->of == SL_MEASURE_FIRST_GAP ? _ ("held at 3") : _ ("held at 1"), NULL };
  g_autoptr (GtkStringList) holds = gtk_string_list_new (held);

  sl_chooser_fill (self->of, NULL, mark->of);
  sl_chooser_fill (self->string, NULL, (guint) mark->string);
  sl_chooser_fill (self->fret, NULL, (guint) mark->fret);
  sl_chooser_fill (self->held, holds, mark->held > SL_HELD_OPEN);
  gtk_widget_set_sensitive (self->of, !kept); /* one that was drawn is what it is; Escape, and another is chosen */
  for (guint i = 0; i < G_N_ELEMENTS (choosers); i++)
    gtk_widget_set_visible (gtk_widget_get_parent (choosers[i]),
                            strstr (asks[mark->of], gtk_buildable_get_buildable_id (GTK_BUILDABLE (choosers[i]))) !=
                                NULL);
  show_scale (self);
  show_mark (self);
  while (sl_photo_shape (&self->photo, (int) n, &s))
    n++;
  sl_row_list_update (SL_ROW_LIST (self->rows), n);
  gtk_widget_set_visible (self->lists, n > 0);
}

static void
init_entries (SlPhotoWindow *self)
{
  static const struct
  {
    const char *element, *attribute;
    int places;
  } entries[N_ENTRIES] = { { "known", "length", 2 },
                           { "known", "uncertainty", 3 },
                           { "flat", "width", 1 },
                           { "flat", "height", 1 },
                           { "photo", "out-of-plane", 1 } };

  self->percent = *sl_bound_find ("photo", "out-of-plane");
  self->percent.most *= PERCENT;
  for (int i = 0; i < N_ENTRIES; i++)
    {
      GtkWidget *entry = self->entries[i], *box = gtk_widget_get_parent (entry);

      sl_set_accessible_label (entry, gtk_widget_get_tooltip_text (entry)); /* which then is the entry's own */
      sl_length_entry_set_up (
          entry, (SlLengthUse){ i == PLANE ? &self->percent : sl_bound_find (entries[i].element, entries[i].attribute),
                                i == PLANE ? "%" : NULL, entries[i].places, .required = i != PLANE,
                                .bench = self->bench, .step_name = C_ ("undo step", "known length") });
      gtk_widget_insert_after (sl_length_entry_new_message (SL_LENGTH_ENTRY (entry)), gtk_widget_get_parent (box), box);
    }
  sl_length_entry_set_assumed (SL_LENGTH_ENTRY (self->entries[PLANE]), SL_OUT_OF_PLANE_SHARE * PERCENT);
}

void
sl_photo_panel_init (SlPhotoWindow *self)
{
  const SlProfile *profile = sl_bench_get_profile (self->bench);
  const SlPhoto *photo = &self->photo;
  g_autoptr (GtkStringList) measures = gtk_string_list_new (NULL);

  self->known = sl_known_length_init ();
  self->known.length = sl_number (RULE_MM);
  self->known.uncertainty = sl_number (RULE_U);
  self->flat = (SlFlat){ .given = TRUE, .width = sl_number (2 * RULE_MM), .height = sl_number (RULE_MM) };
  self->mark = sl_mark_init (photo->about == SL_ABOUT_SADDLE ? SL_MEASURE_EXPOSURE
                             : photo->about == SL_ABOUT_NUT  ? SL_MEASURE_FIRST_GAP
                                                             : SL_MEASURE_ACTION);
  self->mark.string = photo->string;
  self->mark.fret = photo->fret;
  init_entries (self);
  sl_chooser_init (self->known_as, _ ("What is known"), G_CALLBACK (on_known_as), self);
  sl_chooser_init (self->of, _ ("What is measured"), G_CALLBACK (on_mark), self);
  sl_chooser_init (self->string, _ ("String"), G_CALLBACK (on_mark), self);
  sl_chooser_init (self->fret, _ ("Fret"), G_CALLBACK (on_mark), self);
  sl_chooser_init (self->held, _ ("Held"), G_CALLBACK (on_mark), self);
  for (int of = 0; of < SL_N_MEASURES; of++)
    gtk_string_list_append (measures, sl_measure_title (of));
  sl_chooser_fill (self->of, measures, 0);
  fill_numbered (self->string, profile->n_strings);
  fill_numbered (self->fret, profile->neck.frets);
  fill_known (self);
  self->rows = sl_row_list_new (_ ("What is marked"), SL_SPACE, sizeof (MarkRow), make_row, fill_row, self);
  gtk_box_append (GTK_BOX (self->lists), self->rows);
}

void
sl_photo_panel_bind (gpointer class)
{
  sl_template_bind (class, NULL, SL_MEMBERS (SlPhotoWindow, snaps, lists),
                    "snaps about known_as length length_u width height plane scale of string fret held result parts "
                    "model take told lists",
                    SL_CALL (on_number), NULL);
}
