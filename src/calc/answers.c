/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Answers of commands that take many files: worked out on every core, printed in the order of the files. */
#include <errno.h>
#include <stdio.h>

#include "calc.h"
#include "words/one-line.h"

#define MOST_JOBS 256
#define LOOK_AHEAD 4 /* files a core that may be done before they are printed: a bound of the memory for them */
#define MOST_LIST_BYTES (64 * 1024 * 1024)

#define JSON_BEGIN "{\"format\":\"sidelong-%s\",\"version\":1,\"files\":["

char *sl_files_from;
static char *jobs;
const GOptionEntry sl_many_entries[] = {
  { "files-from", 0, 0, G_OPTION_ARG_FILENAME, &sl_files_from,
    N_ ("More files, named in LIST one a line or with a NUL after each; “-” is standard input"), N_ ("LIST") },
  { "jobs", 'j', 0, G_OPTION_ARG_STRING, &jobs,
    N_ ("How many files are worked on at once; without it, as many as there are cores"), "N" },
  { NULL },
};

/* ---- one answer ---- */

static SlAnswer *
answer_new (const SlCommand *command, char **file, gboolean several, SlForm form)
{
  SlAnswer *answer = g_new0 (SlAnswer, 1);

  answer->name = file[0];
  answer->rest = file + 1;
  answer->command = command;
  answer->several = several;
  answer->form = form;
  answer->to = answer->out = g_string_new (NULL);
  answer->messages = g_string_new (NULL);
  answer->faults = g_string_new (NULL);
  answer->kept = g_string_new (NULL);
  return answer;
}

static void
answer_free (SlAnswer *answer)
{
  g_string_free (answer->out, TRUE);
  g_string_free (answer->messages, TRUE);
  g_string_free (answer->faults, TRUE);
  g_string_free (answer->kept, TRUE);
  g_free (answer->last);
  g_free (answer->head);
  g_strfreev (answer->columns);
  g_free (answer);
}

gboolean
sl_answer_is_input (const SlAnswer *answer)
{
  return answer->command->takes_input && sl_is_standard (answer->name);
}

const char *
sl_answer_called (const SlAnswer *answer)
{
  return sl_answer_is_input (answer) ? _ ("standard input") : answer->name;
}

void
sl_answer_title (SlAnswer *answer)
{
  g_autofree char *shown = sl_shown_name (sl_answer_called (answer));

  if (answer->several)
    g_string_append_printf (answer->out, "%s\n", shown);
}

static void
add_message (SlAnswer *answer, SlExit status, const char *name, int line, const char *message)
{
  g_autofree char *text = sl_message_line (name, line, message);

  g_string_append (answer->messages, text);
  answer->status = MAX (answer->status, status);
}

void
sl_answer_note (SlAnswer *answer, SlExit status, const char *name, const char *message)
{
  add_message (answer, status, name, 0, message);
}

void
sl_answer_fault (SlAnswer *answer, SlExit status, int line, const char *message)
{
  g_autofree char *number = line > 0 ? g_strdup_printf ("%d", line) : g_strdup ("null");

  add_message (answer, status, sl_answer_called (answer), line, message);
  g_string_append_printf (answer->faults, "%s{\"line\":%s,\"message\":", answer->faults->len > 0 ? "," : "", number);
  sl_append_json (answer->faults, message);
  g_string_append_c (answer->faults, '}');
}

/* ---- printing, in the order of the files ---- */

typedef struct
{
  const char *command;
  SlForm form;
  gboolean begun, headed; /* JSON; the columns' names of CSV */
  gboolean told;          /* any text */
  char *last;             /* what closes the text */
} Printer;

/* Text goes out in the terminal's character set, rows as they are. */
static void
put (SlForm form, const char *text)
{
  if (form != SL_FORM_TEXT || g_get_charset (NULL))
    fputs (text, stdout);
  else
    g_print ("%s", text);
}

static void
put_json (Printer *printer, const SlAnswer *answer)
{
  g_autoptr (GString) head = g_string_new (NULL);

  if (printer->begun)
    g_string_append_c (head, ',');
  else
    g_string_append_printf (head, JSON_BEGIN, printer->command);
  g_string_append (head, "\n{\"file\":");
  sl_append_json (head, answer->name);
  g_string_append_printf (head, ",\"faults\":[%s],\"rows\":[", answer->faults->str);
  fputs (head->str, stdout);
  fputs (answer->out->str, stdout);
  fputs (answer->n_rows > 0 ? "\n]}" : "]}", stdout);
  printer->begun = TRUE;
}

static void
put_answer (Printer *printer, SlAnswer *answer)
{
  g_printerr ("%s", answer->messages->str);
  if (answer->status == SL_EXIT_USAGE)
    return;
  if (printer->form == SL_FORM_JSON)
    {
      put_json (printer, answer);
      return;
    }
  if (printer->form == SL_FORM_CSV && answer->head != NULL && !printer->headed)
    fputs (answer->head, stdout);
  printer->headed = printer->headed || answer->head != NULL;
  put (printer->form, answer->out->str);
  printer->told = printer->told || answer->out->len > 0;
  g_free (printer->last);
  printer->last = g_steal_pointer (&answer->last);
}

/* What comes after all of them. */
static void
put_end (Printer *printer, const char *shop_told)
{
  if (printer->form == SL_FORM_JSON && !printer->begun)
    printf (JSON_BEGIN, printer->command);
  if (printer->form == SL_FORM_JSON)
    fputs ("\n]}\n", stdout);
  else if (printer->form == SL_FORM_TEXT && printer->told && shop_told != NULL)
    put (printer->form, shop_told);
  if (printer->last != NULL)
    put (printer->form, printer->last);
}

