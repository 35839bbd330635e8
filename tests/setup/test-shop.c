/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The file that carries how a shop works (docs/format.md). */
#include "setup/profile/shop.h"

#include <locale.h>
#include <string.h>

static gboolean
parse (const char *text, SlShop *shop, GError **error)
{
  return sl_shop_parse (text, strlen (text), shop, error);
}

static void
test_read (void)
{
  const SlShop defaults = SL_SHOP_DEFAULT;
  g_autoptr (GError) error = NULL;
  SlShop shop;

  g_assert_true (parse ("# ours\n[shop]\ncut-step = 0.05\nwork-rod=0.3\n", &shop, &error));
  g_assert_no_error (error);
  g_assert_cmpfloat (shop.cut_step_mm, ==, 0.05);
  g_assert_cmpfloat (shop.work.rod_share, ==, 0.3);
  g_assert_cmpfloat (shop.work.level_mm, ==, defaults.work.level_mm);
  g_assert_true (parse ("[shop]\n", &shop, &error));
  g_assert_true (sl_shop_equal (&shop, &defaults));
}

static void
test_refuse (void)
{
  static const struct
  {
    const char *text, *named, *accepted;
  } rows[] = {
    { "[shop]\ncutstep=0.1\n", "“cutstep”", "cut-step, work-rod, work-slot, work-base, work-shape, work-level" },
    { "[shop]\ncut-step=0,1\n", "“0,1”", "0 to 1 mm" },
    { "[shop]\ncut-step=\n", "“”", "0 to 1 mm" },
    { "[shop]\nwork-slot=nan\n", "“nan”", "0 to 1 mm" },
    { "[shop]\nwork-rod=20\n", "work-rod 20", "0 to 1" },
    { "[shop]\nwork-level=-0.02\n", "work-level", "0 to 1 mm" },
    { "[shop]\nkeep-most=101\n", "keep-most", "0 to 100" },
    { "[shop]\nkeep-least=60\nkeep-most=50\n", "60", "50" },
    { "[shop]\n[bench]\ncut-step=0.1\n", "[bench]", "[shop]" },
    { "cut-step=0.1\n", "", "" },
    { "", "shop", "" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      SlShop shop = { .cut_step_mm = 0.25 };
      g_autoptr (GError) error = NULL;

      g_assert_false (parse (rows[i].text, &shop, &error));
      g_assert_nonnull (error);
      g_assert_true (error->domain == G_KEY_FILE_ERROR);
      g_test_message ("%s", error->message);
      g_assert_nonnull (strstr (error->message, rows[i].named));
      g_assert_nonnull (strstr (error->message, rows[i].accepted));
      g_assert_cmpfloat (shop.cut_step_mm, ==, 0.25); /* as it was */
    }
}

static void
test_written (void)
{
  const SlShop shop = { { 0.31, 0.011, 0.022, 0.033, 0.044, 0.12, 0.06, 0.07 }, 0.1, 1, 42, 58 };
  g_autofree char *text = sl_shop_print (&shop);
  g_autoptr (GError) error = NULL;
  SlShop back;

  g_assert_cmpstr (
      text, ==,
      "[shop]\ncut-step=0.1\nwork-rod=0.31\nwork-slot=0.011\nwork-base=0.022\nwork-shape=0.033\nwork-level=0.044\n"
      "work-slot-share=0.12\nwork-base-share=0.06\nwork-shape-share=0.07\nto-target=1\nkeep-least=42\nkeep-most=58\n");
  g_assert_true (parse (text, &back, &error));
  g_assert_true (sl_shop_equal (&shop, &back));
}

int
main (int argc, char **argv)
{
  setlocale (LC_ALL, "");
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/shop/read", test_read);
  g_test_add_func ("/shop/refuse", test_refuse);
  g_test_add_func ("/shop/written", test_written);
  return g_test_run ();
}
