/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/shelf-item.h"

#include "words/figures.h"
#include "words/dates.h"

#define EXCERPT_CHARS 16 /* before what was found, and twice as many behind it */
#define DAY_CHARS 10     /* of an ISO 8601 date */

G_DEFINE_FINAL_TYPE (SlShelfItem, sl_shelf_item, G_TYPE_OBJECT)

static void
sl_shelf_item_finalize (GObject *object)
{
  SlShelfItem *self = SL_SHELF_ITEM (object);

  sl_shelf_entry_unref ((SlShelfEntry *) self->entry);
  g_free (self->twin);
  g_free (self->title);
  g_free (self->note);
  g_free (self->in_use);
  for (guint i = 0; i < G_N_ELEMENTS (self->keys); i++)
    g_free (self->keys[i]);
  G_OBJECT_CLASS (sl_shelf_item_parent_class)->finalize (object);
}

static void
sl_shelf_item_class_init (SlShelfItemClass *class)
{
  G_OBJECT_CLASS (class)->finalize = sl_shelf_item_finalize;
}

static void
sl_shelf_item_init (SlShelfItem *self)
{
}

/* A person, a machine and a time in a sentence. */
static char *
say_in_use (const SlInUse *in_use)
{
  g_autofree char *since = sl_date_and_time (in_use->since);

  return g_strdup_printf (in_use->left
                              /* Translators: %1$s a person, %2$s the name of a machine, %3$s date and time */
                              ? _ ("left open by %1$s on %2$s, %3$s")
                              /* Translators: %1$s a person, %2$s the name of a machine, %3$s date and time */
                              : _ ("open: %1$s on %2$s, since %3$s"),
                          in_use->person, in_use->machine, since);
}

SlShelfItem *
sl_shelf_item_new (const SlShelfEntry *entry, const char *twin, const SlInUse *in_use)
{
  SlShelfItem *self = g_object_new (SL_TYPE_SHELF_ITEM, NULL);
  g_autofree char *shown = twin != NULL ? g_filename_display_name (twin) : NULL;

  self->entry = sl_shelf_entry_ref (entry);
  self->twin = g_strdup (twin);
  self->in_use = in_use != NULL ? say_in_use (in_use) : NULL;
  self->left_open = in_use != NULL && in_use->left;
  self->title = *entry->label != '\0' ? g_strdup (entry->label) : sl_shelf_display_name (entry->name);
  if (entry->fault != NULL && entry->fault_has_line)
    /* Translators: %s begins with the line's number and says what is wrong there */
    self->note = g_strdup_printf (_ ("Line %s"), entry->fault);
  else if (entry->fault != NULL)
    self->note = g_strdup (entry->fault);
  else if (shown != NULL)
    /* Translators: %s is a file name */
    self->note = g_strdup_printf (_ ("has the same id as “%s”: one is a copy of the other"), shown);
  return self;
}

/* ---- sorting ---- */

static const char *
key_of (SlShelfItem *self, SlShelfColumn column)
{
  const char *const texts[] = { self->title, self->entry->owner, self->entry->model };

  if (self->keys[column] == NULL)
    {
      g_autofree char *folded = g_utf8_casefold (texts[column], -1);

      self->keys[column] = g_utf8_collate_key_for_filename (folded, -1); /* "no. 9" before "no. 10" */
    }
  return self->keys[column];
}

/* What is empty comes last. */
static int
compare_keys (const char *a, const char *b)
{
  if (*a == '\0' || *b == '\0')
    return (*a == '\0') - (*b == '\0');
  return strcmp (a, b);
}

static int
compare_figures (double a, double b)
{
  if (isnan (a) || isnan (b))
    return isnan (a) - isnan (b);
  return (a > b) - (a < b);
}

/* Open visits first, then closed ones, those never in, baselines, and what is no profile. */
static int
rank_of (SlShelfItem *self)
{
  static const int ranks[] = { [SL_SHELF_VISIT_OPEN] = 0, [SL_SHELF_VISIT_CLOSED] = 1, [SL_SHELF_NO_VISIT] = 2 };

  if (self->entry->fault != NULL)
    return 4;
  return self->entry->kind == SL_KIND_BASELINE ? 3 : ranks[self->entry->visit];
}

