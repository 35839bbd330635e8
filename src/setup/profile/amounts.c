/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How long a text may be and how many there may be of anything: far more than any instrument needs, and little enough
 * for every command and page to be done at once (docs/format.md lists them, data/profile.xsd states them). */
#include <glib/gi18n-lib.h>
#include <stddef.h>
#include <string.h>

#include "setup/profile/bounds.h"

/* How often something may stand in an element, or how many characters a text of it may have. */
typedef struct
{
  const char *element, *of; /* the element within, or what is counted; the attribute, or "note" */
  guint most;
  int offset; /* of the text in the struct that stands for the element */
} Amount;

#define COUNTED -1
#define SETS_IN_ALL "readings in all"
#define CHECK_TEXT "character of its checks"
#define NAME_CHARS 256
#define ID_CHARS 64

static const Amount amounts[] = {
  { "profile", "visit", 150, COUNTED },
  { "profile", SETS_IN_ALL, 300, COUNTED },
  { "profile", SL_ANY_READING, 4000, COUNTED },
  { "visit", "readings", 16, COUNTED },
  { "visit", SL_ANY_READING, 2000, COUNTED },
  { "visit", "check", 500, COUNTED },
  { "visit", CHECK_TEXT, 65536, COUNTED },
  { "visit", "charge", 200, COUNTED },
  { "readings", "tool", SL_N_TOOLS, COUNTED },
  { "readings", SL_ANY_READING, 1000, COUNTED },
  { "plan", SL_ANY_OPERATION, 500, COUNTED },
  { "identity", "label", NAME_CHARS, offsetof (SlIdentity, label) },
  { "identity", "owner", NAME_CHARS, offsetof (SlIdentity, owner) },
  { "identity", "contact", NAME_CHARS, offsetof (SlIdentity, contact) },
  { "identity", "maker", NAME_CHARS, offsetof (SlIdentity, maker) },
  { "identity", "model", NAME_CHARS, offsetof (SlIdentity, model) },
  { "identity", "serial", NAME_CHARS, offsetof (SlIdentity, serial) },
  { "identity", "year", NAME_CHARS, offsetof (SlIdentity, year) },
  { "identity", "note", 16000, offsetof (SlIdentity, note) },
  { "visit", "id", ID_CHARS, offsetof (SlVisit, id) },
  { "visit", "note", 65536, offsetof (SlVisit, note) },
  { "readings", "id", ID_CHARS, offsetof (SlReadingSet, id) },
  { "check", "name", NAME_CHARS, offsetof (SlCheck, name) },
  { "check", "note", 4096, offsetof (SlCheck, note) },
  { "charge", "what", NAME_CHARS, offsetof (SlCharge, what) },
  { "charge", "currency", 32, offsetof (SlCharge, currency) },
};

guint
sl_amount_most (const char *element, const char *of)
{
  for (gsize i = 0; i < G_N_ELEMENTS (amounts); i++)
    if (strcmp (amounts[i].element, element) == 0 && strcmp (amounts[i].of, of) == 0)
      return amounts[i].most;
  g_return_val_if_reached (0);
}

static void
fault_free (gpointer data)
{
  SlFault *fault = data;

  g_free (fault->message);
  g_free (fault);
}

static void
add_fault (GPtrArray *faults, const void *where, char *message)
{
  const SlFault fault = { where, message };

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

/* Every text of the struct at @where, which stands for @element. Returns how many characters they have. */
static guint
check_texts (GPtrArray *faults, const char *element, const void *where)
{
  guint length = 0;

  for (gsize i = 0; i < G_N_ELEMENTS (amounts); i++)
    {
      const Amount *amount = &amounts[i];

      if (amount->offset == COUNTED || strcmp (amount->element, element) != 0)
        continue;
      const char *text = *(char *const *) (const void *) ((const char *) where + amount->offset);
      const guint n = text != NULL ? (guint) g_utf8_strlen (text, -1) : 0;
      length += n;
      if (n > amount->most)
        add_fault (faults, where,
                   g_strdup_printf (_ ("%s %s is %u characters long; at most %u are accepted"), element, amount->of, n,
                                    amount->most));
    }
  return length;
}

/* Returns how many readings it has. */
static guint
check_visit (GPtrArray *faults, const SlVisit *visit)
{
  guint readings = 0, length = 0;

  check_texts (faults, "visit", visit);
  check_count (faults, visit, "visit", "readings", visit->sets->len);
  for (guint i = 0; i < visit->sets->len; i++)
    {
      const SlReadingSet *set = &g_array_index (visit->sets, SlReadingSet, i);

      check_texts (faults, "readings", set);
      check_count (faults, set, "readings", "tool", set->tools->len);
      check_count (faults, set, "readings", SL_ANY_READING, set->readings->len);
      readings += set->readings->len;
    }
  check_count (faults, visit, "visit", SL_ANY_READING, readings);
  check_count (faults, visit, "plan", SL_ANY_OPERATION, visit->plan->len);
  check_count (faults, visit, "visit", "check", visit->checks->len);
  for (guint i = 0; i < visit->checks->len; i++)
    length += check_texts (faults, "check", &g_array_index (visit->checks, SlCheck, i));
  check_count (faults, visit, "visit", CHECK_TEXT, length);
  check_count (faults, visit, "visit", "charge", visit->charges->len);
  for (guint i = 0; i < visit->charges->len; i++)
    check_texts (faults, "charge", &g_array_index (visit->charges, SlCharge, i));
  return readings;
}

GPtrArray *
sl_profile_overfull (const SlProfile *profile)
{
  GPtrArray *faults = g_ptr_array_new_with_free_func (fault_free);
  guint readings = 0, sets = 0;

  check_texts (faults, "identity", &profile->identity);
  check_count (faults, profile, "profile", "visit", profile->visits->len);
  for (guint i = 0; i < profile->visits->len; i++)
    {
      const SlVisit *visit = &g_array_index (profile->visits, SlVisit, i);

      readings += check_visit (faults, visit);
      sets += visit->sets->len;
    }
  check_count (faults, profile, "profile", SETS_IN_ALL, sets);
  check_count (faults, profile, "profile", SL_ANY_READING, readings);
  return faults;
}
