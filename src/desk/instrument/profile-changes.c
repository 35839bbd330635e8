/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/instrument/profile-changes.h"

#include "desk/instrument/description-fields.h"
#include "desk/kit/util.h"
#include "file/document.h"
#include "setup/profile/money.h"
#include "words/dates.h"
#include "words/effect.h"
#include "words/explain.h"

#include <glib/gi18n-lib.h>

/* What a profile says, thing by thing. */
typedef struct
{
  GPtrArray *things;  /* of SlProfileChange, `now` said of it */
  GHashTable *by_key; /* the same, borrowed */
  const SlTextStyle *style;
  const char *place; /* visit and set, which the keys begin with */
} Facts;

static void
change_free (gpointer data)
{
  SlProfileChange *change = data;

  if (change == NULL)
    return;
  g_free (change->key);
  g_free (change->name);
  g_free (change->then);
  g_free (change->now);
  g_free (change);
}

/* Takes @name and @value; what says nothing is left out. Several of one name pair up in their order. */
static void
add (const Facts *facts, char *name, char *value)
{
  SlProfileChange *thing = g_new0 (SlProfileChange, 1);

  *thing = (SlProfileChange){ g_strconcat (facts->place, name, NULL), name, NULL, value };
  for (int n = 2; g_hash_table_contains (facts->by_key, thing->key); n++)
    {
      g_free (thing->key);
      thing->key = g_strdup_printf ("%s%s %d", facts->place, name, n);
    }
  if (value != NULL && *value != '\0')
    {
      g_ptr_array_add (facts->things, thing);
      g_hash_table_insert (facts->by_key, thing->key, thing);
    }
  else
    change_free (thing);
}

static void
add_description (Facts *facts, const SlProfile *profile)
{
  for (guint i = 0; i < sl_n_description_pages; i++)
    {
      const SlDescriptionPage *page = &sl_description_pages[i];

      for (guint j = 0; j < page->n_fields; j++)
        add (facts, sl_field_name (&page->fields[j], 0), sl_field_text (profile, &page->fields[j], 0, facts->style));
      for (int n = 1; n <= (page->columns != NULL ? profile->n_strings : 0); n++)
        for (guint j = 0; j < page->n_columns; j++)
          add (facts, sl_field_name (&page->columns[j], n),
               sl_field_text (profile, &page->columns[j], n, facts->style));
    }
}

/* A reading, or one of the air. */
static void
add_reading (Facts *facts, int ask, const SlReading *reading, SlNumber value)
{
  const SlQuestion question = { ask, reading != NULL ? reading->string : 0, reading != NULL ? reading->fret : 0,
                                reading != NULL ? reading->held : SL_HELD_DEFAULT, 0 };
  const int places = sl_readings[ask].places;
  char *number = sl_ask_is_length (ask) ? sl_text_measure (facts->style, value.v, places, TRUE)
                                        : sl_text_plain (facts->style, value.v, places, FALSE);

  if (!sl_number_is_set (value))
    g_clear_pointer (&number, g_free);
  else if (reading != NULL && reading->use == SL_USE_NEVER)
    {
      g_autofree char *plain = number;

      number = g_strdup_printf (_ ("%s, excluded"), plain);
    }
  add (facts, sl_question_full_name (&question), number);
}

static void
add_set (Facts *facts, const SlReadingSet *set)
{
  g_autofree char *place = g_strconcat (facts->place, set->id, " ", NULL);
  Facts inside = *facts;

  inside.place = place;
  add (&inside, g_strdup (_ ("A set of readings")), sl_date_and_time (set->taken));
  add_reading (&inside, SL_ASK_TEMPERATURE, NULL, set->temperature);
  add_reading (&inside, SL_ASK_HUMIDITY, NULL, set->humidity);
  for (guint i = 0; i < set->readings->len; i++)
    {
      const SlReading *reading = &g_array_index (set->readings, SlReading, i);

      add_reading (&inside, reading->kind, reading, reading->value);
    }
}

static void
add_operation (Facts *facts, const SlInstrument *instrument, const SlOperation *operation)
{
  g_autofree char *amount = sl_operation_amount (instrument, operation, facts->style),
                  *when = sl_date_and_time (operation->done);

  add (facts, g_strdup (sl_operation_title (operation->kind)),
       when != NULL ? g_strdup_printf (_ ("%s, done %s"), amount, when) : g_steal_pointer (&amount));
}

