/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What leaves the window as a file, by the clipboard or on paper: the picture, the hand-over sheet, the templates, the
 * table. */
#include "bench/explanations.h"
#include "bench/settings.h"
#include "bench/shop-lists.h"
#include "desk/window/window-private.h"

#define MOST_SCALE 4.0 /* of what a person may choose; the least is a pixel a unit */

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

/* What went well is told in passing; what did not stays until it is read. */
static void
say (SlWindow *self, SlMessageKind kind, const char *text, const SlMessageButton *buttons)
{
  const gboolean failed = kind == SL_MESSAGE_ERROR || kind == SL_MESSAGE_WARNING;

  sl_message_withdraw (failed ? self->passing : self->messages, MESSAGE_EXPORT);
  sl_message_show (failed ? self->messages : self->passing, MESSAGE_EXPORT, kind, buttons, "%s", text);
}

static char *
tell_written (const SlExportOutcome *outcome)
{
  g_autofree char *first = g_file_get_parse_name (outcome->files->pdata[0]);
  g_autoptr (GString) names = g_string_new (NULL);

  if (outcome->n_pages == 1)
    return g_strdup_printf (_ ("Written to “%s”."), first);
  for (guint i = 0; i < outcome->files->len; i++)
    {
      g_autofree char *name = g_file_get_basename (outcome->files->pdata[i]), *shown = g_filename_display_name (name);

      g_string_append_printf (names, "%s“%s”", i > 0 ? ", " : "", shown);
    }
  /* Translators: a number of at least 2, and the file of each page */
  return g_strdup_printf (_ ("%1$d pages written: %2$s."), outcome->n_pages, names->str);
}

/* What a thread works on in the background goes on when the window closes, and the program stays until it is done. */
static void
start_export (SlWindow *self, SlExportKind kind, const SlExportTarget *target, const SlExportChoices *choices,
              GAsyncReadyCallback done)
{
  GtkApplication *app = gtk_window_get_application (GTK_WINDOW (self));

  if (app != NULL)
    g_application_hold (G_APPLICATION (app));
  g_clear_object (&self->exporting);
  self->exporting = g_cancellable_new ();
  sl_window_refresh_history (self);
  sl_export_async (self, self->bench, kind, target, choices, self->exporting, done,
                   app != NULL ? g_object_ref (app) : NULL);
}

/* FALSE where the window is closed. */
static gboolean
end_export (SlWindow *self, gpointer app)
{
  g_clear_object (&self->exporting);
  if (app != NULL)
    g_application_release (app);
  g_clear_object (&app);
  if (self->bench == NULL)
    return FALSE;
  sl_window_refresh_history (self);
  return TRUE;
}

static void
tell_left_out (SlWindow *self, const SlExportOutcome *outcome)
{
  sl_message_withdraw (self->messages, MESSAGE_EXPORT "-left-out");
  if (outcome->left_out != NULL)
    sl_message_show (self->messages, MESSAGE_EXPORT "-left-out", SL_MESSAGE_NOTICE, NULL, "%s", outcome->left_out);
}

static void
on_exported (GObject *source, GAsyncResult *result, gpointer data)
{
  SlWindow *self = SL_WINDOW (source);
  const SlMessageButton replace[] = { { _ ("Replace"), "win.replace-pages" }, { NULL } };
  const SlExportOutcome *outcome;
  g_autoptr (GError) error = NULL;
  const gboolean done = sl_export_finish (result, &outcome, &error);
  const gboolean stopped = g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED);
  const gboolean exists = g_error_matches (error, G_IO_ERROR, G_IO_ERROR_EXISTS);
  g_autofree char *text = NULL, *name = NULL;

  if (!end_export (self, data))
    return;
  name = g_file_get_parse_name (self->export_file);
  text = done      ? tell_written (outcome)
         : stopped ? (outcome->files->len == 0 ? g_strdup (_ ("Stopped: nothing was written."))
                                               : g_strdup_printf (_ ("Stopped: %1$d of %2$d pages were written."),
                                                                  (int) outcome->files->len, outcome->n_pages))
         : g_error_matches (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_WRITE)
             ? g_strdup_printf (_ ("“%s” could not be written. %s"), name, error->message)
             : g_strdup (error->message);
  say (self,
       done || stopped ? SL_MESSAGE_PASSING
       : exists        ? SL_MESSAGE_WARNING
                       : SL_MESSAGE_ERROR,
       text, exists ? replace : NULL);
  tell_left_out (self, outcome);
}

