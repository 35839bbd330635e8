/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A hygrometer checked over saturated salts, and the checks kept of each. */
#include "desk/sheets/parts.h"

#include "bench/settings.h"
#include "words/dates.h"

#define CHECKS_TYPE "a(sssdd)" /* hygrometer, salt, day, temperature, what it showed */

typedef struct
{
  GtkWidget *column, *name, *salt, *temperature, *shown, *keep, *result; /* borrowed; bound in this order */
} Check;

/* ---- what is kept ---- */

typedef struct
{
  const char *name, *salt, *day;
  SlSaltCheck check;
} Kept;

/* The next kept check that is in order. */
static gboolean
next_kept (GVariantIter *iter, Kept *kept)
{
  while (g_variant_iter_next (iter, "(&s&s&sdd)", &kept->name, &kept->salt, &kept->day, &kept->check.temperature_c,
                              &kept->check.shown))
    for (int i = 0; i < SL_N_SALTS; i++)
      if (g_strcmp0 (kept->salt, sl_salt_names[i]) == 0 &&
          !isnan (sl_salt_humidity ((SlSalt) i, kept->check.temperature_c)))
        {
          kept->check.salt = (SlSalt) i;
          return TRUE;
        }
  return FALSE;
}

/* All of them, which @iter goes through. */
static GVariant *
all_kept (GVariantIter *iter)
{
  GVariant *kept = sl_settings_get_value (SL_SETTING_HYGROMETER_CHECKS, CHECKS_TYPE);

  if (kept == NULL)
    kept = g_variant_ref_sink (g_variant_new_array (G_VARIANT_TYPE ("(sssdd)"), NULL, 0));
  g_variant_iter_init (iter, kept);
  return kept;
}

char **
sl_hygrometers (void)
{
  GVariantIter iter;
  g_autoptr (GVariant) all = all_kept (&iter);
  g_autoptr (GPtrArray) names = g_ptr_array_new ();
  Kept kept;

  while (next_kept (&iter, &kept))
    if (!g_ptr_array_find_with_equal_func (names, kept.name, g_str_equal, NULL))
      g_ptr_array_add (names, g_strdup (kept.name));
  g_ptr_array_add (names, NULL);
  return (char **) g_ptr_array_free (g_steal_pointer (&names), FALSE);
}

double
sl_hygrometer_kept_correction (const char *name, double shown)
{
  GVariantIter iter;
  g_autoptr (GVariant) all = all_kept (&iter);
  g_autoptr (GArray) checks = g_array_new (FALSE, FALSE, sizeof (SlSaltCheck));
  Kept kept;

  while (next_kept (&iter, &kept))
    if (g_strcmp0 (kept.name, name) == 0)
      g_array_append_val (checks, kept.check);
  return sl_hygrometer_correction ((const SlSaltCheck *) (gpointer) checks->data, (int) checks->len, shown);
}

static char *
signed_number (double value)
{
  g_autofree char *number = sl_climate_number (value, 1);

  return g_strconcat (value > 0 ? "+" : "", number, NULL);
}

/* The corrections kept for the hygrometer named, with their days. */
static char *
describe_kept (const char *name)
{
  GVariantIter iter;
  g_autoptr (GVariant) all = all_kept (&iter);
  g_autoptr (GString) out = g_string_new (NULL);
  Kept kept;

  while (next_kept (&iter, &kept))
    if (g_strcmp0 (kept.name, name) == 0)
      {
        g_autofree char *at = sl_climate_number (kept.check.shown, 1), *day = sl_date_short (kept.day);
        g_autofree char *add =
            signed_number (sl_salt_humidity (kept.check.salt, kept.check.temperature_c) - kept.check.shown);

        /* Translators: a day, a salt, what the hygrometer showed, and its correction */
        g_string_append_printf (out, _ ("\n%1$s, %2$s: at %3$s %% add %4$s %%"), day, sl_salt_title (kept.check.salt),
                                at, add);
      }
  return g_string_free (g_steal_pointer (&out), FALSE);
}

