/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Rows for other programs, as CSV (RFC 4180, a line feed after each) or as JSON (RFC 8259): the same columns, figures
 * and digits in both. */

#include "calc.h"
#include "words/one-line.h"

/* smaller than this only by what is left of sums of millimetres: 0, and the same 0 on every machine */
#define ROUNDING 1e-12

/* Whether a spreadsheet would take a text for a formula and work it out. */
static gboolean
looks_like_formula (const char *text)
{
  static const char *const beginnings[] = { "=", "+", "-", "@", "−", "＝", "＋", "－", "＠" };

  for (gsize i = 0; i < G_N_ELEMENTS (beginnings); i++)
    if (g_str_has_prefix (text, beginnings[i]))
      return TRUE;
  return FALSE;
}

static void
append_csv (GString *out, const char *text)
{
  g_autofree char *line = sl_one_line (text);
  const char *quote = strpbrk (line, ",\"") != NULL ? "\"" : "";
  g_string_append (out, quote);
  if (looks_like_formula (line))
    g_string_append_c (out, '\'');
  for (const char *c = line; *c != '\0'; c++)
    {
      if (*c == '"')
        g_string_append_c (out, '"');
      g_string_append_c (out, *c);
    }
  g_string_append (out, quote);
}

void
sl_append_json (GString *out, const char *text)
{
  g_autofree char *shown = g_utf8_validate (text, -1, NULL) ? NULL : sl_one_line (text);

  g_string_append_c (out, '"');
  for (const char *at = shown != NULL ? shown : text; *at != '\0'; at = g_utf8_next_char (at))
    {
      const gunichar c = g_utf8_get_char (at);

      if (sl_acts (c))
        g_string_append_printf (out, "\\u%04x", c);
      else
        {
          g_string_append (out, c == '"' || c == '\\' ? "\\" : "");
          g_string_append_len (out, at, g_utf8_next_char (at) - at);
        }
    }
  g_string_append_c (out, '"');
}

static gboolean
is_json (const SlAnswer *answer)
{
  return answer->form == SL_FORM_JSON;
}

void
sl_rows_begin (SlAnswer *answer, const char *own, const char *columns)
{
  answer->columns = g_strsplit (columns, ",", -1);
  answer->n_columns = (int) g_strv_length (answer->columns);
  answer->head =
      answer->several && own != NULL ? g_strconcat (own, ",", columns, "\n", NULL) : g_strconcat (columns, "\n", NULL);
  if (answer->several && own != NULL && !is_json (answer))
    {
      if (sl_answer_is_input (answer))
        g_string_append (answer->kept, answer->name); /* no formula */
      else
        append_csv (answer->kept, answer->name);
      g_string_append_c (answer->kept, ',');
    }
  answer->own = answer->kept->len;
}

void
sl_rows_renew (SlAnswer *answer)
{
  g_string_truncate (answer->kept, answer->own);
  answer->to = answer->kept;
  answer->column = 0;
}

void
sl_rows_keep (SlAnswer *answer)
{
  answer->n_kept = answer->column;
  answer->to = answer->out;
  answer->column = 0;
}

typedef enum
{
  FIELD_TEXT,
  FIELD_WORD, /* one of ours: nothing in it to be quoted or escaped but in JSON its ends */
  FIELD_NUMBER
} FieldKind;

/* What stands before the next field. */
static void
begin_field (SlAnswer *answer)
{
  GString *to = answer->to;

  if (to == answer->out && answer->column == 0)
    {
      if (is_json (answer))
        g_string_append (to, answer->n_rows++ > 0 ? ",\n" : "\n");
      g_string_append_len (to, answer->kept->str, (gssize) answer->kept->len);
      answer->column = answer->n_kept;
    }
  if (is_json (answer))
    {
      g_string_append (to, answer->column == 0 ? "{\"" : ",\"");
      g_string_append (to, answer->columns[answer->column]);
      g_string_append (to, "\":");
    }
  else if (answer->column > 0)
    g_string_append_c (to, ',');
}

static void
put_field (SlAnswer *answer, FieldKind kind, const char *text)
{
  const gboolean json = is_json (answer);

  begin_field (answer);
  if (text == NULL || *text == '\0')
    g_string_append (answer->to, json ? "null" : "");
  else if (kind == FIELD_NUMBER || (kind == FIELD_WORD && !json))
    g_string_append (answer->to, text);
  else
    (json ? sl_append_json : append_csv) (answer->to, text);
  if (++answer->column < answer->n_columns)
    return;
  answer->column = 0;
  g_string_append_c (answer->to, json ? '}' : '\n');
}

void
sl_put_text (SlAnswer *answer, const char *text)
{
  put_field (answer, FIELD_TEXT, text);
}

void
sl_put_word (SlAnswer *answer, const char *word)
{
  put_field (answer, FIELD_WORD, word);
}

void
sl_put_number (SlAnswer *answer, double value)
{
  char number[SL_NUMBER_CHARS];

  put_field (answer, FIELD_NUMBER,
             isfinite (value) ? sl_number_nine_digits (fabs (value) < ROUNDING ? 0 : value, number) : NULL);
}

void
sl_put_count (SlAnswer *answer, int n)
{
  if (n == SL_NONE)
    put_field (answer, FIELD_NUMBER, NULL);
  else
    sl_put_number (answer, n);
}

void
sl_put_figure (SlAnswer *answer, const char *quantity, const int *places, int n_places, const SlFigure *figure,
               const char *unit)
{
  if (!isfinite (figure->value))
    return;
  sl_put_word (answer, quantity);
  for (int i = 0; i < n_places; i++)
    sl_put_count (answer, places[i]);
  sl_put_number (answer, figure->value);
  sl_put_number (answer, SL_COVERAGE * figure->u);
  sl_put_word (answer, unit);
  sl_put_word (answer, sl_basis_names[figure->basis]);
}
