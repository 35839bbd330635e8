/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is remembered beside the profile: settings, tools, charges, lists of each kind of instrument, words of one's own
 * in place of sentences; and the options made of them. */
#include <locale.h>
#include <math.h>
#include <string.h>

#include <glib/gstdio.h>

#include "../file/support.h"
#include "bench/explanations.h"
#include "bench/shop-lists.h"
#include "bench/readings-question.h"
#include "bench/settings.h"
#include "bench/profiles.h"
#include "bench/visit-edit.h"

static char *own; /* the person's folders lie in it */

/* Takes @text. */
static void
assert_says (char *text, const char *expected)
{
  g_assert_cmpstr (text, ==, expected);
  g_free (text);
}

static SlBench *
open_example (void)
{
  g_autofree char *text = test_example (NULL);

  return sl_bench_new (test_parse (text));
}

/* ---- settings ---- */

static void
test_settings (void)
{
  static const char *const papers[] = { "a4", "letter", NULL };
  static const char *const fallback[] = { "x", NULL };
  g_autoptr (GVariant) wrong = NULL;

  assert_says (sl_settings_get_string (SL_SETTING_SHOP_NAME, "none"), "");
  sl_settings_set (SL_SETTING_SHOP_NAME, g_variant_new_string ("Quay bench"));
  assert_says (sl_settings_get_string (SL_SETTING_SHOP_NAME, "none"), "Quay bench");
  /* no such key, or one of another type: what the caller says, and nothing is kept */
  assert_says (sl_settings_get_string ("no-such-key", "none"), "none");
  assert_says (sl_settings_get_string (SL_SETTING_WIDTH, "none"), "none");
  sl_settings_set (SL_SETTING_SHOP_NAME, g_variant_new_double (1));
  sl_settings_set ("no-such-key", g_variant_new_double (1));
  assert_says (sl_settings_get_string (SL_SETTING_SHOP_NAME, "none"), "Quay bench");
  g_assert_cmpfloat (sl_settings_get_double ("no-such-key", 2.5), ==, 2.5);
  wrong = sl_settings_get_value (SL_SETTING_SHOP_NAME, "d");
  g_assert_null (wrong);
  g_auto (GStrv) strings = sl_settings_get_strings ("no-such-key", fallback);
  g_assert_cmpstrv ((const char *const *) strings, fallback);
  g_auto (GStrv) keys = sl_settings_get_strings ("run-next-keys", NULL);
  g_assert_nonnull (keys);
  g_assert_cmpint (sl_settings_get_choice (SL_SETTING_PAPER, papers), ==, 0);
  sl_settings_set (SL_SETTING_PAPER, g_variant_new_string ("letter"));
  g_assert_cmpint (sl_settings_get_choice (SL_SETTING_PAPER, papers), ==, 1);
  g_assert_cmpint (sl_handover_paper (), ==, SL_PAPER_LETTER);
  g_assert_cmpint (sl_settings_get_choice (SL_SETTING_SHOP_NAME, papers), ==, 0); /* none of them */
  sl_settings_set (SL_SETTING_LENGTHS, g_variant_new_string ("64ths"));
  g_assert_cmpint (sl_settings_get_lengths (), ==, SL_LENGTHS_64THS);
  g_assert_cmpint (sl_lengths_from_name ("inch"), ==, SL_LENGTHS_INCH);
  g_assert_cmpint (sl_lengths_from_name ("cubit"), ==, SL_LENGTHS_MM);
  sl_settings_write ();
  g_assert_false (g_settings_get_has_unapplied (sl_settings ()));
}

static void
count (guint *n)
{
  ++*n;
}

