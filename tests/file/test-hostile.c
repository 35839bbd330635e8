/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Documents made to do harm, and documents that harm has been done to: a message, no crash, no file or network touched,
 * memory within bounds. */
#include <string.h>
#include <sys/resource.h>
#include <unistd.h>

#include "../rounds.h"
#include "support.h"

#define MOST_BYTES (64 * 1024 * 1024) /* the promise: no hostile document takes more */

static void
assert_refused (const char *text, gssize length, const char *says)
{
  g_autoptr (GPtrArray) faults = test_faults (text, length);
  for (guint i = 0; says != NULL && i < faults->len; i++)
    if (strstr (((SlDocumentFault *) faults->pdata[i])->message, says) != NULL)
      return;
  g_assert_null (says);
}

#define HEAD "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"

static void
test_doctype (void)
{
  static const char *const types[] = {
    "<!DOCTYPE profile>",
    "<!DOCTYPE profile SYSTEM \"http://localhost:1/profile.dtd\">",
    "<!DOCTYPE profile PUBLIC \"-//x//y\" \"file:///etc/hostname\">",
    "<!DOCTYPE profile [<!ENTITY e SYSTEM \"file:///etc/hostname\">]>",
    "<!DOCTYPE profile [<!ENTITY % p SYSTEM \"file:///etc/hostname\"> %p;]>",
    "<!DOCTYPE profile [<!ATTLIST profile baseline CDATA \"11111111-2222-4333-8444-555555555555\">]>",
    "<!DOCTYPE profile [<!ENTITY a \"aaaaaaaaaa\"><!ENTITY b \"&a;&a;&a;&a;&a;&a;&a;&a;\"><!ENTITY c "
    "\"&b;&b;&b;&b;&b;&b;&b;&b;\">"
    "<!ENTITY d \"&c;&c;&c;&c;&c;&c;&c;&c;\"><!ENTITY e \"&d;&d;&d;&d;&d;&d;&d;&d;\"><!ENTITY f "
    "\"&e;&e;&e;&e;&e;&e;&e;&e;\">]>",
  };
  g_autofree char *text = test_example (NULL);
  g_autofree char *entity = test_replace (text, "Small jumbo", "&f;&e;");
  for (gsize i = 0; i < G_N_ELEMENTS (types); i++)
    {
      g_autofree char *with = g_strconcat (HEAD, types[i], "\n", NULL);
      g_autofree char *plain = test_replace (text, HEAD, with);
      g_autofree char *used = test_replace (entity, HEAD, with);
      assert_refused (plain, -1, "DOCTYPE");
      assert_refused (used, -1, "DOCTYPE");
    }
}

/* A file that a document names must not be opened: a pipe nobody writes to would hang the reader. */
static void
test_no_file_is_opened (void)
{
  g_autofree char *folder = test_folder ();
  g_autofree char *pipe_path = g_build_filename (folder, "pipe", NULL);
  const char *argv[] = { "mkfifo", pipe_path, NULL };
  g_assert_true (g_spawn_sync (NULL, (char **) argv, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, NULL, NULL, NULL, NULL));
  g_autofree char *text = test_example (NULL);
  g_autofree char *include =
      g_strdup_printf ("<xi:include xmlns:xi=\"http://www.w3.org/2001/XInclude\" href=\"%s\"/><neck", pipe_path);
  g_autofree char *included = test_replace (text, "<neck", include);
  assert_refused (included, -1, "XInclude");
  g_autofree char *location = g_strdup_printf (
      "<profile xmlns:x=\"http://www.w3.org/2001/XMLSchema-instance\" x:schemaLocation=\"urn:sidelong:profile:1 %s\"",
      pipe_path);
  g_autofree char *located = test_replace (text, "<profile", location);
  assert_refused (located, -1, "XMLSchema-instance");
  g_autofree char *doctype = g_strdup_printf (HEAD "<!DOCTYPE profile SYSTEM \"%s\">\n", pipe_path);
  g_autofree char *external = test_replace (text, HEAD, doctype);
  assert_refused (external, -1, "DOCTYPE");
  g_autofree char *sheet = g_strdup_printf (HEAD "<?xml-stylesheet href=\"%s\" type=\"text/xsl\"?>\n", pipe_path);
  g_autofree char *styled = test_replace (text, HEAD, sheet);
  g_autoptr (SlProfile) harmless = test_parse (styled);
  g_autoptr (GFile) file = g_file_new_for_path (pipe_path);
  g_autoptr (GError) error = NULL;
  g_assert_null (sl_document_read (file, NULL, NULL, NULL, &error));
  g_assert_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_READ);
  test_folder_free (g_steal_pointer (&folder));
}

