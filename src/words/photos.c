/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words/photos.h"

#include <glib/gi18n-lib.h>

const char *
sl_about_title (SlAbout about)
{
  static const char *const titles[SL_N_ABOUTS] = {
#include "about-rows.h"
  };

  return g_dpgettext2 (GETTEXT_PACKAGE, "what a photograph shows", titles[about]);
}

static const struct
{
  const char *title, *told; /* by the program, and to a customer */
} measures[SL_N_MEASURES] = {
#include "measure-rows.h"
};

const char *
sl_measure_title (SlMeasure measure)
{
  return g_dpgettext2 (GETTEXT_PACKAGE, "measured in a photograph", measures[measure].title);
}

const char *
sl_measure_told (SlMeasure measure)
{
  return g_dpgettext2 (GETTEXT_PACKAGE, "measured for a customer", measures[measure].told);
}

/* @title with the fret and the string there is one of. */
static char *
placed (const char *title, int fret, int string)
{
  if (fret > 0 && string > 0)
    /* Translators: what is seen or measured, and where: "Crown height: fret 3, string 2" */
    return g_strdup_printf (_ ("%s: fret %d, string %d"), title, fret, string);
  if (fret > 0)
    return g_strdup_printf (_ ("%s: fret %d"), title, fret);
  if (string > 0)
    return g_strdup_printf (_ ("%s: string %d"), title, string);
  return g_strdup (title);
}

char *
sl_photo_title (const SlPhoto *photo)
{
  const gboolean named = photo->about == SL_ABOUT_FRET ? photo->fret > 0 : photo->about < SL_ABOUT_BODY;

  if (!named && photo->note != NULL && *photo->note != '\0')
    return sl_photo_caption (photo);
  if (photo->about != SL_ABOUT_FRET || photo->fret == 0)
    return placed (sl_about_title (photo->about), photo->fret, photo->string);
  if (photo->string == 0)
    return g_strdup_printf (_ ("Fret %d"), photo->fret);
  return g_strdup_printf (_ ("Fret %d, string %d"), photo->fret, photo->string);
}

char *
sl_photo_caption (const SlPhoto *photo)
{
  if (photo->note == NULL || *photo->note == '\0')
    return sl_photo_title (photo);
  return g_strndup (photo->note, strcspn (photo->note, "\n"));
}

char *
sl_mark_title (const SlMark *mark)
{
  return placed (sl_measure_title (mark->of), mark->fret, mark->string);
}
