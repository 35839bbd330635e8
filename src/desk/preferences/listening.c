/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/preferences/preferences.h"

#include "bench/settings.h"
#include "capture/capture.h"
#include "desk/readings/readings.h"
#include "file/document.h"

#define ENTRY_CHARS 7
#define N_NOTES 12
#define NOTES_A_ROW 4
#define MOST_NAME 40 /* characters: a list can’t wrap */

static const SlBound reference_bound = { "shop", SL_SETTING_REFERENCE_PITCH, 415, 466, SL_UNIT_HERTZ, -1 },
                     note_bound = { "shop", SL_SETTING_TEMPERAMENT, -50, 50, SL_UNIT_CENT, -1 };

typedef struct
{
  /* bound in this order */
  GtkWidget *page, *line, *device, *refresh, *try, *level, *note, *reference, *temperament, *notes, *messages;
  GtkWidget *cents[N_NOTES];
  GPtrArray *found;   /* of SlCaptureDevice; NULL: not known */
  SlCapture *capture; /* while it is tried */
} Listening;

/* ---- devices ---- */

/* The system's, then what was found; what is chosen and not there now by the name the sound server has for it. */
static void
show_devices (Listening *self)
{
  g_autofree char *chosen = sl_settings_get_string (SL_SETTING_LISTEN_DEVICE, "");
  g_autoptr (GtkStringList) names = gtk_string_list_new ((const char *[]){ _ ("The system’s"), NULL });
  guint selected = 0;

  for (guint i = 0; self->found != NULL && i < self->found->len; i++)
    {
      const SlCaptureDevice *device = self->found->pdata[i];
      g_autofree char *start = g_utf8_substring (device->name, 0, MIN (MOST_NAME, g_utf8_strlen (device->name, -1)));

      gtk_string_list_take (names, g_strconcat (start, g_str_equal (start, device->name) ? NULL : "…", NULL));
      selected = g_str_equal (device->id, chosen) ? i + 1 : selected;
    }
  if (*chosen != '\0' && selected == 0)
    {
      selected = g_list_model_get_n_items (G_LIST_MODEL (names));
      gtk_string_list_take (names, g_strdup_printf (_ ("%s (not there)"), chosen));
    }
  sl_chooser_fill (self->device, names, selected);
}

static void
list_in_thread (GTask *task, gpointer page, gpointer data, GCancellable *cancellable)
{
  GError *error = NULL;
  GPtrArray *devices = sl_capture_devices (&error);

  if (devices != NULL)
    g_task_return_pointer (task, devices, (GDestroyNotify) g_ptr_array_unref);
  else
    g_task_return_error (task, error);
}

static void
on_listed (GObject *page, GAsyncResult *result, gpointer data)
{
  Listening *self = sl_part_of (GTK_WIDGET (page));
  g_autoptr (GError) error = NULL;
  GPtrArray *found = g_task_propagate_pointer (G_TASK (result), &error);

  g_clear_pointer (&self->found, g_ptr_array_unref);
  self->found = found;
  gtk_widget_set_sensitive (self->refresh, TRUE);
  sl_set_remark (self->note, error != NULL     ? error->message
                             : found->len == 0 ? _ ("Nothing to listen to is plugged in.")
                                               : NULL);
  show_devices (self);
}

/* What there is takes the sound server a moment to say. */
static void
on_refresh (Listening *self)
{
  gtk_widget_set_sensitive (self->refresh, FALSE);
  sl_run_in_thread (self->page, NULL, list_in_thread, NULL, NULL, on_listed, NULL);
}

/* ---- trying one ---- */

static void
on_heard (gpointer owner, const float *samples, gsize n, double rate)
{
  Listening *self = owner;
  float most = 0;

  for (gsize i = 0; i < n; i++)
    most = MAX (most, fabsf (samples[i]));
  sl_listen_show_level (self->level, 20 * log10 (most));
}

static void
on_ended (gpointer owner, const GError *error)
{
  Listening *self = owner;

  sl_set_remark (self->note, error != NULL ? error->message : NULL);
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->try), FALSE);
}

static void
on_try (Listening *self)
{
  static const SlCaptureHandlers handlers = { on_heard, on_ended };
  g_autofree char *id = sl_settings_get_string (SL_SETTING_LISTEN_DEVICE, "");
  g_autoptr (GError) error = NULL;

  g_clear_pointer (&self->capture, sl_capture_close);
  sl_listen_show_level (self->level, -INFINITY);
  if (!sl_is_on (self->try))
    return;
  sl_set_remark (self->note, NULL);
  self->capture = sl_capture_open_device (id, &handlers, self, &error);
  if (self->capture == NULL)
    on_ended (self, error);
}

