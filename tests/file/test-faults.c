/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is said of a document that is at fault: the line, the name, the value and what is accepted. */
#include <string.h>

#include "support.h"

/* A fault on @line that names every one of @parts (separated by "|"). */
static void
assert_says (GPtrArray *faults, int line, const char *parts)
{
  g_auto (GStrv) wanted = g_strsplit (parts, "|", -1);
  for (guint i = 0; i < faults->len; i++)
    {
      const SlDocumentFault *fault = faults->pdata[i];
      gboolean all = fault->line == line;
      for (char **part = wanted; *part != NULL; part++)
        all &= strstr (fault->message, *part) != NULL;
      if (all)
        return;
    }
  g_test_message ("nothing says “%s” of line %d", parts, line);
  g_test_fail ();
}

static const struct
{
  const char *from, *to;
  int line;
  const char *says;
} changes[] = {
  { "<neck ", "<neck colour=\"red\" ", 4, "neck|colour" },
  { "<neck ", "<neck xml:lang=\"de\" ", 4, "neck|xml:lang" },
  { "<profile ",
    "<profile xmlns:xsi=\"http://www.w3.org/2001/XMLSchema-instance\" xsi:noNamespaceSchemaLocation=\"x\" ", 2,
    "XMLSchema-instance" },
  { "  <saddle ", "  <tuner/>\n  <saddle ", 15, "tuner|profile" },
  { "  <saddle ", "  <tuner xmlns=\"\"/>\n  <saddle ", 15, "not known" },
  { "  <saddle ", "  some words\n  <saddle ", 15, "some words|profile" },
  { "urn:sidelong:profile:1", "urn:sidelong:profile:2", 2, "urn:sidelong:profile:2|urn:sidelong:profile:1" },
  { " id=\"e2f2b9f4-0a43-4e0c-8d53-94a0f5f9a1b7\"", "", 2, "profile|id" },
  { "e2f2b9f4-", "zzzzzzzz-", 2, "zzzzzzzz-|UUID" },
  { " kind=\"instrument\"", " kind=\"lamp\"", 2, "lamp|instrument, baseline" },
  { " label=\"Worked example\"", "", 3, "identity|label" },
  { "frets=\"20\" ", "", 4, "neck|frets" },
  { "frets=\"20\"", "frets=\"37\"", 4, "frets|37|12 to 36" },
  { "frets=\"20\"", "frets=\"20.0\"", 4, "frets|20.0|12 to 36" },
  { "frets=\"20\"", "frets=\"4000000000000\"", 4, "frets|4000000000000" },
  { "joint-fret=\"14\"", "joint-fret=\"21\"", 4, "joint-fret|21|20" },
  { "scale-length=\"632\"", "scale-length=\"6320\"", 4, "scale-length|6320 mm|100 to 2000 mm" },
  { "<post string=\"1\"", "<post string=\"7\"", 7, "post|7|1 to 6" },
  { "kind=\"pinned\"", "kind=\"\"", 11, "kind|pinned, tailpiece" },
  { "number=\"2\"", "number=\"1\"", 18, "number 1" },
  { "number=\"6\"", "number=\"7\"", 16, "number 6" },
  { "number=\"6\"", "number=\"13\"", 22, "13|1 to 12" },
  { "note=\"B3\"", "note=\"H3\"", 18, "H3" },
  { "note=\"B3\" ", "", 18, "note|frequency" },
  { "wrap=\"phosphor-bronze\" wrap-diameter=\"0.178\"", "wrap-diameter=\"0.178\"", 19, "wound|wrap" },
  { " id=\"v1\"", "", 26, "visit|id" },
  { "opened=\"2026-03-02\"", "opened=\"2.3.2026\"", 26, "opened|2.3.2026" },
  { "taken=\"2026-03-02T10:00:00Z\"", "taken=\"noon\"", 27, "taken|noon" },
  { "stage=\"received\"", "stage=\"later\"", 27, "later|received, during, final" },
  { "gap=\"0.24\"", "gap=\"1e400\"", 31, "gap|1e400|−5 to 10 mm" },
  { "gap=\"0.24\"", "gap=\"NaN\"", 31, "gap|NaN|−5 to 10 mm" },
  { "gap=\"0.24\"", "gap=\"INF\"", 31, "gap|INF|−5 to 10 mm" },
  { "gap=\"0.24\"", "gap=\"-INF\"", 31, "gap|-INF|−5 to 10 mm" },
  { "gap=\"0.24\"", "gap=\"0,24\"", 31, "gap|0,24" },
  { "gap=\"0.24\"", "gap=\"\"", 31, "gap|−5 to 10 mm" },
  { "gap=\"0.24\"", "", 31, "relief|gap" },
  { "gap=\"3.1\"", "gap=\"250\"", 38, "action gap|250 mm|−5 to 30 mm" },
  { "fret=\"7\" gap=\"0.30\"", "fret=\"14\" gap=\"0.30\"", 32, "relief|14|2 to 13" },
  { "held=\"3\"", "held=\"1\"", 34, "held|1|open, 3" },
  { "<crown-gap fret=\"8\" gap=\"0\"", "<crown-gap fret=\"8\" gap=\"1.2\"", 47, "larger than the crown" },
  { "<pitch string=\"2\"", "<crown-wear fret=\"8\" string=\"2\" depth=\"1.2\"/><pitch string=\"2\"", 49,
    "crown-wear depth 1.2 mm|1.1 mm" },
  { "<pitch string=\"2\"",
    "<crown-height fret=\"8\" height=\"0.5\"/><crown-wear fret=\"8\" string=\"2\" depth=\"0.6\"/><pitch string=\"2\"",
    49, "crown-wear depth 0.6 mm|0.5 mm" },
  { "<tool measures=\"action\" resolution=\"0.1\"", "<tool measures=\"pitch\" resolution=\"6\"", 30,
    "6 cents|0 to 5 cents" },
  { "<tool measures=\"action\" resolution=\"0.1\" error-limit=\"0.05\"", "<tool measures=\"pitch\" resolution=\"0\"",
    30, "pitch|0.0001 cents" },
  { "<level-frets ", "<level-frets frets=\"9 21\" ", 52, "level-frets frets|21|1 to 20" },
  { "<level-frets ", "<level-frets frets=\"9 99\" ", 52, "level-frets frets|9 99|1 to 36" },
  { "<level-frets ", "<level-frets frets=\"9 9\" ", 52, "level-frets frets|9 9|each once" },
  { "<tongue gap=\"0.10\"/>", "<tongue gap=\"0.10\" use=\"maybe\"/>", 33, "maybe|auto, always, never" },
  { "<turn-rod change=\"-0.12\"/>", "<turn-rod change=\"-5.1\"/>", 53, "turn-rod|−5.1|−5 to 5 mm" },
  { "<lower-slot string=\"6\" by=\"0.08\"/>", "<lower-slot string=\"6\"/>", 54, "lower-slot|by" },
  { "<level-frets fall-away=\"0.05\"/>", "<level-frets fall-away=\"0.05\"/><sand/>", 52, "sand|plan" },
  { "<neck ", "<neck square-fret=\"0\" ", 4, "square-fret|0|1 to 36" },
  { "<strings>", "<strings courses=\"0\">", 16, "courses|0|1 to 12" },
  { "<strings>", "<strings courses=\"7\">", 16, "courses|7|1 to 6" },
  /* what is wrong with one slot of a new nut is said of its own line, whatever work follows */
  { "<level-frets fall-away=\"0.05\"/>",
    "<make-nut>\n<slot string=\"1\" height=\"0.4\"/>\n<slot string=\"7\" height=\"0.4\"/>\n</make-nut>", 54,
    "slot|7|1 to 6" },
  { "<level-frets fall-away=\"0.05\"/>", "<make-nut>\n<slot string=\"1\" height=\"44\"/>\n</make-nut>", 53,
    "slot height|44 mm|−5 to 30 mm" },
  { "  <fretwire ", "  <neck scale-length=\"632\" frets=\"20\" joint-fret=\"14\"/>\n  <fretwire ", 5,
    "neck|more than once" },
};

