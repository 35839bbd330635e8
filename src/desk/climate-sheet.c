/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/climate-sheet.h"

#include "desk/settings.h"
#include "desk/sheet-frame.h"
#include "desk/util.h"
#include "draw/history.h"
#include "setup/climate.h"

#include <glib/gi18n-lib.h>

#define PICTURE_HEIGHT 190
#define LEAST_C (-20.0) /* what can be typed; the wood's equation holds where people keep instruments */
#define MOST_C 50.0
#define SL_SETTING_HYGROMETER "hygrometer-checks"

#define SL_TYPE_CLIMATE_SHEET (sl_climate_sheet_get_type ())
G_DECLARE_FINAL_TYPE (SlClimateSheet, sl_climate_sheet, SL, CLIMATE_SHEET, GtkBox)

struct _SlClimateSheet
{
  GtkBox parent_instance;

  /* children, borrowed */
  GtkWidget *picture, *temperature, *humidity, *air, *advice, *foretold;
  GtkWidget *hygrometer, *salt, *salt_temperature, *shown, *keep, *check_result;

  SlBench *bench;  /* owned */
  GArray *history; /* owned */
};

G_DEFINE_FINAL_TYPE (SlClimateSheet, sl_climate_sheet, GTK_TYPE_BOX)

static void
draw (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  SlClimateSheet *self = data;
  const SlChartOptions options = { width, height, sl_bench_get_lengths (self->bench), sl_decimal_sign (), sl_is_dark (GTK_WIDGET (area)), 1 };

  if (self->history != NULL)
    sl_climate_draw (cr, self->history, &options);
}

/* ---- numbers typed ---- */

/* A number as people type it, with the locale's decimal sign or a point, within a range; the entry is marked where it is none. */
static gboolean
read_entry (GtkWidget *entry, double least, double most, double *value)
{
  g_autofree char *text = g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (entry))));
  SlNumber number;
  gboolean good;

  g_strdelimit (text, ",", '.');
  good = sl_number_parse (text, &number) && number.v >= least && number.v <= most;
  if (good || *text == '\0')
    gtk_widget_remove_css_class (entry, "error");
  else
    gtk_widget_add_css_class (entry, "error");
  if (good)
    *value = number.v;
  return good;
}

static char *
plain (double value, int places)
{
  return sl_plain_format (value, places, sl_decimal_sign ());
}

/* ---- the air ---- */

static void
foretell (SlClimateSheet *self, GString *out, SlHistoryKind kind, int string, const char *name, double moisture)
{
  SlTrend trend;
  double value, U;

  if (sl_history_trend (self->history, kind, string, &trend) != SL_TREND_FOUND)
    return;
  if (out->len > 0)
    g_string_append_c (out, '\n');
  if (!sl_trend_predict (&trend, moisture, &value, &U))
    {
      g_autofree char *least = plain (trend.least_x, 1), *most = plain (trend.most_x, 1);

      /* Translators: a figure's name, and two moisture contents */
      g_string_append_printf (out, _ ("%s: not foretold; it was read between %s and %s %% of moisture only"), name, least, most);
      return;
    }
  g_autofree char *length = sl_bench_length (self->bench, value, 2, FALSE), *uncertain = sl_bench_length (self->bench, U, 2, TRUE);
  g_string_append_printf (out, "%s: %s ± %s", name, length, uncertain);
}

static void
show_foretold (SlClimateSheet *self, double moisture)
{
  g_autoptr (GString) out = g_string_new (NULL);
  int n = sl_bench_get_profile (self->bench)->n_strings;

  foretell (self, out, SL_HISTORY_ACTION, 1, _ ("Action, treble"), moisture);
  foretell (self, out, SL_HISTORY_ACTION, n, _ ("Action, bass"), moisture);
  foretell (self, out, SL_HISTORY_RELIEF, 1, _ ("Relief, treble"), moisture);
  foretell (self, out, SL_HISTORY_RELIEF, n, _ ("Relief, bass"), moisture);
  if (out->len == 0)
    g_string_append_printf (out, _ ("What other air does to action and relief shows from %d sets of readings with temperature and humidity on, taken in different air."),
                            SL_TREND_LEAST_POINTS);
  gtk_label_set_label (GTK_LABEL (self->foretold), out->str);
}

