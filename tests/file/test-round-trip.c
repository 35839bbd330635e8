/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Writing what was read gives the same bytes, and everything written is valid. */
#include <libxml/parser.h>
#include <libxml/xmlschemas.h>
#include <locale.h>
#include <string.h>

#include "../rounds.h"
#include "../setup/comma-locale.h"
#include "support.h"

static void
test_example_bytes (void)
{
  gsize length;
  g_autofree char *text = test_example (&length);
  g_autoptr (SlProfile) profile = test_parse (text);
  g_autofree char *again = test_print (profile);
  g_assert_cmpstr (again, ==, text);
  g_autoptr (SlProfile) copy = sl_profile_copy (profile);
  g_autofree char *copied = test_print (copy);
  g_assert_cmpstr (copied, ==, text);
}

/* The document that docs/format.md shows is one, and in the form the page calls canonical. */
static void
test_documentation (void)
{
  g_autofree char *path = g_build_filename (g_getenv ("SL_SOURCE_ROOT"), "docs", "format.md", NULL);
  g_autofree char *page = NULL;
  g_assert_true (g_file_get_contents (path, &page, NULL, NULL));
  char *start = strstr (page, "```xml\n");
  g_assert_nonnull (start);
  start += strlen ("```xml\n");
  char *end = strstr (start, "```");
  g_assert_nonnull (end);
  *end = '\0';
  g_autoptr (SlProfile) profile = test_parse (start);
  g_autofree char *again = test_print (profile);
  g_assert_cmpstr (again, ==, start);
}

/* What the example says, read through to the structs: a table with two fields exchanged would still print the same
 * bytes. */
static void
test_example_values (void)
{
  g_autofree char *text = test_example (NULL);
  g_autoptr (SlProfile) p = test_parse (text);
  g_assert_cmpstr (p->identity.maker, ==, "Saltmarsh Lane");
  g_assert_cmpstr (p->identity.owner, ==, "");
  g_assert_null (p->identity.contact);
  g_assert_cmpfloat (p->neck.scale_length.v, ==, 632);
  g_assert_cmpint (p->neck.joint_fret, ==, 14);
  g_assert_cmpfloat (p->fretwire.least_height.v, ==, 0.6);
  g_assert_cmpint (p->headstock.n_posts, ==, 2);
  g_assert_cmpfloat (p->headstock.posts[1].side.v, ==, -10);
  g_assert_cmpfloat (p->nut.edge_margin_treble.v, ==, 2.9);
  g_assert_cmpint (p->bridge.kind, ==, SL_BRIDGE_PINNED);
  g_assert_cmpfloat (p->bridge.anchors[1].drop.v, ==, 1.4);
  g_assert_cmpfloat (p->saddle.least_exposure.v, ==, 1.6);
  g_assert_cmpint (p->n_strings, ==, 6);
  g_assert_cmpint (p->strings[4].wrap, ==, SL_WRAP_PHOSPHOR_BRONZE);
  g_assert_cmpfloat (p->strings[4].wrap_diameter.v, ==, 0.33);
  g_assert_cmpint (p->player.pluck_direction, ==, SL_PLUCK_EITHER);
  g_assert_cmpfloat (p->targets.action_bass.v, ==, 2.3);
  g_assert_false (sl_number_is_set (p->targets.action_tolerance));
  const SlReadingSet *set = sl_visit_last_set (sl_profile_last_visit (p));
  g_assert_cmpfloat (set->humidity.v, ==, 63);
  g_assert_cmpuint (set->readings->len, ==, 19);
  const SlReading *first_gap = &g_array_index (set->readings, SlReading, 3);
  g_assert_cmpint (first_gap->held, ==, SL_HELD_3);
  g_assert_cmpint (first_gap->fret, ==, 1);
  const SlOperation *cut = &g_array_index (sl_profile_last_visit (p)->plan, SlOperation, 3);
  g_assert_cmpfloat (cut->amount.v, ==, 0.7);
  g_assert_cmpfloat (cut->amount_treble.v, ==, 0.5);
}

/* Other spellings of the same document come out canonical, once and for all. */
static void
test_canonical (void)
{
  g_autofree char *text = test_example (NULL);
  static const char *const changes[][2] = {
    { "<neck scale-length=\"632\" frets=\"20\"", "<neck frets='20'\n\t scale-length='632'" },
    { "width=\"2.3\" height=\"1.10\"", "height=\"1.10\" width=\"2.3\"" },
    { "<nut ", "<!-- a comment --><?an instruction?>\n\n\n<nut " },
    { "</headstock>", "\n\n  </headstock >" },
    { "  <saddle thickness=\"2.4\" lean=\"3\" least-exposure=\"1.6\"/>",
      "<saddle thickness=\"2.4\" lean=\"3\" least-exposure=\"1.6\">\n</saddle>" },
    { "model=\"Small jumbo\"", "model=\"Small&#32;j&#117;mbo\"" },
    { "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n", "<?xml version='1.0'?>" },
    { "</profile>\n", "</profile>" },
    { "frets=\"20\"", "frets=\"020\"" },
  };
  for (gsize i = 0; i < G_N_ELEMENTS (changes); i++)
    {
      g_autofree char *changed = test_replace (text, changes[i][0], changes[i][1]);
      g_test_message ("%s", changes[i][1]);
      g_autoptr (SlProfile) profile = test_parse (changed);
      g_autofree char *printed = test_print (profile);
      g_assert_cmpstr (printed, ==, text);
    }
}

