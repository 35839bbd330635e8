/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/sheets/sheets.h"

#include "desk/sheets/parts.h"
#include "bench/settings.h"
#include "desk/readings/readings.h"
#include "draw/draw.h"

#define PICTURE_LEAST_WIDTH 240 /* two charts, one below the other where it is narrow */
#define LEAST_C (-20.0)         /* what can be typed; the wood's equation holds where people keep instruments */
#define MOST_C 50.0
#define LEAST_HUMIDITY 1.0
#define MOST_HUMIDITY 100.0
#define LEAST_BAND 1.0 /* % RH: narrower no room can be kept */

/* ---- numbers ---- */

gboolean
sl_climate_read (GtkWidget *entry, double least, double most, double *value)
{
  g_autofree char *text = g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (entry))));
  double number = NAN;
  gboolean good = sl_plain_parse (text, sl_decimal_sign (), &number, NULL) && number >= least && number <= most;

  sl_typed_judge (entry, !good && *text != '\0');
  if (good)
    *value = number;
  return good;
}

char *
sl_climate_number (double value, int places)
{
  return sl_plain_format (value, places, sl_decimal_sign ());
}

/* ---- the air ---- */

typedef struct
{
  /* bound in this order */
  GtkWidget *charts, *picture, *nothing, *page, *temperature, *humidity, *hygrometer, *air, *advice, *foretold;
  GtkWidget *dry, *least, *most, *wet; /* the band for keeping */

  SlBench *bench;    /* borrowed */
  GArray *history;   /* owned */
  SlKeeping keeping; /* as the entries have it, last in order */
  gboolean filling;
} Climate;

static void
draw (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  Climate *self = data;
  const SlPictureOptions options =
      sl_picture_options_for (self->bench, GTK_WIDGET (area), SL_PICTURE_SIDE, width, height);

  if (self->history != NULL)
    sl_history_draw (cr, self->history, &options, TRUE, sl_picture_area_map (GTK_WIDGET (area)));
}

static void
predict (Climate *self, GString *out, SlHistoryKind kind, int string, const char *name, double moisture)
{
  SlTrend trend;
  double value, U;

  if (sl_history_trend (self->history, kind, string, &trend) != SL_TREND_FOUND)
    return;
  if (out->len > 0)
    g_string_append_c (out, '\n');
  if (!sl_trend_predict (&trend, moisture, &value, &U))
    {
      g_autofree char *least = sl_climate_number (trend.least_x, 1), *most = sl_climate_number (trend.most_x, 1);

      /* Translators: a figure's name, and two moisture contents */
      g_string_append_printf (out, _ ("%s: no prediction; it was only read between %s and %s %% of moisture"), name,
                              least, most);
      return;
    }
  const SlTextStyle style = sl_bench_text_style (self->bench);
  g_autofree char *length = sl_text_fine (&style, value), *uncertain = sl_text_uncertainty (&style, U / 2);

  g_string_append_printf (out, "%s: %s %s %s", name, length, uncertain, sl_text_unit (&style));
}

static void
show_foretold (Climate *self, double moisture)
{
  g_autoptr (GString) out = g_string_new (NULL);
  int n = sl_bench_get_profile (self->bench)->n_strings;

  predict (self, out, SL_HISTORY_ACTION, 1, _ ("Action, treble"), moisture);
  predict (self, out, SL_HISTORY_ACTION, n, _ ("Action, bass"), moisture);
  predict (self, out, SL_HISTORY_RELIEF, 1, _ ("Relief, treble"), moisture);
  predict (self, out, SL_HISTORY_RELIEF, n, _ ("Relief, bass"), moisture);
  if (out->len == 0)
    g_string_append_printf (out,
                            _ ("What other air does to action and relief shows from %d sets of readings with "
                               "temperature and humidity on, taken in different air."),
                            SL_TREND_LEAST_POINTS);
  sl_label_set (self->foretold, out->str);
}

/* The humidity typed, with what the chosen hygrometer's checks add to it. */
static double
corrected (Climate *self, double shown)
{
  GtkStringObject *chosen = gtk_drop_down_get_selected_item (GTK_DROP_DOWN (self->hygrometer));

  if (chosen == NULL || sl_chosen (self->hygrometer) == 0)
    return shown;
  return CLAMP (shown + sl_hygrometer_kept_correction (gtk_string_object_get_string (chosen), shown), LEAST_HUMIDITY,
                MOST_HUMIDITY);
}

static void
show_air (Climate *self)
{
  double temperature, humidity, shown, moisture;
  gboolean warm = sl_climate_read (self->temperature, LEAST_C, MOST_C, &temperature),
           damp = sl_climate_read (self->humidity, LEAST_HUMIDITY, MOST_HUMIDITY, &shown);

  if (self->history == NULL || self->filling)
    return;
  if (!warm || !damp)
    {
      sl_label_set (self->air, _ ("Give a temperature from −20 to 50 °C and a humidity from 1 to 100 %."));
      sl_label_set (self->advice, "");
      sl_label_set (self->foretold, "");
      return;
    }
  humidity = corrected (self, shown);
  moisture = sl_moisture_content (temperature, humidity);
  g_autofree char *really = sl_climate_number (humidity, 1), *content = sl_climate_number (moisture, 1),
                  *dew = sl_climate_number (sl_dew_point (temperature, humidity), 1);
  g_autofree char *text =
      humidity == shown
          ? g_strdup_printf (_ ("Wood comes to %1$s %% moisture content; dew point %2$s °C"), content, dew)
          : g_strdup_printf (_ ("Corrected: %3$s %%. Wood comes to %1$s %% moisture content; dew point %2$s °C"),
                             content, dew, really);
  sl_label_set (self->air, text);
  sl_label_set (self->advice, sl_air_advice (sl_air (&self->keeping, humidity)));
  show_foretold (self, moisture);
}