static void
show_air (SlClimateSheet *self)
{
  const SlKeeping keeping = SL_KEEPING_DEFAULT;
  double temperature, humidity, moisture;
  gboolean warm = read_entry (self->temperature, LEAST_C, MOST_C, &temperature), damp = read_entry (self->humidity, 1, 100, &humidity);

  if (self->history == NULL)
    return;
  if (!warm || !damp)
    {
      gtk_label_set_label (GTK_LABEL (self->air), _ ("Give a temperature from −20 to 50 °C and a humidity from 1 to 100 %."));
      gtk_label_set_label (GTK_LABEL (self->advice), "");
      gtk_label_set_label (GTK_LABEL (self->foretold), "");
      return;
    }
  moisture = sl_moisture_content (temperature, humidity);
  g_autofree char *content = plain (moisture, 1), *dew = plain (sl_dew_point (temperature, humidity), 1);
  g_autofree char *text = g_strdup_printf (_ ("Wood comes to %s %% moisture content; dew point %s °C"), content, dew);
  gtk_label_set_label (GTK_LABEL (self->air), text);
  gtk_label_set_label (GTK_LABEL (self->advice), sl_air_advice (sl_air (&keeping, humidity)));
  show_foretold (self, moisture);
}

/* ---- the hygrometer ---- */

static GVariant *
kept_checks (void)
{
  GSettings *settings = sl_settings ();
  g_autoptr (GSettingsSchema) schema = NULL;

  if (settings == NULL)
    return NULL;
  g_object_get (settings, "settings-schema", &schema, NULL);
  return g_settings_schema_has_key (schema, SL_SETTING_HYGROMETER) ? g_settings_get_value (settings, SL_SETTING_HYGROMETER) : NULL;
}

/* What is kept for the hygrometer named: its corrections and their days, the latest first. */
static char *
describe_kept (const char *name)
{
  g_autoptr (GVariant) kept = kept_checks ();
  g_autoptr (GString) out = g_string_new (NULL);
  GVariantIter iter;
  const char *of, *salt, *day;
  double temperature, shown;

  if (kept == NULL || !g_variant_is_of_type (kept, G_VARIANT_TYPE ("a(sssdd)")))
    return g_strdup ("");
  g_variant_iter_init (&iter, kept);
  while (g_variant_iter_next (&iter, "(&s&s&sdd)", &of, &salt, &day, &temperature, &shown))
    for (int i = 0; i < SL_N_SALTS; i++)
      if (g_strcmp0 (of, name) == 0 && g_strcmp0 (salt, sl_salt_names[i]) == 0)
        {
          double correction = sl_salt_humidity ((SlSalt) i, temperature) - shown;
          g_autofree char *at = plain (shown, 1), *add = plain (correction, 1);

          /* Translators: a day, what the hygrometer showed, and its correction */
          g_string_append_printf (out, _ ("\n%s: at %s %% add %s%s %%"), day, at, correction > 0 ? "+" : "", add);
        }
  return g_string_free (g_steal_pointer (&out), FALSE);
}

static gboolean
read_check (SlClimateSheet *self, SlSaltCheck *check)
{
  gboolean warm = read_entry (self->salt_temperature, SL_SALT_LEAST_C, SL_SALT_MOST_C, &check->temperature_c);
  gboolean shown = read_entry (self->shown, 0, 100, &check->shown);

  check->salt = (SlSalt) gtk_drop_down_get_selected (GTK_DROP_DOWN (self->salt));
  return warm && shown;
}

static void
show_check (SlClimateSheet *self)
{
  const char *name = gtk_editable_get_text (GTK_EDITABLE (self->hygrometer));
  SlSaltCheck check;
  gboolean good = read_check (self, &check);
  g_autofree char *kept = describe_kept (name), *now = NULL, *text = NULL;

  gtk_widget_set_sensitive (self->keep, good && *name != '\0');
  if (good)
    {
      double correction = sl_hygrometer_correction (&check, 1, check.shown);
      g_autofree char *true_humidity = plain (sl_salt_humidity (check.salt, check.temperature_c), 1), *add = plain (correction, 1);

      now = g_strdup_printf (_ ("Over this salt the air has %s %%: add %s%s %% to what it shows."), true_humidity, correction > 0 ? "+" : "", add);
    }
  else
    now = g_strdup (_ ("Close the hygrometer up for some hours over a wet paste of the salt; give the temperature, 5 to 40 °C, and what it shows."));
  text = g_strconcat (now, kept, NULL);
  gtk_label_set_label (GTK_LABEL (self->check_result), text);
}

