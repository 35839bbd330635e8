/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/record/merge.h"

#include <glib/gi18n-lib.h>
#include <stddef.h>
#include <string.h>

#include "setup/profile/bounds.h"
#include "setup/profile/moment.h"

/* What is compared and taken as one thing: an attribute of an element, a child of it, or with neither all of it. */
typedef struct
{
  const SlElement *element;
  const SlField *field;
  const SlChild *child;
} Part;

/* ---- whether two are the same ---- */

static gboolean
same (Part part, const void *a, const void *b, gboolean loosely)
{
  return part.field != NULL   ? sl_field_same (part.field, a, b, loosely)
         : part.child != NULL ? sl_child_same (part.child, a, b, loosely)
                              : sl_element_same (part.element, a, b, loosely);
}

/* Whether a version has nothing there. What has to stand in a document always says something. */
static gboolean
says_nothing (Part part, const void *data)
{
  const union
  {
    SlProfile profile;
    SlVisit visit;
    SlReadingSet set;
    SlPhoto photo;
  } nothing = { 0 };
  g_autofree char *empty = g_memdup2 (&nothing, sizeof nothing); /* room for any element */
  gboolean none;

  if ((part.field == NULL && part.child == NULL) || (part.field != NULL && part.field->required))
    return FALSE;
  sl_element_init (part.element, empty);
  none = same (part, data, empty, FALSE);
  sl_element_clear (part.element, empty);
  return none;
}

/* ---- one thing ---- */

typedef struct
{
  SlMerge *merge;
  const GArray *choices;
  SlSide rest;
  const char *contested; /* by place among the items: asked though one alone changed it; NULL: none */
  SlMergeItem place;     /* visit, set and photograph that is gone through */
} Work;

/* Tells of a difference; returns whose is taken. @side NONE: it is asked. */
static SlSide
tell (Work *work, Part part, const void *base, const void *mine, const void *theirs, SlSide side)
{
  SlMerge *merge = work->merge;
  SlMergeItem item = work->place;

  item.element = part.element;
  item.field = part.field;
  item.child = part.child;
  item.base = base;
  item.mine = mine;
  item.theirs = theirs;
  item.asked = side == SL_SIDE_NONE || (work->contested != NULL && work->contested[merge->items->len]);
  item.side = side;
  if (item.asked)
    {
      const guint n = merge->n_asked++;

      item.side =
          work->choices != NULL && n < work->choices->len ? g_array_index (work->choices, SlSide, n) : work->rest;
      merge->n_open += item.side == SL_SIDE_NONE;
    }
  g_array_append_val (merge->items, item);
  return item.side;
}

/* Whose of something that is there in both is taken; @base NULL: not known. */
static SlSide
decide (Work *work, Part part, const void *base, const void *mine, const void *theirs)
{
  SlSide side = SL_SIDE_NONE;

  if (same (part, mine, theirs, FALSE))
    return SL_SIDE_MINE;
  /* one photograph's files have two names where the pictures differ: whose is the newer is not known */
  if (part.field != NULL && g_str_equal (part.element->name, "photo") && g_str_equal (part.field->name, "file"))
    base = NULL;
  if (base != NULL && same (part, base, mine, FALSE))
    side = SL_SIDE_THEIRS;
  else if (base != NULL && same (part, base, theirs, FALSE))
    side = SL_SIDE_MINE;
  else if (same (part, mine, theirs, TRUE))
    return SL_SIDE_MINE;
  else if (base == NULL && says_nothing (part, mine))
    side = SL_SIDE_THEIRS;
  else if (base == NULL && says_nothing (part, theirs))
    side = SL_SIDE_MINE;
  return tell (work, part, base, mine, theirs, side);
}

/* ---- arrays whose items are matched ---- */

/* The items of one version, by what they are matched by. */
typedef struct
{
  const SlChild *child;
  const GArray *array;
  GPtrArray *keys;
  GHashTable *places; /* key → place + 1 */
} Side;

