/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Two versions of one profile brought together: cases worked by hand from the rules of setup/record/merge.h, and what
 * has to hold for any versions at all. Versions are made of documents, by replacing text in the example beside the
 * tests, and compared as documents: what merges has no say in what is wanted of it. */
#include "../file/support.h"
#include "../rounds.h"
#include "setup/record/merge.h"
#include "support.h"
#include "words/merge.h"

#include <string.h>

#define PLAN_END "    </plan>\n"
#define SET_2(taken, gap)                                                                                              \
  "    </readings>\n    <readings id=\"r2\" stage=\"during\" taken=\"" taken "\">\n"                                   \
  "      <action string=\"1\" fret=\"12\" gap=\"" gap "\"/>\n    </readings>\n    <plan>"

/* @pairs: texts of the example and what stands in their place, in turn, up to NULL. */
static char *
version (const char *const *pairs)
{
  char *text = test_example (NULL);

  for (; pairs != NULL && *pairs != NULL; pairs += 2)
    {
      char *changed = test_replace (text, pairs[0], pairs[1]);

      g_free (text);
      text = changed;
    }
  return text;
}

static SlMerge *
merge_texts (const char *base, const char *mine, const char *theirs, SlSide rest)
{
  g_autoptr (SlProfile) b = base != NULL ? test_parse (base) : NULL, m = test_parse (mine), t = test_parse (theirs);

  return sl_merge (b, m, t, NULL, rest);
}

typedef struct
{
  const char *path;
  const char *mine[9], *theirs[9], *merged[15]; /* what each changed in the example */
  gboolean no_base;
  const char *asked[3]; /* titles of what is asked */
} Case;

