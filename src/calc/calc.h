/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The command line: what its commands share. Each command is one file, a row of main.c's table, with its options as
 * variables of the file; what it prints goes to standard output, every message to standard error. */
#pragma once

#include <glib.h>
#include <stdio.h>

#include "draw/paper/documents.h"
#include "file/document.h"

/* What a call ends with; over several files, the largest. */
typedef enum
{
  SL_EXIT_DONE = 0,
  SL_EXIT_FAULT = 1, /* a document is at fault */
  SL_EXIT_USAGE = 2,
  SL_EXIT_FILE = 3 /* a file can't be read or written */
} SlExit;

/* How it is printed: for people, or for programs as CSV or JSON (sidelong-calc(1)). */
typedef enum
{
  SL_FORM_TEXT,
  SL_FORM_CSV,
  SL_FORM_JSON
} SlForm;

typedef struct _SlCommand SlCommand;

/* What a command says of one file. Commands that take many work on several at once, each in a thread: all they say goes
 * here, and is printed in the order of the files. */
typedef struct
{
  const char *name;  /* as it was called, "-" for standard input */
  char *const *rest; /* the files called after it; in front of them it is itself */
  const SlCommand *command;
  gboolean several; /* it is one of several */
  SlForm form;
  SlExit status;
  GString *out;      /* text, or rows */
  GString *messages; /* lines for standard error */
  GString *faults;   /* in JSON */
  char *last;        /* a line of text that closes all; or NULL */
  gboolean done;

  char **columns, *head; /* of the rows; NULL where there are none */
  int n_columns, column, n_kept;
  guint n_rows;
  GString *kept, *to; /* how each row begins; where fields go, @out or @kept */
  gsize own;          /* bytes of @kept that are every row's */
} SlAnswer;

/* Says in @answer what is wrong with its file; what is wrong with the call it may only say where it is not @several. */
typedef void SlRun (SlAnswer *answer, const SlShop *shop);

struct _SlCommand
{
  const char *name;            /* "compute" */
  const char *arguments;       /* "FILE…", for the usage line, marked for translation */
  const char *summary;         /* one sentence, marked for translation */
  const GOptionEntry *shared;  /* options it has like other commands; or NULL */
  const GOptionEntry *entries; /* its own; or NULL */
  int most_files;              /* 0: any number */
  gboolean takes_shop;         /* --shop: how the shop works */
  gboolean takes_input;        /* "-" is standard input */
  SlRun *run;
  void (*prepare) (void);    /* completes @entries; or NULL */
  gboolean (*writes) (void); /* whether it changes files, and so takes one after the other; or NULL */
};

extern SlRun sl_check, sl_compute, sl_plan, sl_draw, sl_sheet, sl_template, sl_list, sl_history, sl_pitch, sl_photos,
    sl_copy, sl_merge_files, sl_archive;
extern const GOptionEntry sl_compute_entries[], sl_plan_entries[], sl_sheet_entries[], sl_template_entries[],
    sl_pitch_entries[], sl_photos_entries[], sl_copy_entries[], sl_merge_entries[], sl_pack_entries[],
    sl_unpack_entries[];
extern GOptionEntry sl_draw_entries[];
void sl_draw_prepare (void);
gboolean sl_plan_writes (void), sl_photos_writes (void);

/* --files-from, or NULL, and --jobs of commands that take many files. */
extern char *sl_files_from;
extern const GOptionEntry sl_many_entries[];

/* Adds the files that --files-from lists, if it was given; SL_EXIT_FILE after saying why they can't be told. */
SlExit sl_list_files (char ***files);

/* Runs the command for each of the files, printing as it goes; text ends with @shop_told (NULL: it does not). Returns
 * the largest of their statuses. */
SlExit sl_answer_files (const SlCommand *command, char **files, guint n_files, gboolean several, SlForm form,
                        const SlShop *shop, const char *shop_told);

/* Whether @name, of an output or a list, is "-"; whether the answer is to standard input. */
gboolean sl_is_standard (const char *name);
gboolean sl_answer_is_input (const SlAnswer *answer);