void
sl_window_stop_export (SlWindow *self)
{
  g_cancellable_cancel (self->exporting);
}

/* Says so where the sheet carries a sentence that was edited before the plan changed. */
static void
say_outdated (SlWindow *self)
{
  const char *key = MESSAGE_EXPORT "-outdated";

  if (sl_explanations_outdated (self->bench))
    sl_message_show (self->messages, key, SL_MESSAGE_NOTICE, NULL,
                     _ ("A sentence on the hand-over sheet was edited before the plan changed. “Show customer”, “Edit "
                        "text” shows which, and what would be generated now."));
  else
    sl_message_withdraw (self->messages, key);
}

/* Into the file that was chosen. */
static void
write_file (SlWindow *self, SlExportKind kind, gboolean replaces_pages)
{
  const SlMessageButton stop[] = { { _ ("Stop"), "win.stop-export" }, { NULL } };
  SlExportTarget target = { self->export_file, self->file, SL_FORMAT_PDF, replaces_pages };
  g_autofree char *name = g_file_get_parse_name (target.file), *text = g_strdup_printf (_ ("Writing “%s”…"), name);

  sl_format_from_name (name, &target.format);
  say (self, SL_MESSAGE_NOTICE, text, stop);
  start_export (self, kind, &target, &self->choices[kind], on_exported);
}

static void
write_new (SlWindow *self, SlExportKind kind)
{
  write_file (self, kind, FALSE);
}

void
sl_window_replace_pages (SlWindow *self)
{
  write_file (self, self->export_kind, TRUE);
}

typedef void (*GoOn) (SlWindow *self, SlExportKind kind);
static void ask_options (SlWindow *self, SlExportKind kind, const char *title, const char *go, GoOn go_on);

static void
export_to (SlWindow *self, GFile *file, SlExportKind kind)
{
  g_autofree char *name = g_file_get_basename (file), *lower = g_ascii_strdown (name, -1);
  SlFormat format = SL_FORMAT_PDF;

  if (kind == SL_EXPORT_TABLE ? !g_str_has_suffix (lower, ".csv") : !sl_format_from_name (name, &format))
    {
      g_autofree char *endings = g_strjoinv (", .", (char **) exports[kind].endings);
      g_autofree char *complaint =
          g_strdup_printf (_ ("“%1$s” does not tell what kind of file to write: it can end in .%2$s."), name, endings);

      say (self, SL_MESSAGE_ERROR, complaint, NULL);
      return;
    }
  if (kind == SL_EXPORT_SHEET)
    say_outdated (self);
  g_set_object (&self->export_file, file);
  self->export_kind = kind;
  if (format == SL_FORMAT_PNG && kind != SL_EXPORT_TEMPLATES)
    ask_options (self, kind, _ (exports[kind].title), _ ("_Export"), write_new);
  else
    write_new (self, kind);
}

/* ---- the dialog ---- */

static void
on_response (GtkNativeDialog *dialog, int response, SlWindow *self)
{
  g_autoptr (GFile) file =
      response == GTK_RESPONSE_ACCEPT ? gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog)) : NULL;

  if (file != NULL)
    export_to (self, file, GPOINTER_TO_INT (g_object_get_data (G_OBJECT (dialog), KIND_KEY)));
  g_clear_object (&self->chooser);
}

