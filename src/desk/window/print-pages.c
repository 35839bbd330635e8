/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/window/print-pages.h"

#include <glib/gi18n-lib.h>

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

static GtkPageSetup *
page_setup (SlPaper paper)
{
  GtkPageSetup *setup = gtk_page_setup_new ();
  GtkPaperSize *size = gtk_paper_size_new (paper == SL_PAPER_LETTER ? GTK_PAPER_NAME_LETTER : GTK_PAPER_NAME_A4);

  gtk_page_setup_set_paper_size_and_default_margins (setup, size);
  gtk_paper_size_free (size);
  return setup;
}

GtkPrintOperation *
sl_print_pages (const SlPages *pages, SlPaper paper)
{
  GtkPrintOperation *operation = gtk_print_operation_new ();
  g_autoptr (GtkPageSetup) setup = page_setup (paper);

  gtk_print_operation_set_job_name (operation, pages->title);
  gtk_print_operation_set_default_page_setup (operation, setup);
  gtk_print_operation_set_unit (operation, GTK_UNIT_POINTS);
  gtk_print_operation_set_use_full_page (operation, TRUE);
  gtk_print_operation_set_n_pages (operation, pages->n_pages);
  g_signal_connect (operation, "request-page-setup", G_CALLBACK (on_page_setup), (gpointer) pages);
  g_signal_connect (operation, "draw-page", G_CALLBACK (on_draw), (gpointer) pages);
  return operation;
}