static char *
repeated (const char *before, const char *part, gsize bytes, const char *after)
{
  GString *text = g_string_new (before);
  while (text->len < bytes)
    g_string_append (text, part);
  g_string_append (text, after);
  return g_string_free (text, FALSE);
}

#define ROOT HEAD "<profile xmlns=\"urn:sidelong:profile:1\">"
#define ALMOST (SL_DOCUMENT_MOST_BYTES - 4096)

/* As large as a document may be, made of what costs a parser most. */
static void
test_floods (void)
{
  static const struct
  {
    const char *before, *part, *after;
  } floods[] = {
    { ROOT, "<a>", "" },
    { ROOT, "<a/>", "</profile>" },
    { ROOT, "<neck a=\"\" b=\"\" c=\"\" d=\"\"/>", "</profile>" },
    { HEAD "<profile ", "a=\"\" ", "/>" },
    { HEAD "<profile ", "a =\n'' ", "/>" },
    { ROOT, "<a xmlns:b=\"urn:sidelong:profile:1\" xmlns:c=\"urn:sidelong:profile:1\">", "" },
    { ROOT, "&#65;", "</profile>" },
    { ROOT, "<![CDATA[x]]>", "</profile>" },
    { ROOT, "&amp;", "</profile>" },
    { HEAD "<", "x", "/>" },
    { HEAD "<profile ", "x", "=\"\"/>" },
    { HEAD "<profile xmlns=\"", "x", "\"/>" },
    { HEAD "<!--", "- ", "" },
    { HEAD "<?x ", "? ", "" },
    { HEAD, "<!DOCTYPE profile [", "]>" },
    { HEAD "<!-- \n", "<profile a='' b='' c='' d='' e='' f='' g=''", "" },
    { ROOT, "<identity label=\"\"><note>x</note></identity>", "</profile>" },
    { ROOT, "\xf0\x9f\x8e\xb8", "</profile>" },
  };
  for (gsize i = 0; i < G_N_ELEMENTS (floods); i++)
    {
      g_test_message ("%s", floods[i].part);
      g_autofree char *text = repeated (floods[i].before, floods[i].part, ALMOST, floods[i].after);
      assert_refused (text, -1, NULL);
    }
}

/* A tag full of attributes is found whatever stands before it to hide it; as text the same is none. */
static void
test_attributes (void)
{
  static const char *const before[] = {
    HEAD "<profile ",
    HEAD "<profile x='>' ",
    HEAD "<profile x='>\"' ",
    HEAD "<profile x=\">'\" y = '\">' ",
    HEAD "<!-- \" --><profile ",
    ROOT "'<neck ",
    ROOT "<a b='\"'>\"</a>><neck ",
    HEAD "<?x '?><profile\n",
  };
  for (gsize i = 0; i < G_N_ELEMENTS (before); i++)
    {
      g_autofree char *text = repeated (before[i], "a=\"\" ", 8192, "/>"),
                      *spaced = repeated (before[i], "a\n=\n'' ", 8192, "/>");
      assert_refused (text, -1, "more than 512 attributes");
      assert_refused (spaced, -1, "more than 512 attributes");
    }
  g_autofree char *note = repeated ("<note>", "see=\"that\" > or='this' ", 65000, "</note>"),
                  *with = g_strconcat ("<visit id=\"v1\" opened=\"2026-03-02\">\n    ", note, NULL),
                  *example = test_example (NULL),
                  *text = test_replace (example, "<visit id=\"v1\" opened=\"2026-03-02\">", with);
  g_autoptr (SlProfile) profile = test_parse (text);
  const SlVisit *visit = &g_array_index (profile->visits, SlVisit, 0);
  g_assert_cmpuint (strlen (visit->note), ==, strlen (note) - strlen ("<note></note>"));
  g_autofree char *printed = test_print (profile);
  g_autoptr (SlProfile) again = test_parse (printed);
  g_assert_cmpstr (g_array_index (again->visits, SlVisit, 0).note, ==, visit->note);
}

