/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How a shop works, whatever the instrument: what its hands are uncertain by and the step it cuts in. A plain value
 * that is handed to whatever analyses or proposes; and the file that carries it to another program (docs/format.md).
 * And its tools, by name: what each shows in steps of, how far off it may be, and what it serves to read. A document
 * holds the two figures for each kind of reading and no name; which tool of the list they are is found by them. */
#pragma once

#include "setup/profile/bounds.h"

/* Standard uncertainties of work done: of a rod turn a share of the change, of cuts mm and a share of the cut. */
typedef struct
{
  double rod_share, slot_mm, base_mm, shape_mm, level_mm;
  double slot_share, base_share, shape_share;
} SlWorkUncertainty;

/* Our own choice, adjustable: rod turn 20 % of the change, slots 0.015 mm and 10 % of the cut, the saddle's underside
 * and top 0.03 mm and 3 %, levelling 0.02 mm. */
#define SL_WORK_UNCERTAINTY_DEFAULT ((SlWorkUncertainty){ 0.20, 0.015, 0.03, 0.03, 0.02, 0.10, 0.03, 0.03 })

typedef struct
{
  SlWorkUncertainty work;
  double cut_step_mm; /* cuts of saddle and crest are proposed in whole steps, rounded so that never more comes off; 0:
                         as fine as they are worked out */
  double to_target;   /* 1: what is in range is brought to its target, too; 0: it is left alone */
  double keep_least, keep_most; /* the band of humidity instruments are kept in, % RH */
} SlShop;

#define SL_SHOP_DEFAULT ((SlShop){ SL_WORK_UNCERTAINTY_DEFAULT, 0, 0, 45, 55 })

/* Its values, each under the name that settings and files know it by (the bound's attribute), with its range; the end
 * is marked by a NULL element. */
extern const SlBound sl_shop_bounds[];

/* The place of one of them in @shop. */
double *sl_shop_value (SlShop *shop, const SlBound *bound);

gboolean sl_shop_equal (const SlShop *a, const SlShop *b);

/* Reads the text of a shop's file; what it does not give is the default. FALSE with @error (G_KEY_FILE_ERROR), which
 * names what can't be and what is accepted, and
 * @out as it was. */
gboolean sl_shop_parse (const char *text, gsize length, SlShop *out, GError **error);

/* The text of a shop's file. Free with g_free(). */
char *sl_shop_print (const SlShop *shop);

/* ---- tools ---- */

/* What is accepted, mm. Our own choice: no gauge of a bench shows less than a micrometre, and the document takes up to
 * 5 mm (bounds.h). */
#define SL_TOOL_LEAST_RESOLUTION_MM 0.001
#define SL_TOOL_MOST_MM 5.0

typedef struct
{
  char *name;
  double resolution_mm;  /* of a tuner cents */
  double error_limit_mm; /* the same; at least half the resolution: nearer than half a step nothing can be told */
  guint measures;        /* a bit, 1 << SlToolKind, for each kind of reading it serves */
} SlShopTool;

SlShopTool *sl_shop_tool_new (const char *name, double resolution_mm, double error_limit_mm, guint measures);
void sl_shop_tool_free (SlShopTool *tool);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (SlShopTool, sl_shop_tool_free)

/* An empty list, of SlShopTool; free with g_ptr_array_unref(). */
GPtrArray *sl_shop_tools_new (void);

/* What a shop may start with (common practice), named in the language of the program. */
GPtrArray *sl_shop_tools_usual (void);

/* Whether a tool can stand in a list as it is: a name, figures within what is accepted, at least one kind it serves,
 * and none beside pitch, whose figures are cents. */
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
