/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * An export: worked out from a copy of what is on a bench and written, all in a thread, so that neither a large
 * document nor a slow share holds up the window. */
#pragma once

#include "bench/bench.h"
#include "draw/base/picture.h"

typedef enum
{
  SL_EXPORT_PICTURE,
  SL_EXPORT_SHEET,
  SL_EXPORT_TEMPLATES,
  SL_EXPORT_TABLE
} SlExportKind;

/* What is chosen, and kept for the next time. */
typedef struct
{
  int png_width;       /* 0: as proposed */
  gboolean half_tiles; /* two strips of the fret rule on a page */
} SlExportChoices;

/* The sheet a picture is drawn on, and how many pixels a unit has as PNG unless a width is chosen. */
#define SL_EXPORT_SHEET_WIDTH 1400
#define SL_EXPORT_SHEET_HEIGHT 900
#define SL_EXPORT_PNG_SCALE 2.0
#define SL_EXPORT_PAGE_PNG_SCALE (200.0 / 72) /* pages at 200 dots an inch */

/* Where it goes, and as what. */
typedef struct
{
  GFile *file;             /* NULL: into the outcome; another may have been there */
  GFile *profile;          /* what is on the bench, which is never written over; NULL: it was not saved yet */
  SlFormat format;         /* a table has only one */
  gboolean replaces_pages; /* several files stand for pages: these may be there already */
} SlExportTarget;

/* What came of it. */
typedef struct
{
  int n_pages;      /* files, of which several stand for pages: "sheet.svg" becomes "sheet-1.svg", "sheet-2.svg" */
  GPtrArray *files; /* of GFile: those written */
  GBytes *bytes;    /* where no file was given: what would stand in it */
  char *left_out;   /* templates that can't be drawn, and why, as a sentence; NULL: none */
} SlExportOutcome;

/* Exports what is on @bench now, with its units and its view. @done is called with @source, an object that is kept
 * until then. Once @cancellable is cancelled no further page is written; a file that is not whole is not put in place.
 */
void sl_export_async (gpointer source, SlBench *bench, SlExportKind kind, const SlExportTarget *target,
                      const SlExportChoices *choices, GCancellable *cancellable, GAsyncReadyCallback done,
                      gpointer data);

/* The outcome is the result's, also where it failed half-way: FALSE with @error (SL_PICTURE_ERROR, SL_DOCUMENT_ERROR,
 * G_IO_ERROR: EXISTS where pages are in the way, which it names, and nothing was written). */
gboolean sl_export_finish (GAsyncResult *result, const SlExportOutcome **outcome, GError **error);

/* The table as text; free with g_free(). */
char *sl_export_table (const SlProfile *profile, const SlShop *shop, char separator);
