/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a proposal has to say besides its steps. */
#include "setup/work/propose-parts.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "setup/physics/frets.h"
#include "setup/profile/kinds.h"

#define HEEL_MM 100.0 /* a wedge is told over this length of heel */

char *
sl_proposal_length (const SlProposing *p, double mm, int places)
{
  return sl_length_format (mm, sl_lengths_for (p->lengths, mm), places, p->decimal, TRUE);
}

void
sl_add_finding (SlProposing *p, SlFindingKind kind, int string, int fret, double amount, char *message)
{
  SlFinding finding = { kind, string, fret, amount, message };

  g_array_append_val (p->out->findings, finding);
}

double
sl_proposal_gap (const SlProposing *p, const SlState *state, int string, int fret)
{
  SlStringState s;

  sl_state_string (p->in, state, string, &s);
  return sl_gap (p->in, state, &s, 0, fret);
}

void
sl_find_suspects (SlProposing *p)
{
  for (guint i = 0; i < p->fit->n_readings; i++)
    {
      const SlReadingFit *rf = &p->fit->readings[i];
      const SlReading *r = &g_array_index (p->set->readings, SlReading, i);

      if (!rf->suspect)
        continue;
      g_autofree char *read = sl_proposal_length (p, r->value.v, 2), *would = sl_proposal_length (p, rf->predicted, 2);
      g_autofree char *u = sl_proposal_length (p, SL_COVERAGE * rf->predicted_u, 2);
      g_autofree char *what =
          r->string > 0
              /* Translators: kind of reading ("action"), string, fret */
              ? g_strdup_printf (_ ("%s of string %d at fret %d"), _ (sl_readings[r->kind].said), r->string, r->fret)
              : g_strdup (_ (sl_readings[r->kind].said));

      sl_add_finding (
          p, SL_FINDING_SUSPECT, r->string, r->fret, r->value.v - rf->predicted,
          g_strdup_printf (_ ("%s reads %s; the other readings expect %s ± %s, so it is excluded. Read it again "
                              "before cutting."),
                           what, read, would, u));
    }
}

/* What a cut did that was not predicted, and what could be behind it. */
void
sl_find_doubt (SlProposing *p)
{
  const SlWorkDoubt *doubt = &p->fit->doubt;

  if (!doubt->found)
    return;
  g_autofree char *moved = sl_proposal_length (p, doubt->moved, 2),
                  *predicted = sl_proposal_length (p, doubt->predicted, 2),
                  *u = sl_proposal_length (p, SL_COVERAGE * doubt->u, 2);
  gboolean less = doubt->moved > doubt->predicted;

  sl_add_finding (
      p, less ? SL_FINDING_WORK_SHORT : SL_FINDING_WORK_FAR, doubt->string, doubt->fret,
      doubt->moved - doubt->predicted,
      g_strdup_printf (less ? _ ("The action of string %d at fret %d moved by %s after the cut; %s ± %s was predicted. "
                                 "The saddle may not be seated, or stand on an uneven slot floor or a shim, or less "
                                 "came off than noted. Look, and read it again before cutting.")
                            : _ ("The action of string %d at fret %d moved by %s after the cut; %s ± %s was predicted. "
                                 "More may have come off than noted, a shim may be missing, or the rod or the air "
                                 "moved the neck. Read it again before cutting."),
                       doubt->string, doubt->fret, moved, predicted, u));
}

/* Readings that stand by themselves, since they don't follow from those before. */
void
sl_find_apart (SlProposing *p)
{
  if (p->fit->apart)
    sl_add_finding (
        p, SL_FINDING_APART, 0, 0, 0,
        g_strdup (
            _ ("These readings agree with each other, but not with those before and the work noted since: they stand "
               "by themselves, and what was not read again is assumed. Note the work that was done, or read again.")));
}

