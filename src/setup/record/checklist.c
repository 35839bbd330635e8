/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/record/checklist.h"

#include <glib/gi18n-lib.h>

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

char **
sl_checklist_usual (const SlProfile *profile)
{
  /* where the string ends */
  static const char *const anchors[] = {
    [SL_BRIDGE_DEFAULT] = N_ ("Pins free, ball ends on the plate"),
    [SL_BRIDGE_PINNED] = N_ ("Pins free, ball ends on the plate"),
    [SL_BRIDGE_TAILPIECE] = N_ ("Tailpiece and its hanger hold"),
    [SL_BRIDGE_THROUGH_BODY] = N_ ("Ferrules seated, screws of the bridge tight"),
    [SL_BRIDGE_TIE_BLOCK] = N_ ("Knots hold, tie block intact"),
    [SL_BRIDGE_FLOATING] = N_ ("Bridge feet flat and in place"),
  };
  const SlBridgeKind kind = profile->bridge.kind;
  const SlSaddle *saddle = &profile->saddle;
  g_autoptr (GStrvBuilder) names = g_strv_builder_new ();

  g_strv_builder_add_many (names, _ ("Tuners run and hold"), _ ("Nut slots free"), _ ("Crowns and fret ends"),
                           _ (anchors[kind]), NULL);
  if (sl_number_is_set (saddle->height_screw_pitch) || sl_number_is_set (saddle->length_screw_pitch))
    g_strv_builder_add (names, _ ("Saddle screws run and hold"));
  if (kind != SL_BRIDGE_THROUGH_BODY)
    g_strv_builder_add_many (names,
                             kind == SL_BRIDGE_FLOATING || kind == SL_BRIDGE_TAILPIECE ? _ ("Braces and seams tight")
                                                                                       : _ ("Bridge and braces tight"),
                             _ ("Binding tight all round"), NULL);
  g_strv_builder_add_many (names, _ ("Electronics, where fitted"), _ ("Climate: case, humidity, cracks"), NULL);
  return g_strv_builder_end (names);
}