static char *
key_of (const SlChild *child, const char *item)
{
  const SlField *first = child->element->fields;
  const void *at = item + first->offset;

  if (child->item == SL_ITEM_READING)
    {
      const SlReading *r = (gconstpointer) item;

      return g_strdup_printf ("%02d %02d %02d %d", (int) r->kind, r->string, r->kind == SL_READ_FIRST_GAP ? 1 : r->fret,
                              (int) (r->held == SL_HELD_DEFAULT ? SL_HELD_OPEN : r->held));
    }
  if (first->type == SL_FIELD_TEXT)
    return g_strdup (*(char *const *) at != NULL ? *(char *const *) at : "");
  return g_strdup_printf ("%02d", *(const int *) at);
}

static Side
side_of (const SlChild *child, const GArray *array)
{
  Side side = { child, array, g_ptr_array_new_with_free_func (g_free), g_hash_table_new (g_str_hash, g_str_equal) };

  for (guint i = 0; array != NULL && i < array->len; i++)
    {
      g_autofree char *key = key_of (child, array->data + i * child->size);
      char *numbered = NULL;

      for (int nth = 0; numbered == NULL || g_hash_table_contains (side.places, numbered); nth++)
        {
          g_free (numbered);
          numbered = g_strdup_printf ("%s\n%d", key, nth);
        }
      g_ptr_array_add (side.keys, numbered);
      g_hash_table_insert (side.places, numbered, GUINT_TO_POINTER (i + 1));
    }
  return side;
}

static void
side_clear (Side *side)
{
  g_hash_table_unref (side->places);
  g_ptr_array_unref (side->keys);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Side, side_clear)

static const void *
item_of (const Side *side, const char *key)
{
  const guint place = GPOINTER_TO_UINT (g_hash_table_lookup (side->places, key));

  return place == 0 ? NULL : side->array->data + (place - 1) * side->child->size;
}

static const char *
moment_of (const SlChild *child, const void *item)
{
  return child->element == &sl_element_visit      ? ((const SlVisit *) item)->opened
         : child->element == &sl_element_readings ? ((const SlReadingSet *) item)->taken
                                                  : NULL;
}

/* The order of what both added at one place: of their moments, else of their names. */
static gboolean
is_before (const Side *a, const char *key, const Side *b, const char *other)
{
  const char *when = moment_of (a->child, item_of (a, key)), *then = moment_of (b->child, item_of (b, other));
  int order = 0;

  if (when != NULL && then != NULL && sl_moment_compare (when, then, &order) && order != 0)
    return order < 0;
  return strcmp (key, other) < 0;
}

/* Whether what both have stands in the same order in both. */
static gboolean
is_in_order (const Side *a, const Side *b)
{
  guint last = 0;

  SL_EACH_OF (const char, key, a->keys)
    {
      const guint place = GPOINTER_TO_UINT (g_hash_table_lookup (b->places, key));

      if (place > 0 && place < last)
        return FALSE;
      last = MAX (last, place);
    }
  return TRUE;
}

/* All keys (borrowed): in the order of the side that changed it, what only the other one has behind what it stands
 * behind there. */
static GPtrArray *
order_of (const Side *base, const Side *mine, const Side *theirs)
{
  const gboolean kept = is_in_order (mine, base->keys->len > 0 ? base : theirs);
  const Side *first = kept ? theirs : mine, *other = kept ? mine : theirs;
  GPtrArray *order = g_ptr_array_copy (first->keys, NULL, NULL);
  guint place = 0;

  g_ptr_array_set_free_func (order, NULL);
  SL_EACH_OF (char, key, other->keys)
    {
      if (g_hash_table_contains (first->places, key))
        {
          g_ptr_array_find_with_equal_func (order, key, g_str_equal, &place);
          place++;
          continue;
        }
      while (place < order->len && !g_hash_table_contains (other->places, order->pdata[place]) &&
             is_before (first, order->pdata[place], other, key))
        place++;
      g_ptr_array_insert (order, (int) place++, key);
    }
  return order;
}

static void merge_element (Work *work, const SlElement *element, const void *base, const void *mine, const void *theirs,
                           void *out);

/* Notes which visit, set or photograph is gone through. */
static void
go_into (Work *work, const SlElement *element, const void *item)
{
  if (element == &sl_element_visit)
    work->place.visit = item;
  else if (element == &sl_element_readings)
    work->place.set = item;
  else if (g_str_equal (element->name, "photo"))
    work->place.photo = item;
}