/* Sound, but as heavy as can be: read, or refused, within the same bounds. */
static void
test_heavy (void)
{
  g_autofree char *example = test_example (NULL);
  static const char *const parts[][4] = {
    { "opened=\"2026-03-02\">", "opened=\"2026-03-02\"><note>", "\n&lt; ", "</note>" },
    { "owner=\"\"", "owner=\"", "&amp;", "\"" },
    { "      <tongue gap=\"0.10\"/>\n", "", "      <tongue gap=\"0.10\"/>\n", "" },
    { "<neck ", "<!-- ", "x ", " --><neck " },
  };
  for (gsize i = 0; i < G_N_ELEMENTS (parts); i++)
    {
      g_autofree char *flood = repeated (parts[i][1], parts[i][2], ALMOST - strlen (example), parts[i][3]);
      g_autofree char *text = test_replace (example, parts[i][0], flood);
      g_autoptr (GPtrArray) faults = sl_document_faults_new ();
      g_autoptr (SlProfile) profile = sl_document_parse (text, strlen (text), faults);
      g_assert_true ((profile != NULL) == (faults->len == 0));
    }
}

/* Each flood in a process of its own whose address space ends 64 MiB above what it needs before it has read anything.
 */
static void
test_floods_in_bounds (void)
{
  if (g_test_subprocess ())
    {
      g_autofree char *status = NULL;
      g_autofree char *warm_text = test_example (NULL);
      g_autoptr (SlProfile) warm = test_parse (warm_text);
      g_assert_true (g_file_get_contents ("/proc/self/statm", &status, NULL, NULL));
      guint64 pages = g_ascii_strtoull (status, NULL, 10);
      /* The text itself is the test's, not the document's. */
      rlim_t most = pages * (rlim_t) sysconf (_SC_PAGESIZE) + MOST_BYTES + 2 * SL_DOCUMENT_MOST_BYTES;
      struct rlimit limit = { most, most };
      g_assert_cmpint (setrlimit (RLIMIT_AS, &limit), ==, 0);
      test_floods ();
      test_heavy ();
      return;
    }
#if defined(__SANITIZE_ADDRESS__)
  /* The address sanitizer takes address space of its own: it looks at every access instead. */
  test_floods ();
  test_heavy ();
#else
  g_test_trap_subprocess (NULL, 0, G_TEST_SUBPROCESS_DEFAULT);
  g_test_trap_assert_passed ();
#endif
}

static void
test_size_cap (void)
{
  g_autofree char *example = test_example (NULL);
  g_autofree char *text = repeated (example, " ", SL_DOCUMENT_MOST_BYTES + 1, "");
  assert_refused (text, -1, "8 MiB");
  g_autofree char *folder = test_folder ();
  g_autofree char *path = g_build_filename (folder, "large.sidelong", NULL);
  g_assert_true (g_file_set_contents (path, text, -1, NULL));
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GError) error = NULL;
  g_assert_null (sl_document_read (file, NULL, NULL, NULL, &error));
  g_assert_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_FAULT);
  test_folder_free (g_steal_pointer (&folder));
}

static void
test_encodings (void)
{
  static const char *const names[] = { "ISO-8859-1", "UTF-16", "UTF-7", "EBCDIC-CP-US", "x" };
  g_autofree char *text = test_example (NULL);
  for (gsize i = 0; i < G_N_ELEMENTS (names); i++)
    {
      g_autofree char *declaration = g_strdup_printf ("encoding='%s'", names[i]);
      g_autofree char *whole = test_replace (text, "encoding=\"UTF-8\"", declaration);
      assert_refused (whole, -1, names[i]);
    }
  g_autofree char *latin = test_replace (text, "Saltmarsh", "S\xe4ltmarsh");
  assert_refused (latin, -1, "0xE4");
  gsize length;
  g_autofree char *wide = g_convert (text, -1, "UTF-16", "UTF-8", NULL, &length, NULL);
  assert_refused (wide, (gssize) length, "UTF-8");
  g_autofree char *marked = g_strconcat ("\xef\xbb\xbf", text, NULL);
  g_autoptr (SlProfile) with_mark = test_parse (marked);
  g_autofree char *lower = test_replace (text, "UTF-8", "utf-8");
  g_autoptr (SlProfile) in_lower_case = test_parse (lower);
}

