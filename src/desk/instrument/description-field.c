/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/instrument/description-field.h"

#include "desk/kit/length-entry.h"
#include "desk/kit/kit.h"
#include "desk/kit/util.h"
#include "setup/profile/construction.h"

/* Wire commonly wound on a core is about this much of its diameter (common practice); a start to be corrected by the
 * packet. */
#define WRAP_SHARE_OF_CORE 0.7

#define ENTRY_CHARS 10

/* What a control is bound to. */
typedef struct
{
  SlBench *bench; /* borrowed: the control's window does not outlive it */
  const SlField *field;
  int index;
  gboolean refreshing;
} Binding;

/* A change on its way through sl_checked_edit(). */
typedef struct
{
  const Binding *binding;
  double number;
  const char *text;
  int choice;
  guint *dropped; /* bits of the work that had to go */
} Change;

static Binding *
binding_of (GtkWidget *control)
{
  return g_object_get_data (G_OBJECT (control), "binding");
}

static const char *
title_of (const SlField *field)
{
  return g_dpgettext2 (GETTEXT_PACKAGE, "field", field->title);
}

/* The structs a profile has one of. */
static const struct
{
  const char *element;
  gsize offset;
} structs[] = {
  { "identity", G_STRUCT_OFFSET (SlProfile, identity) },
  { "neck", G_STRUCT_OFFSET (SlProfile, neck) },
  { "fretwire", G_STRUCT_OFFSET (SlProfile, fretwire) },
  { "nut", G_STRUCT_OFFSET (SlProfile, nut) },
  { "headstock", G_STRUCT_OFFSET (SlProfile, headstock) },
  { "bridge", G_STRUCT_OFFSET (SlProfile, bridge) },
  { "saddle", G_STRUCT_OFFSET (SlProfile, saddle) },
  { "player", G_STRUCT_OFFSET (SlProfile, player) },
  { "targets", G_STRUCT_OFFSET (SlProfile, targets) },
  { "profile", 0 },
  { "strings", 0 },
};

/* The one of a string among posts or anchors, which begin with its number and are kept in its order: @fresh is put in
 * where there is none, if there is room; may be NULL. */
static char *
find_of_string (void *first, int *n, gsize size, int string, const void *fresh)
{
  char *at = first, *end = at + (gsize) *n * size;

  while (at < end && *(const int *) (const void *) at < string)
    at += size;
  if (at < end && *(const int *) (const void *) at == string)
    return at;
  if (fresh == NULL || *n == SL_MAX_STRINGS)
    return NULL;
  memmove (at + size, at, (gsize) (end - at));
  memcpy (at, fresh, size);
  (*n)++;
  return at;
}

/* The struct a field lies in; NULL where it is not there and @create is FALSE. */
static char *
find_struct (SlProfile *profile, const char *element, int string, gboolean create)
{
  const SlPost post = { string, SL_NUMBER_ABSENT, SL_NUMBER_ABSENT, SL_NUMBER_ABSENT };
  const SlAnchor anchor = { string, SL_NUMBER_ABSENT, SL_NUMBER_ABSENT };

  if (g_str_equal (element, "string"))
    return (char *) &profile->strings[string - 1];
  if (g_str_equal (element, "post"))
    return find_of_string (profile->headstock.posts, &profile->headstock.n_posts, sizeof post, string,
                           create ? &post : NULL);
  if (g_str_equal (element, "anchor"))
    return find_of_string (profile->bridge.anchors, &profile->bridge.n_anchors, sizeof anchor, string,
                           create ? &anchor : NULL);
  for (guint i = 0; i < G_N_ELEMENTS (structs); i++)
    if (g_str_equal (element, structs[i].element))
      return (char *) profile + structs[i].offset;
  g_return_val_if_reached (NULL);
}

/* The field's place in a profile; NULL where its struct is not there and @create is FALSE. */
static void *
find_place (SlProfile *profile, const Binding *binding, gboolean create)
{
  const SlField *field = binding->field;
  char *base = find_struct (profile, field->element, binding->index, create);

  if (base == NULL)
    return NULL;
  return base + (field->kind == SL_FIELD_NUMBER ? (gsize) sl_bound_find (field->element, field->attribute)->offset
                                                : field->offset);
}

/* On the bench, only to be read. */
static const void *
look (const Binding *binding)
{
  return find_place ((SlProfile *) sl_bench_get_profile (binding->bench), binding, FALSE);
}

static const char *
look_text (const Binding *binding)
{
  char *const *place = look (binding);

  return place == NULL || *place == NULL ? "" : *place;
}

