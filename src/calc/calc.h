/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The command line: what its commands share. Each command is one file, a row of main.c's table, with its options as
 * variables of the file; what it prints goes to standard output, every message to standard error. */
#pragma once

#include <glib.h>

#include "draw/paper/documents.h"
#include "file/document.h"
#include "setup/physics/figures.h"

/* What a call ends with; over several files, the largest. */
typedef enum
{
  SL_EXIT_DONE = 0,
  SL_EXIT_FAULT = 1, /* a document is at fault */
  SL_EXIT_USAGE = 2,
  SL_EXIT_FILE = 3 /* a file can't be read or written */
} SlExit;

/* Runs a command with one file at least; what is wrong it says itself. */
typedef SlExit SlRun (char **files, const SlShop *shop);

typedef struct
{
  const char *name;            /* "compute" */
  const char *arguments;       /* "FILE…", for the usage line, marked for translation */
  const char *summary;         /* one sentence, marked for translation */
  const GOptionEntry *shared;  /* options it has like other commands; or NULL */
  const GOptionEntry *entries; /* its own; or NULL */
  int most_files;              /* 0: any number */
  gboolean takes_shop;         /* --shop: how the shop works */
  SlRun *run;
  void (*prepare) (void); /* completes @entries; or NULL */
} SlCommand;

extern SlRun sl_check, sl_compute, sl_plan, sl_draw, sl_sheet, sl_template, sl_list, sl_history, sl_pitch, sl_photos,
    sl_copy;
extern const GOptionEntry sl_compute_entries[], sl_plan_entries[], sl_sheet_entries[], sl_template_entries[],
    sl_history_entries[], sl_pitch_entries[], sl_photos_entries[], sl_copy_entries[];
extern GOptionEntry sl_draw_entries[];
void sl_draw_prepare (void);

/* For text output: which shop it was, as a line of its own. */
void sl_print_shop (void);

/* Reports what is wrong with the call and where its usage is described. Always returns SL_EXIT_USAGE. */
SlExit sl_usage_error (const char *format, ...) G_GNUC_PRINTF (1, 2);

/* Prints "FILE: message" on standard error, the message on one line. */
void sl_file_message (const char *name, const char *message);

/* Reads and validates one file given on the command line. Returns NULL, with @status set, after one line a fault,
 * "FILE:LINE: message", or one line "FILE: message" where the file can't be read. @stamp may be NULL. */
SlProfile *sl_load_profile (const char *name, char **stamp, SlExit *status);

/* Appends the whole analysis as CSV rows (sidelong-calc(1)). @file is what the first column tells, NULL for none. */
void sl_csv_rows (GString *out, const SlAnalysis *analysis, const char *file, gboolean detail);

/* Append a field and what ends it: a text, as sl_one_line() shows it, quoted where it must be and with an apostrophe
 * before what a spreadsheet would take for a formula; or a number, nothing where it is not finite. */
void sl_csv_field (GString *out, const char *text, char end);
void sl_csv_value (GString *out, double value, char end);

/* Appends one row, nothing where the figure can't be given: @prefix, the quantity, where it is (string, held, fret…,
 * SL_CSV_EMPTY where that says nothing), value, uncertainty, unit, basis. */
#define SL_CSV_EMPTY (-1)
void sl_csv_row (GString *out, const GString *prefix, const char *quantity, const int *places, int n_places,
                 const SlFigure *figure, const char *unit);

/* Appends the same as a report for people, in the user's language, with the locale's decimal sign. */
void sl_text_report (GString *out, const char *name, const SlProfile *profile, const SlAnalysis *analysis,
                     gboolean detail);

/* A part of the report: levelling, fret by fret. */
void sl_text_frets (GString *out, const SlAnalysis *analysis);

/* What a note of a recording may be: a string (0: none is known) at a fret, and the f_1 it should have, Hz. */
typedef struct
{
  double frequency;
  int string, fret;
  int twin; /* another string of that note, as in a course; 0: none */
} SlAsked;

/* Appends the notes heard in the file @sound, of SlNote, each for the first of @asked, of SlAsked, whose frequency it
 * was taken for; and what they say of the strings of @profile, which may be NULL. */
void sl_text_pitch (GString *out, const char *sound, const SlProfile *profile, const GArray *asked,
                    const GArray *notes);

/* Prints CSV as it is, a report in the terminal's character set. */
void sl_put (const GString *out, gboolean csv);

/* Appends @text filled up with spaces to @width characters, at the left, or with a negative @width at the right. */
void sl_append_padded (GString *out, const char *text, int width);

/* Appends a text of the document on one line as @format says it, if there is one; @text may be NULL. */
void sl_append_text (GString *out, const char *format, const char *text);

/* A number as sl_plain_format() writes it, with the locale's decimal sign, or a dash where it is not finite. Free with
 * g_free(). */
char *sl_plain (double value, int places);

/* Appends the same to @width as sl_append_padded() does. */
void sl_append_value (GString *out, double value, int places, int width);

/* "0.25 mm". Free with g_free(). */
char *sl_millimetres (double mm);

/* An operation in words: "lower slot, string 6: 0.08 mm". Free with g_free(). */
char *sl_operation_text (const SlInstrument *instrument, const SlOperation *operation);

/* A reading in words: "action, string 6, fret 5". Free with g_free(). */
char *sl_reading_text (const SlReading *reading);

/* The names of units of length as options spell them, indexed by SlLengths, ending with NULL. */
extern const char *const sl_unit_names[];

/* Read what was typed for an option (NULL: @value stays); SL_EXIT_USAGE after saying what --@option can be. */
SlExit sl_choose (const char *option, const char *text, const char *const *names, int *value);
SlExit sl_parse_count (const char *option, const char *text, int least, int most, int *value);
SlExit sl_parse_number (const char *option, const char *text, double least, double most, double *value);

/* --format of commands that print text unless told otherwise; the same of it. */
extern const GOptionEntry sl_format_entries[];
SlExit sl_parse_format (gboolean *csv);

/* --output and --paper of commands that write pages. */
extern const GOptionEntry sl_page_entries[];

/* Writes @bytes, whole or not at all and not over the profile @input that they were made from; where they are NULL
 * reports @drawing. */
SlExit sl_write_output (const char *output, const char *input, GBytes *bytes, const GError *drawing);
