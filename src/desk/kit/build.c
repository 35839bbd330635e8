/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/kit/kit.h"

#define RESOURCES "/org/sidelong/Sidelong/"

/* The names, as many as there are members. The types that ui/ names are there then. */
static char **
split (const char *names, gsize first, gsize last)
{
  char **each = g_strsplit (names, " ", -1);

  g_type_ensure (SL_TYPE_FIGURE_TABLE);
  g_type_ensure (SL_TYPE_LENGTH_ENTRY);
  g_assert (last - first == (g_strv_length (each) - 1) * sizeof (gpointer));
  return each;
}

void
sl_template_bind (gpointer class, const char *file, gsize first, gsize last, const char *names, ...)
{
  g_auto (GStrv) each = split (names, first, last);
  g_autofree char *path = g_strconcat (RESOURCES, file, ".ui", NULL);
  va_list handlers;

  if (file != NULL)
    gtk_widget_class_set_template_from_resource (class, path);
  va_start (handlers, names);
  for (const char *name; (name = va_arg (handlers, const char *)) != NULL;)
    gtk_widget_class_bind_template_callback_full (class, name, va_arg (handlers, GCallback));
  va_end (handlers);
  for (guint i = 0; each[i] != NULL; i++)
    gtk_widget_class_bind_template_child_full (class, each[i], FALSE, (gssize) (first + i * sizeof (gpointer)));
}

GtkWidget *
sl_build_for (gpointer row, const char *file, gpointer own, gsize first, gsize last, const char *names,
              va_list handlers)
{
  g_auto (GStrv) each = split (names, first, last);
  g_autofree char *path = g_strconcat (RESOURCES, file, ".ui", NULL);
  g_autoptr (GtkBuilder) builder = gtk_builder_new ();
  GtkBuilderScope *scope = gtk_builder_get_scope (builder);
  g_autoptr (GError) error = NULL;

  if (row != NULL)
    gtk_builder_expose_object (builder, "row", row);
  for (const char *name; (name = va_arg (handlers, const char *)) != NULL;)
    gtk_builder_cscope_add_callback_symbol (GTK_BUILDER_CSCOPE (scope), name, va_arg (handlers, GCallback));
  if (!gtk_builder_add_from_resource (builder, path, &error))
    g_error ("%s", error->message);
  for (guint i = 0; each[i] != NULL; i++)
    {
      gpointer object = gtk_builder_get_object (builder, each[i]);

      G_STRUCT_MEMBER (gpointer, own, first + i * sizeof (gpointer)) = object;
      if (gtk_widget_get_parent (object) == NULL && !GTK_IS_WINDOW (object))
        g_object_force_floating (g_object_ref (object));
      if (GTK_IS_ENTRY (object) && gtk_widget_get_tooltip_text (object) != NULL)
        sl_set_accessible_label (object, gtk_widget_get_tooltip_text (object));
    }
  return G_STRUCT_MEMBER (gpointer, own, first);
}

GtkWidget *
sl_build (const char *file, gpointer own, gsize first, gsize last, const char *names, ...)
{
  va_list handlers;
  GtkWidget *built;

  va_start (handlers, names);
  built = sl_build_for (NULL, file, own, first, last, names, handlers);
  va_end (handlers);
  return built;
}

GtkWidget *
sl_built_new (const char *file, const char *root, ...)
{
  g_autofree char *path = g_strconcat (RESOURCES, file, NULL);
  g_autoptr (GtkBuilder) builder = gtk_builder_new ();
  GtkWidget *built;
  const char *name;
  va_list parts;

  g_type_ensure (SL_TYPE_FIGURE_TABLE);
  gtk_builder_add_objects_from_resource (builder, path, (const char *[]){ root, NULL }, NULL);
  built = g_object_ref (GTK_WIDGET (gtk_builder_get_object (builder, root)));
  va_start (parts, root);
  while ((name = va_arg (parts, const char *)) != NULL)
    *va_arg (parts, GtkWidget **) = GTK_WIDGET (gtk_builder_get_object (builder, name));
  va_end (parts);
  g_object_force_floating (G_OBJECT (built));
  return built;
}
