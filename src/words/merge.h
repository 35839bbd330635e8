/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a merge asks and takes, in words. */
#pragma once

#include "setup/record/merge.h"
#include "words/figures.h"

/* Where it is: "Visit of 2 Mar 2026, readings of 2 Mar 14:20"; "" in the description. Free with g_free(). */
char *sl_merge_place (const SlMergeItem *item);

/* What it is: "Visit of 2 Mar 2026, readings of 2 Mar 14:20: Action at fret 12, string 6". @title: what an attribute of
 * the description is called; NULL: as the document spells it. Free with g_free(). */
char *sl_merge_title (const SlMergeItem *item, const char *title);

/* How it is in one version: @version is one of the item's base, mine and theirs. Free with g_free(). */
char *sl_merge_value (const SlMerge *merge, const SlMergeItem *item, const void *version, const SlTextStyle *style);