/* ---- the band ---- */

static void
accept_band (Climate *self)
{
  SlKeeping keeping;
  gboolean good;

  if (self->filling)
    return;
  /* each no less than the one before it, so that the one out of order is marked */
  good = sl_climate_read (self->dry, 0, MOST_HUMIDITY, &keeping.dry);
  good = good && sl_climate_read (self->least, keeping.dry, MOST_HUMIDITY, &keeping.least);
  good = good && sl_climate_read (self->most, keeping.least + LEAST_BAND, MOST_HUMIDITY, &keeping.most);
  good = good && sl_climate_read (self->wet, keeping.most, MOST_HUMIDITY, &keeping.wet);
  if (!good)
    {
      sl_label_set (self->advice, _ ("The four humidities must rise from the first to the last, 0 "
                                     "to 100 %. Until they do, the previous ones apply."));
      return;
    }
  self->keeping = keeping;
  sl_settings_set_keeping (keeping);
  show_air (self);
}

/* Hygrometers come with the checks kept of them; the one chosen stays chosen. */
static void
fill_hygrometers (GtkWidget *sheet)
{
  Climate *self = sl_part_of (sheet);
  g_auto (GStrv) names = sl_hygrometers ();
  g_autoptr (GtkStringList) titles = gtk_string_list_new (NULL);
  GtkStringObject *chosen = gtk_drop_down_get_selected_item (GTK_DROP_DOWN (self->hygrometer));
  g_autofree char *before = chosen != NULL ? g_strdup (gtk_string_object_get_string (chosen)) : NULL;
  guint selected = 0;

  gtk_string_list_append (titles, _ ("humidity as read"));
  for (guint i = 0; names[i] != NULL; i++)
    {
      gtk_string_list_append (titles, names[i]);
      if (g_strcmp0 (names[i], before) == 0)
        selected = i + 1;
    }
  sl_chooser_fill (self->hygrometer, titles, selected);
  gtk_widget_set_visible (self->hygrometer, names[0] != NULL);
  show_air (self);
}

/* ---- the sheet ---- */

static void
update (Climate *self)
{
  const SlReadingSet *set = sl_bench_get_set (self->bench);

  g_clear_pointer (&self->history, g_array_unref);
  self->history = sl_history_new (sl_bench_get_profile (self->bench), &sl_bench_get_analysis (self->bench)->shop);
  /* until something else is typed, the air of the last readings */
  if (*gtk_editable_get_text (GTK_EDITABLE (self->temperature)) == '\0' &&
      *gtk_editable_get_text (GTK_EDITABLE (self->humidity)) == '\0' && set != NULL &&
      sl_number_is_set (set->temperature) && sl_number_is_set (set->humidity))
    {
      g_autofree char *temperature = sl_climate_number (set->temperature.v, 1),
                      *humidity = sl_climate_number (set->humidity.v, 0);

      gtk_editable_set_text (GTK_EDITABLE (self->temperature), temperature);
      gtk_editable_set_text (GTK_EDITABLE (self->humidity), humidity);
    }
  show_air (self);
  gtk_widget_set_visible (self->nothing, self->history->len == 0);
  gtk_widget_queue_draw (self->picture);
}

static void
start_run (const Climate *self)
{
  sl_reading_run_present (GTK_WINDOW (gtk_widget_get_root (self->charts)), self->bench);
}

static void
climate_free (gpointer data)
{
  g_clear_pointer (&((Climate *) data)->history, g_array_unref);
  g_free (data);
}

GtkWidget *
sl_climate_sheet_new (SlBench *bench)
{
  Climate *self = g_new0 (Climate, 1);
  GtkWidget *sheet;

  sl_build ("climate", self, SL_MEMBERS (Climate, charts, wet),
            "charts picture nothing page temperature humidity hygrometer air advice foretold dry least most wet",
            SL_CALL (show_air), SL_CALL (accept_band), SL_CALL (start_run), NULL);
  sl_picture_area_init (self->picture, draw, self);
  sheet = sl_sheet_frame_new (_ ("Climate"), self->charts, PICTURE_LEAST_WIDTH);
  self->bench = sl_keep (sheet, bench);
  g_object_set_data_full (G_OBJECT (sheet), "part", self, climate_free);
  sl_follow_while_seen (sheet, bench, SL_CHANGED_FIGURES | SL_CHANGED_LENGTHS, G_CALLBACK (update), self);
  gtk_widget_set_hexpand (sheet, TRUE);
  sl_chooser_init (self->hygrometer, _ ("Hygrometer it was read with"), G_CALLBACK (show_air), self);
  sl_sheet_frame_add (sheet, _ ("Air"), self->page);
  sl_sheet_frame_add (sheet, _ ("Hygrometer"), sl_climate_check_new ());
  sl_sheet_frame_add (sheet, _ ("Wood"), sl_climate_wood_new (bench));
  GtkWidget *const entries[] = { self->dry, self->least, self->most, self->wet };

  self->keeping = sl_settings_get_keeping ();
  const double values[] = { self->keeping.dry, self->keeping.least, self->keeping.most, self->keeping.wet };
  self->filling = TRUE;
  for (gsize i = 0; i < G_N_ELEMENTS (entries); i++)
    {
      g_autofree char *text = sl_climate_number (values[i], values[i] == floor (values[i]) ? 0 : 1);

      gtk_editable_set_text (GTK_EDITABLE (entries[i]), text);
    }
  self->filling = FALSE;
  fill_hygrometers (sheet);
  sl_settings_follow (SL_SETTING_HYGROMETER_CHECKS, sheet, G_CALLBACK (fill_hygrometers));
  return sheet;
}
