/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/base/picture.h"

#define SHEET_WIDTH 1600.0
#define SHEET_HEIGHT 940.0
#define UNIT_MM (SL_MM_PER_INCH / 96) /* CSS pixel: CSS Values 3, 5.2 */

G_DEFINE_QUARK (sl_picture_error_quark, sl_picture_error)

void
sl_picture_options_init (SlPictureOptions *options)
{
  *options = (SlPictureOptions){
    .kind = SL_PICTURE_ALL,
    .width = SHEET_WIDTH,
    .height = SHEET_HEIGHT,
    .string = SL_ALL_STRINGS,
    .lengths = SL_LENGTHS_MM,
    .decimal = ".",
    .text_scale = 1,
    .focus = -1,
    .unit_mm = UNIT_MM,
  };
}

void
sl_picture_map_init (SlPictureMap *map)
{
  *map = (SlPictureMap){ .labels = g_array_new (FALSE, FALSE, sizeof (SlPictureLabel)) };
}

void
sl_picture_map_clear (SlPictureMap *map)
{
  g_clear_pointer (&map->labels, g_array_unref);
  *map = (SlPictureMap){ .labels = NULL };
}

gboolean
sl_format_from_name (const char *name, SlFormat *format)
{
  static const char *const endings[] = { [SL_FORMAT_SVG] = ".svg", [SL_FORMAT_PNG] = ".png", [SL_FORMAT_PDF] = ".pdf" };
  const char *ending = strrchr (name, '.');

  for (gsize i = 0; ending != NULL && ending > name && i < G_N_ELEMENTS (endings); i++)
    if (g_ascii_strcasecmp (ending, endings[i]) == 0)
      {
        *format = (SlFormat) i;
        return TRUE;
      }
  return FALSE;
}
