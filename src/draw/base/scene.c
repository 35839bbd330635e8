/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/base/scene.h"

#define TEXT_CLEARANCE 3.0 /* between two texts */
#define ROUNDING 1e-6

void
sl_scene_init (SlScene *scene, cairo_t *cr, const SlAnalysis *analysis, const SlPictureOptions *options,
               SlPictureMap *map, SlRect stage)
{
  *scene = (SlScene){
    .cr = cr,
    .options = options,
    .palette = sl_palette (options->look),
    .map = map,
    .stage = stage,
    .texts = g_array_new (FALSE, FALSE, sizeof (SlRect)),
    .lines = g_array_new (FALSE, FALSE, sizeof (SlSceneLine)),
    .blocks = g_array_new (FALSE, FALSE, sizeof (SlSceneBlock)),
    .requests = g_array_new (FALSE, FALSE, sizeof (SlRequest)),
    .kept = g_ptr_array_new_with_free_func (g_free),
  };
  if (analysis == NULL)
    return;
  const int n = analysis->instrument.n_strings;

  scene->analysis = analysis;
  scene->instrument = &analysis->instrument;
  scene->before_state = &analysis->measured;
  scene->after_state = analysis->has_plan ? &analysis->planned : &analysis->measured;
  scene->before_figures = &analysis->measured_figures;
  scene->after_figures = analysis->has_plan ? &analysis->planned_figures : &analysis->measured_figures;
  scene->ghost = analysis->has_plan;
  scene->chosen = options->string >= 1 && options->string <= n ? options->string : SL_ALL_STRINGS;
  scene->spoken[0] = scene->chosen != SL_ALL_STRINGS ? scene->chosen : n;
  scene->spoken[1] = 1;
  scene->n_spoken = scene->chosen == SL_ALL_STRINGS && n > 1 ? 2 : 1;
}

void
sl_scene_clear (SlScene *scene)
{
  g_clear_pointer (&scene->texts, g_array_unref);
  g_clear_pointer (&scene->lines, g_array_unref);
  g_clear_pointer (&scene->blocks, g_array_unref);
  g_clear_pointer (&scene->requests, g_array_unref);
  g_clear_pointer (&scene->kept, g_ptr_array_unref);
}

const char *
sl_kept (const SlScene *scene, char *text)
{
  g_ptr_array_add (scene->kept, text);
  return text;
}

const char *
sl_print (const SlScene *scene, const char *format, ...)
{
  const char *text;
  va_list args;

  va_start (args, format);
  text = sl_kept (scene, g_strdup_vprintf (format, args));
  va_end (args);
  return text;
}

/* Twice the x that stays where it is when left is drawn for right. */
static double
fold (const SlScene *scene)
{
  return 2 * scene->stage.x + scene->stage.width;
}

double
sl_scene_seen_x (const SlScene *scene, double x)
{
  return scene->turned ? fold (scene) - x : x;
}

static void
reflect (SlScene *scene)
{
  cairo_translate (scene->cr, fold (scene), 0);
  cairo_scale (scene->cr, -1, 1);
}

void
sl_scene_turn (SlScene *scene)
{
  if (!scene->instrument->left_handed)
    return;
  scene->turned = !scene->turned;
  reflect (scene);
  SL_EACH (SlRect, text, scene->texts)
    text->x = fold (scene) - text->x - text->width;
  SL_EACH (SlSceneBlock, block, scene->blocks)
    block->rect.x = fold (scene) - block->rect.x - block->rect.width;
  SL_EACH (SlSceneLine, line, scene->lines)
    {
      line->x0 = fold (scene) - line->x0;
      line->x1 = fold (scene) - line->x1;
    }
}

void
sl_scene_block (SlScene *scene, double x, double y, double width, double height, double cost)
{
  SlSceneBlock block = { { x, y, width, height }, cost, FALSE };

  if (width > 0 && height > 0)
    g_array_append_val (scene->blocks, block);
}

void
sl_scene_line (SlScene *scene, double x0, double y0, double x1, double y1, double cost)
{
  SlSceneLine line = { x0, y0, x1, y1, cost, FALSE };

  g_array_append_val (scene->lines, line);
}