static void
test_numbers_become_canonical (void)
{
  g_autofree char *text = test_example (NULL);
  g_autofree char *changed = test_replace (text, "gap=\"2.4\"", "gap=\" +24e-1 \"");
  g_autoptr (SlProfile) profile = test_parse (changed);
  g_autofree char *printed = test_print (profile);
  g_assert_cmpstr (printed, ==, text);
}

static void
test_strings_in_any_order (void)
{
  g_autofree char *text = test_example (NULL);
  g_autofree char *one = test_replace (text, "number=\"1\" note=\"E4\"", "number=\"9\" note=\"E4\"");
  g_autofree char *two = test_replace (one, "number=\"2\" note=\"B3\"", "number=\"1\" note=\"E4\"");
  g_autofree char *three = test_replace (two, "number=\"9\" note=\"E4\"", "number=\"2\" note=\"B3\"");
  g_autofree char *four = test_replace (three, "core-diameter=\"0.305\"", "core-diameter=\"9\"");
  g_autofree char *five = test_replace (four, "build=\"plain\" core=\"steel\" core-diameter=\"0.406\"",
                                        "build=\"plain\" core=\"steel\" core-diameter=\"0.305\"");
  g_autofree char *six = test_replace (five, "core-diameter=\"9\"", "core-diameter=\"0.406\"");
  g_assert_cmpstr (six, !=, text);
  g_autoptr (SlProfile) profile = test_parse (six);
  g_autofree char *printed = test_print (profile);
  g_assert_cmpstr (printed, ==, text);
}

/* Given but empty is not the same as not given. */
static void
test_presence_is_kept (void)
{
  static const char minimal[] =
      "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
      "<profile xmlns=\"urn:sidelong:profile:1\" id=\"11111111-2222-4333-8444-555555555555\" kind=\"baseline\">\n"
      "  <identity label=\"\"/>\n"
      "  <neck scale-length=\"345\" frets=\"12\" joint-fret=\"12\"/>\n"
      "%s"
      "  <strings>\n"
      "    <string number=\"1\" frequency=\"440\" build=\"plain\" core=\"nylon\" core-diameter=\"0.6\"/>\n"
      "  </strings>\n"
      "%s"
      "</profile>\n";
  static const char *const optional[] = { "  <fretwire/>\n", "  <headstock/>\n", "  <nut/>\n", "  <bridge/>\n",
                                          "  <saddle/>\n" };
  static const char *const behind[] = {
    "  <player/>\n", "  <targets/>\n", "  <visit id=\"a\" opened=\"2026-01-01\"/>\n",
    "  <visit id=\"a\" opened=\"2026-01-01\">\n    <note/>\n    <plan/>\n    <check/>\n    <charge/>\n  </visit>\n",
    "  <visit id=\"a\" opened=\"2026-01-01\" closed=\"2026-01-01\">\n    <plan>\n      <level-frets/>\n      "
    "<cut-saddle-base/>\n    </plan>\n"
    "    <check name=\"\" state=\"open\">\n      <note> </note>\n    </check>\n  </visit>\n"
  };
  for (gsize i = 0; i <= G_N_ELEMENTS (optional); i++)
    for (gsize j = 0; j <= G_N_ELEMENTS (behind); j++)
      {
        g_autofree char *text = g_strdup_printf (minimal, i < G_N_ELEMENTS (optional) ? optional[i] : "",
                                                 j < G_N_ELEMENTS (behind) ? behind[j] : "");
        g_autoptr (SlProfile) profile = test_parse (text);
        g_autofree char *printed = test_print (profile);
        g_assert_cmpstr (printed, ==, text);
      }
}

/* The zero fret is fret 0 of a list. */
static void
test_fret_list (void)
{
  g_autofree char *text = test_example (NULL);
  g_autoptr (SlProfile) p = test_parse (text);
  SlOperation level = sl_operation_init (SL_OP_LEVEL_FRETS);
  p->nut.kind = SL_NUT_ZERO_FRET;
  level.frets = 1 | 1 << 9;
  g_array_set_size (sl_profile_last_visit (p)->plan, 0);
  g_array_append_val (sl_profile_last_visit (p)->plan, level);
  g_autofree char *written = test_print (p);
  g_assert_nonnull (strstr (written, "<level-frets frets=\"0 9\"/>"));
  g_autoptr (SlProfile) back = test_parse (written);
  g_assert_cmpuint (g_array_index (sl_profile_last_visit (back)->plan, SlOperation, 0).frets, ==, level.frets);
}

