/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/work/parts.h"

#include "desk/kit/kit.h"

typedef struct
{
  SlBench *bench;
  GtkWidget *row, *sets, *gauges, *complaint; /* bound in this order */
} StringsRow;

static void
put (SlBench *bench, const char *set)
{
  SlOperation operation = sl_operation_init (SL_OP_FIT_STRINGS);

  operation.set = (char *) set;
  sl_bench_put_operation (bench, sl_operation_undo_name (SL_OP_FIT_STRINGS), operation);
}

static void
on_set (GSimpleAction *action, GVariant *id, gpointer bench)
{
  put (bench, g_variant_get_string (id, NULL));
}

/* Gauges that can't be read stay for correction, with what is accepted. */
static gboolean
take (gpointer owner, const char *text, GtkWidget *entry)
{
  StringsRow *self = owner;
  SlStringSet set;
  g_autoptr (GError) error = NULL;
  const gboolean good = sl_string_set_parse (text, &sl_bench_get_analysis (self->bench)->instrument, &set, &error);
  g_autofree char *why = good ? NULL : sl_capital (error->message);

  sl_set_remark (self->complaint, why);
  if (good)
    put (self->bench, text);
  return good;
}

/* Filled whenever it is opened: the instrument may have other strings now. */
static void
list_sets (GtkMenuButton *button, gpointer bench)
{
  g_autoptr (GMenu) menu = g_menu_new ();
  int n;
  const SlStringSet *all = sl_string_sets (&n);

  for (int i = 0; i < n; i++)
    if (all[i].n_strings == sl_bench_get_profile (bench)->n_strings)
      {
        g_autofree char *action = g_strconcat ("strings.fit::", all[i].id, NULL);

        g_menu_append (menu, _ (all[i].name), action);
      }
  gtk_menu_button_set_menu_model (button, G_MENU_MODEL (menu));
}

void
sl_strings_row_update (GtkWidget *row)
{
  StringsRow *self = sl_part_of (row);
  const SlOperation *operation = sl_bench_find_operation (self->bench, SL_OP_FIT_STRINGS, 0);
  const gboolean own = operation != NULL && sl_string_set_find (operation->set) == NULL;

  gtk_widget_set_visible (row, operation != NULL);
  sl_typed_show (self->gauges, own ? operation->set : ""); /* what is built in is called by its name above */
}

GtkWidget *
sl_strings_row_new (SlBench *bench)
{
  static const GActionEntry fit = { "fit", on_set, "s" };
  StringsRow *self = sl_part_new (bench, SL_PART (StringsRow, row, complaint), g_free, "strings-row",
                                  "row sets gauges complaint", NULL);

  sl_add_actions (self->row, "strings", &fit, 1, bench);
  gtk_menu_button_set_create_popup_func (GTK_MENU_BUTTON (self->sets), list_sets, bench, NULL);
  sl_typed_bind (self->gauges, take, self);
  return self->row;
}
