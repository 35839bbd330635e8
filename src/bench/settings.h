/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the program remembers between runs. Where the schema is not installed everything still works with the defaults
 * given by the caller; nothing is remembered then. */
#pragma once

#include <gio/gio.h>

#include "setup/wood/climate.h"
#include "setup/profile/shop.h"
#include "setup/profile/units.h"

#define SL_SETTING_LENGTHS "lengths"
#define SL_SETTING_COLOUR_SCHEME "colour-scheme"
#define SL_SETTING_RECENT_FOLDER "recent-folder"
#define SL_SETTING_SHELF_FOLDER "shelf-folder"
#define SL_SETTING_SHOP_NAME "shop-name"
#define SL_SETTING_SHOP_ADDRESS "shop-address"
#define SL_SETTING_PAPER "paper"
#define SL_SETTING_SHOW_CHARGES "show-charges"
#define SL_SETTING_SHOW_PHOTOS "show-photos"
#define SL_SETTING_CORRECTION_X "correction-x"
#define SL_SETTING_CORRECTION_Y "correction-y"
#define SL_SETTING_WIDTH "window-width"
#define SL_SETTING_HEIGHT "window-height"
#define SL_SETTING_MAXIMIZED "window-maximized"
#define SL_SETTING_KEEPING "keeping"
#define SL_SETTING_HYGROMETER_CHECKS "hygrometer-checks"
#define SL_SETTING_HEIGHT_FACTOR "height-factor"
#define SL_SETTING_KEEP_BEFORE "keep-before"
#define SL_SETTING_LISTEN_DEVICE "listen-device"
#define SL_SETTING_REFERENCE_PITCH "reference-pitch"
#define SL_SETTING_TEMPERAMENT "temperament"

/* The program's settings, or NULL where the schema is not installed. Borrowed. */
GSettings *sl_settings (void);

/* A value, or @fallback where there is no such key of that type. */
char *sl_settings_get_string (const char *key, const char *fallback);
char **sl_settings_get_strings (const char *key, const char *const *fallback); /* free with g_strfreev() */
double sl_settings_get_double (const char *key, double fallback);

/* Which of @names (up to NULL) it is; the first where it is none of them. */
int sl_settings_get_choice (const char *key, const char *const *names);

/* A value of another type, or NULL. Free with g_variant_unref(). */
GVariant *sl_settings_get_value (const char *key, const char *type);

/* The band for keeping an instrument; the default where none in order is remembered. */
SlKeeping sl_settings_get_keeping (void);
void sl_settings_set_keeping (SlKeeping keeping);

/* The unit of lengths in new windows. */
SlLengths sl_settings_get_lengths (void);

/* How the shop works, as it is remembered. */
SlShop sl_settings_get_shop (void);

/* Calls @changed (@object) whenever that changes, while @object (a GObject) lives. */
void sl_settings_follow_shop (gpointer object, GCallback changed);

/* Remembers a value; @value is consumed if floating. Does nothing where there is no such key of that type. In force at
 * once, written when no other was set for half a second, so that a slider or a text on its way is written once. */
void sl_settings_set (const char *key, GVariant *value);

/* Calls @changed (@object) whenever a setting changes, while @object (a GObject) lives. */
void sl_settings_follow (const char *key, gpointer object, GCallback changed);

/* Gives a property of a GObject the value of the setting, of @type, and sets it whenever the property changes. Other
 * changes of the setting are not followed: a text that has just been written would lose its caret. */
void sl_settings_bind (const char *key, gpointer object, const char *property, const GVariantType *type);

/* Keeps a setting that is one of @names (up to NULL) and a property that is its number the same. */
void sl_settings_bind_choice (const char *key, gpointer object, const char *property, const char *const *names);

/* Writes at once what is not written yet: the program ends. */
void sl_settings_write (void);

/* Units of length as settings and actions spell them: "mm", "inch", "64ths"; up to NULL. */
extern const char *const sl_lengths_names[];
SlLengths sl_lengths_from_name (const char *name);

/* The folder that is the shelf: the one in the settings, else the program's own in the person's data folder. Free with
 * g_object_unref(). */
GFile *sl_shelf_folder (void);
GFile *sl_own_shelf_folder (void);

/* Makes @folder where it is the program's own and not there yet, for its owner alone: it holds who its customers are.
 * Any other folder is somebody's to make. */
void sl_make_own_shelf (GFile *folder);
