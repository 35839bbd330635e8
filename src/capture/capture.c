/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Finds the module and passes everything on to it. */
#include <glib/gi18n.h>
#include <gmodule.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include "capture/capture-private.h"

G_DEFINE_QUARK (sl_capture_error_quark, sl_capture_error)

/* The folders it may be in, the first that has it: where tests say; beside the programs and tests of a build folder;
 * where it is installed. */
static GModule *
open_module (void)
{
  const char *given = g_getenv ("SIDELONG_MODULE_DIR");
  g_autofree char *program = g_file_read_link ("/proc/self/exe", NULL);
  g_autofree char *beside = program != NULL ? g_path_get_dirname (program) : g_strdup (".");
  g_autofree char *in_build = g_build_filename (beside, "..", "capture", NULL);
  g_autofree char *for_tests = g_build_filename (beside, "..", "..", "src", "capture", NULL);
  const char *const folders[] = { in_build, for_tests, SL_MODULE_DIR };
  gboolean told = given != NULL && *given != '\0';

  for (gsize i = 0; i < (told ? 1 : G_N_ELEMENTS (folders)); i++)
    {
      g_autofree char *path = g_build_filename (told ? given : folders[i], SL_CAPTURE_MODULE_FILE, NULL);
      GModule *module = g_module_open (path, G_MODULE_BIND_LAZY | G_MODULE_BIND_LOCAL);
      if (module != NULL)
        return module;
      g_debug ("%s", g_module_error ());
    }
  return NULL;
}

/* A thread that listens may be loading parts of GStreamer, or hang at a server: what the program ends with takes
 * libraries apart, and loading one would set them up a second time. */
static void
leave_listening (int status, gpointer module)
{
  if (g_atomic_int_get (((const SlCaptureModule *) module)->at_work) == 0)
    return;
  fflush (NULL);
  _exit (status);
}

/* Loaded once and for good; asked for again while it is missing, since it may be installed meanwhile. */
static const SlCaptureModule *
get_module (GError **error)
{
  static GMutex lock;
  static const SlCaptureModule *found;
  g_autoptr (GMutexLocker) locker = g_mutex_locker_new (&lock);
  gpointer symbol = NULL;

  if (found == NULL)
    {
      GModule *module = open_module ();
      if (module != NULL && g_module_symbol (module, SL_CAPTURE_MODULE_SYMBOL, &symbol))
        {
          g_module_make_resident (module); /* its object types can't be unloaded */
          found = symbol;
          on_exit (leave_listening, symbol);
        }
    }
  if (found == NULL)
    g_set_error_literal (error, SL_CAPTURE_ERROR, SL_CAPTURE_ERROR_NO_MODULE, _ (SL_CAPTURE_NOT_INSTALLED));
  return found;
}

SlCapture *
sl_capture_open_file (GFile *file, const SlCaptureHandlers *handlers, gpointer owner, GError **error)
{
  const SlCaptureModule *module = get_module (error);
  return module != NULL ? module->open (file, NULL, handlers, owner) : NULL;
}

SlCapture *
sl_capture_open_device (const char *id, const SlCaptureHandlers *handlers, gpointer owner, GError **error)
{
  const SlCaptureModule *module = get_module (error);
  return module != NULL ? module->open (NULL, id, handlers, owner) : NULL;
}

void
sl_capture_close (SlCapture *self)
{
  get_module (NULL)->close (self);
}

gboolean
sl_capture_is_muted (SlCapture *self)
{
  return get_module (NULL)->is_muted (self);
}

GPtrArray *
sl_capture_devices (GError **error)
{
  const SlCaptureModule *module = get_module (error);
  return module != NULL ? module->devices (error) : NULL;
}
