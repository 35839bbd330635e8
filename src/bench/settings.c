/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/settings.h"

#include <langinfo.h>

#define OWN_SHELF_MODE 0700
#define LETTER_MM 279 /* the height of the paper (ANSI Y14.1, size A) as the locale has it, in whole millimetres */
#define QUIET_MS 500  /* what is moved or typed is written once it has been left alone for so long */

static guint quiet_source;

void
sl_settings_write (void)
{
  g_clear_handle_id (&quiet_source, g_source_remove);
  if (sl_settings () != NULL)
    g_settings_apply (sl_settings ());
}

static void
on_changed (GSettings *settings)
{
  if (!g_settings_get_has_unapplied (settings))
    return;
  g_clear_handle_id (&quiet_source, g_source_remove);
  quiet_source = g_timeout_add_once (QUIET_MS, (GSourceOnceFunc) sl_settings_write, NULL);
}

/* The paper that is usual where the person is, until another is chosen. */
static void
choose_paper (GSettings *settings)
{
  g_autoptr (GVariant) chosen = g_settings_get_user_value (settings, SL_SETTING_PAPER);

  if (chosen == NULL && GPOINTER_TO_INT (nl_langinfo (_NL_PAPER_HEIGHT)) == LETTER_MM)
    g_settings_set_string (settings, SL_SETTING_PAPER, "letter");
}

GSettings *
sl_settings (void)
{
  static GSettings *settings;
  static gboolean looked;

  if (!looked)
    {
      GSettingsSchemaSource *source = g_settings_schema_source_get_default ();
      g_autoptr (GSettingsSchema) schema =
          source == NULL ? NULL : g_settings_schema_source_lookup (source, SL_APP_ID, TRUE);

      looked = TRUE;
      if (schema != NULL)
        {
          settings = g_settings_new_full (schema, NULL, NULL);
          g_settings_delay (settings);
          choose_paper (settings);
          g_signal_connect (settings, "changed", G_CALLBACK (on_changed), NULL);
        }
    }
  return settings;
}

/* Whether the installed schema, perhaps another version's, has @key with @type and takes @value (NULL: any). */
static gboolean
takes (const char *key, const GVariantType *type, GVariant *value)
{
  g_autoptr (GSettingsSchema) schema = NULL;
  g_autoptr (GSettingsSchemaKey) found = NULL;

  if (sl_settings () == NULL)
    return FALSE;
  g_object_get (sl_settings (), "settings-schema", &schema, NULL);
  if (!g_settings_schema_has_key (schema, key))
    return FALSE;
  found = g_settings_schema_get_key (schema, key);
  return g_variant_type_equal (g_settings_schema_key_get_value_type (found), type) &&
         (value == NULL || g_settings_schema_key_range_check (found, value));
}

char *
sl_settings_get_string (const char *key, const char *fallback)
{
  return takes (key, G_VARIANT_TYPE_STRING, NULL) ? g_settings_get_string (sl_settings (), key) : g_strdup (fallback);
}

char **
sl_settings_get_strings (const char *key, const char *const *fallback)
{
  return takes (key, G_VARIANT_TYPE_STRING_ARRAY, NULL) ? g_settings_get_strv (sl_settings (), key)
                                                        : g_strdupv ((char **) fallback);
}

double
sl_settings_get_double (const char *key, double fallback)
{
  return takes (key, G_VARIANT_TYPE_DOUBLE, NULL) ? g_settings_get_double (sl_settings (), key) : fallback;
}

void
sl_settings_set (const char *key, GVariant *value)
{
  g_autoptr (GVariant) owned = g_variant_ref_sink (value);

  if (takes (key, g_variant_get_type (owned), owned))
    g_settings_set_value (sl_settings (), key, owned);
}

void
sl_settings_follow (const char *key, gpointer object, GCallback changed)
{
  g_autofree char *signal = g_strconcat ("changed::", key, NULL);

  if (sl_settings () != NULL)
    g_signal_connect_object (sl_settings (), signal, changed, object, G_CONNECT_SWAPPED);
}

void
sl_settings_bind (const char *key, gpointer object, const char *property, const GVariantType *type)
{
  if (takes (key, type, NULL))
    g_settings_bind (sl_settings (), key, object, property,
                     G_SETTINGS_BIND_GET | G_SETTINGS_BIND_GET_NO_CHANGES | G_SETTINGS_BIND_SET |
                         G_SETTINGS_BIND_NO_SENSITIVITY);
}