static void
test_text_survives (void)
{
  static const char *const texts[] = {
    " a & b < c > d \" ' ", "two\nlines", "tab\t", "cr\r\nlf", "]]>", "", "  ", "\n\n",
    "Ærø \xf0\x9f\x8e\xb8", "x=\"1\""
  };
  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    {
      g_autofree char *example = test_example (NULL);
      g_autoptr (SlProfile) profile = test_parse (example);
      SlVisit *visit = sl_profile_last_visit (profile);
      visit->note = g_strdup (texts[i]);
      g_free (profile->identity.owner);
      profile->identity.owner = g_strdup (texts[i]);
      g_autofree char *printed = test_print (profile);
      g_autoptr (SlProfile) back = test_parse (printed);
      g_assert_cmpstr (sl_profile_last_visit (back)->note, ==, texts[i]);
      g_assert_cmpstr (back->identity.owner, ==, texts[i]);
    }
}

/* What XML can't hold is replaced, so that the document can be read again. */
static void
test_impossible_text_is_replaced (void)
{
  g_autofree char *example = test_example (NULL);
  g_autoptr (SlProfile) profile = test_parse (example);
  g_free (profile->identity.owner);
  profile->identity.owner = g_strdup ("a\x01"
                                      "b\xff"
                                      "c\xef\xbf\xbf");
  g_autofree char *printed = test_print (profile);
  g_autoptr (SlProfile) back = test_parse (printed);
  g_assert_cmpstr (back->identity.owner, ==,
                   "a\xef\xbf\xbd"
                   "b\xef\xbf\xbd"
                   "c\xef\xbf\xbd");
}

static xmlSchema *
load_schema (void)
{
  g_autofree char *path = g_build_filename (g_getenv ("SL_SOURCE_ROOT"), "data", "profile.xsd", NULL);
  xmlSchemaParserCtxt *parser = xmlSchemaNewParserCtxt (path);
  xmlSchema *schema = xmlSchemaParse (parser);
  xmlSchemaFreeParserCtxt (parser);
  g_assert_nonnull (schema);
  return schema;
}

static void
assert_valid (xmlSchema *schema, const char *text)
{
  xmlDoc *doc = xmlReadMemory (text, (int) strlen (text), NULL, NULL, XML_PARSE_NONET);
  g_assert_nonnull (doc);
  xmlSchemaValidCtxt *context = xmlSchemaNewValidCtxt (schema);
  g_assert_cmpint (xmlSchemaValidateDoc (context, doc), ==, 0);
  xmlSchemaFreeValidCtxt (context);
  xmlFreeDoc (doc);
}

/* Random profiles: printed, valid by the XSD on its own, read, printed again. Readings come sorted by kind, which is
 * the one thing printing settles. */
static void
test_at_random (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (20260302);
  xmlSchema *schema = load_schema ();
  for (int i = 0; i < test_rounds (200); i++)
    {
      g_autoptr (SlProfile) profile = test_random_profile (rand);
      g_autofree char *first = test_print (profile);
      assert_valid (schema, first);
      g_autoptr (SlProfile) back = test_parse (first);
      g_autofree char *second = test_print (back);
      g_assert_cmpstr (second, ==, first);
    }
  xmlSchemaFree (schema);
}

/* Where numbers are written with a comma, documents are still written with a point. */
static void
test_comma_locale (void)
{
  char *built;
  if (!test_comma_locale_begin (&built))
    {
      g_test_skip ("no locale with a decimal comma can be had");
      test_comma_locale_end (built);
      return;
    }
  test_example_bytes ();
  test_comma_locale_end (built);
}

static gpointer
parse_often (gpointer data)
{
  for (int i = 0; i < 50; i++)
    {
      g_autoptr (SlProfile) profile = test_parse (data);
      g_autofree char *printed = test_print (profile);
      g_assert_cmpstr (printed, ==, data);
    }
  return NULL;
}

/* A shelf is read by several threads at once. */
static void
test_threads (void)
{
  g_autofree char *text = test_example (NULL);
  GThread *threads[4];
  for (gsize i = 0; i < G_N_ELEMENTS (threads); i++)
    threads[i] = g_thread_new ("parse", parse_often, text);
  for (gsize i = 0; i < G_N_ELEMENTS (threads); i++)
    g_thread_join (threads[i]);
}

int
main (int argc, char **argv)
{
  setlocale (LC_ALL, "");
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/round-trip/example-bytes", test_example_bytes);
  g_test_add_func ("/round-trip/documentation", test_documentation);
  g_test_add_func ("/round-trip/example-values", test_example_values);
  g_test_add_func ("/round-trip/canonical", test_canonical);
  g_test_add_func ("/round-trip/numbers-become-canonical", test_numbers_become_canonical);
  g_test_add_func ("/round-trip/strings-in-any-order", test_strings_in_any_order);
  g_test_add_func ("/round-trip/presence-is-kept", test_presence_is_kept);
  g_test_add_func ("/round-trip/fret-list", test_fret_list);
  g_test_add_func ("/round-trip/text-survives", test_text_survives);
  g_test_add_func ("/round-trip/impossible-text-is-replaced", test_impossible_text_is_replaced);
  g_test_add_func ("/round-trip/at-random", test_at_random);
  g_test_add_func ("/round-trip/comma-locale", test_comma_locale);
  g_test_add_func ("/round-trip/threads", test_threads);
  return g_test_run ();
}
