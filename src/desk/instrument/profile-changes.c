/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/instrument/profile-changes.h"

#include "desk/instrument/description-fields.h"
#include "file/document.h"
#include "setup/profile/money.h"
#include "words/dates.h"
#include "words/effect.h"
#include "words/explain.h"

#define MOST_TOLD 300 /* characters of one text */

/* What two profiles say, thing by thing. */
typedef struct
{
  GPtrArray *things;  /* of SlProfileChange */
  GHashTable *by_key; /* the same by place, name, and which of several of one name; borrowed */
  const SlTextStyle *style;
  gboolean after; /* which of the two is gone through */
} Facts;

static void
change_free (SlProfileChange *change)
{
  g_free (change->name);
  g_free (change->then);
  g_free (change->now);
  g_free (change);
}

/* Takes @name (may be NULL) and @value; what says nothing is left out. @place: the visit or set it stands in. */
static void
add (const Facts *facts, const char *place, char *name, char *value)
{
  SlProfileChange *change = NULL;
  char **side = NULL;

  if (name == NULL)
    name = g_strdup ("–");
  for (int i = 0; value != NULL && *value != '\0' && (side == NULL || *side != NULL); i++)
    {
      g_autofree char *key = g_strdup_printf ("%s %d %s", place, i, name);

      change = g_hash_table_lookup (facts->by_key, key);
      if (change == NULL)
        {
          change = g_new0 (SlProfileChange, 1);
          change->name = g_strdup (name);
          g_ptr_array_add (facts->things, change);
          g_hash_table_insert (facts->by_key, g_steal_pointer (&key), change);
        }
      side = facts->after ? &change->now : &change->then;
    }
  if (side != NULL)
    *side = g_steal_pointer (&value);
  g_free (name);
  g_free (value);
}

static void
add_reading (const Facts *facts, const char *place, SlQuestion question, SlNumber value, gboolean excluded)
{
  const int places = sl_readings[question.ask].places;
  g_autofree char *number = sl_ask_is_length (question.ask) ? sl_text_measure (facts->style, value.v, places, TRUE)
                                                            : sl_text_plain (facts->style, value.v, places, FALSE);

  if (sl_number_is_set (value))
    add (facts, place, sl_question_full_name (&question),
         excluded ? g_strdup_printf (_ ("%s, excluded"), number) : g_steal_pointer (&number));
}

static void
add_visit (const Facts *facts, const SlInstrument *instrument, const SlVisit *visit)
{
  add (facts, visit->id, g_strdup (_ ("Visit opened")), sl_date_text (visit->opened));
  add (facts, visit->id, g_strdup (_ ("Visit closed")), sl_date_text (visit->closed));
  add (facts, visit->id, g_strdup (_ ("Note of the visit")), g_strdup (visit->note));
  SL_EACH (const SlReadingSet, set, visit->sets)
    {
      add (facts, set->id, g_strdup (_ ("Set of readings")), sl_date_and_time (set->taken));
      add_reading (facts, set->id, (SlQuestion){ .ask = SL_ASK_TEMPERATURE }, set->temperature, FALSE);
      add_reading (facts, set->id, (SlQuestion){ .ask = SL_ASK_HUMIDITY }, set->humidity, FALSE);
      SL_EACH (const SlReading, r, set->readings)
        add_reading (facts, set->id, (SlQuestion){ (int) r->kind, r->string, r->fret, r->held, 0 }, r->value,
                     r->use == SL_USE_NEVER);
    }
  SL_EACH (const SlOperation, operation, visit->plan)
    {
      g_autofree char *amount = sl_operation_amount (instrument, operation, facts->style),
                      *when = sl_date_and_time (operation->done);

      add (facts, visit->id, g_strdup (sl_operation_title (operation->kind)),
           when != NULL ? g_strdup_printf (_ ("%s, done %s"), amount, when) : g_steal_pointer (&amount));
    }
  SL_EACH (const SlCheck, check, visit->checks)
    {
      add (facts, visit->id, g_strdup (check->name),
           g_strjoin (". ", sl_check_state_text (check->state), check->note, NULL)); /* ends where there is no note */
    }
  SL_EACH (const SlCharge, charge, visit->charges)
    add (facts, visit->id, g_strdup (charge->what), sl_money_text (sl_number_or (charge->amount, 0), charge->currency));
}