static const char *
format_title (const char *ending)
{
  static const struct
  {
    const char *name, *ending;
  } formats[] = { { N_ ("Drawing (SVG)"), "svg" },
                  { N_ ("Picture (PNG)"), "png" },
                  { N_ ("Page (PDF)"), "pdf" },
                  { N_ ("Table (CSV)"), "csv" } };
  guint i = 0;

  while (!g_str_equal (formats[i].ending, ending))
    i++;
  return _ (formats[i].name);
}

static void
choose_file (SlWindow *self, SlExportKind kind)
{
  const Export *export = &exports[kind];
  g_autoptr (GFile) folder = self->export_file != NULL ? g_file_get_parent (self->export_file)
                             : self->file != NULL      ? g_file_get_parent (self->file)
                                                       : sl_shelf_folder ();
  GtkFileChooser *chooser = sl_window_new_chooser (self, _ (export->title), GTK_FILE_CHOOSER_ACTION_SAVE, _ ("_Export"),
                                                   folder, G_CALLBACK (on_response));
  g_autofree char *name = g_strconcat (sl_bench_get_profile (self->bench)->identity.label,
                                       *export->file ? _ (export->file) : "", ".", export->endings[0], NULL);

  for (int i = 0; export->endings[i] != NULL; i++)
    sl_chooser_add_filter (chooser, format_title (export->endings[i]), export->endings[i]);
  sl_chooser_propose (chooser, name);
  g_object_set_data (G_OBJECT (chooser), KIND_KEY, GINT_TO_POINTER (kind));
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (chooser));
}

/* Asks for the file; before it, what templates have to be asked of the printer. */
void
sl_window_choose_export (SlWindow *self, SlExportKind kind)
{
  if (kind == SL_EXPORT_TEMPLATES)
    ask_options (self, kind, _ (exports[kind].title), NULL, choose_file);
  else
    choose_file (self, kind);
}

/* ---- what is asked before ---- */

typedef struct
{
  SlWindow *parent; /* borrowed: the dialog goes with it */
  SlExportKind kind;
  GoOn go_on;
  SlExportChoices *choices;    /* the parent's */
  int least_width, most_width; /* pixels, of a PNG */
  /* bound in this order */
  GtkWidget *window, *width, *width_note, *across, *across_note, *along, *along_note, *tiles, *of_picture,
      *of_templates, *go, *cancel;
} Options;

static gboolean
read_width (const Options *o, int *width)
{
  double number;
  gboolean good = sl_plain_parse (gtk_editable_get_text (GTK_EDITABLE (o->width)), sl_decimal_sign (), &number, NULL) &&
                  number == floor (number) && number >= o->least_width && number <= o->most_width;

  if (good)
    *width = (int) number;
  return good;
}

static void
on_width_changed (Options *o)
{
  int width;
  const int least = o->least_width, most = o->most_width;
  const gboolean good = read_width (o, &width);
  g_autofree char *text = good ? g_strdup_printf (_ ("%1$d to %2$d pixels."), least, most)
                               : g_strdup_printf (_ ("“%1$s” can’t be the width: a whole number from %2$d to %3$d."),
                                                  gtk_editable_get_text (GTK_EDITABLE (o->width)), least, most);

  sl_label_set (o->width_note, text);
  sl_typed_judge (o->width, !good);
  sl_set_class (o->width_note, "sl-wrong", !good);
}

static void
on_go (Options *o)
{
  const Options chosen = *o;

  if (!sl_typed_take (GTK_WINDOW (o->window)))
    return;
  if (o->kind != SL_EXPORT_TEMPLATES)
    read_width (o, &o->choices->png_width);
  else
    o->choices->half_tiles = sl_is_on (o->tiles);
  gtk_window_destroy (GTK_WINDOW (o->window));
  chosen.go_on (chosen.parent, chosen.kind);
}