/* "7", "7 and 9", "7, 8 and 9". */
static char *
replaced_text (const SlLevelling *work)
{
  GString *text = g_string_new (NULL);
  int left = work->n_replaced;

  for (int n = 1; n <= work->n; n++)
    if (work->frets[n].replaced)
      {
        left--;
        /* Translators: the last of several fret numbers, such as "7, 8 and 9" */
        g_string_append_printf (text, text->len == 0 ? "%d" : left == 0 ? _ (" and %d") : ", %d", n);
      }
  return g_string_free (text, FALSE);
}

/* Says so where levelling would take a crown below its least height, and which frets replaced would save the others. */
void
sl_find_lost_frets (SlProposing *p, int lowest)
{
  SlLevelling work, other;
  double left = INFINITY;

  sl_level (p->in, &p->state, p->set, 0, &work);
  if (work.n_lost == 0)
    return;
  for (int n = 1; n <= work.n; n++)
    left = MIN (left, work.frets[n].left);
  sl_level_replacing (p->in, &p->state, p->set, 0, &other);
  g_autofree char *height = sl_proposal_length (p, left, 2), *least = sl_proposal_length (p, p->in->crown_least, 2),
                  *frets = replaced_text (&other);

  if (other.n_replaced == other.n)
    sl_add_finding (
        p, SL_FINDING_FRET_HEIGHT, 0, lowest, p->in->crown_least - left,
        g_strdup_printf (_ ("Levelling to fret %d can't be met, because it would leave a crown only %s high "
                            "and %s is the least; new frets throughout would."),
                         lowest, height, least));
  else
    sl_add_finding (
        p, SL_FINDING_FRET_HEIGHT, 0, lowest, p->in->crown_least - left,
        g_strdup_printf (g_dngettext (GETTEXT_PACKAGE,
                                      "Levelling to fret %d can't be met, because it would leave a crown only "
                                      "%s high and %s is the least; replacing fret %s would.",
                                      "Levelling to fret %d can't be met, because it would leave a crown only "
                                      "%s high and %s is the least; replacing frets %s would.",
                                      (gulong) other.n_replaced),
                         lowest, height, least, frets));
}

/* Slots that end below their target: only more material helps. */
void
sl_find_low_slots (SlProposing *p)
{
  for (int s = 1; s <= p->in->n_strings; s++)
    {
      double wanted = -sl_slot_cut (p, &p->state, s);

      if (wanted <= SL_LEAST_SHORTFALL_MM || p->fit->first_gap_assumed[s - 1])
        continue;
      double first = sl_proposal_gap (p, &p->state, s, 1);
      g_autofree char *is = sl_proposal_length (p, first, 2),
                      *target = sl_proposal_length (p, p->in->target_first_gap[s - 1], 2);
      g_autofree char *up = sl_proposal_length (p, wanted, 2);
      gboolean within = first >= p->in->target_first_gap[s - 1] - p->in->first_gap_tolerance;

      sl_add_finding (
          p, SL_FINDING_SLOT_LOW, s, 1, wanted,
          g_strdup_printf (
              within ? _ ("Height of string %d at fret 1 ends at %s, target %s: still in range, but a slot can't be "
                          "cut upward; filling and recutting it %s higher, or a new nut, would meet it.")
                     : _ ("Height of string %d at fret 1 can't be met, because its slot is already too low (it ends at "
                          "%s, target %s); filling and recutting it %s higher, a shimmed or a new nut would."),
              s, is, target, up));
    }
}

double
sl_crest_room (const SlProposing *p, int string)
{
  return p->state.exposure_read ? p->state.exposure[string - 1] - p->in->least_exposure : INFINITY;
}

/* Whether the saddle comes down without anybody having read how much of it there is. On height screws that matters
 * where a least exposure is given. */