static const Case cases[] = {
  /* each changed something else: both are taken */
  { "/merge/apart",
    { "gap=\"3.1\"", "gap=\"2.9\"", "owner=\"\"", "owner=\"A. Mercer\"" },
    { "gap=\"2.4\"", "gap=\"2.2\"", "<neck ", "<neck " },
    { "gap=\"3.1\"", "gap=\"2.9\"", "owner=\"\"", "owner=\"A. Mercer\"", "gap=\"2.4\"", "gap=\"2.2\"" } },
  /* both the same: nothing to ask */
  { "/merge/alike",
    { "gap=\"3.1\"", "gap=\"3.0\"" },
    { "gap=\"3.1\"", "gap=\"3.0\"" },
    { "gap=\"3.1\"", "gap=\"3.0\"" } },
  /* both one reading otherwise; mine stands while nothing is chosen */
  { "/merge/reading",
    { "gap=\"3.1\"", "gap=\"3.0\"" },
    { "gap=\"3.1\"", "gap=\"3.2\"" },
    { "gap=\"3.1\"", "gap=\"3.0\"" },
    FALSE,
    { "Action at fret 12, string 6" } },
  /* a reading's value here and its use there are one thing */
  { "/merge/reading-use",
    { "gap=\"3.1\"", "gap=\"3.0\"" },
    { "gap=\"3.1\"", "gap=\"3.1\" use=\"never\"" },
    { "gap=\"3.1\"", "gap=\"3.0\"" },
    FALSE,
    { "Action at fret 12, string 6" } },
  /* what one took out and the other left alone goes; what one added comes, in the order of the document */
  { "/merge/removed",
    { "      <tongue gap=\"0.10\"/>\n", "" },
    { "      <exposure string=\"1\"", "      <exposure string=\"2\" height=\"3.2\"/>\n      <exposure string=\"1\"" },
    { "      <tongue gap=\"0.10\"/>\n", "", "      <exposure string=\"1\"",
      "      <exposure string=\"2\" height=\"3.2\"/>\n      <exposure string=\"1\"" } },
  /* taken out here, changed there */
  { "/merge/removed-and-changed",
    { "      <tongue gap=\"0.10\"/>\n", "" },
    { "<tongue gap=\"0.10\"/>", "<tongue gap=\"0.12\"/>" },
    { "      <tongue gap=\"0.10\"/>\n", "" },
    FALSE,
    { "fingerboard extension" } },
  /* a plan is one thing: no step of one among those of the other */
  { "/merge/plan",
    { "change=\"-0.12\"", "change=\"-0.10\"" },
    { "by=\"0.08\"", "by=\"0.06\"" },
    { "change=\"-0.12\"", "change=\"-0.10\"" },
    FALSE,
    { "Plan" } },
  /* a plan that only one changed comes whole */
  { "/merge/plan-of-one",
    { "gap=\"3.1\"", "gap=\"3.0\"" },
    { "by=\"0.08\"", "by=\"0.06\"" },
    { "gap=\"3.1\"", "gap=\"3.0\"", "by=\"0.08\"", "by=\"0.06\"" } },
  /* targets and strings are one thing each */
  { "/merge/targets",
    { "relief=\"0.12\"", "relief=\"0.10\"", "core-diameter=\"0.305\"", "core-diameter=\"0.279\"" },
    { "action-bass=\"2.3\"", "action-bass=\"2.2\"", "note=\"E2\"", "note=\"D2\"" },
    { "relief=\"0.12\"", "relief=\"0.10\"", "core-diameter=\"0.305\"", "core-diameter=\"0.279\"" },
    FALSE,
    { "Strings", "Targets" } },
  /* the description attribute by attribute; a check's state and note, a charge of each, a visit that is closed */
  { "/merge/attributes",
    { "tilt=\"16\"", "tilt=\"15\"", PLAN_END,
      PLAN_END "    <check name=\"Frets seated\" state=\"sound\"/>\n    <charge what=\"Setup\" amount=\"90\"/>\n" },
    { "string-rise=\"4.2\"", "string-rise=\"4.1\"", PLAN_END,
      PLAN_END "    <check name=\"Frets seated\" state=\"sound\"/>\n    <charge what=\"Strings\" amount=\"12\"/>\n",
      "opened=\"2026-03-02\"", "opened=\"2026-03-02\" closed=\"2026-03-04\"" },
    { "tilt=\"16\"", "tilt=\"15\"", "string-rise=\"4.2\"", "string-rise=\"4.1\"", PLAN_END,
      PLAN_END "    <check name=\"Frets seated\" state=\"sound\"/>\n    <charge what=\"Setup\" amount=\"90\"/>\n"
               "    <charge what=\"Strings\" amount=\"12\"/>\n",
      "opened=\"2026-03-02\"", "opened=\"2026-03-02\" closed=\"2026-03-04\"" } },
  /* what is asked has the name it has on screen, and its days are written out */
  { "/merge/names",
    { "opened=\"2026-03-02\"", "opened=\"2026-03-02\" closed=\"2026-03-04\"" },
    { "opened=\"2026-03-02\"", "opened=\"2026-03-02\" closed=\"2026-03-05\"" },
    { "opened=\"2026-03-02\"", "opened=\"2026-03-02\" closed=\"2026-03-04\"" },
    FALSE,
    { "Visit of 2 Mar 2026: Visit closed" } },
  /* two sets of one id, begun on two machines at two moments: theirs gets an id of its own, earlier sets first */
  { "/merge/ids",
    { "    </readings>\n    <plan>", SET_2 ("2026-03-02T12:00:00Z", "2.0") },
    { "    </readings>\n    <plan>", SET_2 ("2026-03-02T11:00:00Z", "2.1") },
    { "    </readings>\n    <plan>",
      "    </readings>\n    <readings id=\"r3\" stage=\"during\" taken=\"2026-03-02T11:00:00Z\">\n"
      "      <action string=\"1\" fret=\"12\" gap=\"2.1\"/>\n" SET_2 ("2026-03-02T12:00:00Z", "2.0") } },
  /* of one moment they are one set: what is read in it is compared */
  { "/merge/one-set",
    { "    </readings>\n    <plan>", SET_2 ("2026-03-02T12:00:00Z", "2.0") },
    { "    </readings>\n    <plan>", SET_2 ("2026-03-02T12:00:00Z", "2.1") },
    { "    </readings>\n    <plan>", SET_2 ("2026-03-02T12:00:00Z", "2.0") },
    FALSE,
    { "Action at fret 12, string 1" } },
  /* without what both come from: nothing goes, and what only one has may be new */
  { "/merge/two-way",
    { "      <tongue gap=\"0.10\"/>\n", "", "gap=\"3.1\"", "gap=\"3.0\"" },
    { "      <exposure string=\"1\" height=\"3.0\"/>\n", "", " wrap-height=\"3.0\"", "" },
    { "gap=\"3.1\"", "gap=\"3.0\"" },
    TRUE,
    { "post", "Action at fret 12, string 6" } },
};

