/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/settings.h"
#include "desk/window-private.h"

#include "draw/picture.h"

#include <glib/gi18n-lib.h>
#include <string.h>

/* The sheet an exported picture is drawn on, and how many pixels a unit has as PNG. */
#define SHEET_WIDTH 1400
#define SHEET_HEIGHT 900
#define PNG_SCALE 2.0

#define MESSAGE_EXPORT "export"

static void
on_written (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (SlWindow) self = data;
  g_autoptr (GError) error = NULL;
  g_autofree char *name = g_file_get_parse_name (G_FILE (source));
  g_autofree char *text = NULL;
  gboolean done = g_file_replace_contents_finish (G_FILE (source), result, NULL, &error);

  if (self->bench == NULL)
    return;
  text = done ? g_strdup_printf (_ ("The picture is in “%s”."), name) : g_strdup_printf (_ ("“%s” could not be written. %s"), name, error->message);
  sl_window_say (self, MESSAGE_EXPORT, done ? SL_MESSAGE_NOTICE : SL_MESSAGE_ERROR, text, NULL);
}

static GBytes *
render (SlWindow *self, SlFormat format, GError **error)
{
  SlPictureOptions options;

  sl_picture_options_init (&options);
  options.kind = SL_PICTURE_ALL;
  options.width = SHEET_WIDTH;
  options.height = SHEET_HEIGHT;
  options.string = sl_bench_get_string (self->bench);
  options.held = sl_bench_get_held (self->bench);
  options.height_factor = sl_bench_get_height_factor (self->bench);
  options.lengths = sl_bench_get_lengths (self->bench);
  options.decimal = sl_decimal_sign ();
  return sl_picture_render (sl_bench_get_analysis (self->bench), &options, format, PNG_SCALE, error);
}

static void
export_to (SlWindow *self, GFile *file)
{
  g_autofree char *name = g_file_get_basename (file);
  g_autoptr (GBytes) bytes = NULL;
  g_autoptr (GError) error = NULL;
  SlFormat format;

  if (!sl_format_from_name (name, &format))
    {
      g_autofree char *text = g_strdup_printf (_ ("“%s” names no kind of picture: end it in .svg, .png or .pdf."), name);

      sl_window_say (self, MESSAGE_EXPORT, SL_MESSAGE_ERROR, text, NULL);
      return;
    }
  bytes = render (self, format, &error);
  if (bytes == NULL)
    {
      sl_window_say (self, MESSAGE_EXPORT, SL_MESSAGE_ERROR, error->message, NULL);
      return;
    }
  g_file_replace_contents_bytes_async (file, bytes, NULL, FALSE, G_FILE_CREATE_NONE, NULL, on_written, g_object_ref (self));
}

static void
on_response (GtkNativeDialog *dialog, int response, gpointer data)
{
  SlWindow *self = data;
  g_autoptr (GFile) file = response == GTK_RESPONSE_ACCEPT ? gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog)) : NULL;

  if (file != NULL)
    export_to (self, file);
  g_clear_object (&self->chooser);
}

void
sl_window_choose_export (SlWindow *self)
{
  static const struct
  {
    const char *name, *suffix;
  } formats[] = { { N_ ("Drawing (SVG)"), "svg" }, { N_ ("Picture (PNG)"), "png" }, { N_ ("Page (PDF)"), "pdf" } };
  g_autofree char *name = g_strconcat (sl_bench_get_profile (self->bench)->identity.label, ".svg", NULL);

  g_clear_object (&self->chooser);
  self->chooser = gtk_file_chooser_native_new (_ ("Export picture"), GTK_WINDOW (self), GTK_FILE_CHOOSER_ACTION_SAVE, _ ("_Export"), _ ("_Cancel"));
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (self->chooser), TRUE);
  for (guint i = 0; i < G_N_ELEMENTS (formats); i++)
    {
      g_autoptr (GtkFileFilter) filter = gtk_file_filter_new ();

      gtk_file_filter_set_name (filter, _ (formats[i].name));
      gtk_file_filter_add_suffix (filter, formats[i].suffix);
      gtk_file_chooser_add_filter (GTK_FILE_CHOOSER (self->chooser), filter);
    }
  g_strdelimit (name, "/", '-');
  gtk_file_chooser_set_current_name (GTK_FILE_CHOOSER (self->chooser), name);
  g_signal_connect_object (self->chooser, "response", G_CALLBACK (on_response), self, 0);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->chooser));
}
