/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What GStreamer and the sound server say, as sentences for people that say what to do. */
#include <glib/gi18n.h>
#include <string.h>

#include "capture/pipelines.h"

char *
sl_capture_shown_name (GFile *file)
{
  g_autofree char *base = g_file_get_basename (file), *shown = g_filename_display_name (base);
  return g_strdup_printf (_ ("“%s”"), shown);
}

/* Whether all packages are there that recordings are decoded with, by a part of each. */
static gboolean
has_decoders (void)
{
  static const char *const parts[] = { "wavparse", "mpg123audiodec", "avdec_aac" };
  gboolean all = TRUE;

  for (gsize i = 0; i < G_N_ELEMENTS (parts); i++)
    {
      g_autoptr (GstElementFactory) factory = gst_element_factory_find (parts[i]);
      all = all && factory != NULL;
    }
  return all;
}

GError *
sl_capture_file_fault (GFile *file, double heard_s, double promised_s)
{
  g_autofree char *name = sl_capture_shown_name (file);

  if (heard_s > 0.0 && promised_s > heard_s)
    return g_error_new (SL_CAPTURE_ERROR, SL_CAPTURE_ERROR_TRUNCATED,
                        _ ("%s breaks off after %.1f of %.1f seconds; what came before was heard."), name, heard_s,
                        promised_s);
  if (heard_s > 0.0)
    return g_error_new (SL_CAPTURE_ERROR, SL_CAPTURE_ERROR_TRUNCATED,
                        _ ("%s breaks off after %.1f seconds; what came before was heard."), name, heard_s);
  if (!has_decoders ())
    return g_error_new_literal (SL_CAPTURE_ERROR, SL_CAPTURE_ERROR_NO_MODULE, _ (SL_CAPTURE_NOT_INSTALLED));
  return g_error_new (SL_CAPTURE_ERROR, SL_CAPTURE_ERROR_NO_SOUND,
                      _ ("%s holds no sound that can be decoded; a WAV, FLAC, OGG, MP3 or M4A file would do."), name);
}

/* Whether the sound server gives @reason, in the language of its library, for which there is no code. */
static gboolean
server_says (const GError *fault, const char *reason)
{
  return fault != NULL && (strstr (fault->message, reason) != NULL ||
                           strstr (fault->message, g_dgettext ("pulseaudio", reason)) != NULL);
}

GError *
sl_capture_device_fault (const GError *fault, gboolean heard)
{
  if (heard || server_says (fault, "Disconnected"))
    return g_error_new_literal (SL_CAPTURE_ERROR, SL_CAPTURE_ERROR_LOST,
                                _ ("The microphone or pickup is gone: unplugged, or the sound server ended. Plug it in "
                                   "and listen again; readings can be typed in meanwhile."));
  if (g_error_matches (fault, GST_RESOURCE_ERROR, GST_RESOURCE_ERROR_BUSY) ||
      server_says (fault, "Device or resource busy"))
    return g_error_new_literal (SL_CAPTURE_ERROR, SL_CAPTURE_ERROR_BUSY,
                                _ ("Another program has the microphone or pickup for itself. Close it there and listen "
                                   "again, or choose another in Preferences."));
  if (g_error_matches (fault, GST_RESOURCE_ERROR, GST_RESOURCE_ERROR_NOT_AUTHORIZED) ||
      server_says (fault, "Access denied"))
    return g_error_new_literal (SL_CAPTURE_ERROR, SL_CAPTURE_ERROR_DENIED,
                                _ ("Sidelong may not use the microphone. Allow it in the system's privacy or sound "
                                   "settings and listen again."));
  return g_error_new_literal (SL_CAPTURE_ERROR, SL_CAPTURE_ERROR_NO_DEVICE,
                              _ ("No microphone or pickup can be listened to. Plug one in, see that the system's sound "
                                 "settings show it, and listen again."));
}