static void
check_case (gconstpointer data)
{
  const Case *c = data;
  g_autofree char *base = version (NULL), *mine = version (c->mine), *theirs = version (c->theirs),
                  *wanted = version (c->merged), *printed = NULL;
  g_autoptr (SlProfile) canonical = test_parse (wanted);
  g_autofree char *want = test_print (canonical);
  g_autoptr (SlMerge) merge = merge_texts (c->no_base ? NULL : base, mine, theirs, SL_SIDE_NONE);
  guint asked = 0;

  printed = test_print (merge->merged);
  g_assert_cmpstr (printed, ==, want);
  g_assert_null (merge->fault);
  SL_EACH (const SlMergeItem, item, merge->items)
    {
      g_autofree char *title = sl_merge_title (item, NULL),
                      *value = sl_merge_value (merge, item, item->mine, &(SlTextStyle){ SL_LENGTHS_MM, "." });

      g_assert_null (strstr (value, "2026-"));
      if (!item->asked)
        continue;
      g_assert_cmpuint (asked, <, G_N_ELEMENTS (c->asked));
      g_test_message ("asked: %s", title);
      g_assert_nonnull (c->asked[asked]);
      g_assert_nonnull (strstr (title, c->asked[asked]));
      asked++;
    }
  g_assert_true (asked == G_N_ELEMENTS (c->asked) || c->asked[asked] == NULL);
  g_assert_cmpuint (merge->n_open, ==, asked);
}

/* What is asked is taken from whom it is given to, one by one. */
static void
test_choices (void)
{
  const char *const mine[] = { "relief=\"0.12\"", "relief=\"0.10\"", "by=\"0.08\"", "by=\"0.07\"", NULL },
                    *const theirs[] = { "relief=\"0.12\"", "relief=\"0.15\"", "by=\"0.08\"", "by=\"0.06\"", NULL },
                    *const wanted[] = { "relief=\"0.12\"", "relief=\"0.10\"", "by=\"0.08\"", "by=\"0.06\"", NULL };
  const SlSide sides[] = { SL_SIDE_MINE, SL_SIDE_THEIRS };
  g_autofree char *base = version (NULL), *m = version (mine), *t = version (theirs), *want = version (wanted),
                  *printed = NULL;
  g_autoptr (SlProfile) b = test_parse (base), first = test_parse (m), second = test_parse (t), w = test_parse (want);
  g_autofree char *canonical = test_print (w);
  g_autoptr (GArray) choices = g_array_new (FALSE, FALSE, sizeof (SlSide));
  g_autoptr (SlMerge) merge = NULL;

  g_array_append_vals (choices, sides, 2);
  merge = sl_merge (b, first, second, choices, SL_SIDE_NONE);
  g_assert_cmpuint (merge->n_asked, ==, 2);
  g_assert_cmpuint (merge->n_open, ==, 0);
  printed = test_print (merge->merged);
  g_assert_cmpstr (printed, ==, canonical);
}

