/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sheet.h"

#include <math.h>
#include <string.h>

#define LINE_GAP 3.0     /* between lines: texts closer than that count as lying on each other */
#define HEADING_GAP 6.0
#define REMARK_GAP 14.0

void
sl_sheet_init (SlSheet *sheet, SlScene *scene)
{
  const SlAnalysis *a = scene->analysis;
  int chosen = scene->options->string;

  *sheet = (SlSheet){
    .scene = scene,
    .in = &a->instrument,
    .before = &a->measured,
    .after = a->has_plan ? &a->planned : &a->measured,
    .before_figures = &a->measured_figures,
    .after_figures = a->has_plan ? &a->planned_figures : &a->measured_figures,
    .ghost = a->has_plan,
    .chosen = chosen >= 1 && chosen <= a->instrument.n_strings ? chosen : SL_ALL_STRINGS,
    .row = sl_scene_text_height (scene) + LINE_GAP + 0.5,
  };
}

void
sl_sheet_string_name (const SlInstrument *in, int string, char name[SL_STRING_NAME_CHARS])
{
  char note[SL_NOTE_CHARS];

  sl_note_near (in->strings[string - 1].frequency_hz, note);
  g_snprintf (name, SL_STRING_NAME_CHARS, "%d %s", string, note);
  g_strchomp (name);
}

gboolean
sl_sheet_text (const SlSheet *sheet, SlInk ink, gboolean bold, gboolean small, const char *text, double x, double y, double align)
{
  SlWording wording = { .n = 0 };

  sl_wording_add (&wording, ink, bold, small, text);
  return wording.n > 0 && sl_scene_fixed (sheet->scene, &wording, x, y, align);
}

static double
width_of (const SlSheet *sheet, gboolean bold, gboolean small, const char *text)
{
  SlWording wording = { .n = 0 };

  sl_wording_add (&wording, SL_INK_TEXT, bold, small, text);
  return sl_wording_width (sheet->scene, &wording);
}

const char *
sl_sheet_fitting (const SlSheet *sheet, const char *const *texts, int n, gboolean bold, gboolean small, double width)
{
  for (int i = 0; i + 1 < n; i++)
    if (width_of (sheet, bold, small, texts[i]) <= width)
      return texts[i];
  return texts[n - 1];
}

double
sl_sheet_paragraph (const SlSheet *sheet, SlInk ink, gboolean bold, const char *text, double x, double y, double width, int most_lines)
{
  g_auto (GStrv) words = g_strsplit (text, " ", -1);
  g_autoptr (GString) line = g_string_new (NULL);
  double top = y;

  for (int i = 0; words[i] != NULL && most_lines > 0; i++)
    {
      gsize before = line->len;

      g_string_append_printf (line, "%s%s", before > 0 ? " " : "", words[i]);
      /* a run of text holds fewer bytes than a wide line */
      if (before > 0 && (width_of (sheet, bold, TRUE, line->str) > width || line->len >= sizeof ((SlRun *) NULL)->text))
        {
          g_string_truncate (line, before);
          sl_sheet_text (sheet, ink, bold, TRUE, line->str, x, y, 0);
          y += sheet->row;
          most_lines--;
          g_string_assign (line, words[i]);
        }
    }
  if (most_lines > 0 && line->len > 0 && width_of (sheet, bold, TRUE, line->str) <= width)
    {
      sl_sheet_text (sheet, ink, bold, TRUE, line->str, x, y, 0);
      y += sheet->row;
    }
  return y - top;
}

double
sl_sheet_heading (const SlSheet *sheet, SlRect part, const char *heading, const char *remark)
{
  double used = width_of (sheet, TRUE, FALSE, heading);

  sl_sheet_text (sheet, SL_INK_TEXT, TRUE, FALSE, heading, part.x, part.y, 0);
  if (remark != NULL && used + REMARK_GAP + width_of (sheet, FALSE, TRUE, remark) <= part.width)
    sl_sheet_text (sheet, SL_INK_QUIET, FALSE, TRUE, remark, part.x + part.width, part.y + 1, 1);
  return sheet->row + HEADING_GAP;
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