static void
test_lines_and_words (void)
{
  g_autofree char *text = test_example (NULL);
  for (gsize i = 0; i < G_N_ELEMENTS (changes); i++)
    {
      g_autofree char *changed = test_replace (text, changes[i].from, changes[i].to);
      g_test_message ("%s", changes[i].to);
      g_autoptr (GPtrArray) faults = test_faults (changed, -1);
      assert_says (faults, changes[i].line, changes[i].says);
    }
}

static void
test_order (void)
{
  g_autofree char *text = test_example (NULL);
  g_autofree char *without = test_replace (text, "      <tongue gap=\"0.10\"/>\n", "");
  g_autofree char *late = test_replace (without, "    </readings>", "      <tongue gap=\"0.10\"/>\n    </readings>");
  g_autoptr (GPtrArray) faults = test_faults (late, -1);
  assert_says (faults, 49, "tongue|before|pitch");
}

/* Every fault, each with its line, not just the first. */
static void
test_all_at_once (void)
{
  g_autofree char *text = test_example (NULL);
  g_autofree char *one = test_replace (text, "gap=\"0.24\"", "gap=\"24\"");
  g_autofree char *two = test_replace (one, "humidity=\"63\"", "humidity=\"163\"");
  g_autofree char *three = test_replace (two, "<lower-slot string=\"6\"", "<lower-slot string=\"9\"");
  g_autofree char *four = test_replace (three, "<saddle ", "<saddle colour=\"red\" ");
  g_autoptr (GPtrArray) faults = test_faults (four, -1);
  g_assert_cmpuint (faults->len, ==, 4);
  assert_says (faults, 15, "colour");
  assert_says (faults, 27, "163 % RH|0 to 100 % RH");
  assert_says (faults, 31, "24 mm");
  assert_says (faults, 54, "9|1 to 6");
}

