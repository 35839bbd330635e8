/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/profile/bounds.h"

#include <stddef.h>

#include "setup/profile/units.h"

const SlBound sl_bounds[] = {
#include "bound-rows.h"
  { NULL },
};

const SlReadingTraits sl_readings[SL_N_ASKS] = {
#include "reading-rows.h"
};

SlReadingKind
sl_reading_of_tool (SlToolKind tool)
{
  int kind = 0;

  while (sl_readings[kind].tool != (int) tool)
    kind++;
  return (SlReadingKind) kind;
}

gboolean
sl_ask_is_length (int ask)
{
  return sl_readings[ask].bound.unit == SL_UNIT_MM;
}

const SlOperationTraits sl_operations[SL_N_OPS] = {
#include "operation-rows.h"
};

static gboolean
is_meant (const SlBound *bound, const char *element, const char *attribute)
{
  return bound->element != NULL && strcmp (bound->element, element) == 0 &&
         (attribute == NULL || strcmp (bound->attribute, attribute) == 0);
}

const SlBound *
sl_bound_find (const char *element, const char *attribute)
{
  for (const SlBound *bound = sl_bounds; bound->element != NULL; bound++)
    if (is_meant (bound, element, attribute))
      return bound;
  for (int i = 0; i < SL_N_READINGS; i++)
    if (is_meant (&sl_readings[i].bound, element, attribute))
      return &sl_readings[i].bound;
  for (int i = 0; i < SL_N_OPS; i++)
    if (is_meant (&sl_operations[i].bound, element, attribute))
      return &sl_operations[i].bound;
    else if (is_meant (&sl_operations[i].treble, element, attribute))
      return &sl_operations[i].treble;
  return NULL;
}

SlBound
sl_ask_bound (const SlProfile *profile, int ask)
{
  SlBound bound =
      ask < SL_N_READINGS ? sl_readings[ask].bound : *sl_bound_find ("readings", sl_readings[ask].bound.attribute);

  if (ask == SL_READ_CROWN_GAP || ask == SL_READ_CROWN_WEAR)
    bound.most = MIN (bound.most, sl_number_or (profile->fretwire.height, SL_DEFAULT_CROWN_HEIGHT_MM));
  return bound;
}

static const char *
unit_suffix (SlUnit unit)
{
  static const char *const suffixes[] = {
    [SL_UNIT_MM] = N_ (" mm"),
    [SL_UNIT_DEGREE] = N_ ("°"),
    [SL_UNIT_NEWTON] = N_ (" N"),
    [SL_UNIT_HERTZ] = N_ (" Hz"),
    [SL_UNIT_GRAM_PER_METRE] = N_ (" g/m"),
    [SL_UNIT_CELSIUS] = N_ (" °C"),
    [SL_UNIT_PERCENT_RH] = N_ (" % RH"),
    [SL_UNIT_CENT] = N_ (" cents"),
    [SL_UNIT_MINUTE] = N_ (" minutes"),
    [SL_UNIT_NEWTON_MM2] = N_ (" N mm²"),
    [SL_UNIT_TURN] = N_ (" turns"),
  };

  return unit == SL_UNIT_NONE ? "" : _ (suffixes[unit]);
}

char *
sl_bound_complaint (const SlBound *bound, double value)
{
  if (isfinite (value) && value >= bound->least && value <= bound->most)
    return NULL;
  g_autofree char *given = sl_plain_shortest (value);
  g_autofree char *least = sl_plain_shortest (bound->least);
  g_autofree char *most = sl_plain_shortest (bound->most);
  const char *unit = unit_suffix (bound->unit);
  /* Translators: element and attribute of the document, the value with its unit, least, most with its unit: "action gap
   * 250 mm is outside 0 to 30 mm" */
  return g_strdup_printf (_ ("%s %s %s%s is outside %s to %s%s"), bound->element, bound->attribute, given, unit, least,
                          most, unit);
}

char *
sl_bound_range (const SlBound *bound)
{
  g_autofree char *least = sl_plain_shortest (bound->least);
  g_autofree char *most = sl_plain_shortest (bound->most);
  /* Translators: least and most of a range, with the unit: "0 to 30 mm" */
  return g_strdup_printf (_ ("%s to %s%s"), least, most, unit_suffix (bound->unit));
}