static void
gather (Facts *facts, const SlProfile *profile)
{
  g_autofree SlInstrument *instrument = g_new0 (SlInstrument, 1);

  sl_instrument_from_profile (profile, instrument);
  for (guint i = 0; i < sl_n_description_pages; i++)
    {
      const SlDescriptionPage *page = &sl_description_pages[i];
      const int n_rows = page->columns != NULL ? profile->n_strings : 0;

      for (int n = 0; n <= n_rows; n++) /* 0: what is of no string */
        for (guint j = 0; j < (n > 0 ? page->n_columns : page->n_fields); j++)
          {
            const SlDescriptionField *field = n > 0 ? &page->columns[j] : &page->fields[j];

            add (facts, page->name, sl_field_name (field, n), sl_field_text (profile, field, n, facts->style));
          }
    }
  for (guint i = 0; i < profile->visits->len; i++)
    add_visit (facts, instrument, &g_array_index (profile->visits, SlVisit, i));
  facts->after = TRUE;
}

GPtrArray *
sl_profile_changes (const SlProfile *before, const SlProfile *after, const SlTextStyle *style)
{
  Facts facts = { g_ptr_array_new_with_free_func ((GDestroyNotify) change_free),
                  g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL), style, FALSE };
  g_autoptr (GBytes) old = sl_document_print (before), new = sl_document_print (after);

  gather (&facts, before);
  gather (&facts, after);
  g_hash_table_unref (facts.by_key);
  for (guint i = facts.things->len; i-- > 0;)
    if (g_strcmp0 (((SlProfileChange *) facts.things->pdata[i])->then,
                   ((SlProfileChange *) facts.things->pdata[i])->now) == 0)
      g_ptr_array_remove_index (facts.things, i);
  if (facts.things->len == 0 && !g_bytes_equal (old, new)) /* tools, gates, and what else has no words of its own */
    {
      const SlProfileChange other = { g_strdup (_ ("Other entries")), g_strdup (_ ("as they were")),
                                      g_strdup (_ ("changed")) };

      g_ptr_array_add (facts.things, g_memdup2 (&other, sizeof other));
    }
  return facts.things;
}

char *
sl_text_shortened (const char *text, const char *other)
{
  const gboolean is_long = text != NULL && g_utf8_strlen (text, -1) > MOST_TOLD;
  const char *from = text;
  g_autofree char *part = NULL;

  if (text == NULL)
    return NULL;
  while (is_long && other != NULL && *from != '\0' && *from == other[from - text])
    from++;
  from = g_utf8_offset_to_pointer (text, MAX (0, g_utf8_pointer_to_offset (text, from) - MOST_TOLD / 2));
  part = g_utf8_substring (from, 0, MIN (MOST_TOLD, g_utf8_strlen (from, -1)));
  g_strdelimit (part, "\r\n", ' ');
  return g_strdup_printf ("%s%s%s", from > text ? "…" : "", part, strlen (part) < strlen (from) ? "…" : "");
}

char *
sl_profile_change_text (const SlProfileChange *change)
{
  g_autofree char *now = sl_text_shortened (change->now, change->then),
                  *then = sl_text_shortened (change->then, change->now);

  if (then == NULL)
    return g_strdup_printf (_ ("%s: %s, not in the file"), change->name, now);
  if (now == NULL)
    return g_strdup_printf (_ ("%s: taken out, in the file %s"), change->name, then);
  /* Translators: a thing, how it is in what was left unsaved, and how it is in the file. */
  return g_strdup_printf (_ ("%s: %s, in the file %s"), change->name, now, then);
}
