/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/instrument/description-field.h"

#include "desk/kit/kit.h"
#include "setup/profile/construction.h"

/* Wire commonly wound on a core is about this much of its diameter (common practice); a start to be corrected by the
 * packet. */
#define WRAP_SHARE_OF_CORE 0.7

#define ENTRY_CHARS 10

/* What a control is bound to. */
typedef struct
{
  SlBench *bench; /* borrowed: the control's window does not outlive it */
  const SlDescriptionField *field;
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
title_of (const SlDescriptionField *field)
{
  return g_dpgettext2 (GETTEXT_PACKAGE, "field", field->title);
}

/* Where the format keeps something. */
typedef struct
{
  SlFieldType type;
  gsize struct_offset, offset; /* of its struct in the profile, or of the first of its array's, and of it in there */
  gboolean required;
  const char *const *names; /* of a choice */
  const SlChild *each;      /* of a string, post or anchor: its array, counted by the int at */
  gsize count;
} Place;

/* Looks for it in @element, whose struct lies at @at in the profile, and in what stands there; FALSE: it isn't there.
 */
static gboolean
look_up (const SlElement *element, gsize at, const char *name, const char *attribute, Place *out)
{
  const gboolean here = g_str_equal (element->name, name);

  for (const SlField *field = element->fields; here && field->name != NULL; field++)
    if (g_str_equal (field->name, attribute))
      {
        *out = (Place){ field->type, at, field->offset, field->required, field->names };
        return TRUE;
      }
  for (const SlChild *child = element->children; child != NULL && child->element != NULL; child++)
    {
      if (here && child->store == SL_STORE_TEXT)
        *out = (Place){ SL_FIELD_TEXT, at, child->offset };
      else if (child->store == SL_STORE_ARRAY || !look_up (child->element, at + child->offset, name, attribute, out))
        continue;
      if (child->count > 0)
        {
          out->each = child;
          out->count = at + child->count;
        }
      return TRUE;
    }
  return FALSE;
}

static Place
place_of (const char *element, const char *attribute)
{
  Place place = { 0 };

  g_assert (look_up (&sl_element_profile, 0, element, attribute, &place));
  return place;
}

/* The struct of @string among those of an array, which begin with its number and are kept in its order; all strings
 * have their own. Where there is none it is made with @create, if there is room, else NULL. */
static char *
find_of_string (SlProfile *profile, const Place *place, int string, gboolean create)
{
  const gsize size = place->each->size;
  int *n = &G_STRUCT_MEMBER (int, profile, place->count);
  char *at = (char *) profile + place->struct_offset, *end = at + (gsize) *n * size;

  if (place->each->store == SL_STORE_STRINGS)
    return at + (gsize) (string - 1) * size;
  while (at < end && *(const int *) (const void *) at < string)
    at += size;
  if (at < end && *(const int *) (const void *) at == string)
    return at;
  if (!create || *n == SL_MAX_STRINGS)
    return NULL;
  memmove (at + size, at, (gsize) (end - at));
  memset (at, 0, size);
  sl_element_init (place->each->element, at);
  *(int *) (void *) at = string;
  (*n)++;
  return at;
}

/* What is kept in a profile; NULL where its struct is not there and @create is FALSE. */
static void *
find_place (SlProfile *profile, const char *element, const char *attribute, int string, gboolean create)
{
  const Place place = place_of (element, attribute);
  char *base =
      place.each == NULL ? (char *) profile + place.struct_offset : find_of_string (profile, &place, string, create);

  return base == NULL ? NULL : base + place.offset;
}

SlFieldType
sl_description_field_type (const SlDescriptionField *field)
{
  return place_of (field->element, field->attribute).type;
}

/* The titles of its choices, borrowed. */
static GListModel *
choices_of (const SlDescriptionField *field)
{
  static GtkBuilder *builder; /* kept */
  g_autofree char *name = g_strconcat (field->element, "-", field->attribute, NULL);

  if (builder == NULL)
    builder = gtk_builder_new_from_resource ("/org/sidelong/Sidelong/description.ui");
  return G_LIST_MODEL (gtk_builder_get_object (builder, name));
}

/* The first of the format's choices that can be chosen: before it is "not given". */
static int
first_choice (const SlDescriptionField *field)
{
  const Place place = place_of (field->element, field->attribute);

  return (int) (g_strv_length ((char **) place.names) - g_list_model_get_n_items (choices_of (field)));
}

/* On the bench, only to be read. */
static const void *
look (const Binding *binding)
{
  return find_place ((SlProfile *) sl_bench_get_profile (binding->bench), binding->field->element,
                     binding->field->attribute, binding->index, FALSE);
}

static const char *
look_text (const Binding *binding)
{
  char *const *place = look (binding);

  return place == NULL || *place == NULL ? "" : *place;
}

/* What goes with a string's wrap. */
static void
settle_wrap (SlString *string)
{
  string->build = string->wrap == SL_WRAP_NONE ? SL_BUILD_PLAIN : SL_BUILD_WOUND;
  if (string->wrap == SL_WRAP_NONE)
    string->wrap_diameter = SL_NUMBER_ABSENT;
  else if (!sl_number_is_set (string->wrap_diameter))
    string->wrap_diameter = (SlNumber){ WRAP_SHARE_OF_CORE * sl_number_or (string->core_diameter, 0.0), 3 };
}

static void
edit_field (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  const Change *change = data;
  const SlDescriptionField *field = change->binding->field;
  void *place = find_place (profile, field->element, field->attribute, change->binding->index, TRUE);
  char **text = place;
  const guint work = sl_work_there_is (profile);

  switch (sl_description_field_type (field))
    {
    case SL_FIELD_NUMBER:
      *(SlNumber *) place = isnan (change->number) ? SL_NUMBER_ABSENT : sl_number (change->number);
      break;
    case SL_FIELD_WHOLE: *(int *) place = isnan (change->number) ? 0 : (int) lround (change->number); break;
    case SL_FIELD_TEXT:
      g_free (*text);
      *text = *change->text == '\0' ? NULL : g_strdup (change->text);
      break;
    default:
      *(int *) place = change->choice;
      if (g_str_equal (field->attribute, "wrap"))
        settle_wrap (&profile->strings[change->binding->index - 1]);
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
  *(SlNumber *) find_place (profile, element, attribute, string, TRUE) = sl_number (value);
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
  const SlDescriptionField *field = binding->field;
  const SlChanges changed = sl_description_field_type (field) == SL_FIELD_TEXT && binding->index == 0 ? SL_CHANGED_TEXT
                            : g_str_equal (field->element, "targets") ? SL_CHANGED_TARGETS
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
  const SlDescriptionField *field = binding_of (control)->field;
  const gboolean broken =
      sl_description_field_type (field) == SL_FIELD_WHOLE && !isnan (value) && value != floor (value);

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
  if (sl_description_field_type (binding->field) == SL_FIELD_WHOLE)
    sl_length_entry_set_value (entry, *(const int *) place != 0 ? *(const int *) place : NAN);
  else
    sl_length_entry_set_value (entry, place == NULL ? NAN : ((const SlNumber *) place)->v);
  if (binding->field->filled >= 0)
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
  const gboolean missing = place_of (binding->field->element, binding->field->attribute).required && *text == '\0';

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
    make_change (control, (Change){ .choice = first_choice (binding->field) + (int) selected }, NULL);
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
    {
      const int first = first_choice (binding->field);
      int value = *(const int *) look (binding);

      if (value < first && binding->field->filled >= 0)
        value = G_STRUCT_MEMBER (int, &sl_bench_get_analysis (binding->bench)->instrument, binding->field->filled);
      gtk_drop_down_set_selected (GTK_DROP_DOWN (control), (guint) MAX (0, value - first));
    }
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
make_number (SlBench *bench, const SlDescriptionField *field)
{
  const SlBound *bound = sl_bound_find (field->element, field->attribute);
  const SlLengthUse use = { bound,
                            plain_unit (bound->unit),
                            field->places,
                            .coarse = !field->fine,
                            .required = place_of (field->element, field->attribute).required,
                            .chars = ENTRY_CHARS,
                            .bench = bench,
                            .step_name = title_of (field) };
  GtkWidget *control = sl_length_entry_set_up (sl_length_entry_new (), use); /* named in sl_field_new() */

  g_signal_connect (control, "committed", G_CALLBACK (on_number_committed), NULL);
  g_signal_connect (control, "step", G_CALLBACK (sl_length_entry_move_on), NULL);
  return control;
}

gboolean
sl_field_applies (const SlDescriptionField *field, const SlProfile *profile)
{
  return field->applies == NULL || field->applies (profile);
}

char *
sl_field_name (const SlDescriptionField *field, int index)
{
  /* Translators: what a control of a table sets, and for which string. */
  return index > 0 ? g_strdup_printf (_ ("%s, string %d"), title_of (field), index) : g_strdup (title_of (field));
}

char *
sl_field_text (const SlProfile *profile, const SlDescriptionField *field, int index, const SlTextStyle *style)
{
  /* only to be read */
  const void *place = find_place ((SlProfile *) profile, field->element, field->attribute, index, FALSE);
  const SlNumber *number = place;
  g_autofree char *plain = NULL;
  const char *unit;
  int choice;

  if (place == NULL)
    return NULL;
  switch (sl_description_field_type (field))
    {
    case SL_FIELD_TEXT: return g_strdup (*(char *const *) place);
    case SL_FIELD_WHOLE: return *(const int *) place == 0 ? NULL : g_strdup_printf ("%d", *(const int *) place);
    case SL_FIELD_NUMBER:
      if (!sl_number_is_set (*number))
        return NULL;
      unit = plain_unit (sl_bound_find (field->element, field->attribute)->unit);
      if (unit == NULL)
        return sl_text_measure (style, number->v, field->places, TRUE);
      plain = sl_text_plain (style, number->v, field->places, FALSE);
      return g_strconcat (plain, *unit != '\0' && !g_str_equal (unit, "°") ? " " : "", unit, NULL);
    default:
      choice = *(const int *) place - first_choice (field);
      return choice < 0 ? NULL
                        : g_strdup (gtk_string_list_get_string (GTK_STRING_LIST (choices_of (field)), (guint) choice));
    }
}

GtkWidget *
sl_field_new (SlBench *bench, const SlDescriptionField *field, int index)
{
  const SlFieldType type = sl_description_field_type (field);
  const gboolean is_text = type == SL_FIELD_TEXT;
  GtkWidget *control;
  Binding *binding;
  g_autofree char *name = NULL;

  if (is_text)
    control = gtk_entry_new (); /* named below */
  else if (type == SL_FIELD_CHOICE)
    control = gtk_drop_down_new (g_object_ref (choices_of (field)), NULL); /* named below */
  else
    control = make_number (bench, field);
  binding = g_new (Binding, 1);
  *binding = (Binding){ bench, field, index, FALSE };
  g_object_set_data_full (G_OBJECT (control), "binding", binding, g_free);
  if (is_text)
    {
      gtk_editable_set_width_chars (GTK_EDITABLE (control), ENTRY_CHARS);
      sl_typed_bind (control, take_text, binding);
    }
  name = sl_field_name (field, index);
  if (is_text && g_str_equal (field->element, "identity"))
    gtk_entry_set_max_length (GTK_ENTRY (control), (int) sl_amount_most (field->element, field->attribute));
  sl_set_accessible_label (control, name);
  refresh (control);
  if (type == SL_FIELD_CHOICE)
    {
      sl_guard_wheel (control);
      g_signal_connect (control, "notify::selected", G_CALLBACK (on_chosen), NULL);
    }
  sl_follow_while_seen (control, bench, SL_CHANGED_DESCRIPTION | SL_CHANGED_LENGTHS, G_CALLBACK (refresh), control);
  return control;
}

GtkWidget *
sl_field_new_unit (GtkWidget *control)
{
  const SlDescriptionField *field = binding_of (control)->field;
  const char *unit = sl_description_field_type (field) == SL_FIELD_NUMBER
                         ? plain_unit (sl_bound_find (field->element, field->attribute)->unit)
                         : "";
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