SlRequest
sl_request (double x, double y, double dx, double dy, double clear, SlLeaderEnd end, SlInk leader_ink)
{
  return (SlRequest){ .x = x, .y = y, .dx = dx, .dy = dy, .clear = clear, .end = end, .leader_ink = leader_ink };
}

void
sl_scene_request (SlScene *scene, const SlRequest *request)
{
  if (isfinite (request->x) && isfinite (request->y) && request->n_wordings > 0)
    g_array_append_val (scene->requests, *request);
}

void
sl_scene_note (SlScene *scene, SlRequest request, SlInk ink, gboolean bold, const char *text, const char *beneath)
{
  sl_wording_add (&request.wordings[0], ink, bold, !bold, text);
  if (beneath)
    {
      sl_wording_break (&request.wordings[0]);
      sl_wording_add (&request.wordings[0], SL_INK_QUIET, FALSE, TRUE, beneath);
    }
  request.n_wordings = 1;
  sl_scene_request (scene, &request);
}

/* Copies @text, cut at a whole character where it is too long. */
static void
copy_text (char *to, gsize size, const char *text)
{
  const char *end;

  g_strlcpy (to, text, size);
  if (!g_utf8_validate (to, -1, &end))
    to[end - to] = '\0';
}

void
sl_wording_add (SlWording *wording, SlInk ink, gboolean bold, gboolean small, const char *text)
{
  SlRun *run;

  if (wording->n == SL_MAX_RUNS || !*text)
    return;
  if (wording->n == wording->n_above)
    wording->n_above++;
  run = &wording->runs[wording->n++];
  *run = (SlRun){ ink, bold, small, "" };
  copy_text (run->text, sizeof run->text, text);
}

void
sl_wording_printf (SlWording *wording, SlInk ink, gboolean bold, gboolean small, const char *format, ...)
{
  g_autofree char *text = NULL;
  va_list args;

  va_start (args, format);
  text = g_strdup_vprintf (format, args);
  va_end (args);
  sl_wording_add (wording, ink, bold, small, text);
}

/* A wording is told to be on its second line by n_above staying behind n; an empty run marks the place. */
void
sl_wording_break (SlWording *wording)
{
  if (wording->n > 0 && wording->n < SL_MAX_RUNS)
    wording->runs[wording->n++] = (SlRun){ SL_INK_QUIET, FALSE, TRUE, "" };
}

static SlText
run_text (const SlScene *scene, const SlRun *run)
{
  return sl_text (run->text, (run->small ? SL_TEXT_SIZE_SMALL : SL_TEXT_SIZE) * scene->options->text_scale, run->bold);
}

/* Of the runs @from to @to of a wording: their width together, the greatest height and baseline. */
static SlText
measure_runs (const SlScene *scene, const SlWording *wording, int from, int to)
{
  SlText line = { NULL };

  for (int i = from; i < to; i++)
    if (wording->runs[i].text[0])
      {
        SlText text = run_text (scene, &wording->runs[i]);

        line.width += text.width;
        line.height = MAX (line.height, text.height);
        line.baseline = MAX (line.baseline, text.baseline);
      }
  return line;
}

SlWordingSize
sl_wording_size (const SlScene *scene, const SlWording *wording)
{
  SlText above = measure_runs (scene, wording, 0, wording->n_above),
         below = measure_runs (scene, wording, wording->n_above, wording->n);

  return (SlWordingSize){ MAX (above.width, below.width), above.height, below.height };
}

double
sl_scene_text_height (const SlScene *scene)
{
  return sl_text ("0", SL_TEXT_SIZE * scene->options->text_scale, TRUE).height;
}

static gboolean
runs_leftward (const SlScene *scene, const SlWording *wording, int i)
{
  return pango_layout_get_direction (run_text (scene, &wording->runs[i]).layout, 0) == PANGO_DIRECTION_RTL;
}

/* The runs of a line from left to right. In a language written from right to left they go that way, but runs of figures
 * side by side stay as they are: what UAX #9 does with a line of one run. */
