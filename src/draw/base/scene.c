/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/base/scene.h"

#include <math.h>

#define TEXT_CLEARANCE 3.0 /* between two texts */
#define ROUNDING 1e-6

void
sl_scene_init (SlScene *scene, cairo_t *cr, const SlAnalysis *analysis, const SlPictureOptions *options,
               SlPictureMap *map, SlRect stage)
{
  *scene = (SlScene){
    .cr = cr,
    .analysis = analysis,
    .instrument = &analysis->instrument,
    .before_state = &analysis->measured,
    .after_state = analysis->has_plan ? &analysis->planned : &analysis->measured,
    .before_figures = &analysis->measured_figures,
    .after_figures = analysis->has_plan ? &analysis->planned_figures : &analysis->measured_figures,
    .ghost = analysis->has_plan,
    .options = options,
    .palette = sl_palette (options->dark),
    .map = map,
    .stage = stage,
    .texts = g_array_new (FALSE, FALSE, sizeof (SlRect)),
    .lines = g_array_new (FALSE, FALSE, sizeof (SlSceneLine)),
    .blocks = g_array_new (FALSE, FALSE, sizeof (SlSceneBlock)),
    .requests = g_array_new (FALSE, FALSE, sizeof (SlRequest)),
  };
}

void
sl_scene_clear (SlScene *scene)
{
  g_clear_pointer (&scene->texts, g_array_unref);
  g_clear_pointer (&scene->lines, g_array_unref);
  g_clear_pointer (&scene->blocks, g_array_unref);
  g_clear_pointer (&scene->requests, g_array_unref);
}

static void
add_block (SlScene *scene, SlRect rect, double cost, gboolean handle)
{
  SlSceneBlock block = { rect, cost, handle };

  g_array_append_val (scene->blocks, block);
}

void
sl_scene_block (SlScene *scene, double x, double y, double width, double height, double cost)
{
  if (width > 0 && height > 0)
    add_block (scene, (SlRect){ x, y, width, height }, cost, FALSE);
}

void
sl_scene_line (SlScene *scene, double x0, double y0, double x1, double y1, double cost)
{
  SlSceneLine line = { x0, y0, x1, y1, cost, FALSE };

  g_array_append_val (scene->lines, line);
}

void
sl_scene_handle (SlScene *scene, double x, double y)
{
  double r = SL_HANDLE_RADIUS + 3;

  add_block (scene, (SlRect){ x - r, y - r, 2 * r, 2 * r }, SL_NEVER, TRUE);
}

void
sl_scene_request (SlScene *scene, const SlRequest *request)
{
  if (isfinite (request->x) && isfinite (request->y) && request->n_wordings > 0)
    g_array_append_val (scene->requests, *request);
}

void
sl_wording_add (SlWording *wording, SlInk ink, gboolean bold, gboolean small, const char *text)
{
  SlRun *run;
  const char *end;

  if (wording->n == SL_MAX_RUNS || !*text)
    return;
  if (wording->n == wording->n_above)
    wording->n_above++;
  run = &wording->runs[wording->n++];
  *run = (SlRun){ ink, bold, small, "" };
  g_strlcpy (run->text, text, sizeof run->text);
  if (!g_utf8_validate (run->text, -1, &end))
    run->text[end - run->text] = '\0';
}

/* A wording is told to be on its second line by n_above staying behind n; an empty run marks the place. */
void
sl_wording_break (SlWording *wording)
{
  if (wording->n > 0 && wording->n < SL_MAX_RUNS)
    wording->runs[wording->n++] = (SlRun){ SL_INK_QUIET, FALSE, TRUE, "" };
}

static double
run_size (const SlScene *scene, const SlRun *run)
{
  return (run->small ? SL_TEXT_SIZE_SMALL : SL_TEXT_SIZE) * scene->options->text_scale;
}

/* Width and height of the runs @from to @to of a wording. */
static void
measure_runs (const SlScene *scene, const SlWording *wording, int from, int to, double *width, double *height)
{
  *width = *height = 0;
  for (int i = from; i < to; i++)
    if (wording->runs[i].text[0])
      {
        SlText text = sl_text (wording->runs[i].text, run_size (scene, &wording->runs[i]), wording->runs[i].bold);

        *width += text.width;
        *height = MAX (*height, text.height);
      }
}