/* Only of a PNG it is asked how wide it is to be. */
static void
show_width (Options *o)
{
  const gboolean picture = o->kind == SL_EXPORT_PICTURE;
  const int chosen = o->choices->png_width;
  g_autofree char *text = NULL;
  double width, height;
  int proposed;

  sl_paper_size (sl_handover_paper (), &width, &height);
  width = picture ? SL_EXPORT_SHEET_WIDTH : width / SL_POINT_MM;
  o->least_width = (int) ceil (width);
  o->most_width = (int) floor (MOST_SCALE * width);
  proposed = (int) round (width * (picture ? SL_EXPORT_PNG_SCALE : SL_EXPORT_PAGE_PNG_SCALE));
  text = g_strdup_printf ("%d", chosen == 0 ? proposed : CLAMP (chosen, o->least_width, o->most_width));
  g_signal_connect_swapped (o->width, "changed", G_CALLBACK (on_width_changed), o);
  gtk_editable_set_text (GTK_EDITABLE (o->width), text);
}

/* Asks, over the window, how templates are corrected and their fret rule is tiled, or how wide a PNG of another kind is
 * to be; then goes on. An invalid choice is reported, with what is valid. @title of the dialog, @go of the button that
 * goes on (NULL: a file is chosen next), translated. */
static void
ask_options (SlWindow *self, SlExportKind kind, const char *title, const char *go, GoOn go_on)
{
  const gboolean templates = kind == SL_EXPORT_TEMPLATES;
  Options *o = g_new (Options, 1);

  *o = (Options){ .parent = self, .kind = kind, .go_on = go_on, .choices = &self->choices[kind] };
  sl_build ("export-options", o, SL_MEMBERS (Options, window, cancel),
            "window width width_note across across_note along along_note tiles of_picture of_templates go cancel",
            NULL);
  g_object_set_data_full (G_OBJECT (o->window), "options", o, g_free);
  gtk_window_set_title (GTK_WINDOW (o->window), title);
  gtk_window_set_transient_for (GTK_WINDOW (o->window), GTK_WINDOW (self));
  sl_colour_scheme_mark (o->window);
  gtk_widget_set_visible (o->of_picture, !templates);
  gtk_widget_set_visible (o->of_templates, templates);
  if (templates)
    {
      sl_bar_entry_bind (GTK_EDITABLE (o->across), o->across_note, SL_SETTING_CORRECTION_X);
      sl_bar_entry_bind (GTK_EDITABLE (o->along), o->along_note, SL_SETTING_CORRECTION_Y);
      gtk_check_button_set_active (GTK_CHECK_BUTTON (o->tiles), o->choices->half_tiles);
    }
  else
    show_width (o);
  if (go != NULL)
    gtk_button_set_label (GTK_BUTTON (o->go), go);
  sl_name_mnemonic_button (o->go);
  sl_name_mnemonic_button (o->cancel);
  g_signal_connect_swapped (o->go, "clicked", G_CALLBACK (on_go), o);
  if (self->export_options != NULL)
    gtk_window_destroy (GTK_WINDOW (self->export_options));
  g_set_weak_pointer (&self->export_options, o->window);
  gtk_window_present (GTK_WINDOW (o->window));
}

/* ---- the clipboard ---- */

static void
on_copied (GObject *source, GAsyncResult *result, gpointer data)
{
  SlWindow *self = SL_WINDOW (source);
  const SlExportOutcome *outcome;
  g_autoptr (GError) error = NULL;
  g_autoptr (GdkTexture) texture =
      sl_export_finish (result, &outcome, &error) ? gdk_texture_new_from_bytes (outcome->bytes, &error) : NULL;

  if (!end_export (self, data))
    return;
  if (texture == NULL)
    {
      say (self, SL_MESSAGE_ERROR, error->message, NULL);
      return;
    }
  gdk_clipboard_set_texture (gtk_widget_get_clipboard (GTK_WIDGET (self)), texture);
  say (self, SL_MESSAGE_PASSING, _ ("The picture is on the clipboard."), NULL);
}

