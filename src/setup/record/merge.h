/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Two versions of one profile brought together, with what both come from where that is known (docs/format.md,
 * "Merging"). Attributes are compared one by one; what makes sense only together (a plan, a set of strings, targets, a
 * reading with its use) as a whole. Visits, reading sets and photographs are matched by id, readings by their question,
 * tools, checks and charges by name. */
#pragma once

#include "setup/profile/schema.h"

typedef enum
{
  SL_SIDE_NONE,
  SL_SIDE_MINE,
  SL_SIDE_THEIRS
} SlSide;

/* One difference. Everything is borrowed from the merge. */
typedef struct
{
  const SlElement *element;
  const SlField
      *field; /* the attribute of it; NULL with @child too: the whole element is there or not, or is one thing */
  const SlChild *child;             /* what stands in it as one thing */
  const void *base, *mine, *theirs; /* the element's struct in each version, NULL where it isn't there */
  const SlVisit *visit;             /* what it is or lies in; NULL: none */
  const SlReadingSet *set;
  const SlPhoto *photo;
  gboolean asked; /* both changed it, or it can't stand with what the other changed: a person has to choose */
  SlSide side;    /* whose is taken, NONE: not chosen yet */
} SlMergeItem;

typedef struct
{
  SlProfile *base, *mine, *theirs; /* copies; ids in the last that would clash are new ones. @base may be NULL */
  SlProfile *merged;               /* with mine where nothing was chosen; NULL: they are two instruments */
  GArray *items;                   /* of SlMergeItem, in the order of the document */
  guint n_asked, n_open;           /* how many are asked, and not chosen */
  char *fault; /* why @merged can't be a document, or what is open is asked, translated; NULL: nothing to tell */
} SlMerge;

/* Merges. @base NULL: what both come from is not known, and then what one of them lacks is taken from the other, as it
 * may be new there. @choices (array of SlSide, may be NULL) are for what is asked, in its order, which does not depend
 * on them; @rest (may be NONE) is chosen for those beyond its end. Free with sl_merge_free(). */
SlMerge *sl_merge (const SlProfile *base, const SlProfile *mine, const SlProfile *theirs, const GArray *choices,
                   SlSide rest);

/* What a technician has to look at in a merge that is whole, translated: work still planned in the last visit that
 * nobody planned with the readings it has now; NULL: nothing. */
const char *sl_merge_doubt (const SlMerge *merge);
void sl_merge_free (SlMerge *merge);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (SlMerge, sl_merge_free)
