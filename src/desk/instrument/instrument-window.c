/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/instrument/instrument-window.h"

#include "desk/instrument/description-fields.h"
#include "desk/kit/kit.h"
#include "draw/draw.h"

#define HEAD_CHARS 14 /* of a column: what is wider makes lines of it */

struct _SlInstrumentWindow
{
  GtkWindow parent_instance;

  GtkWidget *complaint, *side, *picture, *stack; /* template widgets, in the order they are bound in */
  SlBench *bench;                                /* owned */
  int n_strings;                                 /* rows of the tables */
};

G_DEFINE_FINAL_TYPE (SlInstrumentWindow, sl_instrument_window, GTK_TYPE_WINDOW)

/* Only what the instrument as it is built has. */
static void
show_rows (GtkWidget *grid)
{
  const SlDescriptionPage *page = g_object_get_data (G_OBJECT (grid), "page");
  const SlProfile *profile = sl_bench_get_profile (g_object_get_data (G_OBJECT (grid), "SlBench"));

  for (int i = 0; i < 3 * (int) page->n_fields; i++)
    {
      GtkWidget *part = gtk_grid_get_child_at (GTK_GRID (grid), i % 3, i / 3 * 2);

      if (part != NULL)
        gtk_widget_set_visible (part, sl_field_applies (&page->fields[i / 3], profile));
    }
}

static void
fill_form (SlInstrumentWindow *self, GtkWidget *grid, const SlDescriptionPage *page)
{
  gtk_widget_set_halign (grid, page->columns != NULL ? GTK_ALIGN_START : GTK_ALIGN_FILL);
  for (guint i = 0; i < page->n_fields; i++)
    {
      const SlDescriptionField *field = &page->fields[i];
      GtkWidget *label = sl_label_new (g_dpgettext2 (GETTEXT_PACKAGE, "field", field->title), NULL);
      GtkWidget *control = sl_field_new (self->bench, field, 0);
      GtkWidget *unit = sl_field_new_unit (control), *message = sl_field_new_message (control);
      const int row = 2 * (int) i;

      gtk_widget_set_name (control, field->attribute);
      gtk_widget_set_hexpand (control, sl_description_field_type (field) == SL_FIELD_TEXT);
      gtk_grid_attach (GTK_GRID (grid), label, 0, row, 1, 1);
      gtk_grid_attach (GTK_GRID (grid), control, 1, row, 1, 1);
      if (unit != NULL)
        gtk_grid_attach (GTK_GRID (grid), unit, 2, row, 1, 1);
      if (message != NULL)
        gtk_grid_attach (GTK_GRID (grid), message, 0, row + 1, 3, 1);
    }
  sl_keep (grid, self->bench);
  g_object_set_data (G_OBJECT (grid), "page", (gpointer) page);
  show_rows (grid);
  sl_follow_while_seen (grid, self->bench, SL_CHANGED_INSTRUMENT, G_CALLBACK (show_rows), grid);
}

static void
add_table_row (SlInstrumentWindow *self, GtkWidget *grid, const SlDescriptionPage *page, int string)
{
  g_autofree char *number = g_strdup_printf ("%d", string);

  gtk_grid_attach (GTK_GRID (grid), sl_label_new (number, "sl-figure"), 0, 2 * string, 1, 1);
  for (guint i = 0; i < page->n_columns; i++)
    {
      GtkWidget *control = sl_field_new (self->bench, &page->columns[i], string);
      GtkWidget *message = sl_field_new_message (control);

      if (!GTK_IS_DROP_DOWN (control))
        gtk_editable_set_width_chars (GTK_EDITABLE (control), SL_IS_LENGTH_ENTRY (control) ? 7 : 4);
      gtk_grid_attach (GTK_GRID (grid), control, (int) i + 1, 2 * string, 1, 1);
      if (message != NULL)
        gtk_grid_attach_next_to (GTK_GRID (grid), message, control, GTK_POS_BOTTOM, 1, 1);
    }
}

static void
draw_picture (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  sl_draw_construction (cr, sl_bench_get_profile (SL_INSTRUMENT_WINDOW (data)->bench), sl_look (), width, height);
}

