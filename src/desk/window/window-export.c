/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What leaves the window as a file or by the clipboard: the picture, the hand-over sheet, the templates, the table. */
#include "bench/explanations.h"
#include "bench/handover-options.h"
#include "bench/settings.h"
#include "desk/window/window-private.h"
#include "setup/record/outcome.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

/* The sheet an exported picture is drawn on, and how many pixels a unit has as PNG. */
#define SHEET_WIDTH 1400
#define SHEET_HEIGHT 900
#define PNG_SCALE 2.0
#define PAGE_PNG_SCALE (200.0 / 72) /* pages at 200 dots an inch */
#define MOST_SCALE 4.0              /* of what a person may choose; the least is a pixel a unit */

#define MESSAGE_EXPORT "export"
#define KIND_KEY "sl-export-kind"

/* What is written, and how it is named. */
typedef struct
{
  const char *title, *file; /* of the dialog; appended to the file's name */
  const char *endings[4];   /* the first is proposed; NULL-terminated */
} Export;

static const Export exports[] = {
  [SL_EXPORT_PICTURE] = { N_ ("Export picture"), "", { "svg", "png", "pdf" } },
  [SL_EXPORT_SHEET] = { N_ ("Export hand-over sheet"), N_ (" hand-over"), { "pdf", "svg", "png" } },
  [SL_EXPORT_TEMPLATES] = { N_ ("Export templates"), N_ (" templates"), { "pdf", "svg", "png" } },
  [SL_EXPORT_TABLE] = { N_ ("Export table"), N_ (" readings"), { "csv" } },
};

static void
say_error (SlWindow *self, const char *text)
{
  sl_window_say (self, MESSAGE_EXPORT, SL_MESSAGE_ERROR, text, NULL);
}

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
  text = done ? g_strdup_printf (_ ("Written to “%s”."), name) : g_strdup_printf (_ ("“%s” could not be written. %s"), name, error->message);
  sl_window_say (self, MESSAGE_EXPORT, done ? SL_MESSAGE_NOTICE : SL_MESSAGE_ERROR, text, NULL);
}

static void
write_bytes (SlWindow *self, GFile *file, GBytes *bytes)
{
  g_file_replace_contents_bytes_async (file, bytes, NULL, FALSE, G_FILE_CREATE_NONE, NULL, on_written, g_object_ref (self));
}

/* ---- what is written ---- */

/* Width of a page of the sheet, in points. */
static double
page_width (void)
{
  double width, height;

  sl_paper_size (sl_handover_paper (), &width, &height);
  return width / SL_POINT_MM;
}

/* Pixels a unit for what is @width units wide. */
static double
chosen_scale (const SlExportChoices *choices, double width, double proposed)
{
  return choices->png_width > 0 ? choices->png_width / width : proposed;
}

static GBytes *
render_picture (SlWindow *self, SlFormat format, double png_scale, GError **error)
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
  return sl_picture_render (sl_bench_get_analysis (self->bench), &options, format, png_scale, error);
}

static char *
make_table (SlWindow *self, char separator)
{
  SlOutcome outcome;
  char *table;

  sl_outcome_init (&outcome, sl_bench_get_profile (self->bench), NULL, &sl_bench_get_analysis (self->bench)->shop);
  table = sl_outcome_table (&outcome, separator);
  sl_outcome_clear (&outcome);
  return table;
}

/* "sheet.svg" becomes "sheet-2.svg" for the second page of several. */
static GFile *
page_file (GFile *file, int page, int n_pages)
{
  g_autofree char *name = g_file_get_basename (file), *numbered = NULL;
  g_autoptr (GFile) folder = g_file_get_parent (file);
  char *dot = strrchr (name, '.');

  if (n_pages == 1 || dot == NULL || folder == NULL)
    return g_object_ref (file);
  numbered = g_strdup_printf ("%.*s-%d%s", (int) (dot - name), name, page + 1, dot);
  return g_file_get_child (folder, numbered);
}

static void
write_pages (SlWindow *self, GFile *file, const SlPages *pages, SlFormat format, double png_scale)
{
  g_autoptr (GError) error = NULL;
  int n = format == SL_FORMAT_PDF ? 1 : pages->n_pages;

  for (int page = 0; page < n; page++)
    {
      g_autoptr (GBytes) bytes = format == SL_FORMAT_PDF ? sl_pages_pdf (pages, &error) : sl_pages_picture (pages, page, format, png_scale, &error);
      g_autoptr (GFile) target = page_file (file, page, n);

      if (bytes == NULL)
        {
          say_error (self, error->message);
          return;
        }
      write_bytes (self, target, bytes);
    }
}