static void
put_wrap (SlString *string, SlWrap wrap)
{
  string->wrap = wrap;
  string->build = wrap == SL_WRAP_NONE ? SL_BUILD_PLAIN : SL_BUILD_WOUND;
  if (wrap == SL_WRAP_NONE)
    string->wrap_diameter = SL_NUMBER_ABSENT;
  else if (!sl_number_is_set (string->wrap_diameter))
    string->wrap_diameter = (SlNumber){ WRAP_SHARE_OF_CORE * sl_number_or (string->core_diameter, 0.0), 3 };
}

static void
edit_field (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  const Change *change = data;
  void *place = find_place (profile, change->binding, TRUE);
  char **text = place;
  const guint work = sl_work_there_is (profile);

  switch (change->binding->field->kind)
    {
    case SL_FIELD_NUMBER:
      *(SlNumber *) place = isnan (change->number) ? SL_NUMBER_ABSENT : sl_number (change->number);
      break;
    case SL_FIELD_COUNT: *(int *) place = isnan (change->number) ? 0 : (int) lround (change->number); break;
    case SL_FIELD_TEXT:
      g_free (*text);
      *text = *change->text == '\0' ? NULL : g_strdup (change->text);
      break;
    case SL_FIELD_CHOICE: *(int *) place = change->choice; break;
    case SL_FIELD_WRAP: put_wrap (place, (SlWrap) change->choice); break;
    default: g_assert_not_reached ();
    }
  *change->dropped = sl_settle_construction (profile, work, place);
}

/* That planned work had to go, where some had to. */
static char *
dropped_text (guint dropped)
{
  g_autoptr (GString) list = g_string_new (NULL);

  for (int kind = 0; kind < SL_N_OPS; kind++)
    if (dropped >> kind & 1)
      g_string_append_printf (list, "%s%s", list->len > 0 ? ", " : "", sl_operation_title ((SlOperationKind) kind));
  /* Translators: titles of operations: "Truss rod, Lower slots" */
  return list->len == 0 ? NULL
                        : g_strdup_printf (_ ("Taken out of the plan, as the instrument built so hasn’t it: %s. Undo "
                                              "brings back both."),
                                           list->str);
}

void
sl_field_put_number (SlProfile *profile, const char *element, const char *attribute, int string, double value)
{
  G_STRUCT_MEMBER (SlNumber, find_struct (profile, element, string, TRUE), sl_bound_find (element, attribute)->offset) =
      sl_number (value);
}

static void refresh (GtkWidget *control);

static void
complain (GtkWidget *control, const char *complaint)
{
  gtk_widget_activate_action (control, SL_COMPLAIN_ACTION, "s", complaint == NULL ? "" : complaint);
}

/* Makes the change, unless there is a @complaint already, which is freed. FALSE: refused. A number says itself why. */
static gboolean
make_change (GtkWidget *control, Change change, char *complaint)
{
  Binding *binding = binding_of (control);
  const SlField *field = binding->field;
  const SlChanges changed = field->kind == SL_FIELD_TEXT && binding->index == 0 ? SL_CHANGED_TEXT
                            : g_str_equal (field->element, "targets")           ? SL_CHANGED_TARGETS
                                                                                : SL_CHANGED_INSTRUMENT;
  guint dropped = 0;
  g_autofree char *told = NULL;

  change.binding = binding;
  change.dropped = &dropped;
  if (complaint == NULL)
    complaint = sl_checked_edit (binding->bench, title_of (field), changed, edit_field, &change);
  told = complaint == NULL ? dropped_text (dropped) : NULL;
  if (SL_IS_LENGTH_ENTRY (control) && complaint != NULL)
    sl_length_entry_refuse (SL_LENGTH_ENTRY (control), complaint);
  else
    complain (control, complaint != NULL ? complaint : told);
  if (told != NULL)
    g_signal_emit_by_name (binding->bench, "told", told);
  if (GTK_IS_DROP_DOWN (control) && complaint != NULL)
    refresh (control);
  g_free (complaint);
  return complaint == NULL;
}

static void
on_number_committed (GtkWidget *control, double value, gpointer data)
{
  const SlField *field = binding_of (control)->field;
  const gboolean broken = field->kind == SL_FIELD_COUNT && !isnan (value) && value != floor (value);

  make_change (control, (Change){ .number = value },
               broken ? g_strdup_printf (_ ("%s is a whole number."), title_of (field)) : NULL);
}