/* ---- working them out ---- */

typedef struct
{
  const SlCommand *command;
  const SlShop *shop;
  GThreadPool *threads; /* NULL: none but the program's own */
  GMutex lock;          /* of SlAnswer.done */
  GCond told;
} Work;

static void
answer_one (gpointer data, gpointer user_data)
{
  SlAnswer *answer = data;
  Work *work = user_data;

  work->command->run (answer, work->shop);
  g_mutex_lock (&work->lock);
  answer->done = TRUE;
  g_cond_signal (&work->told);
  g_mutex_unlock (&work->lock);
}

static void
begin_answer (Work *work, SlAnswer *answer)
{
  if (work->threads != NULL)
    g_thread_pool_push (work->threads, answer, NULL);
  else
    answer_one (answer, work);
}

static void
wait_for (Work *work, const SlAnswer *answer)
{
  g_mutex_lock (&work->lock);
  while (!answer->done)
    g_cond_wait (&work->told, &work->lock);
  g_mutex_unlock (&work->lock);
}

SlExit
sl_answer_files (const SlCommand *command, char **files, guint n_files, gboolean several, SlForm form,
                 const SlShop *shop, const char *shop_told)
{
  Work work = { .command = command, .shop = shop };
  Printer printer = { .command = command->name, .form = form };
  GQueue begun = G_QUEUE_INIT;
  SlExit status = SL_EXIT_DONE;
  double n = MIN (g_get_num_processors (), MOST_JOBS);

  if (sl_parse_number ("jobs", jobs, 1, MOST_JOBS, &n))
    return SL_EXIT_USAGE;
  n = command->writes != NULL && command->writes () ? 1 : MIN (floor (n), n_files);
  if (n > 1)
    work.threads = g_thread_pool_new (answer_one, &work, (int) n, TRUE, NULL);
  if (work.threads != NULL && g_thread_pool_get_num_threads (work.threads) == 0)
    g_thread_pool_free (g_steal_pointer (&work.threads), TRUE, TRUE); /* the system gives no more */
  for (guint next = 0; status != SL_EXIT_USAGE && !ferror (stdout) && (next < n_files || begun.length > 0);)
    {
      for (; next < n_files && begun.length < (work.threads != NULL ? LOOK_AHEAD * n : 1); next++)
        {
          g_queue_push_tail (&begun, answer_new (command, files + next, several, form));
          begin_answer (&work, begun.tail->data);
        }
      SlAnswer *answer = g_queue_pop_head (&begun);
      wait_for (&work, answer);
      put_answer (&printer, answer);
      status = MAX (status, answer->status);
      answer_free (answer);
    }
  if (work.threads != NULL)
    g_thread_pool_free (work.threads, FALSE, TRUE);
  g_queue_clear_full (&begun, (GDestroyNotify) answer_free);
  if (status != SL_EXIT_USAGE)
    put_end (&printer, shop_told);
  g_free (printer.last);
  return status;
}

/* ---- files, and standard input ---- */

gboolean
sl_is_standard (const char *name)
{
  return g_str_equal (name, "-");
}

GBytes *
sl_read_stream (FILE *stream, gsize most)
{
  g_autoptr (GByteArray) bytes = g_byte_array_new ();
  guint8 part[BUFSIZ];

  for (gsize n; bytes->len <= most && (n = fread (part, 1, sizeof part, stream)) > 0;)
    g_byte_array_append (bytes, part, (guint) n);
  return ferror (stream) ? NULL : g_byte_array_free_to_bytes (g_steal_pointer (&bytes));
}

/* The names of a list are lines, or with a NUL anywhere end with one each; empty ones are none. */
static void
append_names (GStrvBuilder *names, GBytes *list)
{
  gsize length;
  const char *at = g_bytes_get_data (list, &length), *end = at + length;
  const int mark = length > 0 && memchr (at, '\0', length) != NULL ? '\0' : '\n';

  while (at < end)
    {
      const char *found = memchr (at, mark, (gsize) (end - at)), *stop = found != NULL ? found : end;
      g_autofree char *name = g_strndup (at, (gsize) (stop - at));

      if (*name != '\0')
        g_strv_builder_add (names, name);
      at = stop + 1;
    }
}

SlExit
sl_list_files (char ***files)
{
  if (sl_files_from == NULL)
    return SL_EXIT_DONE;
  g_autoptr (GStrvBuilder) names = g_strv_builder_new ();
  FILE *stream = sl_is_standard (sl_files_from) ? stdin : fopen (sl_files_from, "r");
  g_autoptr (GBytes) list = stream != NULL ? sl_read_stream (stream, MOST_LIST_BYTES) : NULL;
  const char *message = list == NULL                                ? g_strerror (errno)
                        : g_bytes_get_size (list) > MOST_LIST_BYTES ? _ ("a list of files is 64 MiB at most")
                                                                    : NULL;

  if (stream != NULL && stream != stdin)
    fclose (stream);
  if (message != NULL)
    {
      sl_file_message (sl_is_standard (sl_files_from) ? _ ("standard input") : sl_files_from, message);
      return SL_EXIT_FILE;
    }
  for (char **name = *files; name != NULL && *name != NULL; name++)
    g_strv_builder_add (names, *name);
  append_names (names, list);
  g_strfreev (*files);
  *files = g_strv_builder_end (names);
  return SL_EXIT_DONE;
}