/* Choices and units are told as they are on screen, never as the document spells them. */
static void
test_said (void)
{
  static const struct
  {
    const char *there, *mine, *theirs, *said[2];
  } told_as[] = {
    { " temperature=\"22\"", " temperature=\"23.5\"", " temperature=\"21\"", { "23.5 °C", "21 °C" } },
    { " humidity=\"63\"", " humidity=\"62\"", " humidity=\"61\"", { "62 % RH", "61 % RH" } },
    { " humidity=\"63\">", " humidity=\"63\" settled=\"no\">", " humidity=\"63\" settled=\"yes\">", { "No", "Yes" } },
    { "<plan>",
      "<readings id=\"r3\" stage=\"during\" taken=\"2026-03-02T11:00:00Z\" strings=\"slack\"/><plan>",
      "<readings id=\"r3\" stage=\"final\" taken=\"2026-03-02T11:00:00Z\"/><plan>",
      { "slack", "at pitch" } },
    { PLAN_END,
      PLAN_END "<photo id=\"p1\" file=\"a.jpg\" stage=\"final\" about=\"nut\" on-sheet=\"no\"/>",
      PLAN_END "<photo id=\"p1\" file=\"a.jpg\" stage=\"final\" about=\"nut\"/>",
      { "No", "As the program chooses" } },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (told_as); i++)
    {
      const char *const changed[2][3] = { { told_as[i].there, told_as[i].mine },
                                          { told_as[i].there, told_as[i].theirs } };
      g_autofree char *base = version (NULL), *mine = version (changed[0]), *theirs = version (changed[1]);
      g_autoptr (SlMerge) merge = merge_texts (base, mine, theirs, SL_SIDE_NONE);
      gboolean told = FALSE;

      SL_EACH (const SlMergeItem, item, merge->items)
        {
          const SlTextStyle mm = { SL_LENGTHS_MM, "." };
          g_autofree char *first = sl_merge_value (merge, item, item->mine, &mm),
                          *second = sl_merge_value (merge, item, item->theirs, &mm);

          told |= g_str_equal (first, told_as[i].said[0]) && g_str_equal (second, told_as[i].said[1]);
          if (!g_str_equal (first, second))
            g_test_message ("%s, %s", first, second);
        }
      g_assert_true (told);
    }
}

/* A mark that was taken into a set of readings stays with it where the set gets another id; a picture of the same id
 * is another picture where its file is. */
static void
test_photos (void)
{
  const char *const mine[] = { "    </readings>\n    <plan>", SET_2 ("2026-03-02T12:00:00Z", "2.0"), PLAN_END,
                               PLAN_END "    <photo id=\"p1\" file=\"nut.jpg\" stage=\"received\" about=\"nut\"/>\n",
                               NULL };
  const char *const theirs[] = {
    "    </readings>\n    <plan>", SET_2 ("2026-03-02T11:00:00Z", "2.1"), PLAN_END,
    PLAN_END
    "    <photo id=\"p1\" file=\"saddle.jpg\" stage=\"during\" about=\"saddle\">\n"
    "      <known x1=\"1\" y1=\"1\" x2=\"9\" y2=\"1\" length=\"10\"/>\n"
    "      <mark of=\"action\" string=\"1\" fret=\"12\" x1=\"1\" y1=\"2\" x2=\"1\" y2=\"4\" readings=\"r2\"/>\n"
    "    </photo>\n",
    NULL
  };
  g_autofree char *base = version (NULL), *m = version (mine), *t = version (theirs);
  g_autoptr (SlMerge) merge = merge_texts (base, m, t, SL_SIDE_NONE);
  const SlVisit *visit = sl_profile_last_visit (merge->merged);
  const SlPhoto *photos = (gconstpointer) visit->photos->data;

  g_assert_null (merge->fault);
  g_assert_cmpuint (merge->n_asked, ==, 0);
  g_assert_cmpuint (visit->photos->len, ==, 2);
  g_assert_cmpstr (photos[0].id, ==, "p1");
  g_assert_cmpstr (photos[0].file, ==, "nut.jpg");
  g_assert_cmpstr (photos[1].id, ==, "p2");
  g_assert_cmpstr (photos[1].file, ==, "saddle.jpg");
  g_assert_cmpstr (g_array_index (photos[1].marks, SlMark, 0).readings, ==, "r3");
  g_assert_cmpstr (g_array_index (visit->sets, SlReadingSet, 1).id, ==, "r3");
}

/* Two instruments are refused; what can't stand together is asked, and nothing else: fewer frets here, a reading beyond
 * them there. */