/* Whether an item of which one side has none stays. */
static gboolean
stays (Work *work, Part part, const void *base, const void *mine, const void *theirs)
{
  const SlSide has = mine != NULL ? SL_SIDE_MINE : SL_SIDE_THEIRS, lacks = SL_SIDE_MINE + SL_SIDE_THEIRS - has;
  const SlSide side = base == NULL                                             ? has
                      : same (part, base, mine != NULL ? mine : theirs, FALSE) ? lacks
                                                                               : SL_SIDE_NONE;
  const SlSide taken = tell (work, part, base, mine, theirs, side);

  return taken == has || (taken == SL_SIDE_NONE && has == SL_SIDE_MINE);
}

static void
append_copy (GArray *out, const SlChild *child, const void *item)
{
  g_array_append_vals (out, item, 1);
  sl_element_own (child->element, out->data + (out->len - 1) * child->size);
}

static void
merge_item (Work *work, const SlChild *child, const void *base, const void *mine, const void *theirs, GArray *out)
{
  const void *there = mine != NULL ? mine : theirs;
  const Part whole = { sl_item_element (child, there) };
  const SlMergeItem before = work->place;

  go_into (work, whole.element, there);
  if (mine == NULL || theirs == NULL)
    {
      if (stays (work, whole, base, mine, theirs))
        append_copy (out, child, there);
    }
  else if (child->item == SL_ITEM_READING || g_str_equal (whole.element->name, "tool") ||
           g_str_equal (whole.element->name, "charge"))
    append_copy (out, child, decide (work, whole, base, mine, theirs) == SL_SIDE_THEIRS ? theirs : mine);
  else
    {
      append_copy (out, child, mine);
      merge_element (work, whole.element, base, mine, theirs, out->data + (out->len - 1) * child->size);
    }
  work->place = before;
}

static int
by_kind (gconstpointer a, gconstpointer b)
{
  return SL_ITEM_KIND (a) - SL_ITEM_KIND (b);
}

static void
merge_array (Work *work, const SlChild *child, const GArray *base, const GArray *mine, const GArray *theirs,
             GArray **out)
{
  g_auto (Side) was = side_of (child, base), first = side_of (child, mine), second = side_of (child, theirs);
  g_autoptr (GPtrArray) order = order_of (&was, &first, &second);
  GArray *merged = g_array_sized_new (FALSE, FALSE, (guint) child->size, order->len);

  g_array_set_clear_func (merged, child->clear);
  SL_EACH_OF (const char, key, order)
    merge_item (work, child, item_of (&was, key), item_of (&first, key), item_of (&second, key), merged);
  if (child->item == SL_ITEM_READING)
    g_array_sort (merged, by_kind);
  g_array_unref (*out);
  *out = merged;
}

/* ---- elements ---- */

/* What makes sense only together, or has nothing to be matched by. */
static gboolean
is_one_thing (const SlChild *child)
{
  static const char *const names[] = { "targets", "flat", "known", "mark", NULL };

  return (child->store != SL_STORE_INSIDE && child->store != SL_STORE_ARRAY) ||
         g_strv_contains (names, child->element->name);
}

static void
merge_part (Work *work, Part part, const void *base, const void *mine, const void *theirs, void *out)
{
  if (decide (work, part, base, mine, theirs) != SL_SIDE_THEIRS)
    return;
  if (part.field != NULL)
    sl_field_take (part.field, out, theirs);
  else
    sl_child_take (part.child, out, theirs);
}

