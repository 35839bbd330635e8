/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The command line: what its commands share. Each command is one file with one run function, listed in main.c's table;
 * what it prints goes to standard output, every message to standard error. */
#pragma once

#include <glib.h>

#include "draw/paper/documents.h"
#include "file/document.h"
#include "setup/physics/figures.h"

typedef enum
{
  SL_EXIT_DONE = 0,
  SL_EXIT_FAULT = 1, /* a document is at fault */
  SL_EXIT_USAGE = 2,
  SL_EXIT_FILE = 3 /* a file can't be read or written */
} SlExit;

/* What a call over several files ends with: a file that can't be read outweighs a document at fault. */
SlExit sl_exit_worse (SlExit a, SlExit b);

typedef struct
{
  const char *name;      /* "compute" */
  const char *arguments; /* "FILE…", for the usage line, marked for translation */
  const char *summary;   /* one sentence, marked for translation */
  SlExit (*run) (int argc, char **argv);
} SlCommand;

extern const SlCommand sl_check_command, sl_compute_command, sl_plan_command, sl_draw_command, sl_sheet_command,
    sl_template_command;
extern const SlCommand sl_list_command, sl_history_command;

/* How the shop works, as --shop gave it, and the name of the file; NULL: the defaults. */
typedef struct
{
  SlShop values;
  char *file;
} SlShopArgument;

void sl_shop_argument_clear (SlShopArgument *shop);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (SlShopArgument, sl_shop_argument_clear)

/* For text output: which it was, as a line of its own. */
void sl_print_shop (const SlShopArgument *shop);

/* Parses a command's arguments. The file names left over come back in @files (free with g_strfreev()): at least one, at
 * most @most_files (0: any number); with @shop, the command takes --shop. Otherwise than SL_EXIT_DONE the command ends
 * with what is returned: what is wrong has been said. */
SlExit sl_command_parse (const SlCommand *command, const GOptionEntry *entries, int most_files, int argc, char **argv,
                         SlShopArgument *shop, char ***files);

/* Reports what is wrong with a call and where its usage is described. Always returns SL_EXIT_USAGE. */
SlExit sl_usage_error (const SlCommand *command, const char *format, ...) G_GNUC_PRINTF (2, 3);

/* Prints "FILE: message" on standard error, the message on one line. */
void sl_file_message (const char *name, const char *message);

/* Reads and validates one file given on the command line. Returns NULL, with @status set, after one line a fault,
 * "FILE:LINE: message", or one line "FILE: message" where the file can't be read. @stamp may be NULL. */
SlProfile *sl_load_profile (const char *name, SlDocumentStamp *stamp, SlExit *status);

/* Appends the whole analysis as CSV rows (sidelong-calc(1)). @file_field is the first column's text, already quoted, or
 * NULL for none. */
void sl_csv_header (GString *out, gboolean with_file);
char *sl_csv_quote (const char *text);
void sl_csv_rows (GString *out, const SlAnalysis *analysis, const char *file_field, gboolean detail);

/* Writes @value in the C locale with up to nine significant digits, as "%.9g" would, but some times faster, and what is
 * only rounding as 0; returns the end of what was written.
 * @buffer takes at least SL_CSV_NUMBER_CHARS bytes; @value is finite. */
#define SL_CSV_NUMBER_CHARS 40
char *sl_csv_number (char *buffer, double value);

/* Writes a whole number, at least @width digits; returns the end of what was written, without a closing 0. */
char *sl_put_digits (char *at, guint64 value, int width);

/* Writes a number for people as sl_plain_format() does, @places (at most 6) decimals; @value is finite and below 1e9.
 * Returns the end of what it wrote. */
char *sl_put_plain (char *at, double value, int places, const char *decimal);

/* Appends the same as a report for people, in the user's language, with the locale's decimal sign. */
void sl_text_report (GString *out, const char *name, const SlProfile *profile, const SlAnalysis *analysis,
                     gboolean detail);

/* Parts of it: slots, saddle top, least-squares places of crest and nut; strings whose core carries too much. */
void sl_text_nut_and_saddle (GString *out, const SlAnalysis *analysis);
void sl_text_stress (GString *out, const SlAnalysis *analysis);
void sl_text_frets (GString *out, const SlAnalysis *analysis); /* levelling, fret by fret */

/* Prints CSV as it is, a report in the terminal's character set. */
void sl_print (const GString *out, gboolean csv);

/* Appends @text filled up with spaces to @width characters, at the left, or with a negative @width at the right. */
void sl_append_padded (GString *out, const char *text, int width);

/* An operation in words: "lower slot, string 6: 0.08 mm"; @screws: the saddles stand on height screws. Free with
 * g_free(). */
char *sl_operation_text (const SlOperation *operation, gboolean screws);

/* A reading in words: "action, string 6, fret 5". Free with g_free(). */
char *sl_reading_text (const SlReading *reading);

/* For commands that write a document: the names of units of length as options spell them, indexed by SlLengths, ending
 * with NULL. */
extern const char *const sl_unit_names[];

/* The place of @text (NULL: @value stays) in @names; FALSE after saying what --@option can be. */
gboolean sl_choose (const SlCommand *command, const char *option, const char *text, const char *const *names,
                    int *value);

/* What commands that write pages have in common, as typed; NULL where not given. */
typedef struct
{
  char *output, *paper, *units;
  SlShopArgument shop;
} SlPageArguments;

/* Parses the arguments of a command for one file: what such commands share, and the command's own @entries, ending with
 * an empty one. @units_help: what --units says of itself, marked for translation. @file is to be freed with g_free().
 * Returns as sl_command_parse() does. */
SlExit sl_parse_pages (const SlCommand *command, const GOptionEntry *entries, const char *units_help, int argc,
                       char **argv, SlPageArguments *arguments, char **file, SlPaper *paper, SlLengths *lengths);
void sl_page_arguments_clear (SlPageArguments *arguments);

/* Writes @bytes; where they are NULL reports @drawing. */
SlExit sl_write_output (const char *output, GBytes *bytes, const GError *drawing);