/* What is not there stays chosen. */
static void
on_device (Listening *self)
{
  const guint chosen = sl_chosen (self->device);

  if (chosen > 0 && (self->found == NULL || chosen > self->found->len))
    return;
  const SlCaptureDevice *device = chosen == 0 ? NULL : self->found->pdata[chosen - 1];

  sl_settings_set (SL_SETTING_LISTEN_DEVICE, g_variant_new_string (device == NULL ? "" : device->id));
  on_try (self);
}

/* ---- pitch ---- */

/* Equal is kept as nothing. */
static void
on_temperament (Listening *self)
{
  const gboolean own = sl_chosen (self->temperament) == 1;
  double cents[N_NOTES];

  for (int i = 0; i < N_NOTES; i++)
    cents[i] = sl_length_entry_get_value (SL_LENGTH_ENTRY (self->cents[i]));
  gtk_widget_set_visible (self->notes, own);
  sl_settings_set (SL_SETTING_TEMPERAMENT,
                   g_variant_new_fixed_array (G_VARIANT_TYPE_DOUBLE, cents, own ? N_NOTES : 0, sizeof (double)));
}

static void
add_notes (Listening *self, const double *cents)
{
  static const char *const names[N_NOTES] = { "C", "C♯", "D", "E♭", "E", "F", "F♯", "G", "G♯", "A", "B♭", "B" };

  for (int i = 0; i < N_NOTES; i++)
    {
      GtkWidget *entry =
          sl_length_entry_set_up (sl_length_entry_new (), (SlLengthUse){ &note_bound, C_ ("unit", "cents"), 1, 0.1,
                                                                         .required = TRUE, .chars = ENTRY_CHARS });
      const int column = i % NOTES_A_ROW * 2, row = i / NOTES_A_ROW;

      sl_name_as (entry, _ ("Cents of %s against equal temperament"), names[i]);
      sl_length_entry_set_value (SL_LENGTH_ENTRY (entry), cents != NULL ? cents[i] : 0);
      g_signal_connect_swapped (entry, "committed", G_CALLBACK (on_temperament), self);
      gtk_grid_attach (GTK_GRID (self->notes), sl_label_new (names[i], "sl-dim"), column, row, 1, 1);
      gtk_grid_attach (GTK_GRID (self->notes), entry, column + 1, row, 1, 1);
      gtk_box_append (GTK_BOX (self->messages), sl_length_entry_new_message (SL_LENGTH_ENTRY (entry)));
      self->cents[i] = entry;
    }
}

/* ---- building ---- */

static void
on_unmap (Listening *self)
{
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->try), FALSE);
}

static void
free_listening (Listening *self)
{
  g_clear_pointer (&self->capture, sl_capture_close);
  g_clear_pointer (&self->found, g_ptr_array_unref);
  g_free (self);
}

GtkWidget *
sl_listening_new (void)
{
  Listening *self = g_new0 (Listening, 1);
  GtkWidget *page = sl_build ("listening", self, SL_MEMBERS (Listening, page, messages),
                              "page line device refresh try level note reference temperament notes messages",
                              SL_CALL (on_refresh), SL_CALL (on_try), SL_CALL (on_unmap), NULL);

  g_object_set_data_full (G_OBJECT (page), "part", self, (GDestroyNotify) free_listening);
  sl_flow (self->line, SL_SPACE);
  sl_chooser_init (self->device, _ ("What is listened to"), G_CALLBACK (on_device), self);
  g_autoptr (GVariant) kept = sl_settings_get_value (SL_SETTING_TEMPERAMENT, "ad");
  gsize n = 0;
  const double *cents = kept == NULL ? NULL : g_variant_get_fixed_array (kept, &n, sizeof (double));
  const gboolean own = n == N_NOTES;
  SlLengthEntry *reference = SL_LENGTH_ENTRY (self->reference);

  sl_length_entry_set_up (self->reference, (SlLengthUse){ &reference_bound, C_ ("unit", "Hz"), 1, 0.1, .required = TRUE,
                                                          .chars = ENTRY_CHARS });
  sl_length_entry_set_value (reference, sl_note_frequency ("A4")); /* where nothing is remembered */
  sl_settings_bind (SL_SETTING_REFERENCE_PITCH, reference, "value", G_VARIANT_TYPE_DOUBLE);
  gtk_box_append (GTK_BOX (self->messages), sl_length_entry_new_message (reference));
  add_notes (self, own ? cents : NULL);
  sl_chooser_init (self->temperament, _ ("Temperament"), G_CALLBACK (on_temperament), self);
  sl_chooser_fill (self->temperament, NULL, own ? 1 : 0);
  gtk_widget_set_visible (self->notes, own);
  show_devices (self);
  return page;
}