/* @out is a copy of @mine. */
static void
merge_element (Work *work, const SlElement *element, const void *base, const void *mine, const void *theirs, void *out)
{
  for (const SlField *field = element->fields; field->name != NULL; field++)
    merge_part (work, (Part){ element, field, NULL }, base, mine, theirs, out);
  for (const SlChild *child = element->children; child != NULL && child->element != NULL; child++)
    if (sl_child_is_shared (element, child))
      continue;
    else if (is_one_thing (child))
      merge_part (work, (Part){ element, NULL, child }, base, mine, theirs, out);
    else if (child->store == SL_STORE_ARRAY)
      merge_array (work, child, base != NULL ? G_STRUCT_MEMBER (GArray *, base, child->offset) : NULL,
                   G_STRUCT_MEMBER (GArray *, mine, child->offset), G_STRUCT_MEMBER (GArray *, theirs, child->offset),
                   &G_STRUCT_MEMBER (GArray *, out, child->offset));
    else
      {
        const gsize at = child->given;
        const gboolean m = at > 0 && G_STRUCT_MEMBER (gboolean, mine, at),
                       t = at > 0 && G_STRUCT_MEMBER (gboolean, theirs, at);

        if (at > 0) /* that it stands there with nothing in it is not worth a choice */
          G_STRUCT_MEMBER (gboolean, out, at) = base == NULL                                           ? m || t
                                                : m == (gboolean) G_STRUCT_MEMBER (gboolean, base, at) ? t
                                                                                                       : m;
        merge_element (work, child->element, base != NULL ? (const char *) base + child->offset : NULL,
                       (const char *) mine + child->offset, (const char *) theirs + child->offset,
                       (char *) out + child->offset);
      }
}

/* ---- ids ----
 *
 * Ids are numbers that each program counts up by itself, so two that were begun on two machines can have the same one.
 * They are one thing where both come from it, or it was begun at one moment; else the other version's gets a new id. */

G_STATIC_ASSERT (offsetof (SlVisit, id) == 0 && offsetof (SlReadingSet, id) == 0 && offsetof (SlPhoto, id) == 0);

/* The one of that id in an array, which may be NULL. */
static const void *
called (const GArray *array, const char *id)
{
  for (guint i = 0; array != NULL && i < array->len; i++)
    {
      const void *item = array->data + i * g_array_get_element_size ((GArray *) array);

      if (g_str_equal (*(char *const *) item, id))
        return item;
    }
  return NULL;
}

/* Gives an item of @theirs a new id where @mine has another item of that id: one that neither comes from @was nor has
 * the same text at @offset. Returns the id it had, free with g_free(); NULL: it keeps it. */
static char *
part_id (SlProfile *theirs, const char *prefix, const GArray *was, const GArray *mine, void *item, gsize offset)
{
  char **id = item, *old = *id;
  const void *other = called (mine, old);

  if (other == NULL || called (was, old) != NULL ||
      g_str_equal (G_STRUCT_MEMBER (char *, other, offset), G_STRUCT_MEMBER (char *, item, offset)))
    return NULL;
  *id = sl_unused_id (theirs, prefix);
  return old;
}

static void
part_ids (const SlProfile *base, SlProfile *mine, SlProfile *theirs)
{
  const GArray *visits = base != NULL ? base->visits : NULL;

  sl_profile_keep_ids (mine, theirs->id_numbers);
  sl_profile_keep_ids (theirs, mine->id_numbers);
  SL_EACH (SlVisit, visit, theirs->visits)
    {
      g_autofree char *parted = part_id (theirs, "v", visits, mine->visits, visit, offsetof (SlVisit, opened));
      const SlVisit *was = called (visits, visit->id), *same_id = called (mine->visits, visit->id);

      if (parted != NULL || same_id == NULL)
        continue;
      SL_EACH (SlReadingSet, set, visit->sets)
        {
          g_autofree char *old =
              part_id (theirs, "r", was != NULL ? was->sets : NULL, same_id->sets, set, offsetof (SlReadingSet, taken));

          SL_EACH (SlPhoto, photo, old != NULL ? visit->photos : NULL)
            SL_EACH (SlMark, mark, photo->marks)
              if (g_strcmp0 (mark->readings, old) == 0)
                {
                  g_free (mark->readings);
                  mark->readings = g_strdup (set->id);
                }
        }
      SL_EACH (SlPhoto, photo, visit->photos)
        g_free (
            part_id (theirs, "p", was != NULL ? was->photos : NULL, same_id->photos, photo, offsetof (SlPhoto, file)));
    }
  mine->id_numbers = theirs->id_numbers;
}

/* ---- what can't stand together ---- */

/* Merges anew; returns why that can't be a document, NULL: it can. */
static char *
put_together (SlMerge *merge, const char *contested, const GArray *choices, SlSide rest)
{
  Work work = { merge, choices, rest, contested, { NULL } };
  g_autoptr (GPtrArray) faults = NULL;

  g_array_set_size (merge->items, 0);
  merge->n_asked = merge->n_open = 0;
  sl_profile_free (merge->merged);
  merge->merged = sl_profile_copy (merge->mine);
  merge_element (&work, &sl_element_profile, merge->base, merge->mine, merge->theirs, merge->merged);
  faults = sl_profile_check (merge->merged);
  return faults->len > 0 ? g_strdup (((const SlFault *) faults->pdata[0])->message) : NULL;
}