static void
write_picture (SlWindow *self, GFile *file, SlFormat format)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) bytes = render_picture (self, format, chosen_scale (&self->picture_choices, SHEET_WIDTH, PNG_SCALE), &error);

  if (bytes != NULL)
    write_bytes (self, file, bytes);
  else
    say_error (self, error->message);
}

void
sl_window_say_outdated (SlWindow *self)
{
  const char *key = MESSAGE_EXPORT "-outdated";

  if (sl_explanations_outdated (self->bench))
    sl_window_say (self, key, SL_MESSAGE_NOTICE, _ ("A sentence on the hand-over sheet was edited before the plan changed. “Show customer”, “Edit text” shows which, and what would be generated now."), NULL);
  else
    sl_window_unsay (self, key);
}

static void
write_sheet (SlWindow *self, GFile *file, SlFormat format)
{
  g_autoptr (SlHandover) handover = sl_handover_of_bench (self->bench);

  sl_window_say_outdated (self);
  write_pages (self, file, sl_handover_pages (handover), format, chosen_scale (&self->sheet_choices, page_width (), PAGE_PNG_SCALE));
}

static void
write_templates (SlWindow *self, GFile *file, SlFormat format)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (SlTemplate) template = sl_template_of_bench (self->bench, self->template_choices.half_tiles, &error);

  if (template == NULL)
    {
      say_error (self, error->message);
      return;
    }
  write_pages (self, file, sl_template_pages (template), format, PAGE_PNG_SCALE);
  if (sl_template_left_out (template) != NULL)
    sl_window_say (self, MESSAGE_EXPORT "-left-out", SL_MESSAGE_NOTICE, sl_template_left_out (template), NULL);
}

static void
write_table (SlWindow *self, GFile *file)
{
  char *table = make_table (self, ',');
  g_autoptr (GBytes) bytes = g_bytes_new_take (table, strlen (table));

  write_bytes (self, file, bytes);
}

static gboolean
ends_well (const char *name, const Export *export)
{
  const char *dot = strrchr (name, '.');

  for (int i = 0; dot != NULL && export->endings[i] != NULL; i++)
    if (g_ascii_strcasecmp (dot + 1, export->endings[i]) == 0)
      return TRUE;
  return FALSE;
}

static void
export_to (SlWindow *self, GFile *file, SlExportKind kind)
{
  g_autofree char *name = g_file_get_basename (file);
  SlFormat format = SL_FORMAT_PDF;

  if (!ends_well (name, &exports[kind]))
    {
      g_autofree char *endings = g_strjoinv (", .", (char **) exports[kind].endings);
      g_autofree char *text = g_strdup_printf (_ ("“%1$s” does not tell what kind of file to write: it can end in .%2$s."), name, endings);

      say_error (self, text);
      return;
    }
  sl_format_from_name (name, &format);
  switch (kind)
    {
    case SL_EXPORT_SHEET:
      write_sheet (self, file, format);
      break;
    case SL_EXPORT_TEMPLATES:
      write_templates (self, file, format);
      break;
    case SL_EXPORT_TABLE:
      write_table (self, file);
      break;
    case SL_EXPORT_PICTURE:
    default:
      write_picture (self, file, format);
    }
}

/* ---- the dialog ---- */

static void
on_response (GtkNativeDialog *dialog, int response, gpointer data)
{
  SlWindow *self = data;
  g_autoptr (GFile) file = response == GTK_RESPONSE_ACCEPT ? gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog)) : NULL;

  if (file != NULL)
    export_to (self, file, GPOINTER_TO_INT (g_object_get_data (G_OBJECT (dialog), KIND_KEY)));
  g_clear_object (&self->chooser);
}

static void
add_filter (GtkFileChooser *chooser, const char *ending)
{
  static const struct
  {
    const char *name, *suffix;
  } formats[] = { { N_ ("Drawing (SVG)"), "svg" }, { N_ ("Picture (PNG)"), "png" }, { N_ ("Page (PDF)"), "pdf" }, { N_ ("Table (CSV)"), "csv" } };
  g_autoptr (GtkFileFilter) filter = gtk_file_filter_new ();

  for (guint i = 0; i < G_N_ELEMENTS (formats); i++)
    if (g_str_equal (formats[i].suffix, ending))
      gtk_file_filter_set_name (filter, _ (formats[i].name));
  gtk_file_filter_add_suffix (filter, ending);
  gtk_file_chooser_add_filter (chooser, filter);
}