/* One string more, like the last but without its post and anchor; or the last one less, with its post and anchor. */
static void
edit_add_string (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  SlString *last = &profile->strings[profile->n_strings - 1];

  last[1] = *last;
  last[1].note = g_strdup (last->note);
  profile->n_strings++;
}

static void
edit_remove_string (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  int string = profile->n_strings;

  profile->n_strings--;
  g_clear_pointer (&profile->strings[profile->n_strings].note, g_free);
  if (profile->headstock.n_posts > 0 && profile->headstock.posts[profile->headstock.n_posts - 1].string == string)
    profile->headstock.n_posts--;
  if (profile->bridge.n_anchors > 0 && profile->bridge.anchors[profile->bridge.n_anchors - 1].string == string)
    profile->bridge.n_anchors--;
}

static void
change_strings (SlInstrumentWindow *self, const char *name, SlBenchEdit edit)
{
  g_autofree char *complaint = NULL;

  if (!sl_typed_take (GTK_WINDOW (self))) /* the tables are made again */
    return;
  complaint = sl_checked_edit (self->bench, name, SL_CHANGED_INSTRUMENT, edit, NULL);
  gtk_widget_activate_action (GTK_WIDGET (self), SL_COMPLAIN_ACTION, "s", complaint == NULL ? "" : complaint);
}

static void
on_add_string (GtkWidget *window, const char *action, GVariant *parameter)
{
  if (sl_bench_get_profile (SL_INSTRUMENT_WINDOW (window)->bench)->n_strings < SL_MAX_STRINGS)
    change_strings (SL_INSTRUMENT_WINDOW (window), C_ ("undo step", "add a string"), edit_add_string);
  else
    gtk_widget_activate_action (window, SL_COMPLAIN_ACTION, "s", _ ("An instrument has 1 to 12 strings."));
}

static void
on_remove_string (GtkWidget *window, const char *action, GVariant *parameter)
{
  if (sl_bench_get_profile (SL_INSTRUMENT_WINDOW (window)->bench)->n_strings > 1)
    change_strings (SL_INSTRUMENT_WINDOW (window), C_ ("undo step", "remove the last string"), edit_remove_string);
}

static GtkWidget *
make_page (SlInstrumentWindow *self, const SlDescriptionPage *page)
{
  struct
  {
    GtkWidget *page, *form, *title, *table, *buttons;
  } own;
  GtkWidget *scrolled =
      sl_build ("description-page", &own, 0, 4 * sizeof (GtkWidget *), "page form title table buttons", NULL);

  sl_name_scrolled (scrolled, g_dpgettext2 (GETTEXT_PACKAGE, "page", page->title));
  fill_form (self, own.form, page);
  sl_set_remark (own.title,
                 page->table_title == NULL ? NULL : g_dpgettext2 (GETTEXT_PACKAGE, "page", page->table_title));
  /* a row for each string, a column for each of the page's columns */
  for (guint i = 0; i < page->n_columns; i++)
    {
      GtkWidget *label = sl_label_new (g_dpgettext2 (GETTEXT_PACKAGE, "field", page->columns[i].title), "sl-section");

      gtk_label_set_wrap (GTK_LABEL (label), TRUE);
      gtk_label_set_max_width_chars (GTK_LABEL (label), HEAD_CHARS);
      gtk_widget_set_valign (label, GTK_ALIGN_END);
      gtk_grid_attach (GTK_GRID (own.table), label, (int) i + 1, 0, 1, 1);
    }
  for (int s = 1; s <= self->n_strings && page->n_columns > 0; s++)
    add_table_row (self, own.table, page, s);
  gtk_widget_set_visible (own.table, page->n_columns > 0);
  gtk_widget_set_visible (own.buttons, g_str_equal (page->name, "strings"));
  return scrolled;
}

