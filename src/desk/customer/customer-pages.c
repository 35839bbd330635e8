/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/customer/customer-pages.h"

#include "desk/customer/customer-sheet.h"
#include "desk/kit/util.h"

#include <glib/gi18n-lib.h>
#include <math.h>

struct _SlCustomerPages
{
  GtkBox parent_instance;

  SlCustomerSheet *sheet;
  GtkWidget *heading, *turning, *back, *number, *on;
};

G_DEFINE_FINAL_TYPE (SlCustomerPages, sl_customer_pages, GTK_TYPE_BOX)

static void
show_page (SlCustomerPages *self)
{
  const int n = sl_customer_sheet_get_n (self->sheet), page = sl_customer_sheet_get_page (self->sheet);
  const char *heading = sl_customer_sheet_get_heading (self->sheet);
  g_autofree char *number = g_strdup_printf (_ ("%d of %d"), page + 1, n);

  gtk_label_set_text (GTK_LABEL (self->heading), heading != NULL ? heading : "");
  gtk_label_set_text (GTK_LABEL (self->number), number);
  gtk_widget_set_visible (self->turning, n > 1);
  gtk_widget_set_sensitive (self->back, page > 0);
  gtk_widget_set_sensitive (self->on, page + 1 < n);
  sl_set_accessible_label (GTK_WIDGET (self->sheet), heading != NULL ? heading : _ ("Work and care"));
}

void
sl_customer_pages_turn (SlCustomerPages *self, int by)
{
  const int last = MAX (0, sl_customer_sheet_get_n (self->sheet) - 1);

  sl_customer_sheet_set_page (self->sheet, CLAMP (sl_customer_sheet_get_page (self->sheet) + by, 0, last));
  show_page (self);
}

static void
on_back (SlCustomerPages *self)
{
  sl_customer_pages_turn (self, -1);
}

static void
on_on (SlCustomerPages *self)
{
  sl_customer_pages_turn (self, 1);
}

/* As a page of paper is turned: from right to left comes the next one, in writing from right to left the other way
 * round. */
static void
on_swipe (GtkGestureSwipe *gesture, double velocity_x, double velocity_y, SlCustomerPages *self)
{
  const int on = gtk_widget_get_direction (GTK_WIDGET (self)) == GTK_TEXT_DIR_RTL ? -1 : 1;

  if (fabs (velocity_x) > fabs (velocity_y))
    sl_customer_pages_turn (self, velocity_x < 0 ? on : -on);
}

void
sl_customer_pages_clear (SlCustomerPages *self)
{
  sl_customer_sheet_clear (self->sheet);
}

void
sl_customer_pages_add (SlCustomerPages *self, const char *heading, const char *text)
{
  GtkWidget *label = sl_text_new (text);

  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_widget_add_css_class (label, "sl-customer-words");
  sl_customer_sheet_add (self->sheet, label, heading);
}

int
sl_customer_pages_get_n (SlCustomerPages *self)
{
  return sl_customer_sheet_get_n (self->sheet);
}

int
sl_customer_pages_get_page (SlCustomerPages *self)
{
  return sl_customer_sheet_get_page (self->sheet);
}

static GtkWidget *
new_turner (SlCustomerPages *self, const char *icon, const char *name, void (*turn) (SlCustomerPages *))
{
  GtkWidget *button = gtk_button_new_from_icon_name (icon);

  sl_name_with_tip (button, name);
  g_signal_connect_swapped (button, "clicked", G_CALLBACK (turn), self);
  gtk_box_append (GTK_BOX (self->turning), button);
  return button;
}

static void
sl_customer_pages_class_init (SlCustomerPagesClass *class)
{
}

static void
sl_customer_pages_init (SlCustomerPages *self)
{
  GtkWidget *head = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 16);
  GtkGesture *swipe = gtk_gesture_swipe_new ();

  gtk_orientable_set_orientation (GTK_ORIENTABLE (self), GTK_ORIENTATION_VERTICAL);
  gtk_widget_add_css_class (GTK_WIDGET (self), "sl-customer-pages");
  self->heading = sl_label_new (NULL);
  gtk_label_set_ellipsize (GTK_LABEL (self->heading), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (self->heading, TRUE);
  gtk_widget_add_css_class (self->heading, "sl-customer-heading");
  self->turning = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);
  self->back = new_turner (self, "go-previous-symbolic", _ ("Previous page (Page Up)"), on_back);
  self->number = gtk_label_new (NULL);
  gtk_widget_add_css_class (self->number, "sl-numbers");
  gtk_box_append (GTK_BOX (self->turning), self->number);
  self->on = new_turner (self, "go-next-symbolic", _ ("Next page (Page Down)"), on_on);
  gtk_box_append (GTK_BOX (head), self->heading);
  gtk_box_append (GTK_BOX (head), self->turning);
  self->sheet = SL_CUSTOMER_SHEET (sl_customer_sheet_new ());
  gtk_widget_set_vexpand (GTK_WIDGET (self->sheet), TRUE);
  g_signal_connect_swapped (self->sheet, "paged", G_CALLBACK (show_page), self);
  gtk_box_append (GTK_BOX (self), head);
  gtk_box_append (GTK_BOX (self), GTK_WIDGET (self->sheet));
  g_signal_connect (swipe, "swipe", G_CALLBACK (on_swipe), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (swipe));
  show_page (self);
}

GtkWidget *
sl_customer_pages_new (void)
{
  return g_object_new (SL_TYPE_CUSTOMER_PAGES, NULL);
}