/* The band in which instruments are kept, and the shop with it; a band that is none is not believed. */
static void
test_shop (void)
{
  const SlKeeping usual = SL_KEEPING_DEFAULT;
  SlShop shop = sl_settings_get_shop ();
  guint changes = 0;

  g_signal_connect_swapped (sl_settings (), "changed::work-rod", G_CALLBACK (count), &changes);
  g_assert_cmpfloat (shop.work.rod_share, ==, 0.2);
  g_assert_cmpfloat (shop.keep_least, ==, usual.least);
  sl_settings_set ("work-rod", g_variant_new_double (0.4));
  g_assert_cmpuint (changes, ==, 1);
  sl_settings_set_keeping ((SlKeeping){ 40, 60, 30, 70 });
  shop = sl_settings_get_shop ();
  g_assert_cmpfloat (shop.work.rod_share, ==, 0.4);
  g_assert_cmpfloat (shop.keep_least, ==, 40);
  g_assert_cmpfloat (shop.keep_most, ==, 60);
  sl_settings_set_keeping ((SlKeeping){ 60, 40, 30, 70 });
  g_assert_cmpfloat (sl_settings_get_keeping ().least, ==, usual.least);
  sl_settings_set_keeping ((SlKeeping){ 40, 60, NAN, 70 });
  g_assert_cmpfloat (sl_settings_get_keeping ().most, ==, usual.most);
  sl_settings_set_keeping (usual);
  sl_settings_set ("work-rod", g_variant_new_double (0.2));
  g_signal_handlers_disconnect_by_data (sl_settings (), &changes);
}

/* Properties of an object are kept and follow. GIO's resolver of proxies has a text, its socket client a number. */
static void
test_bound (void)
{
  static const char *const names[] = { "mm", "inch", "64ths", NULL };
  g_autoptr (GSocketClient) client = g_socket_client_new ();
  g_autoptr (GProxyResolver) resolver = g_simple_proxy_resolver_new (NULL, NULL);
  g_autofree char *proxy = NULL;

  sl_settings_set (SL_SETTING_LENGTHS, g_variant_new_string ("inch"));
  sl_settings_bind_choice (SL_SETTING_LENGTHS, client, "timeout", names);
  g_assert_cmpuint (g_socket_client_get_timeout (client), ==, 1);
  g_socket_client_set_timeout (client, 2);
  g_assert_cmpint (sl_settings_get_lengths (), ==, SL_LENGTHS_64THS);
  g_socket_client_set_timeout (client, 7); /* none of them */
  g_assert_cmpint (sl_settings_get_lengths (), ==, SL_LENGTHS_64THS);
  sl_settings_set (SL_SETTING_LENGTHS, g_variant_new_string ("mm"));
  g_assert_cmpuint (g_socket_client_get_timeout (client), ==, 0);
  sl_settings_bind_choice ("no-such-key", client, "timeout", names);
  sl_settings_set (SL_SETTING_SHOP_NAME, g_variant_new_string ("socks://first"));
  sl_settings_bind (SL_SETTING_SHOP_NAME, resolver, "default-proxy", G_VARIANT_TYPE_STRING);
  g_object_get (resolver, "default-proxy", &proxy, NULL);
  g_assert_cmpstr (proxy, ==, "socks://first");
  g_object_set (resolver, "default-proxy", "socks://own", NULL);
  assert_says (sl_settings_get_string (SL_SETTING_SHOP_NAME, "none"), "socks://own");
  sl_settings_bind (SL_SETTING_WIDTH, resolver, "default-proxy", G_VARIANT_TYPE_STRING); /* of another type */
}

static void
test_folders (void)
{
  g_autofree char *path = g_build_filename (own, "sidelong", "shelf", NULL);
  g_autoptr (GFile) usual = sl_shelf_folder (), chosen = NULL, mine = sl_own_shelf_folder ();

  g_assert_cmpstr (g_file_peek_path (usual), ==, path);
  g_assert_true (g_file_equal (usual, mine));
  sl_settings_set (SL_SETTING_SHELF_FOLDER, g_variant_new_string ("file:///srv/shelf"));
  chosen = sl_shelf_folder ();
  g_assert_cmpstr (g_file_peek_path (chosen), ==, "/srv/shelf");
  sl_settings_set (SL_SETTING_SHELF_FOLDER, g_variant_new_string (""));
}

