/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Printing into a file, by the operation that prints on paper: as many pages as sidelong-calc writes of the same visit,
 * of the size of the paper; and the printer whose margins would cut a template. Paper: ISO 216. Pages are counted by
 * pdfinfo of poppler-utils. */
#include "bench/shop-lists.h"
#include "desk/window/window-private.h"
#include "file/document.h"

#include <glib/gstdio.h>
#include <locale.h>
#include <stdlib.h>
#include <string.h>

static SlBench *
open_example (void)
{
  g_autofree char *path = g_build_filename (g_getenv ("SL_SOURCE_ROOT"), "tests", "example.sidelong", NULL);
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GError) error = NULL;
  SlProfile *profile = sl_document_read (file, NULL, NULL, NULL, &error);

  g_assert_no_error (error);
  return sl_bench_new (profile);
}

/* A line of what pdfinfo says of a file, without its name. */
static char *
pdf_info (const char *path, const char *name)
{
  const char *const command[] = { "pdfinfo", path, NULL };
  g_autofree char *said = NULL;
  g_autoptr (GError) error = NULL;
  const char *at;
  int status;

  g_spawn_sync (NULL, (char **) command, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, &said, NULL, &status, &error);
  g_assert_no_error (error);
  g_assert_true (g_spawn_check_wait_status (status, NULL));
  at = strstr (said, name);
  g_assert_nonnull (at);
  at += strlen (name) + 1;
  return g_strstrip (g_strndup (at, strcspn (at, "\n")));
}

static void
print_to (const SlPages *pages, const char *path)
{
  g_autoptr (GtkPrintOperation) operation = sl_print_pages (pages, SL_PAPER_A4);
  g_autoptr (GError) error = NULL;

  gtk_print_operation_set_export_filename (operation, path);
  g_assert_cmpint (gtk_print_operation_run (operation, GTK_PRINT_OPERATION_ACTION_EXPORT, NULL, &error), ==,
                   GTK_PRINT_OPERATION_RESULT_APPLY);
  g_assert_no_error (error);
}

/* The file sidelong-calc writes of the example with @command. */
static void
calculate (const char *command, const char *path)
{
  g_autofree char *program = g_build_filename (g_getenv ("SL_BUILD_ROOT"), "src", "calc", "sidelong-calc", NULL);
  g_autofree char *source = g_build_filename (g_getenv ("SL_SOURCE_ROOT"), "tests", "example.sidelong", NULL);
  const char *const line[] = { program, command, source, "-o", path, NULL };
  g_autoptr (GError) error = NULL;
  int status;

  g_spawn_sync (NULL, (char **) line, NULL, G_SPAWN_DEFAULT, NULL, NULL, NULL, NULL, &status, &error);
  g_assert_no_error (error);
  g_assert_true (g_spawn_check_wait_status (status, NULL));
}

static void
compare (const SlPages *pages, const char *command, const char *size)
{
  g_autofree char *folder = g_dir_make_tmp ("print-XXXXXX", NULL),
                  *printed = g_build_filename (folder, "printed.pdf", NULL),
                  *written = g_build_filename (folder, "written.pdf", NULL);

  print_to (pages, printed);
  calculate (command, written);
  g_autofree char *count = pdf_info (printed, "Pages:"), *wanted = pdf_info (written, "Pages:"),
                  *paper = pdf_info (printed, "Page size:");

  g_assert_cmpstr (count, ==, wanted);
  g_assert_cmpint (atoi (count), ==, pages->n_pages);
  g_assert_true (g_str_has_prefix (paper, size));
  g_unlink (printed);
  g_unlink (written);
  g_rmdir (folder);
}

static void
test_sheet (void)
{
  g_autoptr (SlBench) bench = open_example ();
  SlHandoverOptions *options = sl_handover_options_of_bench (bench);
  g_autoptr (SlPages) pages = sl_handover_new (sl_bench_get_profile (bench), options);

  sl_handover_options_free (options);
  compare (pages, "sheet", "595.2"); /* 210 mm in points, upright */
}

static void
test_templates (void)
{
  g_autoptr (SlBench) bench = open_example ();
  g_autoptr (GError) error = NULL;
  g_autoptr (SlPages) whole = sl_template_of_bench (bench, FALSE, &error),
                      halves = sl_template_of_bench (bench, TRUE, &error);

  g_assert_no_error (error);
  compare (whole, "template", "595.2");
  g_assert_cmpint (halves->n_pages, <, whole->n_pages); /* two strips of the rule a page */
}

static char *
complain (double margin_mm)
{
  g_autoptr (GtkPageSetup) setup = gtk_page_setup_new ();

  gtk_page_setup_set_top_margin (setup, 4, GTK_UNIT_MM);
  gtk_page_setup_set_bottom_margin (setup, margin_mm, GTK_UNIT_MM);
  gtk_page_setup_set_left_margin (setup, 4, GTK_UNIT_MM);
  gtk_page_setup_set_right_margin (setup, 4, GTK_UNIT_MM);
  const double margins[] = {
    gtk_page_setup_get_top_margin (setup, GTK_UNIT_MM),
    gtk_page_setup_get_bottom_margin (setup, GTK_UNIT_MM),
    gtk_page_setup_get_left_margin (setup, GTK_UNIT_MM),
    gtk_page_setup_get_right_margin (setup, GTK_UNIT_MM),
  };

  return sl_template_margin_complaint (margins);
}

static void
test_margins (void)
{
  g_autofree char *narrow = complain (SL_TEMPLATE_MARGIN_MM - 0.5), *wide = complain (14.2);

  g_assert_null (narrow);
  g_assert_nonnull (wide);
  g_assert_nonnull (strstr (wide, "14.2 mm"));
  g_assert_nonnull (strstr (wide, "10 mm")); /* what is accepted */
}

int
main (int argc, char **argv)
{
  setlocale (LC_ALL, "");
  g_test_init (&argc, &argv, NULL);
  gtk_init ();
  g_test_add_func ("/print/sheet", test_sheet);
  g_test_add_func ("/print/templates", test_templates);
  g_test_add_func ("/print/margins", test_margins);
  return g_test_run ();
}