static void
test_refused (void)
{
  const char *const other[] = { "e2f2b9f4", "f2f2b9f4", NULL }, *const fewer[] = { "frets=\"20\"",
                                                                                   "frets=\"18\"",
                                                                                   "<crown-gap fret=\"20\"",
                                                                                   "<crown-gap fret=\"18\"",
                                                                                   "tilt=\"16\"",
                                                                                   "tilt=\"15\"",
                                                                                   NULL },
                    *const beyond[] = { "<crown-gap fret=\"8\" gap=\"0\"/>", "<crown-gap fret=\"19\" gap=\"0.02\"/>",
                                        NULL };
  const SlSide sides[] = { SL_SIDE_MINE, SL_SIDE_THEIRS };
  g_autofree char *base = version (NULL), *two = version (other), *m = version (fewer), *t = version (beyond);
  g_autoptr (SlMerge) strangers = merge_texts (NULL, base, two, SL_SIDE_MINE);
  g_autoptr (SlMerge) merge = merge_texts (base, m, t, SL_SIDE_NONE), mixed = NULL;
  g_autoptr (GArray) choices = g_array_new (FALSE, FALSE, sizeof (SlSide));

  g_assert_null (strangers->merged);
  g_assert_nonnull (strstr (strangers->fault, "two instruments"));
  g_assert_nonnull (strstr (merge->fault, "19"));
  g_assert_cmpuint (merge->n_asked, ==, 2);
  for (gsize i = 0; i < G_N_ELEMENTS (sides); i++)
    {
      g_autoptr (SlMerge) whole = merge_texts (base, m, t, sides[i]);
      g_autofree char *text = test_print (whole->merged);

      g_assert_null (whole->fault);
      g_assert_cmpuint (whole->n_open, ==, 0);
      g_assert_nonnull (strstr (text, "tilt=\"15\"")); /* stands with either */
      g_assert_cmpint (strstr (text, "frets=\"18\"") != NULL, ==, sides[i] == SL_SIDE_MINE);
      g_assert_cmpint (strstr (text, "<crown-gap fret=\"19\"") != NULL, ==, sides[i] == SL_SIDE_THEIRS);
    }
  g_array_append_vals (choices, sides, 2); /* the frets of one and the reading of the other are told of again */
  mixed = sl_merge (merge->base, merge->mine, merge->theirs, choices, SL_SIDE_NONE);
  g_assert_cmpuint (mixed->n_open, ==, 0);
  g_assert_nonnull (strstr (mixed->fault, "19"));
}

/* ---- any versions ---- */

/* Every text and number that a change puts in is the only one of its kind, so that it can be found again. */
static int n_marks;

static char *
mark_text (void)
{
  return g_strdup_printf ("typed-%d-", ++n_marks);
}

static void
put_text (char **at)
{
  g_free (*at);
  *at = mark_text ();
}

static void
change_visit (GRand *rand, SlVisit *visit, const char *machine)
{
  SlReading reading = sl_reading_init (SL_READ_TONGUE);
  SlCharge charge = { NULL, sl_number (5), SL_NUMBER_ABSENT, NULL };
  SlPhoto photo;
  SlReadingSet set;

  switch (g_rand_int_range (rand, 0, 6))
    {
    case 0: put_text (&visit->note); break;
    case 1:
      charge.what = mark_text ();
      g_array_append_val (visit->charges, charge);
      break;
    case 2:
      set = sl_reading_set_init ();
      set.id = g_strdup_printf ("r%u%s", 100 + visit->sets->len, machine);
      set.taken = g_strdup_printf ("2026-04-%02dT10:00:%02dZ", *machine == 'a' ? 3 : 4, ++n_marks % 60);
      reading.value = sl_number (0.1 + 1e-6 * ++n_marks);
      g_array_append_val (set.readings, reading);
      g_array_append_val (visit->sets, set);
      break;
    case 3:
      photo = sl_photo_init ();
      photo.id = g_strdup_printf ("p%u%s", 100 + visit->photos->len, machine);
      photo.file = mark_text ();
      photo.about = SL_ABOUT_BODY;
      g_array_append_val (visit->photos, photo);
      break;
    case 4:
      if (visit->checks->len > 0)
        put_text (&g_array_index (visit->checks, SlCheck, 0).note);
      break;
    default:
      if (visit->charges->len > 0)
        g_array_remove_index (visit->charges, 0);
    }
}