static void
choose_file (GtkWindow *window, int kind)
{
  SlWindow *self = SL_WINDOW (window);
  const Export *export = &exports[kind];
  g_autofree char *name = g_strconcat (sl_bench_get_profile (self->bench)->identity.label, *export->file ? _ (export->file) : "", ".", export->endings[0], NULL);

  g_clear_object (&self->chooser);
  self->chooser = gtk_file_chooser_native_new (_ (export->title), GTK_WINDOW (self), GTK_FILE_CHOOSER_ACTION_SAVE, _ ("_Export"), _ ("_Cancel"));
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (self->chooser), TRUE);
  for (int i = 0; export->endings[i] != NULL; i++)
    add_filter (GTK_FILE_CHOOSER (self->chooser), export->endings[i]);
  g_strdelimit (name, "/", '-');
  gtk_file_chooser_set_current_name (GTK_FILE_CHOOSER (self->chooser), name);
  g_object_set_data (G_OBJECT (self->chooser), KIND_KEY, GINT_TO_POINTER (kind));
  g_signal_connect_object (self->chooser, "response", G_CALLBACK (on_response), self, 0);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->chooser));
}

static SlExportQuestion
question_for (SlExportKind kind)
{
  double width = kind == SL_EXPORT_PICTURE ? SHEET_WIDTH : page_width (), proposed = kind == SL_EXPORT_PICTURE ? PNG_SCALE : PAGE_PNG_SCALE;
  SlExportQuestion question = { .title = _ (exports[kind].title), .go = _ ("_Choose file…"), .template = kind == SL_EXPORT_TEMPLATES };

  if (question.template) /* full size: its pixels are not to be chosen */
    return question;
  question.least_width = (int) ceil (width);
  question.most_width = (int) floor (MOST_SCALE * width);
  question.proposed_width = (int) round (proposed * width);
  return question;
}

/* Asks what the file's name can't tell, then for the file. */
void
sl_window_choose_export (SlWindow *self, SlExportKind kind)
{
  SlExportChoices *const choices[] = { &self->picture_choices, &self->sheet_choices, &self->template_choices };
  SlExportQuestion question;

  if (kind == SL_EXPORT_TABLE)
    {
      choose_file (GTK_WINDOW (self), (int) kind);
      return;
    }
  question = question_for (kind);
  sl_window_ask_options (self, &question, choices[kind], choose_file, (int) kind);
}

void
sl_window_ask_options (SlWindow *self, const SlExportQuestion *question, SlExportChoices *choices, void (*go_on) (GtkWindow *parent, int what), int what)
{
  if (self->export_options != NULL)
    gtk_window_destroy (GTK_WINDOW (self->export_options));
  g_set_weak_pointer (&self->export_options, sl_export_options_new (GTK_WINDOW (self), question, choices, go_on, what));
  gtk_window_present (GTK_WINDOW (self->export_options));
}

/* ---- the clipboard ---- */

void
sl_window_copy_picture (SlWindow *self)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) bytes = render_picture (self, SL_FORMAT_PNG, PNG_SCALE, &error);
  g_autoptr (GdkTexture) texture = bytes != NULL ? gdk_texture_new_from_bytes (bytes, &error) : NULL;

  if (texture == NULL)
    {
      say_error (self, error->message);
      return;
    }
  gdk_clipboard_set_texture (gtk_widget_get_clipboard (GTK_WIDGET (self)), texture);
  sl_window_say (self, MESSAGE_EXPORT, SL_MESSAGE_NOTICE, _ ("The picture is on the clipboard."), NULL);
}

void
sl_window_copy_table (SlWindow *self)
{
  g_autofree char *table = make_table (self, '\t'); /* what a spreadsheet takes apart into cells */

  gdk_clipboard_set_text (gtk_widget_get_clipboard (GTK_WIDGET (self)), table);
  sl_window_say (self, MESSAGE_EXPORT, SL_MESSAGE_NOTICE, _ ("The table is on the clipboard."), NULL);
}