/* Cut off anywhere: refused, but for the final line end. */
static void
test_truncated (void)
{
  gsize length;
  g_autofree char *text = test_example (&length);
  for (gsize cut = 0; cut < length - 1; cut++)
    {
      /* Nothing behind it, so that a sanitizer sees a read beyond its end. */
      g_autofree char *part = g_memdup2 (text, MAX (cut, 1));
      g_autoptr (GPtrArray) faults = sl_document_faults_new ();
      g_assert_null (sl_document_parse (part, cut, faults));
      g_assert_cmpuint (faults->len, >, 0);
    }
}

/* Bits turned over by chance, from one to a dozen: a profile that prints and reads again, or faults. */
static void
test_bit_flips (void)
{
  gsize length;
  g_autofree char *text = test_example (&length);
  g_autoptr (GRand) rand = g_rand_new_with_seed (64);
  const int rounds = test_rounds (4000);
  int sound = 0;
  for (int i = 0; i < rounds; i++)
    {
      g_autofree char *broken = g_memdup2 (text, length);
      for (int n = g_rand_int_range (rand, 1, i % 3 == 0 ? 13 : 2); n > 0; n--)
        broken[g_rand_int_range (rand, 0, (gint32) length)] ^= (char) (1 << g_rand_int_range (rand, 0, 8));
      g_autoptr (GPtrArray) faults = sl_document_faults_new ();
      g_autoptr (SlProfile) profile = sl_document_parse (broken, length, faults);
      g_assert_true ((profile != NULL) == (faults->len == 0));
      if (profile == NULL)
        continue;
      sound++;
      g_autofree char *first = test_print (profile);
      g_autoptr (SlProfile) back = test_parse (first);
      g_autofree char *second = test_print (back);
      g_assert_cmpstr (second, ==, first);
    }
  g_test_message ("%d of %d were still sound", sound, rounds);
  g_assert_cmpint (sound, >, 0);
}

/* Pieces of documents put together by chance. */
static void
test_splices (void)
{
  gsize length;
  g_autofree char *text = test_example (&length);
  g_autoptr (GRand) rand = g_rand_new_with_seed (65);
  const int rounds = test_rounds (2000);
  for (int i = 0; i < rounds; i++)
    {
      g_autoptr (GString) spliced = g_string_new_len (text, g_rand_int_range (rand, 0, (gint32) length));
      for (int n = g_rand_int_range (rand, 1, 4); n > 0; n--)
        {
          gint32 from = g_rand_int_range (rand, 0, (gint32) length),
                 count = g_rand_int_range (rand, 0, (gint32) length - from + 1);
          g_string_append_len (spliced, text + from, count);
        }
      g_autoptr (GPtrArray) faults = sl_document_faults_new ();
      g_autoptr (SlProfile) profile = sl_document_parse (spliced->str, spliced->len, faults);
      g_assert_true ((profile != NULL) == (faults->len == 0));
    }
}

static void
test_empty (void)
{
  assert_refused ("", 0, "empty");
  assert_refused (" \n", -1, NULL);
  assert_refused ("\0\0\0", 3, "0x00");
  assert_refused ("hello", -1, NULL);
  assert_refused ("<a/>", -1, "<a>");
  assert_refused ("<profile/>", -1, "urn:sidelong:profile:1");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/hostile/doctype", test_doctype);
  g_test_add_func ("/hostile/no-file-is-opened", test_no_file_is_opened);
  g_test_add_func ("/hostile/floods-in-bounds", test_floods_in_bounds);
  g_test_add_func ("/hostile/attributes", test_attributes);
  g_test_add_func ("/hostile/size-cap", test_size_cap);
  g_test_add_func ("/hostile/encodings", test_encodings);
  g_test_add_func ("/hostile/truncated", test_truncated);
  g_test_add_func ("/hostile/bit-flips", test_bit_flips);
  g_test_add_func ("/hostile/splices", test_splices);
  g_test_add_func ("/hostile/empty", test_empty);
  return g_test_run ();
}