void
sl_window_copy_picture (SlWindow *self)
{
  const SlExportChoices as_proposed = { 0 };
  const SlExportTarget clipboard = { .format = SL_FORMAT_PNG };

  start_export (self, SL_EXPORT_PICTURE, &clipboard, &as_proposed, on_copied);
}

void
sl_window_copy_table (SlWindow *self)
{
  /* tabs: a spreadsheet takes it apart into cells */
  g_autofree char *table =
      sl_export_table (sl_bench_get_profile (self->bench), &sl_bench_get_analysis (self->bench)->shop, '\t');

  gdk_clipboard_set_text (gtk_widget_get_clipboard (GTK_WIDGET (self)), table);
  say (self, SL_MESSAGE_PASSING, _ ("The table is on the clipboard."), NULL);
}

/* ---- printing, with the desktop's own dialog and preview ---- */

#define MESSAGE_PRINT "print"
#define PAGES "sl-pages"

char *
sl_template_margin_complaint (const double margins_mm[4])
{
  g_autofree char *printer = NULL, *kept = NULL;
  double most = 0;

  for (int i = 0; i < 4; i++)
    most = MAX (most, margins_mm[i]);
  if (most <= SL_TEMPLATE_MARGIN_MM)
    return NULL;
  printer = sl_length_format (most, SL_LENGTHS_MM, 1, sl_decimal_sign (), TRUE);
  kept = sl_length_format (SL_TEMPLATE_MARGIN_MM, SL_LENGTHS_MM, 0, sl_decimal_sign (), TRUE);
  return g_strdup_printf (
      _ ("Nothing was printed: this printer leaves a margin of %1$s, the templates one of %2$s, so lines would be cut "
         "off. Choose paper with a narrower margin, or export the templates and print them elsewhere."),
      printer, kept);
}

/* Each page has its own way of lying. */
static void
on_page_setup (GtkPrintOperation *operation, GtkPrintContext *context, int page, GtkPageSetup *setup,
               const SlPages *pages)
{
  double width, height;

  sl_pages_size (pages, page, &width, &height);
  gtk_page_setup_set_orientation (setup,
                                  width > height ? GTK_PAGE_ORIENTATION_LANDSCAPE : GTK_PAGE_ORIENTATION_PORTRAIT);
}

static void
on_draw (GtkPrintOperation *operation, GtkPrintContext *context, int page, gpointer data)
{
  const SlPages *pages = data;

  pages->draw (pages->data, gtk_print_context_get_cairo_context (context), page);
}

GtkPrintOperation *
sl_print_pages (const SlPages *pages, SlPaper paper)
{
  GtkPrintOperation *operation = gtk_print_operation_new ();
  g_autoptr (GtkPageSetup) setup = gtk_page_setup_new ();
  GtkPaperSize *size = gtk_paper_size_new (paper == SL_PAPER_LETTER ? GTK_PAPER_NAME_LETTER : GTK_PAPER_NAME_A4);

  gtk_page_setup_set_paper_size_and_default_margins (setup, size);
  gtk_paper_size_free (size);
  gtk_print_operation_set_job_name (operation, pages->title);
  gtk_print_operation_set_default_page_setup (operation, setup);
  gtk_print_operation_set_unit (operation, GTK_UNIT_POINTS);
  gtk_print_operation_set_use_full_page (operation, TRUE);
  gtk_print_operation_set_n_pages (operation, pages->n_pages);
  g_signal_connect (operation, "request-page-setup", G_CALLBACK (on_page_setup), (gpointer) pages);
  g_signal_connect (operation, "draw-page", G_CALLBACK (on_draw), (gpointer) pages);
  return operation;
}