static void
change (GRand *rand, SlProfile *profile, const char *machine)
{
  char **texts[] = { &profile->identity.owner, &profile->identity.serial, &profile->identity.note };
  SlVisit *visit = sl_profile_last_visit (profile);
  SlReadingSet *set = sl_visit_last_set (visit);
  const int what = g_rand_int_range (rand, 0, 8);

  if (what == 0)
    put_text (texts[g_rand_int_range (rand, 0, G_N_ELEMENTS (texts))]);
  else if (what == 1)
    profile->targets.relief = sl_number (0.1 + 1e-6 * ++n_marks);
  else if (what == 2 && set != NULL && set->readings->len > 0)
    g_array_index (set->readings, SlReading, g_rand_int_range (rand, 0, (int) set->readings->len)).value =
        sl_number (0.05 + 1e-6 * ++n_marks);
  else if (what == 3 && set != NULL && set->readings->len > 0)
    g_array_remove_index (set->readings, (guint) g_rand_int_range (rand, 0, (int) set->readings->len));
  else if (what == 4)
    profile->strings[0].core_diameter = sl_number (0.3 + 1e-6 * ++n_marks);
  else if (visit != NULL)
    change_visit (rand, visit, machine);
}

/* What was typed, as it stands in a document. */
static GPtrArray *
marks_of (const char *text)
{
  g_autoptr (GRegex) regex = g_regex_new ("typed-[0-9]+-|\"0\\.[0-9]{6}\"", 0, 0, NULL);
  g_autoptr (GMatchInfo) match = NULL;
  GPtrArray *marks = g_ptr_array_new_with_free_func (g_free);

  for (g_regex_match (regex, text, 0, &match); g_match_info_matches (match); g_match_info_next (match, NULL))
    g_ptr_array_add (marks, g_match_info_fetch (match, 0));
  return marks;
}

/* How much of what was typed since @base is not in the result. */
static guint
count_lost (const char *base, const char *from, const char *in)
{
  g_autoptr (GPtrArray) marks = marks_of (from);
  guint lost = 0;

  SL_EACH_OF (const char, mark, marks)
    if (strstr (base, mark) == NULL && strstr (in, mark) == NULL)
      {
        g_test_message ("not there: %s", mark);
        lost++;
      }
  return lost;
}

static void
assert_merge (const SlProfile *base, const SlProfile *mine, const SlProfile *theirs, const SlProfile *wanted)
{
  g_autoptr (SlMerge) merge = sl_merge (base, mine, theirs, NULL, SL_SIDE_NONE);
  g_autofree char *merged = test_print (merge->merged), *want = test_print (wanted);

  g_assert_cmpuint (merge->n_asked, ==, 0);
  g_assert_cmpstr (merged, ==, want);
}

static void
check_any (GRand *rand, const SlProfile *base, const char *text)
{
  g_autoptr (SlProfile) a = sl_profile_copy (base), b = sl_profile_copy (base);
  g_autofree char *text_a = NULL, *text_b = NULL, *first = NULL, *second = NULL, *swapped = NULL;
  g_autoptr (SlMerge) with_a = NULL, with_b = NULL, other_way = NULL;

  for (int n = g_rand_int_range (rand, 0, 6); n > 0; n--)
    change (rand, a, "a");
  for (int n = g_rand_int_range (rand, 0, 6); n > 0; n--)
    change (rand, b, "b");
  text_a = test_print (a);
  text_b = test_print (b);

  assert_merge (base, a, a, a);
  assert_merge (NULL, a, a, a);
  assert_merge (base, base, b, b);
  assert_merge (base, a, base, a);

  with_a = sl_merge (base, a, b, NULL, SL_SIDE_MINE);
  with_b = sl_merge (base, a, b, NULL, SL_SIDE_THEIRS);
  other_way = sl_merge (base, b, a, NULL, SL_SIDE_THEIRS);
  first = test_print (with_a->merged);
  second = test_print (with_b->merged);
  swapped = test_print (other_way->merged);
  g_assert_cmpstr (first, ==, swapped); /* mine and theirs change places, and nothing else */
  g_assert_cmpuint (count_lost (text, text_a, first), ==, 0);
  g_assert_cmpuint (count_lost (text, text_b, second), ==, 0);
  if (with_a->n_asked == 0)
    g_assert_cmpuint (count_lost (text, text_b, first), ==, 0);
  g_assert_cmpuint (with_a->n_asked, ==, with_b->n_asked); /* what is asked does not depend on what is chosen */
  if (with_a->fault == NULL)
    {
      g_autoptr (SlProfile) back = test_parse (first);
      g_autofree char *again = test_print (back);

      g_assert_cmpstr (first, ==, again);
    }
}