static void
add_visit (Facts *facts, const SlInstrument *instrument, const SlVisit *visit)
{
  g_autofree char *place = g_strconcat (visit->id, " ", NULL);
  Facts inside = *facts;

  inside.place = place;
  add (&inside, g_strdup (_ ("A visit began")), sl_date_text (visit->opened));
  add (&inside, g_strdup (_ ("The visit ended")), sl_date_text (visit->closed));
  add (&inside, g_strdup (_ ("Note of the visit")), g_strdup (visit->note));
  for (guint i = 0; i < visit->sets->len; i++)
    add_set (&inside, &g_array_index (visit->sets, SlReadingSet, i));
  for (guint i = 0; i < visit->plan->len; i++)
    add_operation (&inside, instrument, &g_array_index (visit->plan, SlOperation, i));
  for (guint i = 0; i < visit->checks->len; i++)
    {
      const SlCheck *check = &g_array_index (visit->checks, SlCheck, i);

      add (&inside, g_strdup (check->name != NULL ? check->name : ""),
           g_strjoin (". ", sl_check_state_text (check->state), check->note, NULL)); /* without a note it ends there */
    }
  for (guint i = 0; i < visit->charges->len; i++)
    {
      const SlCharge *charge = &g_array_index (visit->charges, SlCharge, i);

      add (&inside, g_strdup (charge->what != NULL ? charge->what : ""),
           sl_money_text (sl_number_or (charge->amount, 0), charge->currency));
    }
}

static void
gather (const SlProfile *profile, const SlTextStyle *style, Facts *facts)
{
  g_autofree SlInstrument *instrument = g_new0 (SlInstrument, 1);

  *facts =
      (Facts){ g_ptr_array_new_with_free_func (change_free), g_hash_table_new (g_str_hash, g_str_equal), style, "" };
  sl_instrument_from_profile (profile, instrument);
  add_description (facts, profile);
  for (guint i = 0; i < profile->visits->len; i++)
    add_visit (facts, instrument, &g_array_index (profile->visits, SlVisit, i));
}

GPtrArray *
sl_profile_changes (const SlProfile *before, const SlProfile *after, const SlTextStyle *style)
{
  GPtrArray *changes = g_ptr_array_new_with_free_func (change_free);
  g_autoptr (GBytes) old = sl_document_print (before), new = sl_document_print (after);
  Facts then, now;

  gather (before, style, &then);
  gather (after, style, &now);
  for (guint i = 0; i < now.things->len; i++)
    {
      SlProfileChange *change = now.things->pdata[i], *was = g_hash_table_lookup (then.by_key, change->key);

      change->then = was != NULL ? g_steal_pointer (&was->now) : NULL;
      if (g_strcmp0 (change->then, change->now) != 0)
        g_ptr_array_add (changes, g_steal_pointer (&now.things->pdata[i]));
    }
  for (guint i = 0; i < then.things->len; i++)
    {
      SlProfileChange *gone = then.things->pdata[i];

      gone->then = g_steal_pointer (&gone->now);
      if (gone->then != NULL)
        g_ptr_array_add (changes, g_steal_pointer (&then.things->pdata[i]));
    }
  /* tools, choices of a set, and what else has no words of its own */
  if (changes->len == 0 && !g_bytes_equal (old, new))
    {
      add (&now, g_strdup (_ ("Other entries")), g_strdup (_ ("changed")));
      g_ptr_array_add (changes, g_ptr_array_steal_index (now.things, now.things->len - 1));
    }
  for (int i = 0; i < 2; i++)
    {
      g_ptr_array_unref ((i == 0 ? &then : &now)->things);
      g_hash_table_unref ((i == 0 ? &then : &now)->by_key);
    }
  return changes;
}

char *
sl_profile_change_text (const SlProfileChange *change)
{
  if (change->then == NULL)
    return g_strdup_printf (_ ("%s: %s, not in the file"), change->name, change->now);
  if (change->now == NULL)
    return g_strdup_printf (_ ("%s: taken out, in the file %s"), change->name, change->then);
  /* Translators: a thing, how it is in what was left unsaved, and how it is in the file. */
  return g_strdup_printf (_ ("%s: %s, in the file %s"), change->name, change->now, change->then);
}
