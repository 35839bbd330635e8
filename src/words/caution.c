/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words/caution.h"

#include "setup/profile/construction.h"
#include "setup/record/checklist.h"

#define BIT(caution) (1u << (caution))
#define FILING (BIT (SL_CAUTION_DUST) | BIT (SL_CAUTION_EYES) | BIT (SL_CAUTION_REGULATED) | BIT (SL_CAUTION_JUDGEMENT))

static const char *const sentences[SL_N_CAUTIONS] = {
#include "caution-rows.h"
};

char *
sl_cautions_text (guint cautions, const char *separator)
{
  const char *texts[SL_N_CAUTIONS + 1] = { NULL };
  int n = 0;

  for (int caution = 0; caution < SL_N_CAUTIONS; caution++)
    if ((cautions & BIT (caution)) != 0)
      texts[n++] = _ (sentences[caution]);
  return g_strjoinv (separator, (char **) texts);
}

guint
sl_operation_cautions (const SlInstrument *instrument, SlOperationKind kind)
{
  switch (kind)
    {
    case SL_OP_LEVEL_FRETS: return FILING & ~BIT (SL_CAUTION_REGULATED);
    case SL_OP_TURN_ROD: return BIT (SL_CAUTION_ROD);
    case SL_OP_LOWER_SLOT:
    case SL_OP_CUT_SADDLE_BASE: return FILING;
    case SL_OP_SHAPE_CREST: return sl_saddles[instrument->adjust].goes_up ? 0 : FILING;
    case SL_OP_MOVE_CREST: return isnan (instrument->length_screw_pitch) ? FILING : 0;
    case SL_OP_REPLACE_FRETS: return FILING & ~BIT (SL_CAUTION_REGULATED);
    /* what is made anew or wedged is glued */
    case SL_OP_MAKE_NUT:
    case SL_OP_MAKE_SADDLE: return FILING | BIT (SL_CAUTION_FINISHES);
    case SL_OP_SET_NECK_ANGLE: return BIT (SL_CAUTION_EYES) | BIT (SL_CAUTION_FINISHES);
    case SL_OP_FIT_STRINGS: return BIT (SL_CAUTION_EYES);
    case SL_OP_MOVE_SADDLE:
    case SL_OP_SHIFT_BRIDGE:
    case SL_OP_BENCH_STEP:
    case SL_N_OPS:
    default: return 0;
    }
}

guint
sl_visit_cautions (const SlInstrument *instrument, const SlVisit *visit, const GArray *findings)
{
  guint cautions = 0;

  if (visit == NULL || visit->closed != NULL)
    return 0;
  SL_EACH (const SlOperation, operation, visit->plan)
    if (operation->done == NULL)
      cautions |= sl_operation_cautions (instrument, operation->kind);
  /* what is filled or shimmed is glued; what is replaced may be of what is regulated */
  SL_EACH (const SlFinding, finding, findings)
    if (finding->kind == SL_FINDING_SLOT_LOW || finding->kind == SL_FINDING_CREST_LOW)
      cautions |= BIT (SL_CAUTION_FINISHES) | BIT (SL_CAUTION_REGULATED);
  SL_EACH (const SlCheck, check, visit->checks)
    {
      if (check->state == SL_CHECK_ATTEND && sl_check_topic (check->name) == SL_TOPIC_ELECTRONICS)
        cautions |= BIT (SL_CAUTION_ELECTRICS);
      if (check->state == SL_CHECK_ATTEND && sl_check_topic (check->name) == SL_TOPIC_GLUED)
        cautions |= BIT (SL_CAUTION_FINISHES);
    }
  return cautions;
}