/* Where @name stands among @names (up to NULL), or −1. */
static int
place_of (const char *const *names, const char *name)
{
  for (int i = 0; names[i] != NULL; i++)
    if (g_str_equal (names[i], name))
      return i;
  return -1;
}

int
sl_settings_get_choice (const char *key, const char *const *names)
{
  g_autofree char *name = sl_settings_get_string (key, "");

  return MAX (0, place_of (names, name));
}

static gboolean
choice_from_name (GValue *value, GVariant *name, gpointer names)
{
  const int place = place_of (names, g_variant_get_string (name, NULL));

  g_value_set_uint (value, (guint) MAX (0, place));
  return place >= 0;
}

static GVariant *
name_from_choice (const GValue *value, const GVariantType *type, gpointer names)
{
  return g_value_get_uint (value) < g_strv_length (names)
             ? g_variant_new_string (((const char *const *) names)[g_value_get_uint (value)])
             : NULL;
}

void
sl_settings_bind_choice (const char *key, gpointer object, const char *property, const char *const *names)
{
  if (takes (key, G_VARIANT_TYPE_STRING, NULL))
    g_settings_bind_with_mapping (sl_settings (), key, object, property, G_SETTINGS_BIND_NO_SENSITIVITY,
                                  choice_from_name, name_from_choice, (gpointer) names, NULL);
}

GVariant *
sl_settings_get_value (const char *key, const char *type)
{
  return takes (key, G_VARIANT_TYPE (type), NULL) ? g_settings_get_value (sl_settings (), key) : NULL;
}

SlKeeping
sl_settings_get_keeping (void)
{
  g_autoptr (GVariant) value = sl_settings_get_value (SL_SETTING_KEEPING, "(dddd)");
  SlKeeping keeping;

  if (value == NULL)
    return SL_KEEPING_DEFAULT;
  g_variant_get (value, "(dddd)", &keeping.dry, &keeping.least, &keeping.most, &keeping.wet);
  /* written so that no NAN passes */
  if (!(keeping.dry >= 0 && keeping.dry <= keeping.least && keeping.least < keeping.most &&
        keeping.most <= keeping.wet && keeping.wet <= 100))
    return SL_KEEPING_DEFAULT;
  return keeping;
}

void
sl_settings_set_keeping (SlKeeping keeping)
{
  sl_settings_set (SL_SETTING_KEEPING, g_variant_new ("(dddd)", keeping.dry, keeping.least, keeping.most, keeping.wet));
}

SlShop
sl_settings_get_shop (void)
{
  SlShop shop = SL_SHOP_DEFAULT;

  const SlKeeping keeping = sl_settings_get_keeping ();

  shop.keep_least = keeping.least;
  shop.keep_most = keeping.most;
  for (const SlBound *bound = sl_shop_bounds; bound->element != NULL && bound->unit != SL_UNIT_PERCENT_RH; bound++)
    {
      const double value = sl_settings_get_double (bound->attribute, NAN);

      if (value >= bound->least && value <= bound->most)
        *sl_shop_value (&shop, bound) = value;
    }
  return shop;
}

void
sl_settings_follow_shop (gpointer object, GCallback changed)
{
  for (const SlBound *bound = sl_shop_bounds; bound->element != NULL && bound->unit != SL_UNIT_PERCENT_RH; bound++)
    sl_settings_follow (bound->attribute, object, changed);
  sl_settings_follow (SL_SETTING_KEEPING, object, changed);
}

const char *const sl_lengths_names[] = { "mm", "inch", "64ths", NULL };

SlLengths
sl_lengths_from_name (const char *name)
{
  return (SlLengths) MAX (0, place_of (sl_lengths_names, name));
}

SlLengths
sl_settings_get_lengths (void)
{
  return (SlLengths) sl_settings_get_choice (SL_SETTING_LENGTHS, sl_lengths_names);
}

GFile *
sl_own_shelf_folder (void)
{
  return g_file_new_build_filename (g_get_user_data_dir (), "sidelong", "shelf", NULL);
}

void
sl_make_own_shelf (GFile *folder)
{
  g_autoptr (GFile) own = sl_own_shelf_folder ();

  if (g_file_equal (folder, own))
    g_mkdir_with_parents (g_file_peek_path (own), OWN_SHELF_MODE);
}

GFile *
sl_shelf_folder (void)
{
  g_autofree char *uri = sl_settings_get_string (SL_SETTING_SHELF_FOLDER, "");

  return *uri != '\0' ? g_file_new_for_uri (uri) : sl_own_shelf_folder ();
}
