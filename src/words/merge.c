/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words/merge.h"

#include <glib/gi18n-lib.h>

#include "setup/profile/bounds.h"
#include "setup/profile/money.h"
#include "setup/profile/sets.h"
#include "words/dates.h"
#include "words/effect.h"
#include "words/explain.h"
#include "words/kinds.h"
#include "words/photos.h"

/* ---- what it is ---- */

static char *
name_of_whole (const SlMergeItem *item)
{
  const void *there = item->mine != NULL ? item->mine : item->theirs;
  const char *name = item->element->name;
  const SlReading *r = there;

  for (int kind = 0; kind < SL_N_READINGS; kind++)
    if (g_str_equal (name, sl_readings[kind].bound.element))
      return sl_question_full_name (&(SlQuestion){ kind, r->string, r->fret, r->held, 0 });
  if (g_str_equal (name, "tool"))
    /* Translators: %s is what is read with the tool, as in "action" */
    return g_strdup_printf (_ ("tool for %s"), sl_tool_names[((const SlTool *) there)->measures]);
  return g_strdup (g_str_equal (name, "check")    ? ((const SlCheck *) there)->name
                   : g_str_equal (name, "charge") ? ((const SlCharge *) there)->what
                                                  : NULL);
}

/* What the description has not, as its own window calls it. */
static const struct
{
  const char *of, *name, *title;
} names[] = {
  { "visit", "opened", N_ ("Visit opened") },
  { "visit", "closed", N_ ("Visit closed") },
  { "visit", "plan", N_ ("Plan") },
  { "readings", "stage", N_ ("Stage it was taken at") },
  { "readings", "taken", N_ ("These readings were taken") },
  { "readings", "temperature", N_ ("Temperature") },
  { "readings", "humidity", N_ ("Relative humidity") },
  { "readings", "strings", N_ ("Strings") },
  { "readings", "settled", N_ ("Settled in this air") },
  { "tool", "resolution", N_ ("Resolution") },
  { "tool", "error-limit", N_ ("Error limit") },
  { "photo", "file", N_ ("File") },
  { "photo", "taken", N_ ("When it was taken") },
  { "photo", "stage", N_ ("Stage it was taken at") },
  { "photo", "about", N_ ("What the photograph shows") },
  { "photo", "fret", N_ ("Fret it shows") },
  { "photo", "string", N_ ("String it shows") },
  { "photo", "on-sheet", N_ ("On the hand-over sheet") },
  { "photo", "out-of-plane", N_ ("Off plane, %") },
  { "photo", "flat", N_ ("Four corners") },
  { "photo", "known", N_ ("Known length") },
  { "photo", "mark", N_ ("What is measured") },
  { "profile", "strings", N_ ("Strings") },
};

static const char *
name_in (const char *of, const char *name)
{
  for (guint i = 0; i < G_N_ELEMENTS (names); i++)
    if (g_str_equal (names[i].of, of) && g_str_equal (names[i].name, name))
      return _ (names[i].title);
  return g_str_equal (name, "note")      ? C_ ("field", "Note")
         : g_str_equal (name, "targets") ? C_ ("page", "Targets")
                                         : name;
}

static char *
name_of_part (const SlMergeItem *item, const char *title)
{
  const char *name = item->child != NULL ? item->child->element->name : item->field->name;

  if (title != NULL)
    return g_strdup (title);
  return g_strdup (g_str_equal (item->element->name, "check") ? ((const SlCheck *) item->mine)->name
                                                              : name_in (item->element->name, name));
}

char *
sl_merge_place (const SlMergeItem *item)
{
  g_autofree char *day = item->visit != NULL ? sl_date_short (item->visit->opened) : NULL,
                  *taken = item->set != NULL ? sl_date_and_time (item->set->taken) : NULL,
                  *shown = item->photo != NULL ? sl_photo_title (item->photo) : NULL;
  GString *text = g_string_new (NULL);

  if (day != NULL)
    g_string_append_printf (text, _ ("Visit of %s"), day);
  if (taken != NULL)
    /* Translators: date and time; it follows "Visit of 2 Mar 2026" */
    g_string_append_printf (text, _ (", readings of %s"), taken);
  if (shown != NULL)
    /* Translators: what it shows; it follows "Visit of 2 Mar 2026" */
    g_string_append_printf (text, _ (", photograph “%s”"), shown);
  return g_string_free (text, FALSE);
}