static void
order_runs (const SlScene *scene, const SlWording *wording, int from, int to, int *order)
{
  for (int i = from; i < to; i++)
    order[i - from] = i;
  if (*sl_number_mark () == '\0')
    return;
  for (int i = from, end; i < to; i = end)
    {
      for (end = i + 1; end < to && !runs_leftward (scene, wording, i) && !runs_leftward (scene, wording, end);)
        end++;
      for (int j = i; j < end; j++)
        order[to - end + j - i] = j;
    }
}

static void
show_runs (SlScene *scene, const SlWording *wording, int from, int to, double x, double y, double width, double align)
{
  SlText line = measure_runs (scene, wording, from, to);
  int order[G_N_ELEMENTS (wording->runs)];

  x += (width - line.width) * align;
  order_runs (scene, wording, from, to, order);
  for (int i = 0; i < to - from; i++)
    {
      const SlRun *run = &wording->runs[order[i]];

      if (run->text[0] == '\0')
        continue;
      SlText text = run_text (scene, run);

      sl_set_ink (scene->cr, scene->palette, run->ink);
      sl_text_show (scene->cr, &text, x, y + line.baseline - text.baseline);
      x += text.width;
    }
}

void
sl_scene_show (SlScene *scene, const SlWording *wording, SlRect box, double above, double between, double align)
{
  SlRect seen = box;

  g_array_append_val (scene->texts, box);
  cairo_save (scene->cr);
  if (scene->turned)
    {
      seen.x = fold (scene) - box.x - box.width;
      align = 1 - align;
      reflect (scene);
    }
  show_runs (scene, wording, 0, wording->n_above, seen.x, box.y, box.width, align);
  show_runs (scene, wording, wording->n_above, wording->n, seen.x, box.y + above + between, box.width, align);
  cairo_restore (scene->cr);
  if (scene->map != NULL)
    {
      SlPictureLabel label = { .rect = seen };
      g_autoptr (GString) text = g_string_new (NULL);

      for (int i = 0; i < wording->n; i++)
        g_string_append (text, wording->runs[i].text[0] ? wording->runs[i].text : " ");
      copy_text (label.text, sizeof label.text, text->str);
      g_array_append_val (scene->map->labels, label);
    }
}

void
sl_scene_mark (SlScene *scene, double x, double y, const char *text)
{
  SlPictureLabel mark = { .rect = { sl_scene_seen_x (scene, x) - SL_SPACE, y - SL_SPACE, 2 * SL_SPACE, 2 * SL_SPACE } };

  copy_text (mark.text, sizeof mark.text, text);
  if (scene->map != NULL)
    g_array_append_val (scene->map->marks, mark);
}

gboolean
sl_rects_meet (const SlRect *a, const SlRect *b, double clearance)
{
  return a->x < b->x + b->width + clearance && b->x < a->x + a->width + clearance &&
         a->y < b->y + b->height + clearance && b->y < a->y + a->height + clearance;
}

gboolean
sl_scene_is_free (const SlScene *scene, const SlRect *box)
{
  const SlRect *s = &scene->stage;

  if (box->x < s->x - ROUNDING || box->y < s->y - ROUNDING || box->x + box->width > s->x + s->width + ROUNDING ||
      box->y + box->height > s->y + s->height + ROUNDING)
    return FALSE;
  for (guint i = 0; i < scene->texts->len; i++)
    if (sl_rects_meet (box, &g_array_index (scene->texts, SlRect, i), TEXT_CLEARANCE))
      return FALSE;
  return TRUE;
}

gboolean
sl_scene_fixed (SlScene *scene, const SlWording *wording, double x, double y, double align)
{
  SlWordingSize size = sl_wording_size (scene, wording);
  double between = size.below > 0 ? 2 * SL_LANDING_GAP : 0;
  SlRect box = { x - align * size.width, y, size.width, size.above + between + size.below };

  if (!sl_scene_is_free (scene, &box))
    return FALSE;
  sl_scene_show (scene, wording, box, size.above, between, align);
  return TRUE;
}

gboolean
sl_scene_text (SlScene *scene, SlInk ink, gboolean bold, gboolean small, const char *text, double x, double y,
               double align)
{
  SlWording wording = { .n = 0 };

  sl_wording_add (&wording, ink, bold, small, text);
  return wording.n > 0 && sl_scene_fixed (scene, &wording, x, y, align);
}
