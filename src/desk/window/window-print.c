/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Printing the hand-over sheet and the templates, with the desktop's own dialog and preview. */
#include "bench/handover-options.h"
#include "desk/window/print-pages.h"
#include "desk/window/window-private.h"

#include <glib/gi18n-lib.h>

#define MESSAGE_PRINT "print"

/* What one print job draws; it outlives changes of the profile. */
typedef struct
{
  SlWindow *window; /* owned */
  SlPages *pages;   /* owned */
} Job;

static void
job_free (gpointer data, GClosure *closure)
{
  Job *job = data;

  sl_pages_free (job->pages);
  g_clear_object (&job->window);
  g_free (job);
}

/* Said before anything is printed. */
static gboolean
margins_fit (Job *job, GtkPrintContext *context)
{
  double margins[4] = { 0 };
  g_autofree char *text = NULL;

  if (!job->pages->full_size ||
      !gtk_print_context_get_hard_margins (context, &margins[0], &margins[1], &margins[2], &margins[3]))
    return TRUE;
  for (int i = 0; i < 4; i++)
    margins[i] *= SL_POINT_MM;
  text = sl_template_margin_complaint (margins);
  if (text != NULL)
    sl_window_say (job->window, MESSAGE_PRINT, SL_MESSAGE_ERROR, text, NULL);
  return text == NULL;
}

static void
on_begin (GtkPrintOperation *operation, GtkPrintContext *context, gpointer data)
{
  Job *job = data;

  if (margins_fit (job, context))
    gtk_print_operation_set_n_pages (operation, job->pages->n_pages);
  else
    gtk_print_operation_cancel (operation);
}

static void
on_done (GtkPrintOperation *operation, GtkPrintOperationResult result, gpointer data)
{
  Job *job = data;
  g_autoptr (GError) error = NULL;
  g_autofree char *text = NULL;

  if (result != GTK_PRINT_OPERATION_RESULT_ERROR)
    return;
  gtk_print_operation_get_error (operation, &error);
  text = g_strdup_printf (_ ("Nothing was printed. %s"), error != NULL ? error->message : "");
  sl_window_say (job->window, MESSAGE_PRINT, SL_MESSAGE_ERROR, text, NULL);
}

static void
start (Job *job)
{
  g_autoptr (GtkPrintOperation) operation = sl_print_pages (job->pages, sl_handover_paper ());
  g_autoptr (GError) error = NULL;

  gtk_print_operation_set_allow_async (operation, TRUE);
  g_signal_connect (operation, "begin-print", G_CALLBACK (on_begin), job);
  g_signal_connect_data (operation, "done", G_CALLBACK (on_done), job, job_free, 0);
  sl_window_unsay (job->window, MESSAGE_PRINT);
  gtk_print_operation_run (operation, GTK_PRINT_OPERATION_ACTION_PRINT_DIALOG, GTK_WINDOW (job->window), &error);
  if (error != NULL)
    sl_window_say (job->window, MESSAGE_PRINT, SL_MESSAGE_ERROR, error->message, NULL);
}

void
sl_window_print_sheet (SlWindow *self)
{
  Job *job = g_new0 (Job, 1);

  job->window = g_object_ref (self);
  job->pages = sl_handover_of_bench (self->bench);
  sl_window_say_outdated (self);
  start (job);
}

static void
print_templates (GtkWindow *window, int what)
{
  SlWindow *self = SL_WINDOW (window);
  g_autoptr (GError) error = NULL;
  SlPages *pages = sl_template_of_bench (self->bench, self->template_choices.half_tiles, &error);
  Job *job;

  if (pages == NULL)
    {
      sl_window_say (self, MESSAGE_PRINT, SL_MESSAGE_ERROR, error->message, NULL);
      return;
    }
  job = g_new0 (Job, 1);
  job->window = g_object_ref (self);
  job->pages = pages;
  start (job);
  if (pages->left_out != NULL)
    sl_window_say (self, MESSAGE_PRINT, SL_MESSAGE_NOTICE, pages->left_out, NULL);
}

void
sl_window_print_templates (SlWindow *self)
{
  const SlExportQuestion question = { .title = _ ("Print templates"), .go = _ ("_Print…"), .template = TRUE };

  sl_window_ask_options (self, &question, &self->template_choices, print_templates, 0);
}
