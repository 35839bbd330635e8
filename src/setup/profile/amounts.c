/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How long a text may be and how many there may be of anything: far more than any instrument needs, and little enough
 * for every command and page to be done at once (docs/format.md lists them, data/profile.xsd states them). */
#include "setup/profile/bounds.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#define CHECK_TEXT "character of its checks"

/* The first row that fits is taken. */
const SlAmount sl_amounts[] = {
  { "profile", "visit", 300 },
  { "profile", SL_ANY_READING, 10000 },
  { "headstock", "post", SL_MAX_STRINGS },
  { "bridge", "anchor", SL_MAX_STRINGS },
  { "strings", "string", SL_MAX_STRINGS },
  { "visit", "readings", 50 },
  { "visit", SL_ANY_READING, 2000 },
  { "visit", "check", 500 },
  { "visit", "charge", 200 },
  { "readings", "tool", SL_N_TOOLS },
  { "readings", SL_ANY_READING, 1000 },
  { "plan", SL_ANY_OPERATION, 500 },
  /* characters */
  { "check", "note", 4096 },
  { NULL, "note", 65536 },
  { "visit", CHECK_TEXT, 65536 },
  { NULL, "id", 64 },
  { NULL, "opened", 64 },
  { NULL, "closed", 64 },
  { NULL, "taken", 64 },
  { NULL, "done", 64 },
  { NULL, "currency", 32 },
  { NULL, NULL, 256 },
};

guint
sl_amount_most (const char *element, const char *of)
{
  const SlAmount *amount = sl_amounts;

  while ((amount->element != NULL && strcmp (amount->element, element) != 0) ||
         (amount->of != NULL && strcmp (amount->of, of) != 0))
    amount++;
  return amount->most;
}

/* ---- whether a profile keeps to them ---- */

static void
fault_free (gpointer data)
{
  SlFault *fault = data;

  g_free (fault->message);
  g_free (fault);
}

/* Takes @complaint, which may be NULL. */
static void
add_fault (GPtrArray *faults, const void *where, char *complaint)
{
  const SlFault fault = { where, complaint };

  if (complaint != NULL)
    g_ptr_array_add (faults, g_memdup2 (&fault, sizeof fault));
}

static void
check_count (GPtrArray *faults, const void *where, const char *element, const char *of, guint n)
{
  const guint most = sl_amount_most (element, of);

  if (n > most)
    /* Translators: element of the document, how often it has something, and how often it may: "visit: 501 of “check”;
     * at most 500 are accepted" */
    add_fault (faults, where, g_strdup_printf (_ ("%s: %u of “%s”; at most %u are accepted"), element, n, of, most));
}

char *
sl_text_complaint (const char *element, const char *name, const char *text)
{
  const gulong most = sl_amount_most (element, name), n = text != NULL ? (gulong) g_utf8_strlen (text, -1) : 0;

  if (n <= most)
    return NULL;
  return g_strdup_printf (_ ("%s %s is %lu characters long; at most %lu are accepted"), element, name, n, most);
}

static void
check_text (GPtrArray *faults, const void *where, const char *element, const char *name, const char *text)
{
  add_fault (faults, where, sl_text_complaint (element, name, text));
}

static void
check_set (GPtrArray *faults, const SlReadingSet *set)
{
  check_text (faults, set, "readings", "id", set->id);
  check_text (faults, set, "readings", "taken", set->taken);
  check_count (faults, set, "readings", "tool", set->tools->len);
  check_count (faults, set, "readings", SL_ANY_READING, set->readings->len);
}

static void
check_lists (GPtrArray *faults, const SlVisit *visit)
{
  gulong length = 0;

  for (guint i = 0; i < visit->plan->len; i++)
    {
      const SlOperation *op = &g_array_index (visit->plan, SlOperation, i);

      check_text (faults, op, sl_operations[op->kind].bound.element, "done", op->done);
    }
  for (guint i = 0; i < visit->checks->len; i++)
    {
      const SlCheck *check = &g_array_index (visit->checks, SlCheck, i);

      check_text (faults, check, "check", "name", check->name);
      check_text (faults, check, "check", "note", check->note);
      length += (check->name != NULL ? (gulong) g_utf8_strlen (check->name, -1) : 0) +
                (check->note != NULL ? (gulong) g_utf8_strlen (check->note, -1) : 0);
    }
  check_count (faults, visit, "visit", CHECK_TEXT, (guint) MIN (length, G_MAXUINT));
  for (guint i = 0; i < visit->charges->len; i++)
    {
      const SlCharge *charge = &g_array_index (visit->charges, SlCharge, i);

      check_text (faults, charge, "charge", "what", charge->what);
      check_text (faults, charge, "charge", "currency", charge->currency);
    }
}

/* Returns how many readings it has. */
static guint
check_visit (GPtrArray *faults, const SlVisit *visit)
{
  guint readings = 0;

  check_text (faults, visit, "visit", "id", visit->id);
  check_text (faults, visit, "visit", "opened", visit->opened);
  check_text (faults, visit, "visit", "closed", visit->closed);
  check_text (faults, visit, "visit", "note", visit->note);
  check_count (faults, visit, "visit", "readings", visit->sets->len);
  for (guint i = 0; i < visit->sets->len; i++)
    {
      const SlReadingSet *set = &g_array_index (visit->sets, SlReadingSet, i);

      check_set (faults, set);
      readings += set->readings->len;
    }
  check_count (faults, visit, "visit", SL_ANY_READING, readings);
  check_count (faults, visit, "plan", SL_ANY_OPERATION, visit->plan->len);
  check_count (faults, visit, "visit", "check", visit->checks->len);
  check_count (faults, visit, "visit", "charge", visit->charges->len);
  check_lists (faults, visit);
  return readings;
}

GPtrArray *
sl_profile_overfull (const SlProfile *profile)
{
  static const char *const texts[] = { "label", "owner", "contact", "maker", "model", "serial", "year", "note" };
  GPtrArray *faults = g_ptr_array_new_with_free_func (fault_free);
  char *const *text = &profile->identity.label;
  guint readings = 0;

  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    check_text (faults, &profile->identity, "identity", texts[i], text[i]);
  check_count (faults, profile, "profile", "visit", profile->visits->len);
  for (guint i = 0; i < profile->visits->len; i++)
    readings += check_visit (faults, &g_array_index (profile->visits, SlVisit, i));
  check_count (faults, profile, "profile", SL_ANY_READING, readings);
  return faults;
}
