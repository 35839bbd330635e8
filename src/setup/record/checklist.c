/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/record/checklist.h"

#include "setup/profile/construction.h"
#include "setup/profile/instrument.h"

#include <glib/gi18n-lib.h>

/* What tells a family by its strings, common practice: no other's first string is as low, or its scale as short. */
#define BASS_HZ 150
#define MANDOLIN_MM 420
#define UKULELE_MM 560

SlFamily
sl_family_of (const SlProfile *profile)
{
  static const SlFamily by_bridge[] = {
    [SL_BRIDGE_PINNED] = SL_FAMILY_FLAT_TOP,     [SL_BRIDGE_TAILPIECE] = SL_FAMILY_TAILPIECE,
    [SL_BRIDGE_TIE_BLOCK] = SL_FAMILY_NYLON,     [SL_BRIDGE_THROUGH_BODY] = SL_FAMILY_THROUGH_BODY,
    [SL_BRIDGE_FLOATING] = SL_FAMILY_CARVED_TOP, [SL_BRIDGE_TREMOLO] = SL_FAMILY_TREMOLO,
    [SL_BRIDGE_CONE] = SL_FAMILY_RESONATOR,
  };
  const SlFamily family = by_bridge[sl_bridge_kind (profile)];
  const SlString *first = &profile->strings[0];
  const double hz =
      sl_number_is_set (first->frequency) ? first->frequency.v : sl_note_frequency (first->note); /* NAN: not known */
  const double scale = profile->neck.scale_length.v;
  const gboolean steel = sl_core_is_metal (first->core);

  if (family == SL_FAMILY_TREMOLO || family == SL_FAMILY_RESONATOR || profile->n_strings == 0)
    return family;
  if (hz < BASS_HZ)
    return SL_FAMILY_BASS;
  if (steel && (scale < MANDOLIN_MM || (profile->n_strings == 8 && profile->courses == 4)))
    return SL_FAMILY_MANDOLIN;
  if (!steel && scale < UKULELE_MM && (profile->n_strings == 4 || profile->courses == 4))
    return SL_FAMILY_UKULELE;
  return family;
}

/* What an instrument has, a bit each: its family, its kind of bridge, and the rest of how it is built. */
#define FAMILY(family) (1u << SL_FAMILY_##family)
#define BRIDGE(kind) (1u << (SL_N_FAMILIES + SL_BRIDGE_##kind))
enum
{
  POSTS = 1 << 20,
  WHEELS = 1 << 21,
  SCREWS = 1 << 22,
  COURSES = 1 << 23,
  ZERO_FRET = 1 << 24,
  BOLT_ON = 1 << 25,
  HOLLOW = 1 << 26,
  SOLID = 1 << 27,
  EVERY = 1 << 28
};

static guint
traits_of (const SlProfile *profile)
{
  const SlBridgeKind bridge = sl_bridge_kind (profile);
  const SlSaddleAdjust adjust = sl_saddle_adjust (profile);
  const SlFamily family = sl_family_of (profile);
  const gboolean bolt_on = profile->neck.heel_adjust > SL_HEEL_NONE,
                 hollow = bridge == SL_BRIDGE_TAILPIECE
                              ? !bolt_on && family != SL_FAMILY_BASS
                              : bridge != SL_BRIDGE_THROUGH_BODY && bridge != SL_BRIDGE_TREMOLO,
                 screws = adjust == SL_ADJUST_SCREWS || sl_number_is_set (profile->saddle.length_screw_pitch);

  return EVERY | 1u << family | 1u << (SL_N_FAMILIES + bridge) | (adjust == SL_ADJUST_POSTS ? POSTS : 0) |
         (adjust == SL_ADJUST_WHEELS ? WHEELS : 0) | (screws ? SCREWS : 0) |
         (profile->courses > 0 && profile->courses < profile->n_strings ? COURSES : 0) |
         (profile->nut.kind == SL_NUT_ZERO_FRET ? ZERO_FRET : 0) | (bolt_on ? BOLT_ON : 0) | (hollow ? HOLLOW : SOLID);
}

/* In the order in which they are looked at: what has any of @any and none of @none is asked for it. */
static const struct
{
  const char *name;
  guint any, none;
  SlCheckTopic topic;
} checks[] = {
#include "check-rows.h"
};

SlCheckTopic
sl_check_topic (const char *name)
{
  for (gsize i = 0; i < G_N_ELEMENTS (checks); i++)
    if (g_strcmp0 (name, checks[i].name) == 0 || g_strcmp0 (name, _ (checks[i].name)) == 0)
      return checks[i].topic;
  return SL_TOPIC_NONE;
}

char **
sl_checklist_usual (const SlProfile *profile)
{
  const guint traits = traits_of (profile);
  g_autoptr (GStrvBuilder) names = g_strv_builder_new ();

  for (gsize i = 0; i < G_N_ELEMENTS (checks); i++)
    if ((traits & checks[i].any) != 0 && (traits & checks[i].none) == 0)
      g_strv_builder_add (names, _ (checks[i].name));
  return g_strv_builder_end (names);
}