static void
fill_stack (SlInstrumentWindow *self)
{
  g_autofree char *shown = g_strdup (gtk_stack_get_visible_child_name (GTK_STACK (self->stack)));
  GtkWidget *child;

  self->n_strings = sl_bench_get_profile (self->bench)->n_strings;
  while ((child = gtk_widget_get_first_child (self->stack)) != NULL)
    gtk_stack_remove (GTK_STACK (self->stack), child);
  for (guint i = 0; i < sl_n_description_pages; i++)
    {
      const SlDescriptionPage *page = &sl_description_pages[i];

      gtk_stack_add_titled (GTK_STACK (self->stack), make_page (self, page), page->name,
                            g_dpgettext2 (GETTEXT_PACKAGE, "page", page->title));
    }
  if (shown != NULL)
    gtk_stack_set_visible_child_name (GTK_STACK (self->stack), shown);
}

static gboolean
fill_when_idle (gpointer data)
{
  SlInstrumentWindow *self = data;

  if (self->bench != NULL)
    fill_stack (self);
  return G_SOURCE_REMOVE;
}

static void
on_bench_changed (SlInstrumentWindow *self)
{
  const SlProfile *profile = sl_bench_get_profile (self->bench);
  g_autofree char *title = g_strdup_printf (_ ("Instrument: %s"), profile->identity.label);

  gtk_window_set_title (GTK_WINDOW (self), title);
  gtk_widget_queue_draw (self->picture);
  /* Not at once: the change may come from a control in a row that goes. */
  if (self->n_strings != profile->n_strings)
    g_idle_add_full (G_PRIORITY_DEFAULT, fill_when_idle, g_object_ref (self), g_object_unref);
}

static void
on_complain (GtkWidget *widget, const char *action, GVariant *parameter)
{
  SlInstrumentWindow *self = SL_INSTRUMENT_WINDOW (widget);
  const char *text = g_variant_get_string (parameter, NULL);

  sl_set_remark (self->complaint, text);
  sl_set_accessible_label (self->complaint, text);
}

static void
sl_instrument_window_class_init (SlInstrumentWindowClass *class)
{
  gtk_widget_class_install_action (GTK_WIDGET_CLASS (class), SL_COMPLAIN_ACTION, "s", on_complain);
  gtk_widget_class_install_action (GTK_WIDGET_CLASS (class), "description.add-string", NULL, on_add_string);
  gtk_widget_class_install_action (GTK_WIDGET_CLASS (class), "description.remove-string", NULL, on_remove_string);
  sl_template_bind (class, "instrument-window", SL_MEMBERS (SlInstrumentWindow, complaint, stack),
                    "complaint side picture stack", NULL);
}

static void
sl_instrument_window_init (SlInstrumentWindow *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  gtk_box_prepend (GTK_BOX (self->side), sl_page_list_new (GTK_STACK (self->stack), _ ("Parts of the description")));
  sl_colour_scheme_mark (GTK_WIDGET (self));
}

GtkWidget *
sl_instrument_window_new (GtkWindow *parent, SlBench *bench)
{
  SlInstrumentWindow *self =
      g_object_new (SL_TYPE_INSTRUMENT_WINDOW, "application", gtk_window_get_application (parent), "transient-for",
                    parent, "destroy-with-parent", TRUE, NULL);

  self->bench = sl_keep (self, bench);
  sl_picture_area_init (self->picture, draw_picture, self);
  sl_typed_guard (GTK_WINDOW (self), parent);
  fill_stack (self);
  on_bench_changed (self);
  sl_bench_follow (bench, SL_CHANGED_TEXT | SL_CHANGED_INSTRUMENT, G_CALLBACK (on_bench_changed), self);
  return GTK_WIDGET (self);
}

void
sl_instrument_window_show_field (SlInstrumentWindow *self, const char *attribute)
{
  for (guint i = 0; i < sl_n_description_pages; i++)
    for (guint k = 0; k < sl_description_pages[i].n_fields; k++)
      if (g_strcmp0 (sl_description_pages[i].fields[k].attribute, attribute) == 0)
        {
          gtk_stack_set_visible_child_name (GTK_STACK (self->stack), sl_description_pages[i].name);
          gtk_widget_grab_focus (sl_find_named (gtk_stack_get_visible_child (GTK_STACK (self->stack)), attribute));
          return;
        }
}