static gboolean
lowers_unread (const SlProposing *p)
{
  if (p->state.exposure_read || (!isnan (p->in->height_screw_pitch) && p->in->least_exposure <= 0))
    return FALSE;
  for (guint i = 0; i < p->out->steps->len; i++)
    {
      const SlOperation *operation = &g_array_index (p->out->steps, SlStep, i).operation;

      if (operation->kind == SL_OP_CUT_SADDLE_BASE || (operation->kind == SL_OP_SHAPE_CREST && operation->amount.v > 0))
        return TRUE;
    }
  return FALSE;
}

/* Crests that end below their target, and cuts the saddle's exposure did not allow. */
void
sl_find_crest_limits (SlProposing *p)
{
  int worst = 0;
  double most = SL_LEAST_SHORTFALL_MM;

  for (int s = 1; s <= p->in->n_strings; s++)
    {
      double left = sl_need (p->in, &p->state, s, NULL);
      double action = sl_proposal_gap (p, &p->state, s, SL_OCTAVE_FRET);

      if (left > most && sl_crest_room (p, s) < left)
        {
          most = left;
          worst = s;
        }
      if (left >= -SL_LEAST_SHORTFALL_MM || p->fit->action_assumed[s - 1] || !isnan (p->in->height_screw_pitch))
        continue;
      g_autofree char *is = sl_proposal_length (p, action, 2),
                      *target = sl_proposal_length (p, p->in->target_action[s - 1], 2);
      g_autofree char *up = sl_proposal_length (p, -left, 2);
      gboolean within = action >= p->in->target_action[s - 1] - p->in->action_tolerance;

      sl_add_finding (
          p, SL_FINDING_CREST_LOW, s, SL_OCTAVE_FRET, -left,
          g_strdup_printf (
              within ? _ ("Action of string %d ends at %s, target %s: still in range, but a saddle can't be cut "
                          "upward; a shim of %s under it, or a saddle that much higher, would meet it.")
                     : _ ("Action of string %d can't be met, because the saddle is already too low there (it ends at "
                          "%s, target %s); a shim of %s under the saddle, or a saddle that much higher, would."),
              s, is, target, up));
    }
  if (lowers_unread (p))
    sl_add_finding (
        p, SL_FINDING_EXPOSURE, 0, 0, NAN,
        g_strdup (_ ("The saddle's exposure was not read, only assumed: how much saddle this work would leave "
                     "is not known yet. Read it at the outer strings before anything comes off.")));
  if (worst == 0)
    return;

  /* the crest wanted lower by `most` over a lever from the joint to the crest: the neck's angle that would do it */
  const double lever = p->in->scale + p->state.setback[worst - 1] - p->in->x[p->in->joint];
  const double tilt = most / lever;
  g_autofree char *is = sl_proposal_length (p, sl_proposal_gap (p, &p->state, worst, SL_OCTAVE_FRET), 2),
                  *target = sl_proposal_length (p, p->in->target_action[worst - 1], 2);
  g_autofree char *least = sl_proposal_length (p, p->in->least_exposure, 2), *lower = sl_proposal_length (p, most, 2);
  g_autofree char *degrees = sl_plain_format (tilt * 180 / G_PI, 2, p->decimal),
                  *wedge = sl_proposal_length (p, sl_heel_wedge (p->in, &p->state, worst, most, HEEL_MM), 2);

  sl_add_finding (
      p, SL_FINDING_EXPOSURE, worst, SL_OCTAVE_FRET, most,
      g_strdup_printf (!isnan (p->in->height_screw_pitch)
                           ? _ ("Action of string %d can't be met, because its screws would take the saddle "
                                "below its least exposure of %s: it ends at %s, target %s. A neck angle %s° "
                                "steeper would (a wedge or shim at the heel growing %s over each 100 mm), "
                                "or a bridge top %s lower.")
                           : _ ("Action of string %d can't be met, because the cut would leave less saddle "
                                "than its least exposure of %s: it ends at %s, target %s. A neck angle %s° "
                                "steeper would (a wedge or shim at the heel growing %s over each 100 mm), "
                                "or a bridge top %s lower."),
                       worst, least, is, target, degrees, wedge, lower));
}
