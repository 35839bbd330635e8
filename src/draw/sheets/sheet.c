/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/sheets/sheet.h"

#define LINE_GAP SL_SPACE_CLOSE /* between lines: texts closer than that count as lying on each other */

void
sl_sheet_init (SlSheet *sheet, SlScene *scene)
{
  *sheet = (SlSheet){
    .scene = scene,
    .in = scene->instrument,
    .chosen = scene->chosen,
    .row = sl_scene_text_height (scene) + LINE_GAP + 0.5,
    .half = sl_scene_text_height (scene) / 2,
  };
}

const char *
sl_sheet_string_name (const SlSheet *sheet, int string)
{
  char note[SL_NOTE_CHARS];

  sl_note_near (sheet->in->strings[string - 1].frequency_hz, note);
  return sl_kept (sheet->scene, g_strchomp (g_strdup_printf ("%d %s", string, note)));
}

void
sl_sheet_name (const SlSheet *sheet, int string, gboolean small, double x, double middle, double align)
{
  sl_scene_text (sheet->scene, SL_INK_TEXT, string == sheet->chosen, small, sl_sheet_string_name (sheet, string), x,
                 middle - sheet->half, align);
}

const char *
sl_sheet_number (const SlSheet *sheet, double value, int places)
{
  return sl_kept (sheet->scene, sl_plain_format (value, places, sheet->scene->options->decimal));
}

const char *
sl_sheet_length (const SlSheet *sheet, double mm)
{
  const SlTextStyle style = sl_scene_style (sheet->scene);

  return sl_kept (sheet->scene, sl_text_fine (&style, mm)); /* one column has all sizes */
}

double
sl_sheet_width (const SlSheet *sheet, gboolean bold, gboolean small, const char *text)
{
  SlWording wording = { .n = 0 };

  sl_wording_add (&wording, SL_INK_TEXT, bold, small, text);
  return sl_wording_size (sheet->scene, &wording).width;
}

double
sl_sheet_names_width (const SlSheet *sheet, gboolean small)
{
  double widest = 0;

  for (int s = 1; s <= sheet->in->n_strings; s++)
    widest = MAX (widest, sl_sheet_width (sheet, TRUE, small, sl_sheet_string_name (sheet, s)));
  return widest;
}

const char *
sl_sheet_fitting (const SlSheet *sheet, const char *const *texts, int n, gboolean bold, gboolean small, double width)
{
  for (int i = 0; i + 1 < n; i++)
    if (sl_sheet_width (sheet, bold, small, texts[i]) <= width)
      return texts[i];
  return texts[n - 1];
}

/* A line as a wording: in pieces, as a run holds fewer bytes than a wide line. */
static SlWording
line_wording (SlInk ink, gboolean bold, const char *line)
{
  SlWording wording = { .n = 0 };

  while (*line != '\0' && wording.n < SL_MAX_RUNS)
    {
      char piece[sizeof wording.runs[0].text];
      gsize length = strlen (line);

      if (length >= sizeof piece)
        for (length = sizeof piece - 1; length > 1 && line[length] != ' ';)
          length--;
      memcpy (piece, line, length);
      piece[length] = '\0';
      sl_wording_add (&wording, ink, bold, TRUE, piece);
      line += length;
    }
  return wording;
}

/* Breaks @text into lines of at most @width. */
static GPtrArray *
break_lines (const SlSheet *sheet, gboolean bold, const char *text, double width)
{
  g_auto (GStrv) words = g_strsplit (text, " ", -1);
  g_autoptr (GString) line = g_string_new (NULL);
  GPtrArray *lines = g_ptr_array_new_with_free_func (g_free);

  for (int i = 0; words[i] != NULL; i++)
    {
      gsize before = line->len;
      SlWording wording;

      g_string_append_printf (line, "%s%s", before > 0 ? " " : "", words[i]);
      wording = line_wording (SL_INK_TEXT, bold, line->str);
      if (before == 0 || sl_wording_size (sheet->scene, &wording).width <= width)
        continue;
      g_string_truncate (line, before);
      g_ptr_array_add (lines, g_strdup (line->str));
      g_string_assign (line, words[i]);
    }
  if (line->len > 0)
    g_ptr_array_add (lines, g_strdup (line->str));
  return lines;
}

double
sl_sheet_legend (const SlSheet *sheet, double indent, const char *text, double x, double y)
{
  if (!sl_scene_text (sheet->scene, SL_INK_QUIET, FALSE, TRUE, text, x + indent, y, 0))
    return x;
  return x + indent + sl_sheet_width (sheet, FALSE, TRUE, text) + SL_LEGEND_GAP;
}

double
sl_sheet_paragraph (const SlSheet *sheet, SlInk ink, gboolean bold, const char *text, double x, double y, double width,
                    int most_lines)
{
  g_autoptr (GPtrArray) lines = break_lines (sheet, bold, text, width);

  if ((int) lines->len > most_lines)
    return 0;
  for (guint i = 0; i < lines->len; i++)
    {
      SlWording wording = line_wording (ink, bold, g_ptr_array_index (lines, i));

      if (sl_wording_size (sheet->scene, &wording).width <= width)
        sl_scene_fixed (sheet->scene, &wording, x, y + i * sheet->row, 0);
    }
  return lines->len * sheet->row;
}

void
sl_sheet_paragraphs (const SlSheet *sheet, const SlParagraph *paragraphs, int n, SlRect part, double y, int most_lines)
{
  for (const SlParagraph *p = paragraphs; p < paragraphs + n; p++)
    {
      double taken =
          p->text != NULL ? sl_sheet_paragraph (sheet, p->ink, p->bold, p->text, part.x, y, part.width, most_lines) : 0;

      y += taken;
      most_lines -= (int) lround (taken / sheet->row);
    }
}

double
sl_sheet_heading (const SlSheet *sheet, SlRect part, const char *heading, const char *remark)
{
  double used = sl_sheet_width (sheet, TRUE, FALSE, heading);

  sl_scene_text (sheet->scene, SL_INK_TEXT, TRUE, FALSE, heading, part.x, part.y, 0);
  if (remark != NULL && used + SL_SPACE_WIDE + sl_sheet_width (sheet, FALSE, TRUE, remark) <= part.width)
    sl_scene_text (sheet->scene, SL_INK_QUIET, FALSE, TRUE, remark, part.x + part.width, part.y + 1, 1);
  return sheet->row + SL_SPACE;
}

double
sl_sheet_step (double span, int most)
{
  double power, share;

  if (!(span > 0) || most < 1)
    return 1;
  power = pow (10, floor (log10 (span / most)));
  share = span / most / power;
  return power * (share <= 1 ? 1 : share <= 2 ? 2 : share <= 5 ? 5 : 10);
}

int
sl_sheet_places (double step)
{
  return step >= 1 ? 0 : (int) ceil (-log10 (step) - 1e-9);
}