void
sl_wording_measure (const SlScene *scene, const SlWording *wording, double *width, double *above, double *below)
{
  double w0, w1;

  measure_runs (scene, wording, 0, wording->n_above, &w0, above);
  measure_runs (scene, wording, wording->n_above, wording->n, &w1, below);
  *width = MAX (w0, w1);
}

double
sl_wording_width (const SlScene *scene, const SlWording *wording)
{
  double width, above, below;

  sl_wording_measure (scene, wording, &width, &above, &below);
  return width;
}

double
sl_scene_text_height (const SlScene *scene)
{
  return sl_text ("0", SL_TEXT_SIZE * scene->options->text_scale, TRUE).height;
}

static void
show_runs (SlScene *scene, const SlWording *wording, int from, int to, double x, double y, double width, double align)
{
  double w, h, baseline = 0;

  measure_runs (scene, wording, from, to, &w, &h);
  x += (width - w) * align;
  for (int i = from; i < to; i++)
    if (wording->runs[i].text[0])
      baseline =
          MAX (baseline,
               sl_text (wording->runs[i].text, run_size (scene, &wording->runs[i]), wording->runs[i].bold).baseline);
  for (int i = from; i < to; i++)
    if (wording->runs[i].text[0])
      {
        SlText text = sl_text (wording->runs[i].text, run_size (scene, &wording->runs[i]), wording->runs[i].bold);

        sl_set_ink (scene->cr, scene->palette, wording->runs[i].ink);
        sl_text_show (scene->cr, &text, x, y + baseline - text.baseline);
        x += text.width;
      }
}

void
sl_scene_show (SlScene *scene, const SlWording *wording, SlRect box, double above, double between, double align)
{
  show_runs (scene, wording, 0, wording->n_above, box.x, box.y, box.width, align);
  show_runs (scene, wording, wording->n_above, wording->n, box.x, box.y + above + between, box.width, align);
  g_array_append_val (scene->texts, box);
  if (scene->map && scene->map->labels)
    {
      SlPictureLabel label = { .rect = box };
      g_autoptr (GString) text = g_string_new (NULL);
      const char *end;

      for (int i = 0; i < wording->n; i++)
        g_string_append (text, wording->runs[i].text[0] ? wording->runs[i].text : " ");
      g_strlcpy (label.text, text->str, sizeof label.text);
      if (!g_utf8_validate (label.text, -1, &end))
        label.text[end - label.text] = '\0';
      g_array_append_val (scene->map->labels, label);
    }
}

gboolean
sl_rects_meet (const SlRect *a, const SlRect *b, double clearance)
{
  return a->x < b->x + b->width + clearance && b->x < a->x + a->width + clearance &&
         a->y < b->y + b->height + clearance && b->y < a->y + a->height + clearance;
}

static gboolean
inside_stage (const SlScene *scene, const SlRect *r)
{
  const SlRect *s = &scene->stage;

  return r->x >= s->x - ROUNDING && r->y >= s->y - ROUNDING && r->x + r->width <= s->x + s->width + ROUNDING &&
         r->y + r->height <= s->y + s->height + ROUNDING;
}

gboolean
sl_scene_is_free (const SlScene *scene, const SlRect *box)
{
  if (!inside_stage (scene, box))
    return FALSE;
  for (guint i = 0; i < scene->texts->len; i++)
    if (sl_rects_meet (box, &g_array_index (scene->texts, SlRect, i), TEXT_CLEARANCE))
      return FALSE;
  return TRUE;
}

gboolean
sl_scene_fixed (SlScene *scene, const SlWording *wording, double x, double y, double align)
{
  double width, above, below, between;
  SlRect box;

  sl_wording_measure (scene, wording, &width, &above, &below);
  between = below > 0 ? 2 * SL_LANDING_GAP : 0;
  box = (SlRect){ x - align * width, y, width, above + between + below };
  if (!sl_scene_is_free (scene, &box))
    return FALSE;
  sl_scene_show (scene, wording, box, above, between, align);
  return TRUE;
}
