/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The tools of a shop, by name: what each shows in steps of, how far off it may be, and what it serves to read. A
 * document holds the two figures for each kind of reading and no name; which tool of the list they are is found by
 * them. */
#pragma once

#include "setup/profile/profile.h"

/* What is accepted, mm. Our own choice: no gauge of a bench shows less than a micrometre, and the document takes up to
 * 5 mm (bounds.h). */
#define SL_TOOL_LEAST_RESOLUTION_MM 0.001
#define SL_TOOL_MOST_MM 5.0

typedef struct
{
  char *name;
  double resolution_mm;
  double error_limit_mm; /* at least half the resolution: nearer than half a step nothing can be told */
  guint measures;        /* a bit, 1 << SlToolKind, for each kind of reading it serves */
} SlShopTool;

SlShopTool *sl_shop_tool_new (const char *name, double resolution_mm, double error_limit_mm, guint measures);
void sl_shop_tool_free (SlShopTool *tool);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (SlShopTool, sl_shop_tool_free)

/* An empty list, of SlShopTool; free with g_ptr_array_unref(). */
GPtrArray *sl_shop_tools_new (void);

/* What a shop may start with (common practice), named in the language of the program. */
GPtrArray *sl_shop_tools_usual (void);

/* Whether a tool can stand in a list as it is: a name, figures within what is accepted, at least one kind it serves. */
gboolean sl_shop_tool_is_sound (const SlShopTool *tool);

/* Why @name can't be the name of the tool at @place (tools->len: of another one), in a sentence, translated, that says
 * what is accepted; NULL where it can. Names differ by more than capitals and the space around them. Free with
 * g_free(). */
char *sl_shop_tool_name_objection (const GPtrArray *tools, guint place, const char *name);

/* @wanted, with a number behind it where the list has that already. Free with g_free(). */
char *sl_shop_tools_free_name (const GPtrArray *tools, const char *wanted);

gboolean sl_shop_tool_serves (const SlShopTool *tool, SlToolKind kind);

/* The first tool of the list that serves @kind and has these figures, or NULL; NAN for a figure that is not stated. */
const SlShopTool *sl_shop_tools_find (const GPtrArray *tools, SlToolKind kind, double resolution_mm,
                                      double error_limit_mm);

/* The figures a set states for a kind of tool; both absent where none. */
SlTool sl_reading_set_tool (const SlReadingSet *set, SlToolKind kind);

/* States them, at their place in the order of the document; a tool of which nothing is stated goes. */
void sl_reading_set_put_tool (SlReadingSet *set, SlTool tool);