/* ---- lists ---- */

static void
test_tools (void)
{
  g_autoptr (GPtrArray) usual = sl_shop_tools (), stated = sl_shop_tools_usual (), tools = sl_shop_tools_new (),
                        kept = NULL, again = NULL;
  const SlShopTool *tool;

  g_assert_cmpuint (usual->len, ==, stated->len);
  g_ptr_array_add (tools,
                   sl_shop_tool_new ("Feeler gauge", 0.05, 0.05, 1u << SL_TOOL_RELIEF | 1u << SL_TOOL_FIRST_GAP));
  g_ptr_array_add (tools, sl_shop_tool_new ("feeler  gauge ", 0.1, 0.1, 1u << SL_TOOL_RELIEF)); /* the same name */
  g_ptr_array_add (tools, sl_shop_tool_new ("Rule", 0.5, 0.1, 1u << SL_TOOL_ACTION)); /* nearer than half a step */
  g_ptr_array_add (tools, sl_shop_tool_new ("Dial", 0.01, 0.02, 1u << SL_TOOL_EXPOSURE));
  sl_shop_tools_keep (tools);
  kept = sl_shop_tools ();
  tool = g_ptr_array_index (kept, 0);
  g_assert_cmpstr (tool->name, ==, "Feeler gauge");
  g_assert_cmpfloat (tool->resolution_mm, ==, 0.05);
  g_assert_true (sl_shop_tool_serves (tool, SL_TOOL_FIRST_GAP) && !sl_shop_tool_serves (tool, SL_TOOL_ACTION));
  tool = g_ptr_array_index (kept, kept->len - 1);
  g_assert_cmpstr (tool->name, ==, "Dial");
  for (guint i = 0; i < kept->len; i++)
    g_assert_cmpstr (((SlShopTool *) kept->pdata[i])->name, !=, "Rule");
  sl_shop_tools_forget ();
  again = sl_shop_tools ();
  g_assert_cmpuint (again->len, ==, stated->len);
  g_assert_cmpstr (sl_tool_title (SL_TOOL_CROWN), ==, "Crowns");
}

static void
test_charges (void)
{
  g_autoptr (GArray) none = sl_usual_charges (), charges = g_array_new (FALSE, FALSE, sizeof (SlUsualCharge)),
                     kept = NULL;
  const SlUsualCharge full = { (char *) "Full setup", 90, 85 }, open = { (char *) "By the hour", NAN, NAN },
                      wild = { (char *) "Wild", -5, 1e12 };
  const SlUsualCharge *charge;

  g_assert_cmpuint (none->len, ==, 0);
  g_array_append_val (charges, full);
  g_array_append_val (charges, open);
  g_array_append_val (charges, wild);
  sl_usual_charges_keep (charges);
  kept = sl_usual_charges ();
  g_assert_cmpuint (kept->len, ==, 3);
  charge = &g_array_index (kept, SlUsualCharge, 0);
  g_assert_cmpstr (charge->what, ==, "Full setup");
  g_assert_cmpfloat (charge->minutes, ==, 90);
  charge = &g_array_index (kept, SlUsualCharge, 1);
  g_assert_true (isnan (charge->minutes) && isnan (charge->amount));
  charge = &g_array_index (kept, SlUsualCharge, 2); /* beyond what a charge takes: left open */
  g_assert_true (isnan (charge->minutes) && isnan (charge->amount));
  sl_settings_set (SL_SETTING_CURRENCY, g_variant_new_string ("EUR"));
  assert_says (sl_shop_currency (), "EUR");
  assert_says (sl_usual_charge_text (&full), "Full setup · 90 min · 85.00 EUR");
  assert_says (sl_usual_charge_text (&open), "By the hour");
  sl_settings_set (SL_SETTING_CURRENCY, g_variant_new_string ("shells"));
  assert_says (sl_shop_currency (), ""); /* no currency, and the C locale has none */
  sl_settings_set (SL_SETTING_CURRENCY, g_variant_new_string (""));
}

