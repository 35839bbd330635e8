/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/work/parts.h"

#include "desk/kit/kit.h"

#define WIRE_CHARS 5

typedef struct
{
  SlBench *bench;                       /* kept by the row */
  GtkWidget *row, *from, *to, *wire[2]; /* of the wire width and height; bound in this order */
  int first, frets;                     /* there are to choose from */
} ReplaceRow;

/* The end that was not chosen gives way. */
static void
on_fret (const ReplaceRow *self)
{
  const SlOperation *old = sl_bench_find_operation (self->bench, SL_OP_REPLACE_FRETS, 0);
  const int from = (int) gtk_drop_down_get_selected (GTK_DROP_DOWN (self->from)) + self->first,
            to = (int) gtk_drop_down_get_selected (GTK_DROP_DOWN (self->to)) + self->first;
  SlOperation operation;

  if (old == NULL)
    return;
  operation = *old;
  operation.from = from != old->from ? from : MIN (from, to);
  operation.to = from != old->from ? MAX (from, to) : to;
  sl_bench_put_operation (self->bench, sl_operation_undo_name (SL_OP_REPLACE_FRETS), operation);
}

static void
on_wire (SlLengthEntry *entry, double value, const ReplaceRow *self)
{
  const SlOperation *old = sl_bench_find_operation (self->bench, SL_OP_REPLACE_FRETS, 0);
  SlOperation operation;

  if (old == NULL)
    return;
  operation = *old;
  *(GTK_WIDGET (entry) == self->wire[0] ? &operation.amount : &operation.amount_treble) =
      isnan (value) ? SL_NUMBER_ABSENT : sl_number (value);
  sl_bench_put_operation (self->bench, sl_operation_undo_name (SL_OP_REPLACE_FRETS), operation);
}

/* A zero fret is fret 0. */
static void
fill_frets (ReplaceRow *self, int from, int to)
{
  const SlInstrument *instrument = &sl_bench_get_analysis (self->bench)->instrument;
  const int first = instrument->nut_kind == SL_NUT_ZERO_FRET ? 0 : 1;
  const gboolean same = self->frets == instrument->frets && self->first == first;
  g_autoptr (GtkStringList) list = same ? NULL : gtk_string_list_new (NULL);

  for (int fret = first; list != NULL && fret <= instrument->frets; fret++)
    gtk_string_list_take (list, g_strdup_printf ("%d", fret));
  self->frets = instrument->frets;
  self->first = first;
  sl_chooser_fill (self->from, list, (guint) (from - first));
  sl_chooser_fill (self->to, list, (guint) (to - first));
}

void
sl_replace_row_update (GtkWidget *row)
{
  ReplaceRow *self = sl_part_of (row);
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

GtkWidget *
sl_replace_row_new (SlBench *bench)
{
  const SlOperationTraits *traits = &sl_operations[SL_OP_REPLACE_FRETS];
  ReplaceRow *self =
      sl_part_new (bench, SL_PART (ReplaceRow, row, wire[1]), g_free, "replace-row", "row from to width height", NULL);

  sl_chooser_init (self->from, _ ("First fret to replace"), G_CALLBACK (on_fret), self);
  sl_chooser_init (self->to, _ ("Last fret to replace"), G_CALLBACK (on_fret), self);
  for (int i = 0; i < 2; i++)
    {
      sl_length_entry_set_up (
          self->wire[i], (SlLengthUse){ i == 0 ? &traits->bound : &traits->treble, NULL, 2, .chars = WIRE_CHARS,
                                        .bench = bench, .step_name = sl_operation_undo_name (SL_OP_REPLACE_FRETS) });
      g_signal_connect (self->wire[i], "committed", G_CALLBACK (on_wire), self);
      gtk_box_append (GTK_BOX (self->row), sl_length_entry_new_message (SL_LENGTH_ENTRY (self->wire[i])));
    }
  return self->row;
}