/* All of a stream, or @most bytes and a few more; NULL, with errno, where it can't be read. */
GBytes *sl_read_stream (FILE *stream, gsize most);

/* Reports what is wrong with the call and where its usage is described. Always returns SL_EXIT_USAGE. */
SlExit sl_usage_error (const char *format, ...) G_GNUC_PRINTF (1, 2);

/* Prints "FILE: message" on standard error, the message on one line. */
void sl_file_message (const char *name, const char *message);

/* That line, or with a @line over 0 "FILE:LINE: message". Free with g_free(). */
char *sl_message_line (const char *name, int line, const char *message);

/* A message in an answer, "FILE: message", or with a line "FILE:LINE: message", and the largest status so far. */
void sl_answer_fault (SlAnswer *answer, SlExit status, int line, const char *message);

/* The same of another file, or one that is no fault (SL_EXIT_DONE). */
void sl_answer_note (SlAnswer *answer, SlExit status, const char *name, const char *message);

/* How the file is called in text and messages; and that as a line of text before what is said of it, one of several. */
const char *sl_answer_called (const SlAnswer *answer);
void sl_answer_title (SlAnswer *answer);

/* Reads and validates the answer's file. Returns NULL after one line a fault. @stamp may be NULL. */
SlProfile *sl_load_profile (SlAnswer *answer, char **stamp);

/* Saves @profile in the file @name, with the pictures in @photos beside it; says what can't be
 * saved, and then takes back what is in @made (sl_photos_carry()). @stamp as for sl_document_save(). */
void sl_save_copy (SlAnswer *answer, const char *name, const SlProfile *profile, GFile *photos, GPtrArray *made,
                   char **stamp);

/* Begins rows of these columns, "state,quantity,string"; of one of several files CSV has @own before them (NULL: none).
 */
void sl_rows_begin (SlAnswer *answer, const char *own, const char *columns);

/* Put the next field of a row, which ends with its last column. A text is whole in JSON; in CSV it is as sl_one_line()
 * shows it, quoted where it must be and with an apostrophe before what a spreadsheet would take for a formula. A word
 * is one of ours, and needs none of that. NULL, an empty text, a number that is not finite and SL_NONE are no value. */
#define SL_NONE (-1)
void sl_put_text (SlAnswer *answer, const char *text);
void sl_put_word (SlAnswer *answer, const char *word);
void sl_put_number (SlAnswer *answer, double value);
void sl_put_count (SlAnswer *answer, int n);

/* What is put between them begins each row from then on. */
void sl_rows_renew (SlAnswer *answer);
void sl_rows_keep (SlAnswer *answer);

/* Puts the rest of a row, or none where the figure can't be given: the quantity, where it is (string, held, fret…),
 * value, uncertainty, unit, basis. */
void sl_put_figure (SlAnswer *answer, const char *quantity, const int *places, int n_places, const SlFigure *figure,
                    const char *unit);

/* Puts the whole analysis (sidelong-calc(1)). */
void sl_put_analysis (SlAnswer *answer, const SlAnalysis *analysis, gboolean detail);

/* Appends a text for JSON, in its quotes. */
void sl_append_json (GString *out, const char *text);

/* Appends the whole analysis as a report for people, in the user's language, with the locale's decimal sign. */
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

/* --format of commands that print text unless told otherwise, and of those that print CSV; the same of both. */
extern const GOptionEntry sl_format_entries[], sl_rows_entries[];
SlExit sl_parse_form (SlForm *form);

/* --output and --paper of commands that write pages. */
extern const GOptionEntry sl_page_entries[];

/* SL_EXIT_USAGE, after saying so, where @output is standard output and that is a terminal. */
SlExit sl_check_output (const char *output);

/* Writes @bytes, whole or not at all and not over the answer's profile that they were made from; where they are NULL
 * reports @drawing. */
void sl_write_output (SlAnswer *answer, const char *output, GBytes *bytes, const GError *drawing);