static void
refresh_number (SlLengthEntry *entry, const Binding *binding)
{
  const void *place = look (binding);
  const SlInstrument *instrument = &sl_bench_get_analysis (binding->bench)->instrument;
  const SlLengths lengths = sl_bench_get_lengths (binding->bench);
  GtkWidget *unit = g_object_get_data (G_OBJECT (entry), "unit");

  if (unit != NULL)
    gtk_label_set_label (GTK_LABEL (unit), sl_lengths_unit (lengths, binding->field->fine));
  sl_length_entry_set_lengths (entry, lengths);
  if (binding->field->kind == SL_FIELD_COUNT)
    sl_length_entry_set_value (entry, *(const int *) place != 0 ? *(const int *) place : NAN);
  else
    sl_length_entry_set_value (entry, place == NULL ? NAN : ((const SlNumber *) place)->v);
  if (binding->field->filled != 0)
    {
      double filled = *(const double *) (const void *) ((const char *) instrument + binding->field->filled);

      sl_length_entry_set_assumed (entry, isfinite (filled) ? filled : NAN);
    }
}

static gboolean
take_text (gpointer data, const char *typed, GtkWidget *control)
{
  Binding *binding = data;
  g_autofree char *text = g_strstrip (g_strdup (typed));
  const gboolean missing = binding->field->required && *text == '\0';

  if (!g_str_equal (text, look_text (binding)))
    return make_change (control, (Change){ .text = text },
                        missing ? g_strdup_printf (_ ("%s can't be empty."), title_of (binding->field)) : NULL);
  complain (control, NULL);
  return TRUE;
}

static void
on_chosen (GtkWidget *control, GParamSpec *pspec, gpointer data)
{
  Binding *binding = binding_of (control);
  guint selected = gtk_drop_down_get_selected (GTK_DROP_DOWN (control));

  if (!binding->refreshing && selected != GTK_INVALID_LIST_POSITION)
    make_change (control, (Change){ .choice = binding->field->first + (int) selected }, NULL);
}

static void
refresh_choice (GtkWidget *control, const Binding *binding)
{
  const void *place = look (binding);
  int value = binding->field->kind == SL_FIELD_WRAP ? (int) ((const SlString *) place)->wrap : *(const int *) place;

  if (value < binding->field->first && binding->field->filled != 0)
    value = G_STRUCT_MEMBER (int, &sl_bench_get_analysis (binding->bench)->instrument, binding->field->filled);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (control), (guint) MAX (0, value - binding->field->first));
}

static void
refresh (GtkWidget *control)
{
  Binding *binding = binding_of (control);

  if (binding->index > sl_bench_get_profile (binding->bench)->n_strings)
    return; /* its string was taken away; its table is about to be built again */
  binding->refreshing = TRUE;
  if (SL_IS_LENGTH_ENTRY (control))
    refresh_number (SL_LENGTH_ENTRY (control), binding);
  else if (GTK_IS_DROP_DOWN (control))
    refresh_choice (control, binding);
  else
    sl_typed_show (control, look_text (binding));
  binding->refreshing = FALSE;
}

static const char *
plain_unit (SlUnit unit)
{
  switch (unit)
    {
    case SL_UNIT_MM: return NULL;
    case SL_UNIT_DEGREE: return "°";
    case SL_UNIT_NEWTON: return "N";
    case SL_UNIT_HERTZ: return "Hz";
    case SL_UNIT_GRAM_PER_METRE: return "g/m";
    case SL_UNIT_CENT: return _ ("cents");
    case SL_UNIT_NEWTON_MM2: return "N mm²";
    default: return "";
    }
}

static GtkWidget *
make_number (SlBench *bench, const SlField *field)
{
  const SlBound *bound = sl_bound_find (field->element, field->attribute);
  const SlLengthUse use = { bound,
                            plain_unit (bound->unit),
                            field->places,
                            .coarse = !field->fine,
                            .required = field->required,
                            .chars = ENTRY_CHARS,
                            .bench = bench,
                            .step_name = title_of (field) };
  GtkWidget *control = sl_length_entry_set_up (sl_length_entry_new (), use); /* named in sl_field_new() */

  g_signal_connect (control, "committed", G_CALLBACK (on_number_committed), NULL);
  g_signal_connect (control, "step", G_CALLBACK (sl_length_entry_move_on), NULL);
  return control;
}

