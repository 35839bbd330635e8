/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/kit/kit.h"

#define RESOURCES "/org/sidelong/Sidelong/"
#define PART "part"

/* ---- whom handlers are for ---- */

/* A scope that gives its handlers @own, where they are given no object. */
#define SL_TYPE_SCOPE (sl_scope_get_type ())
G_DECLARE_FINAL_TYPE (SlScope, sl_scope, SL, SCOPE, GtkBuilderCScope)

struct _SlScope
{
  GtkBuilderCScope parent_instance;

  gpointer own; /* borrowed */
};

static GtkBuilderScopeInterface *plain_scope;

static GClosure *
create_closure (GtkBuilderScope *scope, GtkBuilder *builder, const char *name, GtkBuilderClosureFlags flags,
                GObject *object, GError **error)
{
  GClosure *closure = plain_scope->create_closure (scope, builder, name, flags, object, error);

  if (closure != NULL && object == NULL)
    closure->data = SL_SCOPE (scope)->own;
  return closure;
}

static void
init_interface (GtkBuilderScopeInterface *interface)
{
  plain_scope = g_type_interface_peek_parent (interface);
  interface->create_closure = create_closure;
}

G_DEFINE_FINAL_TYPE_WITH_CODE (SlScope, sl_scope, GTK_TYPE_BUILDER_CSCOPE,
                               G_IMPLEMENT_INTERFACE (GTK_TYPE_BUILDER_SCOPE, init_interface))

static void
sl_scope_class_init (SlScopeClass *class)
{
}

static void
sl_scope_init (SlScope *self)
{
}

/* ---- building ---- */

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
  g_autoptr (SlScope) scope = g_object_new (SL_TYPE_SCOPE, NULL);
  g_autoptr (GError) error = NULL;

  scope->own = own;
  gtk_builder_set_scope (builder, GTK_BUILDER_SCOPE (scope));
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

gpointer
sl_part_new (SlBench *bench, gsize size, gsize first, gsize last, GDestroyNotify free_own, const char *file,
             const char *names, ...)
{
  gpointer own = g_malloc0 (size);
  GtkWidget *built;
  va_list handlers;

  va_start (handlers, names);
  built = sl_build_for (NULL, file, own, first, last, names, handlers);
  va_end (handlers);
  if (bench != NULL)
    *(SlBench **) own = sl_keep (built, bench);
  g_object_set_data_full (G_OBJECT (built), PART, own, free_own);
  return own;
}

gpointer
sl_part_of (GtkWidget *widget)
{
  gpointer part = NULL;

  for (; widget != NULL && part == NULL; widget = gtk_widget_get_parent (widget))
    part = g_object_get_data (G_OBJECT (widget), PART);
  return part;
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