/* A check in place of an earlier one of the same hygrometer over the same salt. */
static void
keep_check (SlClimateSheet *self)
{
  g_autoptr (GVariant) kept = kept_checks ();
  g_autoptr (GDateTime) now = g_date_time_new_now_local ();
  g_autofree char *today = g_date_time_format (now, "%Y-%m-%d");
  const char *name = gtk_editable_get_text (GTK_EDITABLE (self->hygrometer)), *of, *salt, *day;
  double temperature, shown;
  SlSaltCheck check;
  GVariantBuilder list;
  GVariantIter iter;

  if (!read_check (self, &check) || kept == NULL)
    return;
  g_variant_builder_init (&list, G_VARIANT_TYPE ("a(sssdd)"));
  g_variant_builder_add (&list, "(sssdd)", name, sl_salt_names[check.salt], today, check.temperature_c, check.shown);
  g_variant_iter_init (&iter, kept);
  while (g_variant_iter_next (&iter, "(&s&s&sdd)", &of, &salt, &day, &temperature, &shown))
    if (g_strcmp0 (of, name) != 0 || g_strcmp0 (salt, sl_salt_names[check.salt]) != 0)
      g_variant_builder_add (&list, "(sssdd)", of, salt, day, temperature, shown);
  sl_settings_set (SL_SETTING_HYGROMETER, g_variant_builder_end (&list));
  show_check (self);
}

/* ---- the sheet ---- */

static void
update (GtkWidget *widget)
{
  SlClimateSheet *self = SL_CLIMATE_SHEET (widget);
  const SlReadingSet *set = sl_bench_get_set (self->bench);

  g_clear_pointer (&self->history, g_array_unref);
  self->history = sl_history_new (sl_bench_get_profile (self->bench));
  /* until something else is typed, the air of the last readings */
  if (*gtk_editable_get_text (GTK_EDITABLE (self->temperature)) == '\0' && *gtk_editable_get_text (GTK_EDITABLE (self->humidity)) == '\0' && set != NULL
      && sl_number_is_set (set->temperature) && sl_number_is_set (set->humidity))
    {
      g_autofree char *temperature = plain (set->temperature.v, 1), *humidity = plain (set->humidity.v, 0);

      gtk_editable_set_text (GTK_EDITABLE (self->temperature), temperature);
      gtk_editable_set_text (GTK_EDITABLE (self->humidity), humidity);
    }
  show_air (self);
  show_check (self);
  gtk_widget_queue_draw (self->picture);
}

static GtkWidget *
make_entry (SlClimateSheet *self, GtkWidget *line, const char *name, const char *unit, GCallback changed)
{
  GtkWidget *entry = gtk_entry_new (), *label = gtk_label_new (unit);

  gtk_editable_set_width_chars (GTK_EDITABLE (entry), 4);
  gtk_editable_set_max_width_chars (GTK_EDITABLE (entry), 5);
  sl_set_accessible_label (entry, name);
  gtk_widget_set_tooltip_text (entry, name);
  gtk_widget_add_css_class (label, "sl-dim");
  g_signal_connect_object (entry, "changed", changed, self, G_CONNECT_SWAPPED);
  gtk_box_append (GTK_BOX (line), entry);
  gtk_box_append (GTK_BOX (line), label);
  return entry;
}

static GtkWidget *
make_words (GtkWidget *box)
{
  GtkWidget *label = gtk_label_new (NULL);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_width_chars (GTK_LABEL (label), 24);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 30);
  gtk_box_append (GTK_BOX (box), label);
  return label;
}

static void
add_section (GtkWidget *box, const char *title)
{
  GtkWidget *label = gtk_label_new (title);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_widget_add_css_class (label, "sl-section");
  gtk_box_append (GTK_BOX (box), label);
}

static GtkWidget *
build_air (SlClimateSheet *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4), *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);

  add_section (box, _ ("Air"));
  gtk_box_append (GTK_BOX (box), line);
  self->temperature = make_entry (self, line, _ ("Temperature"), _ ("°C"), G_CALLBACK (show_air));
  self->humidity = make_entry (self, line, _ ("Humidity"), _ ("% RH"), G_CALLBACK (show_air));
  self->air = make_words (box);
  self->advice = make_words (box);
  self->foretold = make_words (box);
  gtk_widget_add_css_class (self->advice, "sl-dim");
  return box;
}

