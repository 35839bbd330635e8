/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Printing the hand-over sheet and the templates, with the desktop's own dialog and preview. */
#include "bench/shop-lists.h"
#include "desk/kit/util.h"
#include "desk/window/window-private.h"

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
on_page_setup (GtkPrintOperation *operation, GtkPrintContext *context, int page, GtkPageSetup *setup, gpointer data)
{
  const SlPages *pages = data;
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
on_begin (GtkPrintOperation *operation, GtkPrintContext *context, gpointer data)
{
  const SlPages *pages = g_object_get_data (G_OBJECT (operation), PAGES);
  SlWindow *self = data;
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
on_done (GtkPrintOperation *operation, GtkPrintOperationResult result, gpointer data)
{
  SlWindow *self = data;
  g_autoptr (GError) error = NULL;

  if (result != GTK_PRINT_OPERATION_RESULT_ERROR)
    return;
  gtk_print_operation_get_error (operation, &error);
  sl_message_show (self->messages, MESSAGE_PRINT, SL_MESSAGE_ERROR, NULL, _ ("Nothing was printed. %s"),
                   error != NULL ? error->message : "");
}

/* Takes @pages, which outlive changes of the profile; the window stays as long as the job. */
static void
start (SlWindow *self, SlPages *pages)
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

void
sl_window_print_sheet (SlWindow *self)
{
  sl_window_say_outdated (self);
  start (self, sl_handover_of_bench (self->bench));
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
  start (self, pages);
  if (left_out != NULL)
    sl_message_show (self->messages, MESSAGE_PRINT, SL_MESSAGE_NOTICE, NULL, "%s", left_out);
}

void
sl_window_print_templates (SlWindow *self)
{
  sl_window_ask_options (self, SL_EXPORT_TEMPLATES, _ ("Print templates"), _ ("_Print…"), print_templates);
}