int
sl_shelf_item_compare (SlShelfItem *a, SlShelfItem *b, SlShelfColumn column)
{
  int order = 0;

  switch (column)
    {
    case SL_SHELF_COLUMN_OWNER:
    case SL_SHELF_COLUMN_MODEL: order = compare_keys (key_of (a, column), key_of (b, column)); break;
    case SL_SHELF_COLUMN_LAST_VISIT:
      order = strncmp (a->entry->last_visit, b->entry->last_visit,
                       DAY_CHARS); /* days as they were written, which sort as text */
      break;
    case SL_SHELF_COLUMN_STATE: order = rank_of (a) - rank_of (b); break;
    case SL_SHELF_COLUMN_ACTION: order = compare_figures (a->entry->action_treble, b->entry->action_treble); break;
    case SL_SHELF_COLUMN_RELIEF: order = compare_figures (a->entry->relief, b->entry->relief); break;
    default: break;
    }
  return order != 0 ? order : compare_keys (key_of (a, SL_SHELF_COLUMN_LABEL), key_of (b, SL_SHELF_COLUMN_LABEL));
}

/* ---- what a search found ---- */

/* Of a long text the words around @found, which stands in it. */
static char *
excerpt (const char *text, const char *found)
{
  const char *begin = found, *end = found;

  for (int i = 0; i < EXCERPT_CHARS && begin > text && begin[-1] != '\n'; i++)
    begin = g_utf8_prev_char (begin);
  while (begin > text && begin < found && !g_ascii_isspace (begin[-1]))
    begin = g_utf8_next_char (begin);
  for (int i = 0; i < 2 * EXCERPT_CHARS && *end != '\0' && *end != '\n'; i++)
    end = g_utf8_next_char (end);
  return g_strdup_printf ("…%.*s…", (int) (end - begin), begin);
}

char *
sl_shelf_item_find (SlShelfItem *self, char **words)
{
  const SlShelfEntry *e = self->entry;
  /* in the order in which the text that is searched has them, a line each */
  const struct
  {
    const char *name, *text; /* no name: the row shows it */
  } fields[] = { { NULL, e->label },        { NULL, e->owner }, { _ ("Contact"), e->contact },
                 { _ ("Maker"), e->maker }, { NULL, e->model }, { _ ("Serial number"), e->serial },
                 { _ ("Year"), e->year } };

  for (; e->fault == NULL && words != NULL && *words != NULL; words++)
    {
      const char *found = strstr (e->search, *words), *line = e->search;
      guint i = 0;

      if (found == NULL)
        continue;
      for (const char *end; i < G_N_ELEMENTS (fields); i++)
        if (*fields[i].text != '\0')
          {
            end = strchr (line, '\n');
            if (end == NULL || found < end)
              break;
            line = end + 1;
          }
      if (i < G_N_ELEMENTS (fields) && fields[i].name != NULL)
        return g_strdup_printf ("%s: %s", fields[i].name, fields[i].text);
      if (i == G_N_ELEMENTS (fields))
        {
          g_autofree char *part = excerpt (e->search, found);

          return g_strdup_printf ("%s: %s", strchr (found, '\n') != NULL ? _ ("Visits and notes") : _ ("File"), part);
        }
    }
  return NULL;
}

/* ---- texts ---- */

static const char *
state_word (const SlShelfEntry *entry)
{
  if (entry->fault != NULL)
    return C_ ("state of a profile", "at fault");
  if (entry->kind == SL_KIND_BASELINE)
    return C_ ("state of a profile", "baseline");
  switch (entry->visit)
    {
    case SL_SHELF_VISIT_OPEN: return C_ ("state of a visit", "open");
    case SL_SHELF_VISIT_CLOSED: return C_ ("state of a visit", "closed");
    default: return C_ ("state of a visit", "no visit yet");
    }
}

char *
sl_shelf_item_text (SlShelfItem *self, SlShelfColumn column, SlLengths lengths)
{
  const SlShelfEntry *entry = self->entry;
  const SlTextStyle style = { lengths, sl_decimal_sign () };

  switch (column)
    {
    case SL_SHELF_COLUMN_LABEL: return g_strdup (self->title);
    case SL_SHELF_COLUMN_OWNER: return g_strdup (entry->owner);
    case SL_SHELF_COLUMN_MODEL: return g_strdup (entry->model);
    case SL_SHELF_COLUMN_LAST_VISIT: return sl_date_short (entry->last_visit);
    case SL_SHELF_COLUMN_STATE: return g_strdup (state_word (entry));
    case SL_SHELF_COLUMN_RELIEF: return entry->fault != NULL ? g_strdup ("") : sl_text_fine (&style, entry->relief);
    case SL_SHELF_COLUMN_ACTION:
    default:
      {
        g_autofree char *treble = sl_text_length (&style, entry->action_treble),
                        *bass = sl_text_length (&style, entry->action_bass);

        if (entry->fault != NULL)
          return g_strdup ("");
        return isnan (entry->action_treble) && isnan (entry->action_bass) ? g_steal_pointer (&treble)
                                                                          : g_strdup_printf ("%s – %s", treble, bass);
      }
    }
}
