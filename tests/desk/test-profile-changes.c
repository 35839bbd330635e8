/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What one version of a profile holds against another, in words: nothing where they are the same, each thing once, and
 * never nothing where they differ. */
#include "desk/instrument/profile-changes.h"

#include "file/document.h"

#include <glib/gstdio.h>
#include <string.h>

static const SlTextStyle style = { SL_LENGTHS_MM, "." };

static char *
example (void)
{
  g_autofree char *path = g_build_filename (g_getenv ("SL_SOURCE_ROOT"), "tests", "example.sidelong", NULL);
  char *text = NULL;

  g_assert_true (g_file_get_contents (path, &text, NULL, NULL));
  return text;
}

static SlProfile *
parse (const char *text)
{
  g_autoptr (GPtrArray) faults = sl_document_faults_new ();
  SlProfile *profile = sl_document_parse (text, strlen (text), faults);

  if (profile == NULL)
    g_error ("%s", ((SlDocumentFault *) faults->pdata[0])->message);
  return profile;
}

/* Lines of what the example with @from exchanged for @to has against the example itself, and the other way round. */
static char *
told (const char *from, const char *to, gboolean back)
{
  g_autofree char *old_text = example ();
  g_auto (GStrv) parts = g_strsplit (old_text, from, 2);
  g_autofree char *new_text = g_strconcat (parts[0], to, parts[1], NULL);
  g_autoptr (SlProfile) old = parse (old_text), new = parse (new_text);
  g_autoptr (GPtrArray) changes = sl_profile_changes (back ? new : old, back ? old : new, &style);
  GString *lines = g_string_new (NULL);

  g_assert_nonnull (parts[1]);
  for (guint i = 0; i < changes->len; i++)
    {
      g_autofree char *line = sl_profile_change_text (changes->pdata[i]);

      g_string_append_printf (lines, "%s%s", i > 0 ? "\n" : "", line);
    }
  return g_string_free (lines, FALSE);
}

static void
assert_told (const char *from, const char *to, gboolean back, const char *lines)
{
  g_autofree char *found = told (from, to, back);

  g_assert_cmpstr (found, ==, lines);
}

static void
test_same (void)
{
  assert_told ("Worked example", "Worked example", FALSE, "");
}

/* Of a long text that part is told in which it differs, on one line. */
static void
test_long (void)
{
  g_autofree char *before = g_strnfill (65536, 'x'), *after = g_strdup (before), *then = NULL, *now = NULL;
  SlProfileChange change = { .name = (char *) "Note", .then = before, .now = after };

  memcpy (after + 60000, "y\nz", 3);
  now = sl_text_shortened (after, before);
  g_assert_nonnull (strstr (now, "xy zx"));
  g_assert_cmpint (g_utf8_strlen (now, -1), ==, 302); /* … before and behind */
  then = sl_profile_change_text (&change);
  g_assert_cmpint (g_utf8_strlen (then, -1), <, 700);
  g_assert_nonnull (strstr (then, now));
}

static void
test_each (void)
{
  assert_told ("gap=\"0.30\"", "gap=\"0.31\"", FALSE, "Relief at fret 7, string 6: 0.31 mm, in the file 0.30 mm");
  assert_told ("<tongue gap=\"0.10\"/>", "", FALSE,
               "Fall-away of the fingerboard extension at the last fret: taken out, in the file 0.10 mm");
  assert_told ("<tongue gap=\"0.10\"/>", "", TRUE,
               "Fall-away of the fingerboard extension at the last fret: 0.10 mm, not in the file");
  assert_told ("Worked example", "Other", FALSE, "Name: Other, in the file Worked example");
  assert_told ("core-diameter=\"0.457\"", "core-diameter=\"0.458\"", FALSE,
               "Core diameter, string 6: 0.458 mm, in the file 0.457 mm");
  assert_told ("by=\"0.08\"", "by=\"0.09\"", FALSE, "Lower slots: string 6 −0.09, in the file string 6 −0.08");
  assert_told ("treble=\"0.5\"/>", "treble=\"0.5\" done=\"2026-03-02T11:00:00Z\"/>", FALSE,
               "Saddle underside: 0.70 / 0.50 off, done 2 Mar 11:00, in the file 0.70 / 0.50 off");
  assert_told ("<relief string=\"6\" fret=\"7\" gap=\"0.30\"/>",
               "<relief string=\"6\" fret=\"7\" gap=\"0.30\"/><relief string=\"6\" fret=\"7\" gap=\"0.32\"/>", FALSE,
               "Relief at fret 7, string 6: 0.32 mm, not in the file");
  assert_told ("resolution=\"0.1\"", "resolution=\"0.2\"", FALSE, "Other entries: changed, in the file as they were");
}

/* Any number that is changed is told, or at least that something is. */
static void
test_none_is_missed (void)
{
  g_autofree char *text = example ();
  g_autoptr (SlProfile) old = parse (text);
  int tried = 0;

  for (char *at = strstr (text, "=\""); at != NULL; at = strstr (at + 2, "=\""))
    {
      const char before = at[2];
      g_autoptr (GPtrArray) faults = sl_document_faults_new (), changes = NULL;
      g_autoptr (SlProfile) new = NULL;

      if (!g_ascii_isdigit (before))
        continue;
      at[2] = before == '9' ? '8' : (char) (before + 1);
      new = sl_document_parse (text, strlen (text), faults);
      at[2] = before;
      if (new == NULL)
        continue;
      tried++;
      changes = sl_profile_changes (old, new, &style);
      if (changes->len == 0)
        g_error ("nothing is told of %.60s", at);
    }
  g_test_message ("%d numbers", tried);
  g_assert_cmpint (tried, >, 50);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/profile-changes/same", test_same);
  g_test_add_func ("/profile-changes/each", test_each);
  g_test_add_func ("/profile-changes/long", test_long);
  g_test_add_func ("/profile-changes/none-is-missed", test_none_is_missed);
  return g_test_run ();
}