/* Why what is not asked can't stand with all of mine, or of theirs, where it is; NULL: it can. */
static char *
objection (SlMerge *merge, const char *contested)
{
  char *fault = put_together (merge, contested, NULL, SL_SIDE_MINE);

  return fault != NULL ? fault : put_together (merge, contested, NULL, SL_SIDE_THEIRS);
}

/* Contests as few of @n items as it can for the others to stand; all before them are settled, all behind contested. */
static void
contest (SlMerge *merge, char *contested, guint from, guint n)
{
  g_autofree char *fault = NULL;

  memset (contested + from, FALSE, n);
  fault = objection (merge, contested);
  if (fault == NULL)
    return;
  memset (contested + from, TRUE, n);
  if (n > 1)
    {
      contest (merge, contested, from, n / 2);
      contest (merge, contested, from + n / 2, n - n / 2);
    }
}

/* ---- all of it ---- */

SlMerge *
sl_merge (const SlProfile *base, const SlProfile *mine, const SlProfile *theirs, const GArray *choices, SlSide rest)
{
  SlMerge *merge = g_new0 (SlMerge, 1);
  g_autofree char *contested = NULL, *why = NULL, *left = NULL;

  merge->items = g_array_new (FALSE, FALSE, sizeof (SlMergeItem));
  merge->mine = sl_profile_copy (mine);
  merge->theirs = sl_profile_copy (theirs);
  const SlProfile *other = base != NULL && !g_str_equal (base->id, mine->id) ? base : theirs;
  if (!g_str_equal (mine->id, other->id))
    {
      merge->fault = g_strdup_printf (
          _ ("These are two instruments, “%s” and “%s”: only two files of one instrument can be merged"),
          mine->identity.label, other->identity.label);
      return merge;
    }
  merge->base = base != NULL ? sl_profile_copy (base) : NULL;
  part_ids (merge->base, merge->mine, merge->theirs);
  why = objection (merge, NULL);
  if (why != NULL)
    {
      const guint n = merge->items->len;

      contested = g_malloc (n + 1);
      memset (contested, TRUE, n);
      left = objection (merge, contested);
      if (left == NULL)
        contest (merge, contested, 0, n);
      else /* nor can they where all is chosen by a person */
        memset (contested, FALSE, n);
    }
  merge->fault = put_together (merge, contested, choices, rest);
  if (merge->fault == NULL && merge->n_open > 0)
    merge->fault = g_steal_pointer (&why);
  return merge;
}

/* Whether a visit has the readings and the plan of this version. */
static gboolean
is_planned_as (const SlVisit *visit, const SlVisit *version)
{
  for (const SlChild *child = sl_element_visit.children; child->element != NULL; child++)
    if ((child->element == &sl_element_readings || child->element == &sl_element_plan) &&
        !sl_child_same (child, visit, version, TRUE))
      return FALSE;
  return TRUE;
}

const char *
sl_merge_doubt (const SlMerge *merge)
{
  const SlVisit *last = sl_profile_last_visit (merge->merged),
                *mine = last != NULL ? called (merge->mine->visits, last->id) : NULL,
                *theirs = last != NULL ? called (merge->theirs->visits, last->id) : NULL;
  gboolean planned = FALSE;

  if (mine == NULL || theirs == NULL || is_planned_as (last, mine) || is_planned_as (last, theirs))
    return NULL;
  SL_EACH (const SlOperation, operation, last->plan)
    planned |= operation->done == NULL;
  return planned ? _ ("The plan was made without some of these readings: look at it again before anything is cut")
                 : NULL;
}

void
sl_merge_free (SlMerge *merge)
{
  if (merge == NULL)
    return;
  sl_profile_free (merge->base);
  sl_profile_free (merge->mine);
  sl_profile_free (merge->theirs);
  sl_profile_free (merge->merged);
  g_array_unref (merge->items);
  g_free (merge->fault);
  g_free (merge);
}
