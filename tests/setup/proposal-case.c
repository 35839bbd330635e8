/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "proposal-case.h"

void
case_clear (Case *c)
{
  test_set_clear (&c->set);
  sl_fit_clear (&c->fit);
  sl_proposal_clear (&c->proposal);
}

void
case_propose_fitted (Case *c, const SlShop *shop)
{
  if (c->proposal.steps != NULL)
    sl_proposal_clear (&c->proposal);
  test_propose (&c->in, &c->fit, &c->set, NULL, shop, &c->proposal);
  c->after = c->fit.state;
  for (guint i = 0; i < c->proposal.steps->len; i++)
    sl_operation_apply (&c->in, case_operation (c, i), &c->after);
}

void
case_propose_for (Case *c, const SlShop *shop)
{
  sl_fit_clear (&c->fit);
  sl_fit (&c->in, &c->set, &c->fit);
  case_propose_fitted (c, shop);
}

void
case_propose (Case *c)
{
  case_propose_for (c, &SL_SHOP_DEFAULT);
}

const SlFinding *
case_find (const Case *c, SlFindingKind kind, int string)
{
  for (guint i = 0; i < c->proposal.findings->len; i++)
    {
      const SlFinding *finding = &g_array_index (c->proposal.findings, SlFinding, i);

      if (finding->kind == kind && (string == 0 || finding->string == string))
        return finding;
    }
  return NULL;
}

const SlOperation *
case_operation (const Case *c, guint i)
{
  return &g_array_index (c->proposal.steps, SlStep, i).operation;
}

const SlStep *
case_step (const Case *c, SlOperationKind kind, int string)
{
  for (guint i = 0; i < c->proposal.steps->len; i++)
    if (case_operation (c, i)->kind == kind && case_operation (c, i)->string == string)
      return &g_array_index (c->proposal.steps, SlStep, i);
  return NULL;
}

double
case_off (const Case *c, const SlState *state, int string, int fret)
{
  return test_ruler_gap (&c->in, state, string, 0, fret) -
         (fret == 1 ? c->in.target_first_gap : c->in.target_action)[string - 1];
}
