/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/record/checklist.h"

#include <glib/gi18n-lib.h>

static void
add (GPtrArray *names, const char *name)
{
  g_ptr_array_add (names, g_strdup (name));
}

/* Where the string ends. */
static void
add_anchor (GPtrArray *names, const SlBridge *bridge)
{
  switch (bridge->kind)
    {
    case SL_BRIDGE_DEFAULT:
    case SL_BRIDGE_PINNED: add (names, _ ("Pins free, ball ends on the plate")); break;
    case SL_BRIDGE_TIE_BLOCK: add (names, _ ("Knots hold, tie block intact")); break;
    case SL_BRIDGE_TAILPIECE: add (names, _ ("Tailpiece and its hanger hold")); break;
    case SL_BRIDGE_THROUGH_BODY: add (names, _ ("Ferrules seated, screws of the bridge tight")); break;
    case SL_BRIDGE_FLOATING:
    default: add (names, _ ("Bridge feet flat and in place")); break;
    }
}

static gboolean
is_named (const char *name, const char *usual)
{
  return g_strcmp0 (name, usual) == 0 || g_strcmp0 (name, _ (usual)) == 0;
}

SlCheckTopic
sl_check_topic (const char *name)
{
  static const char *const glued[] = { N_ ("Knots hold, tie block intact"), N_ ("Braces and seams tight"),
                                       N_ ("Bridge and braces tight"), N_ ("Binding tight all round") };

  if (is_named (name, N_ ("Electronics, where fitted")))
    return SL_TOPIC_ELECTRONICS;
  for (guint i = 0; i < G_N_ELEMENTS (glued); i++)
    if (is_named (name, glued[i]))
      return SL_TOPIC_GLUED;
  return SL_TOPIC_NONE;
}

static gboolean
has_screws (const SlSaddle *saddle)
{
  return sl_number_is_set (saddle->height_screw_pitch) || sl_number_is_set (saddle->length_screw_pitch);
}

char **
sl_checklist_usual (const SlProfile *profile)
{
  const SlBridgeKind kind = profile->bridge.kind;
  const gboolean hollow = kind != SL_BRIDGE_THROUGH_BODY;
  GPtrArray *names = g_ptr_array_new ();

  add (names, _ ("Tuners run and hold"));
  add (names, _ ("Nut slots free"));
  add (names, _ ("Crowns and fret ends"));
  add_anchor (names, &profile->bridge);
  if (has_screws (&profile->saddle))
    add (names, _ ("Saddle screws run and hold"));
  if (hollow)
    {
      add (names, kind == SL_BRIDGE_FLOATING || kind == SL_BRIDGE_TAILPIECE ? _ ("Braces and seams tight")
                                                                            : _ ("Bridge and braces tight"));
      add (names, _ ("Binding tight all round"));
    }
  add (names, _ ("Electronics, where fitted"));
  add (names, _ ("Climate: case, humidity, cracks"));
  g_ptr_array_add (names, NULL);
  return (char **) g_ptr_array_free (names, FALSE);
}