static GtkWidget *
make_choice (const SlField *field)
{
  GtkStringList *list = gtk_string_list_new (NULL);
  GtkWidget *control = gtk_drop_down_new (G_LIST_MODEL (list), NULL); /* named in sl_field_new() */

  for (int i = 0; field->choices[i] != NULL; i++)
    gtk_string_list_append (list, g_dpgettext2 (GETTEXT_PACKAGE, "choice", field->choices[i]));
  sl_guard_wheel (control);
  return control;
}

gboolean
sl_field_applies (const SlField *field, const SlProfile *profile)
{
  return field->applies == NULL || field->applies (profile);
}

char *
sl_field_name (const SlField *field, int index)
{
  /* Translators: what a control of a table sets, and for which string. */
  return index > 0 ? g_strdup_printf (_ ("%s, string %d"), title_of (field), index) : g_strdup (title_of (field));
}

char *
sl_field_text (const SlProfile *profile, const SlField *field, int index, const SlTextStyle *style)
{
  const Binding binding = { NULL, field, index, FALSE };
  const void *place = find_place ((SlProfile *) profile, &binding, FALSE); /* only to be read */
  const SlNumber *number = place;
  g_autofree char *plain = NULL;
  const char *unit;
  int choice;

  if (place == NULL)
    return NULL;
  switch (field->kind)
    {
    case SL_FIELD_TEXT: return g_strdup (*(char *const *) place);
    case SL_FIELD_COUNT: return *(const int *) place == 0 ? NULL : g_strdup_printf ("%d", *(const int *) place);
    case SL_FIELD_NUMBER:
      if (!sl_number_is_set (*number))
        return NULL;
      unit = plain_unit (sl_bound_find (field->element, field->attribute)->unit);
      if (unit == NULL)
        return sl_text_measure (style, number->v, field->places, TRUE);
      plain = sl_text_plain (style, number->v, field->places, FALSE);
      return g_strjoin (" ", plain, *unit != '\0' ? unit : NULL, NULL);
    case SL_FIELD_CHOICE:
    case SL_FIELD_WRAP:
    default:
      choice =
          (field->kind == SL_FIELD_WRAP ? (int) ((const SlString *) place)->wrap : *(const int *) place) - field->first;
      return choice < 0 ? NULL : g_strdup (g_dpgettext2 (GETTEXT_PACKAGE, "choice", field->choices[choice]));
    }
}

GtkWidget *
sl_field_new (SlBench *bench, const SlField *field, int index)
{
  GtkWidget *control;
  Binding *binding;
  g_autofree char *name = NULL;

  if (field->kind == SL_FIELD_TEXT)
    control = gtk_entry_new (); /* named below */
  else
    control = field->choices != NULL ? make_choice (field) : make_number (bench, field);
  binding = g_new (Binding, 1);
  *binding = (Binding){ bench, field, index, FALSE };
  g_object_set_data_full (G_OBJECT (control), "binding", binding, g_free);
  if (field->kind == SL_FIELD_TEXT)
    {
      gtk_editable_set_width_chars (GTK_EDITABLE (control), ENTRY_CHARS);
      sl_typed_bind (control, take_text, binding);
    }
  name = sl_field_name (field, index);
  if (field->kind == SL_FIELD_TEXT && g_str_equal (field->element, "identity"))
    gtk_entry_set_max_length (GTK_ENTRY (control), (int) sl_amount_most (field->element, field->attribute));
  sl_set_accessible_label (control, name);
  refresh (control);
  if (GTK_IS_DROP_DOWN (control))
    g_signal_connect (control, "notify::selected", G_CALLBACK (on_chosen), NULL);
  sl_follow_while_seen (control, bench, SL_CHANGED_DESCRIPTION | SL_CHANGED_LENGTHS, refresh);
  return control;
}

GtkWidget *
sl_field_new_unit (GtkWidget *control)
{
  const SlField *field = binding_of (control)->field;
  const char *unit =
      field->kind == SL_FIELD_NUMBER ? plain_unit (sl_bound_find (field->element, field->attribute)->unit) : "";
  GtkWidget *label;

  if (unit != NULL && *unit == '\0')
    return NULL;
  label = gtk_label_new (unit);
  gtk_widget_add_css_class (label, "sl-dim");
  gtk_widget_set_halign (label, GTK_ALIGN_START);
  if (unit == NULL)
    {
      g_object_set_data (G_OBJECT (control), "unit", label);
      refresh (control);
    }
  return label;
}

GtkWidget *
sl_field_new_message (GtkWidget *control)
{
  return SL_IS_LENGTH_ENTRY (control) ? sl_length_entry_new_message (SL_LENGTH_ENTRY (control)) : NULL;
}