char *
sl_merge_title (const SlMergeItem *item, const char *title)
{
  const gboolean whole = item->field == NULL && item->child == NULL;
  g_autofree char *place = sl_merge_place (item), *name = whole ? name_of_whole (item) : name_of_part (item, title);

  return *place != '\0' ? g_strjoin (": ", place, name, NULL) : g_strdup (name != NULL ? name : "");
}

/* ---- how it is ---- */

/* What is chosen, as it is called where it is chosen. */
static char *
choice_text (const char *const *spelled, int choice)
{
  const char *const yes = C_ ("on the hand-over sheet", "Yes"), *const no = C_ ("on the hand-over sheet", "No"),
                    *const pitch = C_ ("strings", "at pitch");
  const struct
  {
    const char *const *spelled, *words[4];
  } chosen[] = { { sl_stage_names,
                   { C_ ("stage", "received"), C_ ("stage", "during the work"), C_ ("stage", "final") } },
                 { sl_strings_state_names, { pitch, pitch, C_ ("strings", "slack"), C_ ("strings", "off") } },
                 { sl_settled_names, { yes, yes, no } },
                 { sl_on_sheet_names, { _ ("As the program chooses"), yes, no } } };

  for (guint i = 0; i < G_N_ELEMENTS (chosen); i++)
    if (spelled == chosen[i].spelled)
      return g_strdup (chosen[i].words[choice]);
  return g_strdup (spelled == sl_about_names ? sl_about_title ((SlAbout) choice) : spelled[choice]);
}

static char *
field_text (const SlElement *element, const SlField *field, const char *data, const SlTextStyle *style)
{
  const void *at = data + field->offset;
  const SlBound *bound = sl_bound_find (element->name, field->name);
  const SlUnit unit = bound != NULL ? bound->unit : SL_UNIT_NONE;
  const SlNumber *number = at;
  const int places = field->type == SL_FIELD_NUMBER && number->places >= 0 ? number->places : 2;
  g_autofree char *plain = NULL;

  switch (field->type)
    {
    case SL_FIELD_TEXT:
      return g_str_equal (field->name, "opened") || g_str_equal (field->name, "closed")
                 ? sl_date_text (*(char *const *) at)
             : g_str_equal (field->name, "taken") ? sl_date_and_time (*(char *const *) at)
                                                  : g_strdup (*(char *const *) at);
    case SL_FIELD_NUMBER:
      if (!sl_number_is_set (*number))
        return NULL;
      if (unit == SL_UNIT_MM)
        return sl_text_measure (style, number->v, places, TRUE);
      plain = sl_text_plain (style, number->v, places, FALSE);
      return unit == SL_UNIT_CELSIUS      ? g_strdup_printf (_ ("%s °C"), plain)
             : unit == SL_UNIT_PERCENT_RH ? g_strdup_printf (_ ("%s %% RH"), plain)
                                          : g_steal_pointer (&plain);
    case SL_FIELD_WHOLE: return *(const int *) at == 0 ? NULL : g_strdup_printf ("%d", *(const int *) at);
    case SL_FIELD_CHOICE: return choice_text (field->names, *(const int *) at);
    case SL_FIELD_STRING_NUMBER:
    default: return NULL;
    }
}

/* All attributes that are given. */
static void
append_attributes (GString *text, const SlElement *element, const char *data, const SlTextStyle *style)
{
  for (const SlField *field = element->fields; field->name != NULL; field++)
    {
      g_autofree char *value = field_text (element, field, data, style);

      if (value != NULL && *value != '\0')
        g_string_append_printf (text, "%s%s %s", text->len > 0 ? ", " : "", name_in (element->name, field->name),
                                value);
    }
}

