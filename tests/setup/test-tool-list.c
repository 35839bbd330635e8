/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The tools of a shop: what is accepted, how a set's figures are known again, and that they reach the uncertainty of
 * what is read. */
#include <string.h>

#include "setup/profile/bounds.h"
#include "setup/fit/fit.h"
#include "setup/profile/shop.h"
#include "support.h"

static void
test_usual (void)
{
  g_autoptr (GPtrArray) tools = sl_shop_tools_usual ();

  g_assert_cmpuint (tools->len, >=, 4);
  for (guint i = 0; i < tools->len; i++)
    {
      const SlShopTool *tool = g_ptr_array_index (tools, i);

      g_assert_true (sl_shop_tool_is_sound (tool));
      g_assert_null (sl_shop_tool_name_objection (tools, i, tool->name));
      for (int kind = 0; kind < SL_N_TOOLS; kind++)
        if (sl_shop_tool_serves (tool, (SlToolKind) kind)) /* no two that could not be told apart by their figures */
          g_assert_true (sl_shop_tools_find (tools, (SlToolKind) kind, tool->resolution_mm, tool->error_limit_mm) ==
                         tool);
    }
  for (int kind = 0; kind < SL_TOOL_PITCH; kind++) /* of lengths: a tuner is stated with the set it is read with */
    {
      gboolean any = FALSE;

      for (guint i = 0; i < tools->len; i++)
        any |= sl_shop_tool_serves (g_ptr_array_index (tools, i), (SlToolKind) kind);
      g_assert_true (any);
    }
}

static void
test_sound (void)
{
  static const struct
  {
    const char *name;
    double resolution, limit;
    guint measures;
    gboolean sound;
  } cases[] = {
    { "Gauge", 0.01, 0.02, 1, TRUE },
    { "Gauge", 0.02, 0.01, 1, TRUE },
    { "Gauge", 0.02, 0.0099, 1, FALSE },
    { "Gauge", 0, 0.02, 1, FALSE },
    { "Gauge", -0.1, 0.02, 1, FALSE },
    { "Gauge", NAN, 0.02, 1, FALSE },
    { "Gauge", 0.01, NAN, 1, FALSE },
    { "Gauge", 0.01, 5.1, 1, FALSE },
    { "Gauge", 6, 3, 1, FALSE },
    { "Gauge", 0.01, INFINITY, 1, FALSE },
    { "  ", 0.01, 0.02, 1, FALSE },
    { "Gauge", 0.01, 0.02, 0, FALSE },
    { "Gauge", 5, 5, 1, TRUE },
    { "Gauge", 0.001, 0.0005, 1, TRUE },
    { "Gauge", 0.01, 0.02, 1u << SL_N_TOOLS, FALSE },
  };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (SlShopTool) tool =
          sl_shop_tool_new (cases[i].name, cases[i].resolution, cases[i].limit, cases[i].measures);

      g_assert_cmpint (sl_shop_tool_is_sound (tool), ==, cases[i].sound);
    }
  /* what a list takes, a document takes */
  g_assert_cmpfloat (sl_bound_find ("tool", "resolution")->most, ==, SL_TOOL_MOST_MM);
  g_assert_cmpfloat (sl_bound_find ("tool", "error-limit")->most, ==, SL_TOOL_MOST_MM);
}

static void
test_names (void)
{
  g_autoptr (GPtrArray) tools = sl_shop_tools_new ();
  g_autofree char *empty = NULL, *same = NULL, *fresh = NULL, *third = NULL;

  g_ptr_array_add (tools, sl_shop_tool_new ("Long feeler", 0.02, 0.01, 1));
  g_ptr_array_add (tools, sl_shop_tool_new ("Dial", 0.01, 0.02, 1));
  empty = sl_shop_tool_name_objection (tools, 0, " ");
  g_assert_nonnull (empty);
  same = sl_shop_tool_name_objection (tools, 1, " LONG feeler");
  g_assert_nonnull (strstr (same, "Long feeler"));
  g_assert_null (sl_shop_tool_name_objection (tools, 0, "long feeler"));
  g_assert_null (sl_shop_tool_name_objection (tools, 2, "Short feeler"));
  fresh = sl_shop_tools_free_name (tools, "dial");
  g_assert_cmpstr (fresh, ==, "dial 2");
  g_ptr_array_add (tools, sl_shop_tool_new (fresh, 0.01, 0.02, 1));
  third = sl_shop_tools_free_name (tools, "Dial");
  g_assert_cmpstr (third, ==, "Dial 3");
}

static void
test_in_set (void)
{
  g_auto (SlReadingSet) set = test_set ();
  g_autoptr (GPtrArray) tools = sl_shop_tools_new ();
  SlTool tool;

  g_ptr_array_add (tools, sl_shop_tool_new ("Dial", 0.01, 0.02, 1u << SL_TOOL_ACTION));
  sl_reading_set_put_tool (&set, (SlTool){ SL_TOOL_EXPOSURE, sl_number (0.5), sl_number (0.25) });
  sl_reading_set_put_tool (&set, (SlTool){ SL_TOOL_ACTION, sl_number (0.01), sl_number (0.02) });
  sl_reading_set_put_tool (&set, (SlTool){ SL_TOOL_RELIEF, sl_number (0.02), SL_NUMBER_ABSENT });
  g_assert_cmpuint (set.tools->len, ==, 3);
  for (guint i = 1; i < set.tools->len; i++)
    g_assert_cmpint (g_array_index (set.tools, SlTool, i - 1).measures, <,
                     g_array_index (set.tools, SlTool, i).measures);
  tool = sl_reading_set_tool (&set, SL_TOOL_ACTION);
  g_assert_nonnull (sl_shop_tools_find (tools, SL_TOOL_ACTION, tool.resolution.v, tool.error_limit.v));
  g_assert_null (sl_shop_tools_find (tools, SL_TOOL_RELIEF, tool.resolution.v, tool.error_limit.v));
  g_assert_null (sl_shop_tools_find (tools, SL_TOOL_ACTION, tool.resolution.v, NAN));
  /* GUM 4.3.7, F.2.2.1: u² = r²/12 + a²/3 */
  assert_near (sl_reading_u (&set, SL_READ_ACTION), sqrt (0.01 * 0.01 / 12 + 0.02 * 0.02 / 3), 1e-12);
  /* in place of the one before, and away */
  sl_reading_set_put_tool (&set, (SlTool){ SL_TOOL_ACTION, sl_number (0.1), sl_number (0.05) });
  g_assert_cmpuint (set.tools->len, ==, 3);
  sl_reading_set_put_tool (&set, (SlTool){ SL_TOOL_ACTION, SL_NUMBER_ABSENT, SL_NUMBER_ABSENT });
  g_assert_cmpuint (set.tools->len, ==, 2);
  assert_near (sl_reading_u (&set, SL_READ_ACTION), 0.1 / sqrt (12), 1e-12); /* the default resolution */
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/tool-list/usual", test_usual);
  g_test_add_func ("/tool-list/sound", test_sound);
  g_test_add_func ("/tool-list/names", test_names);
  g_test_add_func ("/tool-list/set", test_in_set);
  return g_test_run ();
}