static void
assert_asks (const GArray *order, const int *asks, guint n)
{
  g_assert_cmpuint (order->len, ==, n);
  for (guint i = 0; i < n; i++)
    g_assert_cmpint (g_array_index (order, int, i), ==, asks[i]);
}

static void
test_orders (void)
{
  const int usual[] = { SL_READ_RELIEF,   SL_READ_TONGUE,     SL_READ_FIRST_GAP, SL_READ_ACTION,
                        SL_READ_EXPOSURE, SL_ASK_TEMPERATURE, SL_ASK_HUMIDITY },
            floating[] = { SL_READ_RELIEF,   SL_READ_TONGUE,     SL_READ_FIRST_GAP, SL_READ_ACTION,
                           SL_READ_EXPOSURE, SL_ASK_TEMPERATURE, SL_ASK_HUMIDITY,   SL_READ_PITCH },
            few[] = { SL_READ_PITCH, SL_READ_ACTION };
  g_autoptr (GArray) first = sl_run_order (SL_FAMILY_FLAT_TOP), chosen = g_array_new (FALSE, FALSE, sizeof (int)),
                     kept = NULL, other = NULL, forgotten = NULL, questions = NULL;
  g_autoptr (SlBench) bench = open_example (); /* a pinned bridge, six strings */

  assert_asks (first, usual, G_N_ELEMENTS (usual));
  g_array_append_vals (chosen, few, 2);
  sl_run_order_keep (SL_FAMILY_FLAT_TOP, chosen);
  kept = sl_run_order (SL_FAMILY_FLAT_TOP);
  assert_asks (kept, few, 2);
  other = sl_run_order (SL_FAMILY_CARVED_TOP); /* whose bridge pitch finds the place of */
  assert_asks (other, floating, G_N_ELEMENTS (floating));
  questions = sl_run_questions (sl_bench_get_profile (bench), NULL);
  g_assert_cmpuint (questions->len, ==, 12); /* pitch and action of six strings */
  g_assert_cmpint (g_array_index (questions, SlQuestion, 0).ask, ==, SL_READ_PITCH);
  g_assert_cmpint (g_array_index (questions, SlQuestion, 0).string, ==, 6);
  sl_run_order_keep (SL_FAMILY_FLAT_TOP, first); /* as is usual: forgotten */
  forgotten = sl_run_order (SL_FAMILY_FLAT_TOP);
  assert_asks (forgotten, usual, G_N_ELEMENTS (usual));
  g_auto (GStrv) list = sl_kind_list (SL_SETTING_RUN_ORDERS, SL_FAMILY_FLAT_TOP);
  g_assert_null (list);
}

/* ---- words of one's own ---- */

static SlSentence
sentence (const char *id, const char *basis)
{
  return (SlSentence){ (char *) id, (char *) basis, (char *) "generated" };
}

static void
keep_result (GObject *source, GAsyncResult *result, gpointer data)
{
  *(GAsyncResult **) data = g_object_ref (result);
}

/* Puts @text and waits until it is written, or not. */
static gboolean
put (SlBench *bench, const SlSentence *where, const char *text, GError **error)
{
  g_autoptr (GAsyncResult) result = NULL;

  sl_explanation_put (bench, where, text, keep_result, &result);
  while (result == NULL)
    g_main_context_iteration (NULL, TRUE);
  return sl_explanation_put_finish (result, error);
}