/* What is wrong is said before anything is printed. */
static void
on_begin (GtkPrintOperation *operation, GtkPrintContext *context, SlWindow *self)
{
  const SlPages *pages = g_object_get_data (G_OBJECT (operation), PAGES);
  double margins[4];
  g_autofree char *text = NULL;

  if (!pages->full_size ||
      !gtk_print_context_get_hard_margins (context, &margins[0], &margins[1], &margins[2], &margins[3]))
    return;
  for (int i = 0; i < 4; i++)
    margins[i] *= SL_POINT_MM;
  text = sl_template_margin_complaint (margins);
  if (text == NULL)
    return;
  sl_message_show (self->messages, MESSAGE_PRINT, SL_MESSAGE_ERROR, NULL, "%s", text);
  gtk_print_operation_cancel (operation);
}

static void
on_done (GtkPrintOperation *operation, GtkPrintOperationResult result, SlWindow *self)
{
  g_autoptr (GError) error = NULL;

  if (result != GTK_PRINT_OPERATION_RESULT_ERROR)
    return;
  gtk_print_operation_get_error (operation, &error);
  sl_message_show (self->messages, MESSAGE_PRINT, SL_MESSAGE_ERROR, NULL, _ ("Nothing was printed. %s"),
                   error != NULL ? error->message : "");
}

/* Takes @pages, which outlive changes of the profile; the window stays as long as the job. */
static void
print (SlWindow *self, SlPages *pages)
{
  g_autoptr (GtkPrintOperation) operation = sl_print_pages (pages, sl_handover_paper ());
  g_autoptr (GError) error = NULL;

  g_object_set_data_full (G_OBJECT (operation), PAGES, pages, (GDestroyNotify) sl_pages_free);
  gtk_print_operation_set_allow_async (operation, TRUE);
  g_signal_connect (operation, "begin-print", G_CALLBACK (on_begin), sl_keep (operation, self));
  g_signal_connect (operation, "done", G_CALLBACK (on_done), self);
  sl_message_withdraw (self->messages, MESSAGE_PRINT);
  gtk_print_operation_run (operation, GTK_PRINT_OPERATION_ACTION_PRINT_DIALOG, GTK_WINDOW (self), &error);
  if (error != NULL)
    sl_message_show (self->messages, MESSAGE_PRINT, SL_MESSAGE_ERROR, NULL, "%s", error->message);
}

/* Laid out in a thread, for its photographs wait for the disk. */
static void
on_laid_out (GObject *source, GAsyncResult *result, gpointer data)
{
  SlWindow *self = SL_WINDOW (source);
  const SlExportOutcome *outcome;
  const gboolean done = sl_export_finish (result, &outcome, NULL); /* else it was stopped */
  g_autoptr (SlPages) pages = outcome->pages;

  if (!end_export (self, data) || !done)
    return;
  tell_left_out (self, outcome);
  print (self, g_steal_pointer (&pages));
}

void
sl_window_print_sheet (SlWindow *self)
{
  const SlExportChoices as_proposed = { 0 };
  const SlExportTarget printer = { .as_pages = TRUE };

  say_outdated (self);
  start_export (self, SL_EXPORT_SHEET, &printer, &as_proposed, on_laid_out);
}

static void
print_templates (SlWindow *self, SlExportKind kind)
{
  g_autoptr (GError) error = NULL;
  SlPages *pages = sl_template_of_bench (self->bench, self->choices[kind].half_tiles, &error);
  g_autofree char *left_out = pages != NULL ? g_strdup (pages->left_out) : NULL;

  if (pages == NULL)
    {
      sl_message_show (self->messages, MESSAGE_PRINT, SL_MESSAGE_ERROR, NULL, "%s", error->message);
      return;
    }
  print (self, pages);
  if (left_out != NULL)
    sl_message_show (self->messages, MESSAGE_PRINT, SL_MESSAGE_NOTICE, NULL, "%s", left_out);
}

void
sl_window_print_templates (SlWindow *self)
{
  ask_options (self, SL_EXPORT_TEMPLATES, _ ("Print templates"), _ ("_Print…"), print_templates);
}