/* libxml2 keeps lines of elements in 16 bits; documents may be longer. */
static void
test_many_lines (void)
{
  g_autofree char *text = test_example (NULL);
  g_autofree char *gap = g_strnfill (70000, '\n');
  g_autofree char *before = g_strconcat (gap, "  <neck colour=\"red\" ", NULL);
  g_autofree char *long_text = test_replace (text, "  <neck ", before);
  g_autofree char *longer = test_replace (long_text, "gap=\"3.1\"", "gap=\"310\"");
  g_autoptr (GPtrArray) faults = test_faults (longer, -1);
  assert_says (faults, 70004, "colour");
  assert_says (faults, 70038, "310 mm");
}

static void
test_not_well_formed (void)
{
  g_autofree char *text = test_example (NULL);
  g_autofree char *changed = test_replace (text, "</headstock>", "</head>");
  g_autoptr (GPtrArray) faults = test_faults (changed, -1);
  assert_says (faults, 9, "headstock");
  g_autofree char *entity = test_replace (text, "Small jumbo", "Small &jumbo;");
  g_autoptr (GPtrArray) entities = test_faults (entity, -1);
  assert_says (entities, 3, "jumbo");
}

/* Hundreds of faults are no more than a few hundred lines. */
static void
test_fault_cap (void)
{
  g_autofree char *text = test_example (NULL);
  g_autoptr (GString) many = g_string_new (NULL);
  for (int i = 0; i < 900; i++)
    g_string_append (many, "<tongue gap=\"99\"/>\n");
  g_autofree char *changed = test_replace (text, "<tongue gap=\"0.10\"/>", many->str);
  g_autoptr (GPtrArray) faults = test_faults (changed, -1);
  g_assert_cmpuint (faults->len, <, 300);
  const SlDocumentFault *last = faults->pdata[faults->len - 1];
  g_assert_nonnull (strstr (last->message, "only the first"));
}

/* A long value is named, not repeated in full. */
static void
test_long_values (void)
{
  g_autofree char *text = test_example (NULL);
  g_autofree char *value = g_strnfill (100000, '7');
  g_autofree char *attribute = g_strdup_printf ("gap=\"%s\"", value);
  g_autofree char *changed = test_replace (text, "gap=\"0.24\"", attribute);
  g_autoptr (GPtrArray) faults = test_faults (changed, -1);
  assert_says (faults, 31, "777|−5 to 10 mm");
  g_assert_cmpuint (strlen (((SlDocumentFault *) faults->pdata[0])->message), <, 500);
}

/* Reading a file says the first fault in one line. */
static void
test_read_error (void)
{
  g_autofree char *folder = test_folder ();
  g_autofree char *path = g_build_filename (folder, "a.sidelong", NULL);
  g_autofree char *text = test_example (NULL);
  g_autofree char *changed = test_replace (text, "gap=\"3.1\"", "gap=\"250\"");
  g_assert_true (g_file_set_contents (path, changed, -1, NULL));
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GError) error = NULL;
  g_assert_null (sl_document_read (file, NULL, NULL, NULL, &error));
  g_assert_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_FAULT);
  g_assert_true (g_str_has_prefix (error->message, "38: "));
  test_folder_free (g_steal_pointer (&folder));
}

static void
assert_unreadable (const char *path, const char *says)
{
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GError) error = NULL;
  g_test_message ("%s", path);
  g_assert_null (sl_document_read (file, NULL, NULL, NULL, &error));
  g_assert_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_READ);
  g_assert_nonnull (strstr (error->message, says));
}

static void
test_no_ordinary_file (void)
{
  g_autofree char *folder = test_folder ();
  g_autofree char *missing = g_build_filename (folder, "missing.sidelong", NULL);
  assert_unreadable (missing, "No such file");
  assert_unreadable (folder, "folder");
  assert_unreadable ("/dev/zero", "device");
  test_folder_free (g_steal_pointer (&folder));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/faults/lines-and-words", test_lines_and_words);
  g_test_add_func ("/faults/order", test_order);
  g_test_add_func ("/faults/all-at-once", test_all_at_once);
  g_test_add_func ("/faults/many-lines", test_many_lines);
  g_test_add_func ("/faults/not-well-formed", test_not_well_formed);
  g_test_add_func ("/faults/fault-cap", test_fault_cap);
  g_test_add_func ("/faults/long-values", test_long_values);
  g_test_add_func ("/faults/read-error", test_read_error);
  g_test_add_func ("/faults/no-ordinary-file", test_no_ordinary_file);
  return g_test_run ();
}