static void
test_explanations (void)
{
  g_autoptr (SlBench) bench = open_example (), other = NULL;
  const char *const id = sl_bench_get_profile (bench)->id;
  const SlSentence cut = sentence ("cut-saddle-base-1", "0.7/0.5"), changed = sentence ("cut-saddle-base-1", "0.6/0.5"),
                   rod = sentence ("turn-rod-1", "-0.12");
  SlExplanationState state;
  g_autoptr (GError) error = NULL;
  g_autoptr (GHashTable) table = NULL;

  g_assert_null (sl_explanation_get (bench, &cut, &state));
  g_assert_cmpint (state, ==, SL_EXPLANATION_GENERATED);
  g_assert_true (put (bench, &cut, "We took a little off.", &error));
  g_assert_true (put (bench, &rod, "", &error));
  g_assert_no_error (error);
  assert_says (sl_explanation_get (bench, &cut, &state), "We took a little off.");
  g_assert_cmpint (state, ==, SL_EXPLANATION_EDITED);
  assert_says (sl_explanation_get (bench, &changed, &state), "We took a little off.");
  g_assert_cmpint (state, ==, SL_EXPLANATION_OUTDATED);
  g_assert_null (sl_explanation_failure (bench, &cut));
  table = sl_explanations_table (bench);
  g_assert_cmpuint (g_hash_table_size (table), ==, 2);
  g_assert_cmpstr (g_hash_table_lookup (table, "turn-rod-1"), ==, ""); /* left out */
  /* another window reads them */
  other = open_example ();
  sl_explanations_give (other, sl_explanations_new (id, TRUE));
  assert_says (sl_explanation_get (other, &cut, NULL), "We took a little off.");
  g_assert_true (put (bench, &cut, NULL, &error));
  g_assert_null (sl_explanation_get (bench, &cut, NULL));
  sl_finish_turns ();
}

/* Sentences that were edited before the plan changed are found among those the work has. */
static void
test_outdated (void)
{
  g_autoptr (SlBench) bench = open_example ();
  const SlSpeech speech = { .style = { SL_LENGTHS_MM, "." } };
  const SlShop shop = SL_SHOP_DEFAULT;
  SlOutcome outcome;
  g_autoptr (GPtrArray) sentences = NULL;
  g_autoptr (GError) error = NULL;

  sl_outcome_init (&outcome, sl_bench_get_profile (bench), NULL, &shop);
  sentences = sl_explain_work (&outcome, &speech, TRUE);
  g_assert_cmpuint (sentences->len, >, 0);
  for (guint i = 0; i < sentences->len; i++)
    g_assert_true (put (bench, sentences->pdata[i], "in our words", &error));
  g_assert_false (sl_explanations_outdated (bench));
  sl_edit_amount (bench, SL_OP_CUT_SADDLE_BASE, 0, FALSE, 0.3);
  g_assert_true (sl_explanations_outdated (bench));
  sl_bench_undo (bench);
  g_assert_false (sl_explanations_outdated (bench));
  sl_outcome_clear (&outcome);
  sl_finish_turns ();
}

/* What can't be written holds while the program runs, and says why; a file that can't be read is left as it is. */
static void
test_unwritten (void)
{
  g_autofree char *folder = g_build_filename (own, "sidelong", "explanations", NULL), *text = NULL, *path = NULL;
  g_autoptr (SlBench) bench = open_example ();
  SlEdit edit = sl_bench_begin_edit (bench, "id", SL_CHANGED_TEXT, TRUE);
  const SlSentence rod = sentence ("turn-rod-1", "-0.12");
  g_autoptr (GError) broken = NULL, no_folder = NULL;

  g_free (edit.profile->id);
  edit.profile->id = g_strdup ("../x/y"); /* stays in the folder whatever a document holds */
  sl_bench_end_edit (&edit);
  path = g_build_filename (folder, "_..%2Fx%2Fy.ini", NULL);
  g_assert_cmpint (g_mkdir_with_parents (folder, 0700), ==, 0);
  g_assert_true (g_file_set_contents (path, "no key file", -1, NULL));
  g_assert_false (put (bench, &rod, "ours", &broken));
  g_assert_nonnull (strstr (broken->message, "cannot be read, and was not changed"));
  g_assert_true (g_file_get_contents (path, &text, NULL, NULL));
  g_assert_cmpstr (text, ==, "no key file");
  assert_says (sl_explanation_get (bench, &rod, NULL), "ours");
  g_assert_cmpstr (sl_explanation_failure (bench, &rod), ==, broken->message);
  /* where a file stands in the folder's place */
  test_folder_free (g_steal_pointer (&folder));
  folder = g_build_filename (own, "sidelong", "explanations", NULL);
  g_assert_true (g_file_set_contents (folder, "", -1, NULL));
  g_assert_false (put (bench, &rod, "ours", &no_folder));
  g_assert_nonnull (no_folder);
  g_assert_cmpint (g_unlink (folder), ==, 0);
  g_assert_true (put (bench, &rod, "ours", NULL));
  g_assert_null (sl_explanation_failure (bench, &rod));
  sl_finish_turns ();
}