static GtkWidget *
build_check (SlClimateSheet *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4), *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  g_autoptr (GtkStringList) salts = gtk_string_list_new (NULL);

  for (int salt = 0; salt < SL_N_SALTS; salt++)
    gtk_string_list_append (salts, sl_salt_title ((SlSalt) salt));
  add_section (box, _ ("Hygrometer check"));
  self->hygrometer = gtk_entry_new ();
  gtk_entry_set_placeholder_text (GTK_ENTRY (self->hygrometer), _ ("Which hygrometer"));
  sl_set_accessible_label (self->hygrometer, _ ("Which hygrometer"));
  g_signal_connect_object (self->hygrometer, "changed", G_CALLBACK (show_check), self, G_CONNECT_SWAPPED);
  self->salt = gtk_drop_down_new (G_LIST_MODEL (g_object_ref (salts)), NULL);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->salt), SL_SALT_SODIUM_CHLORIDE);
  sl_set_accessible_label (self->salt, _ ("Salt"));
  sl_guard_wheel (self->salt);
  g_signal_connect_object (self->salt, "notify::selected", G_CALLBACK (show_check), self, G_CONNECT_SWAPPED);
  gtk_box_append (GTK_BOX (box), self->hygrometer);
  gtk_box_append (GTK_BOX (box), self->salt);
  gtk_box_append (GTK_BOX (box), line);
  self->salt_temperature = make_entry (self, line, _ ("Temperature at the check"), _ ("°C"), G_CALLBACK (show_check));
  self->shown = make_entry (self, line, _ ("Shown by the hygrometer"), _ (/* xgettext:no-c-format */ "% shown"), G_CALLBACK (show_check));
  self->keep = gtk_button_new_with_label (_ ("Keep"));
  gtk_widget_set_tooltip_text (self->keep, _ ("Keep this correction, with today's date"));
  g_signal_connect_object (self->keep, "clicked", G_CALLBACK (keep_check), self, G_CONNECT_SWAPPED);
  gtk_box_append (GTK_BOX (line), self->keep);
  self->check_result = make_words (box);
  return box;
}

static void
sl_climate_sheet_dispose (GObject *object)
{
  SlClimateSheet *self = SL_CLIMATE_SHEET (object);

  g_clear_pointer (&self->history, g_array_unref);
  g_clear_object (&self->bench);
  G_OBJECT_CLASS (sl_climate_sheet_parent_class)->dispose (object);
}

static void
sl_climate_sheet_class_init (SlClimateSheetClass *class)
{
  G_OBJECT_CLASS (class)->dispose = sl_climate_sheet_dispose;
  gtk_widget_class_set_accessible_role (GTK_WIDGET_CLASS (class), GTK_ACCESSIBLE_ROLE_GROUP);
}

static void
sl_climate_sheet_init (SlClimateSheet *self)
{
  GtkWidget *scroller = gtk_scrolled_window_new (), *inner = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 14);

  sl_set_accessible_label (GTK_WIDGET (self), _ ("Climate"));
  self->picture = g_object_new (GTK_TYPE_DRAWING_AREA, "accessible-role", GTK_ACCESSIBLE_ROLE_IMG, "content-height", PICTURE_HEIGHT, "hexpand", TRUE, NULL);
  gtk_widget_set_size_request (self->picture, 240, -1);
  gtk_drawing_area_set_draw_func (GTK_DRAWING_AREA (self->picture), draw, self, NULL);
  sl_set_accessible_label (self->picture, _ ("Action and relief against moisture content"));
  gtk_box_append (GTK_BOX (inner), build_air (self));
  gtk_box_append (GTK_BOX (inner), build_check (self));
  gtk_box_append (GTK_BOX (inner), self->picture);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scroller), inner);
  gtk_widget_set_hexpand (scroller, TRUE);
  gtk_widget_set_vexpand (scroller, TRUE);
  gtk_box_append (GTK_BOX (self), scroller);
}

GtkWidget *
sl_climate_sheet_new (SlBench *bench)
{
  SlClimateSheet *self = g_object_new (SL_TYPE_CLIMATE_SHEET, NULL);

  self->bench = g_object_ref (bench);
  sl_follow_while_seen (GTK_WIDGET (self), bench, update);
  return GTK_WIDGET (self);
}