/* ---- a check ---- */

static char *
name_of (Check *self)
{
  return g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (self->name))));
}

static gboolean
read_check (Check *self, SlSaltCheck *check)
{
  gboolean warm = sl_climate_read (self->temperature, SL_SALT_LEAST_C, SL_SALT_MOST_C, &check->temperature_c);
  gboolean shown = sl_climate_read (self->shown, 0, 100, &check->shown);

  check->salt = (SlSalt) sl_chosen (self->salt);
  return warm && shown;
}

static gboolean take_check (GtkWidget *entry);

static void
show (Check *self)
{
  SlSaltCheck check;
  gboolean good = read_check (self, &check);
  g_autofree char *name = name_of (self), *kept = describe_kept (name), *now = NULL, *text = NULL;

  gtk_widget_set_sensitive (self->keep, good && *name != '\0');
  sl_typed_note (self->name, good && *name != '\0', take_check);
  if (good)
    {
      g_autofree char *humidity = sl_climate_number (sl_salt_humidity (check.salt, check.temperature_c), 1);
      g_autofree char *add = signed_number (sl_hygrometer_correction (&check, 1, check.shown));

      now = g_strdup_printf (_ ("Over this salt the air has %1$s %%: add %2$s %% to what it shows."), humidity, add);
    }
  else
    now = g_strdup (_ ("Close the hygrometer up for some hours over a wet paste of the salt; give the temperature, 5 "
                       "to 40 °C, and what it shows, 0 to 100 %. "
                       "Checks over two or three salts correct the range between them."));
  text = g_strconcat (now, kept, NULL);
  sl_label_set (self->result, text);
}

/* A check in place of an earlier one of the same hygrometer over the same salt. */
static void
keep (Check *self)
{
  GVariantIter iter;
  g_autoptr (GVariant) all = all_kept (&iter);
  g_autofree char *today = sl_today_iso (), *name = name_of (self);
  GVariantBuilder list;
  SlSaltCheck check;
  Kept kept;

  if (!read_check (self, &check) || *name == '\0')
    return;
  g_variant_builder_init (&list, G_VARIANT_TYPE (CHECKS_TYPE));
  g_variant_builder_add (&list, "(sssdd)", name, sl_salt_names[check.salt], today, check.temperature_c, check.shown);
  while (next_kept (&iter, &kept))
    if (g_strcmp0 (kept.name, name) != 0 || kept.check.salt != check.salt)
      g_variant_builder_add (&list, "(sssdd)", kept.name, kept.salt, kept.day, kept.check.temperature_c,
                             kept.check.shown);
  sl_settings_set (SL_SETTING_HYGROMETER_CHECKS, g_variant_builder_end (&list));
  show (self);
  sl_typed_note (self->name, FALSE, NULL);
}

/* A check that is complete is kept as if by its button. */
static gboolean
take_check (GtkWidget *entry)
{
  keep (sl_part_of (entry));
  return TRUE;
}

GtkWidget *
sl_climate_check_new (void)
{
  g_autoptr (GtkStringList) salts = gtk_string_list_new (NULL);
  Check *self = sl_part_new (NULL, SL_PART (Check, column, result), g_free, "climate-check",
                             "column name salt temperature shown keep result", SL_CALL (show), SL_CALL (keep), NULL);

  sl_set_accessible_label (self->name, _ ("Which hygrometer"));
  for (int salt = 0; salt < SL_N_SALTS; salt++)
    gtk_string_list_append (salts, sl_salt_title ((SlSalt) salt));
  sl_chooser_init (self->salt, _ ("Salt"), G_CALLBACK (show), self);
  sl_chooser_fill (self->salt, salts, SL_SALT_SODIUM_CHLORIDE);
  show (self);
  return self->column;
}