static void
test_options (void)
{
  g_autoptr (SlBench) bench = open_example ();
  SlHandoverOptions *options;
  SlTemplateOptions template;
  g_autoptr (SlPages) sheet = NULL, templates = NULL;
  g_autoptr (GError) error = NULL;

  sl_settings_set (SL_SETTING_PAPER, g_variant_new_string ("letter"));
  sl_settings_set (SL_SETTING_SHOP_NAME, g_variant_new_string ("Quay bench"));
  sl_settings_set (SL_SETTING_SHOW_CHARGES, g_variant_new_boolean (TRUE));
  sl_settings_set (SL_SETTING_CORRECTION_X, g_variant_new_double (1.01));
  sl_bench_set_lengths (bench, SL_LENGTHS_INCH);
  options = sl_handover_options_of_bench (bench);
  g_assert_cmpint (options->paper, ==, SL_PAPER_LETTER);
  g_assert_cmpstr (options->shop_name, ==, "Quay bench");
  g_assert_true (options->show_charges);
  g_assert_true (sl_handover_shows_photos ()); /* unless it is said otherwise */
  sl_settings_set (SL_SETTING_SHOW_PHOTOS, g_variant_new_boolean (FALSE));
  g_assert_false (sl_handover_shows_photos ());
  g_assert_cmpint (options->lengths, ==, SL_LENGTHS_INCH);
  sl_handover_options_free (options);
  sl_template_options_of_bench (bench, TRUE, &template);
  g_assert_cmpfloat (template.correction_x, ==, 1.01);
  g_assert_cmpfloat (template.correction_y, ==, 1);
  g_assert_true (template.half_tiles);
  options = sl_handover_options_of_bench (bench);
  sheet = sl_handover_new (sl_bench_get_profile (bench), options);
  sl_handover_options_free (options);
  g_assert_cmpint (sheet->n_pages, >=, 1);
  g_assert_cmpint (sheet->paper, ==, SL_PAPER_LETTER);
  templates = sl_template_of_bench (bench, FALSE, &error);
  g_assert_no_error (error);
  g_assert_true (templates->full_size);
}

int
main (int argc, char **argv)
{
  g_autoptr (GError) error = NULL;

  setlocale (LC_ALL, "");
  own = g_dir_make_tmp ("sidelong-kept-XXXXXX", &error);
  g_assert_no_error (error);
  g_setenv ("XDG_CACHE_HOME", own, TRUE);
  g_setenv ("XDG_DATA_HOME", own, TRUE);
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/kept/settings", test_settings);
  g_test_add_func ("/kept/shop", test_shop);
  g_test_add_func ("/kept/bound", test_bound);
  g_test_add_func ("/kept/folders", test_folders);
  g_test_add_func ("/kept/tools", test_tools);
  g_test_add_func ("/kept/charges", test_charges);
  g_test_add_func ("/kept/orders", test_orders);
  g_test_add_func ("/kept/explanations", test_explanations);
  g_test_add_func ("/kept/outdated", test_outdated);
  g_test_add_func ("/kept/unwritten", test_unwritten);
  g_test_add_func ("/kept/options", test_options);
  const int status = g_test_run ();
  test_folder_free (own);
  return status;
}