static void
test_any (void)
{
  g_autoptr (GRand) rand = test_rand ();

  for (int round = test_rounds (300); round > 0; round--)
    {
      g_autoptr (SlProfile) drawn = test_random_profile (rand);
      g_autofree char *text = test_print (drawn);
      g_autoptr (SlProfile) base = test_parse (text);

      check_any (rand, base, text);
    }
}

/* Two profiles that have nothing to do with each other but their id: a merge is still a document, or says why not. */
static void
test_strangers (void)
{
  g_autoptr (GRand) rand = test_rand ();
  guint documents = 0;
  const int rounds = test_rounds (200);

  for (int round = rounds; round > 0; round--)
    {
      g_autoptr (SlProfile) a = test_random_profile (rand), b = test_random_profile (rand);
      g_autoptr (SlMerge) merge = NULL;
      g_autofree char *text = NULL;

      g_free (b->id);
      b->id = g_strdup (a->id);
      merge = sl_merge (NULL, a, b, NULL, round % 2 == 0 ? SL_SIDE_MINE : SL_SIDE_THEIRS);
      text = test_print (merge->merged);
      if (merge->fault == NULL)
        {
          g_autoptr (SlProfile) back = test_parse (text);

          documents++;
        }
    }
  g_test_message ("%u of %d are documents", documents, rounds);
  g_assert_cmpuint (documents, >, 0);
}

/* Work that nobody planned with the readings it has now has to be looked at; what one planned with all of them has not.
 */
static void
test_doubt (void)
{
  const char *const reading[] = { "gap=\"3.1\"", "gap=\"3.0\"", NULL },
                    *const plan[] = { "by=\"0.08\"", "by=\"0.06\"", NULL },
                    *const both[] = { "gap=\"3.1\"", "gap=\"3.0\"", "by=\"0.08\"", "by=\"0.06\"", NULL },
                    *const tilt[] = { "tilt=\"16\"", "tilt=\"15\"", NULL };
  const struct
  {
    const char *const *mine, *const *theirs;
    gboolean doubtful;
  } pairs[] = { { reading, plan, TRUE },
                { plan, reading, TRUE },
                { both, tilt, FALSE },
                { tilt, both, FALSE },
                { reading, tilt, FALSE } };

  for (gsize i = 0; i < G_N_ELEMENTS (pairs); i++)
    {
      g_autofree char *base = version (NULL), *m = version (pairs[i].mine), *t = version (pairs[i].theirs);
      g_autoptr (SlMerge) merge = merge_texts (base, m, t, SL_SIDE_NONE);

      g_test_message ("case %" G_GSIZE_FORMAT, i);
      g_assert_cmpint (sl_merge_doubt (merge) != NULL, ==, pairs[i].doubtful);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    g_test_add_data_func (cases[i].path, &cases[i], check_case);
  g_test_add_func ("/merge/choices", test_choices);
  g_test_add_func ("/merge/said", test_said);
  g_test_add_func ("/merge/photos", test_photos);
  g_test_add_func ("/merge/doubt", test_doubt);
  g_test_add_func ("/merge/refused", test_refused);
  g_test_add_func ("/merge/any", test_any);
  g_test_add_func ("/merge/strangers", test_strangers);
  return g_test_run ();
}
