/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/work/parts.h"

#include "desk/kit/length-entry.h"
#include "desk/kit/util.h"

#define SPACING 4
#define WIRE_CHARS 5

typedef struct
{
  SlBench *bench;                 /* kept by the row */
  GtkWidget *from, *to, *wire[2]; /* of the wire width and height */
  int frets;                      /* there are to choose from */
} ReplaceRow;

static ReplaceRow *
own (GtkWidget *row)
{
  return g_object_get_data (G_OBJECT (row), "own");
}

static void
put (ReplaceRow *self, SlOperation operation)
{
  sl_bench_put_operation (self->bench, sl_operation_undo_name (SL_OP_REPLACE_FRETS), operation);
}

/* The end that was not chosen gives way. */
static void
choose (ReplaceRow *self, gboolean last)
{
  const SlOperation *old = sl_bench_find_operation (self->bench, SL_OP_REPLACE_FRETS, 0);
  const guint selected = gtk_drop_down_get_selected (GTK_DROP_DOWN (last ? self->to : self->from));
  SlOperation operation;

  if (old == NULL || selected == GTK_INVALID_LIST_POSITION)
    return;
  operation = *old;
  *(last ? &operation.to : &operation.from) = (int) selected + 1;
  if (last)
    operation.from = MIN (operation.from, operation.to);
  else
    operation.to = MAX (operation.from, operation.to);
  put (self, operation);
}

static void
on_from (GtkWidget *row)
{
  choose (own (row), FALSE);
}

static void
on_to (GtkWidget *row)
{
  choose (own (row), TRUE);
}

static void
on_wire (SlLengthEntry *entry, double value, ReplaceRow *self)
{
  const SlOperation *old = sl_bench_find_operation (self->bench, SL_OP_REPLACE_FRETS, 0);
  SlOperation operation;

  if (old == NULL)
    return;
  operation = *old;
  *(GTK_WIDGET (entry) == self->wire[0] ? &operation.amount : &operation.amount_treble) =
      isnan (value) ? SL_NUMBER_ABSENT : sl_number (value);
  put (self, operation);
}

static void
fill_frets (ReplaceRow *self, int from, int to)
{
  const int frets = sl_bench_get_profile (self->bench)->neck.frets;
  g_autoptr (GtkStringList) list = frets == self->frets ? NULL : gtk_string_list_new (NULL);

  for (int fret = 1; list != NULL && fret <= frets; fret++)
    gtk_string_list_take (list, g_strdup_printf ("%d", fret));
  self->frets = frets;
  sl_chooser_fill (self->from, list, (guint) from - 1);
  sl_chooser_fill (self->to, list, (guint) to - 1);
}

void
sl_replace_row_update (GtkWidget *row)
{
  ReplaceRow *self = own (row);
  const SlOperation *operation = sl_bench_find_operation (self->bench, SL_OP_REPLACE_FRETS, 0);
  const SlFretwire *old = &sl_bench_get_profile (self->bench)->fretwire;

  gtk_widget_set_visible (row, operation != NULL);
  if (operation == NULL)
    return;
  fill_frets (self, operation->from, operation->to);
  for (int i = 0; i < 2; i++)
    {
      SlLengthEntry *entry = SL_LENGTH_ENTRY (self->wire[i]);

      sl_length_entry_set_lengths (entry, sl_bench_get_lengths (self->bench));
      sl_length_entry_set_assumed (entry,
                                   i == 0 ? old->width.v : sl_number_or (old->height, SL_DEFAULT_CROWN_HEIGHT_MM));
      sl_length_entry_set_value (entry, i == 0 ? operation->amount.v : operation->amount_treble.v);
    }
}

static GtkWidget *
add_wire (ReplaceRow *self, GtkWidget *line, const char *label, const char *name, const SlBound *bound)
{
  GtkWidget *entry = sl_length_entry_set_up (
      sl_length_entry_new (), (SlLengthUse){ bound, NULL, 2, .chars = WIRE_CHARS, .bench = self->bench,
                                             .step_name = sl_operation_undo_name (SL_OP_REPLACE_FRETS) });

  sl_label_add (line, label, "sl-more");
  gtk_widget_add_css_class (entry, "sl-amount");
  sl_set_accessible_label (entry, name);
  g_signal_connect (entry, "committed", G_CALLBACK (on_wire), self);
  gtk_box_append (GTK_BOX (line), entry);
  return entry;
}

GtkWidget *
sl_replace_row_new (SlBench *bench)
{
  const SlOperationTraits *traits = &sl_operations[SL_OP_REPLACE_FRETS];
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_VERTICAL, SPACING),
            *which = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, SPACING),
            *wire = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, SPACING);
  ReplaceRow *self = g_new0 (ReplaceRow, 1);

  g_object_set_data_full (G_OBJECT (row), "own", self, g_free);
  self->bench = sl_keep (row, bench);
  sl_label_add (which, C_ ("frets", "from"), "sl-more");
  self->from = sl_chooser_add (which, _ ("First fret to replace"), NULL, G_CALLBACK (on_from), row);
  sl_label_add (which, C_ ("frets", "to"), "sl-more");
  self->to = sl_chooser_add (which, _ ("Last fret to replace"), NULL, G_CALLBACK (on_to), row);
  self->wire[0] = add_wire (self, wire, C_ ("fretwire", "width"), _ ("Width of the new crowns"), &traits->bound);
  self->wire[1] = add_wire (self, wire, C_ ("fretwire", "height"), _ ("Height of the new crowns"), &traits->treble);
  sl_box_add (row, which, wire, sl_length_entry_new_message (SL_LENGTH_ENTRY (self->wire[0])),
              sl_length_entry_new_message (SL_LENGTH_ENTRY (self->wire[1])), NULL);
  return row;
}