static void
append_plan (GString *text, const SlProfile *profile, const GArray *plan, const SlTextStyle *style)
{
  g_autofree SlInstrument *instrument = g_new0 (SlInstrument, 1);

  sl_instrument_from_profile (profile, instrument);
  SL_EACH (const SlOperation, operation, plan)
    {
      g_autofree char *amount = sl_operation_amount (instrument, operation, style),
                      *done = sl_date_and_time (operation->done),
                      *told = done != NULL ? g_strdup_printf (_ ("%s, done %s"), amount, done) : NULL;

      g_string_append_printf (text, "%s%s: %s", text->len > 0 ? "; " : "", sl_operation_title (operation->kind),
                              told != NULL ? told : amount);
    }
}

static void
append_child (GString *text, const SlProfile *profile, const SlChild *child, const char *data, const SlTextStyle *style)
{
  const char *at = data + child->offset;
  const GArray *array = child->store == SL_STORE_ARRAY ? *(GArray *const *) (gconstpointer) at : NULL;
  guint n = child->store == SL_STORE_FIXED ? (guint) G_STRUCT_MEMBER (int, data, child->count) : 1;

  if (child->store == SL_STORE_TEXT)
    g_string_append (text, *(char *const *) (gconstpointer) at != NULL ? *(char *const *) (gconstpointer) at : "");
  else if (child->element == &sl_element_plan)
    append_plan (text, profile, ((const SlVisit *) (gconstpointer) data)->plan, style);
  else if (child->store == SL_STORE_PARENT) /* strings */
    {
      g_autofree SlInstrument *instrument = g_new0 (SlInstrument, 1);
      g_autofree char *gauges = NULL;

      sl_instrument_from_profile (profile, instrument);
      gauges = sl_gauges_text (instrument->strings, instrument->n_strings);
      append_attributes (text, child->element, data, style);
      g_string_append_printf (text, "%s%s", text->len > 0 ? ", " : "", gauges);
    }
  else
    for (n = array != NULL ? array->len : n, at = array != NULL ? array->data : at; n > 0; n--, at += child->size)
      {
        g_autofree char *mark =
            g_str_equal (child->element->name, "mark") ? sl_mark_title ((const SlMark *) (gconstpointer) at) : NULL;

        g_string_append_printf (text, "%s%s", text->len > 0 ? "; " : "", mark != NULL ? mark : "");
        if (mark == NULL)
          append_attributes (text, child->element, at, style);
      }
}

char *
sl_merge_value (const SlMerge *merge, const SlMergeItem *item, const void *version, const SlTextStyle *style)
{
  GString *text = g_string_new (NULL);
  const SlProfile *profile = version == item->mine     ? merge->mine
                             : version == item->theirs ? merge->theirs
                                                       : merge->base;
  const SlCharge *charge = version;

  if (version == NULL)
    g_string_append (text, item->base != NULL ? C_ ("version", "taken out") : C_ ("version", "not there"));
  else if (item->child != NULL)
    append_child (text, profile, item->child, version, style);
  else if (item->field != NULL && g_str_equal (item->field->name, "state"))
    g_string_append (text, sl_check_state_text (((const SlCheck *) version)->state));
  else if (item->field != NULL)
    {
      g_autofree char *value = field_text (item->element, item->field, version, style);

      g_string_append (text, value != NULL ? value : "");
    }
  else if (g_str_equal (item->element->name, "charge"))
    {
      g_autofree char *money = sl_money_text (sl_number_or (charge->amount, 0), charge->currency);

      g_string_append (text, money);
      if (sl_number_is_set (charge->minutes))
        g_string_append_printf (text, _ (", %g minutes"), charge->minutes.v);
    }
  else if (item->set != NULL && g_str_equal (item->element->name, "tool"))
    append_attributes (text, item->element, version, style);
  else if (item->set != NULL && item->element != &sl_element_readings)
    {
      const SlReading *r = version;
      g_autofree char *number = sl_ask_is_length ((int) r->kind)
                                    ? sl_text_measure (style, r->value.v, sl_readings[r->kind].places, TRUE)
                                    : sl_text_plain (style, r->value.v, sl_readings[r->kind].places, FALSE);

      g_string_append_printf (text, r->use == SL_USE_NEVER ? _ ("%s, excluded") : "%s", number);
    }
  else
    g_string_append (text, item->base == NULL ? C_ ("version", "new") : C_ ("version", "there"));
  if (text->len == 0)
    g_string_append (text, "–");
  return g_string_free (text, FALSE);
}
