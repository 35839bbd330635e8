/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What must agree between the values of a profile. */
#include "setup/profile/bounds.h"

#include "setup/profile/construction.h"
#include "setup/profile/moment.h"
#include "setup/profile/sets.h"
#include "setup/profile/units.h"

#define DATE_CHARS 10         /* YYYY-MM-DD */
#define FINEST_TOOL_MM 0.0001 /* finer than any bench tool by far: our own choice */

static void
check_value (GPtrArray *faults, const void *where, const SlBound *bound, double value)
{
  sl_fault_add (faults, where, sl_bound_complaint (bound, value));
}

/* Every SlNumber of the struct at @where, which stands for @element; @unit, if not SL_UNIT_NONE, in place of theirs. */
static void
check_numbers_in (GPtrArray *faults, const char *element, const void *where, SlUnit unit)
{
  for (const SlBound *row = sl_bounds; row->element != NULL; row++)
    {
      SlBound bound = *row;
      if (bound.offset < 0 || strcmp (bound.element, element) != 0)
        continue;
      SlNumber n = *(const SlNumber *) ((const char *) where + bound.offset);
      bound.unit = unit != SL_UNIT_NONE ? unit : bound.unit;
      if (sl_number_is_set (n))
        check_value (faults, where, &bound, n.v);
    }
}

static void
check_numbers (GPtrArray *faults, const char *element, const void *where)
{
  check_numbers_in (faults, element, where, SL_UNIT_NONE);
}

static void
check_date (GPtrArray *faults, const void *where, const char *what, const char *text)
{
  if (text == NULL || !sl_is_iso8601 (text))
    sl_fault_say (faults, where, _ ("%s “%s” is not a date; accepted are 2026-03-02 and 2026-03-02T10:00:00+01:00"),
                  what, text != NULL ? text : "");
}

static gboolean
check_string (GPtrArray *faults, const void *where, const char *element, int string, int n_strings)
{
  if (string >= 1 && string <= n_strings)
    return TRUE;
  sl_fault_say (faults, where, _ ("%s names string %d, but the strings are 1 to %d"), element, string, n_strings);
  return FALSE;
}

static void
check_id (GPtrArray *faults, GHashTable *seen, const void *where, const char *element, const char *id)
{
  if (id == NULL || *id == '\0')
    sl_fault_say (faults, where, _ ("%s id is empty"), element);
  else if (!g_hash_table_add (seen, (gpointer) id))
    sl_fault_say (faults, where, _ ("%s id “%s” is used more than once"), element, id);
}

static void
check_uuid (GPtrArray *faults, const void *where, const char *what, const char *id)
{
  if (id == NULL || !g_uuid_string_is_valid (id))
    sl_fault_say (faults, where, _ ("profile %s “%s” is not a UUID (32 hexadecimal digits in groups of 8-4-4-4-12)"),
                  what, id != NULL ? id : "");
}

static void
check_neck (GPtrArray *faults, const SlProfile *profile)
{
  const SlNeck *neck = &profile->neck;
  if (!sl_number_is_set (neck->scale_length))
    sl_fault_say (faults, neck, _ ("neck scale-length is missing"));
  check_numbers (faults, "neck", neck);
  check_value (faults, neck, sl_bound_find ("neck", "frets"), neck->frets);
  const SlBound *joint = sl_bound_find ("neck", "joint-fret");
  if (neck->joint_fret < joint->least || neck->frets < SL_MIN_FRETS || neck->frets > SL_MAX_FRETS)
    check_value (faults, neck, joint, neck->joint_fret);
  else if (neck->joint_fret > neck->frets)
    sl_fault_say (faults, neck, _ ("neck joint-fret %d is outside %d to %d, the last fret"), neck->joint_fret,
                  (int) joint->least, neck->frets);
}

/* A round board or saddle must be wide enough for the strings that lie on it. */
static void
check_radius (GPtrArray *faults, const void *where, const char *what, SlNumber radius, double width)
{
  if (sl_number_is_set (radius) && width > 0 && radius.v <= width / 2)
    {
      g_autofree char *given = sl_plain_shortest (radius.v);
      g_autofree char *half = sl_plain_shortest (width / 2);
      sl_fault_say (faults, where, _ ("%s %s mm must be more than half the width it carries, %s mm"), what, given,
                    half);
    }
}

static void
check_widths (GPtrArray *faults, const SlProfile *profile)
{
  double nut = sl_number_or (profile->neck.nut_width, 0);
  double spread = sl_number_or (profile->bridge.spread, 0);
  double widest = MAX (nut, spread);
  check_radius (faults, &profile->neck, "neck board-radius-nut", profile->neck.board_radius_nut, widest);
  check_radius (faults, &profile->neck, "neck board-radius-end", profile->neck.board_radius_end, widest);
  double bass = sl_number_or (profile->nut.edge_margin_bass, 0),
         treble = sl_number_or (profile->nut.edge_margin_treble, 0);
  if (nut > 0 && bass + treble >= nut)
    {
      g_autofree char *margins = sl_plain_shortest (bass + treble);
      g_autofree char *width = sl_plain_shortest (nut);
      sl_fault_say (faults, &profile->nut,
                    _ ("nut edge margins of %s mm together leave nothing of the nut width, %s mm"), margins, width);
    }
  check_radius (faults, &profile->saddle, "saddle radius", profile->saddle.radius, spread);
}

/* What a string has one of: @seen are those of the strings so far, @twice says that it has more. */
static void
check_one_each (GPtrArray *faults, const void *where, const char *element, int string, int n_strings, const char *twice,
                guint *seen)
{
  check_numbers (faults, element, where);
  if (!check_string (faults, where, element, string, n_strings))
    return;
  if (*seen & (1u << string))
    sl_fault_say (faults, where, twice, string);
  *seen |= 1u << string;
}

static void
check_head_and_bridge (GPtrArray *faults, const SlProfile *profile)
{
  guint posts = 0, anchors = 0;
  check_numbers (faults, "headstock", &profile->headstock);
  for (int i = 0; i < profile->headstock.n_posts; i++)
    check_one_each (faults, &profile->headstock.posts[i], "post", profile->headstock.posts[i].string,
                    profile->n_strings, _ ("string %d has more than one post"), &posts);
  check_numbers (faults, "nut", &profile->nut);
  check_numbers (faults, "bridge", &profile->bridge);
  for (int i = 0; i < profile->bridge.n_anchors; i++)
    check_one_each (faults, &profile->bridge.anchors[i], "anchor", profile->bridge.anchors[i].string,
                    profile->n_strings, _ ("string %d has more than one anchor"), &anchors);
  check_numbers (faults, "saddle", &profile->saddle);
}

static void
check_one_string (GPtrArray *faults, const SlString *string, int number)
{
  check_numbers (faults, "string", string);
  if (string->note == NULL && !sl_number_is_set (string->frequency))
    sl_fault_say (faults, string, _ ("string %d has neither a note nor a frequency"), number);
  if (string->note != NULL && !isfinite (sl_note_frequency (string->note)))
    sl_fault_say (faults, string, _ ("string %d note “%s” is not a note from C0 to B8, such as E4, F#3 or Bb2"), number,
                  string->note);
  if (!sl_number_is_set (string->core_diameter))
    sl_fault_say (faults, string, _ ("string %d has no core-diameter"), number);
  if (string->build != SL_BUILD_WOUND)
    return;
  if (string->wrap == SL_WRAP_NONE)
    sl_fault_say (faults, string, _ ("string %d is wound but has no wrap"), number);
  if (!sl_number_is_set (string->wrap_diameter))
    sl_fault_say (faults, string, _ ("string %d is wound but has no wrap-diameter"), number);
}

static void
check_strings (GPtrArray *faults, const SlProfile *profile)
{
  if (profile->n_strings < 1 || profile->n_strings > SL_MAX_STRINGS)
    sl_fault_say (faults, profile->strings, _ ("%d strings are outside 1 to %d"), profile->n_strings, SL_MAX_STRINGS);
  for (int i = 0; i < profile->n_strings; i++)
    check_one_string (faults, &profile->strings[i], i + 1);
}

static void
check_tools (GPtrArray *faults, const SlReadingSet *set)
{
  guint seen = 0;
  SL_EACH (const SlTool, tool, set->tools)
    {
      const char *measures = sl_tool_names[tool->measures];
      /* a tuner's numbers are cents, of any other tool lengths */
      check_numbers_in (faults, "tool", tool, sl_readings[sl_reading_of_tool (tool->measures)].bound.unit);
      if (seen & (1u << tool->measures))
        sl_fault_say (faults, tool, _ ("more than one tool measures %s"), measures);
      seen |= 1u << tool->measures;
      /* A standard uncertainty of 0 would give the reading an infinite weight. */
      if (sl_number_is_set (tool->resolution) &&
          hypot (tool->resolution.v, sl_number_or (tool->error_limit, 0)) < FINEST_TOOL_MM)
        sl_fault_say (faults, tool,
                      tool->measures == SL_TOOL_PITCH
                          ? _ ("the tool for %s has a resolution and an error limit of almost 0 cents; no tool reads "
                               "exactly: one must be %g cents or more")
                          : _ ("the tool for %s has a resolution and an error limit of almost 0 mm; no tool reads "
                               "exactly: one must be %g mm or more"),
                      measures, FINEST_TOOL_MM);
    }
}

/* Frets a reading of this kind can be taken at. */
static void
reading_frets (const SlNeck *neck, const SlReading *reading, int *first, int *last)
{
  *first = reading->kind == SL_READ_RELIEF || reading->held == SL_HELD_1 ? 2
           : reading->kind == SL_READ_PITCH                              ? 0 /* the open string against its note */
                                                                         : 1;
  *last = reading->kind == SL_READ_RELIEF ? neck->joint_fret - 1 : neck->frets;
}

static void
check_held (GPtrArray *faults, const SlReading *reading, const char *name)
{
  const SlHeld held = sl_readings[reading->kind].held;

  if (reading->held != SL_HELD_DEFAULT &&
      (held == SL_HELD_DEFAULT || (reading->held != SL_HELD_OPEN && reading->held != held)))
    sl_fault_say (faults, reading, _ ("%s can't be read with the string held at “%s”"), name,
                  sl_held_names[reading->held]);
}

static void
check_reading (GPtrArray *faults, const SlProfile *profile, const SlReading *reading)
{
  const SlReadingTraits *kind = &sl_readings[reading->kind];
  const char *name = kind->bound.element;
  int first, last;
  if (kind->has_string)
    check_string (faults, reading, name, reading->string, profile->n_strings);
  reading_frets (&profile->neck, reading, &first, &last);
  if (kind->has_fret && (reading->fret < first || reading->fret > last))
    sl_fault_say (faults, reading,
                  reading->kind == SL_READ_RELIEF
                      ? _ ("%s is read at fret %d, but it can be read only between fret 1 and the joint fret: %d to %d")
                      : _ ("%s is read at fret %d, but it can be read only at frets %d to %d"),
                  name, reading->fret, first, last);
  check_held (faults, reading, name);
  if (!sl_number_is_set (reading->value))
    sl_fault_say (faults, reading, _ ("%s has no %s"), name, kind->bound.attribute);
  else
    check_value (faults, reading, &kind->bound, reading->value.v);
  check_numbers (faults, name, reading);
}

/* The height of a fret's crown as the set reads it, else its wire's. */
static double
crown_height (const SlProfile *profile, const SlReadingSet *set, int fret)
{
  SL_EACH (const SlReading, r, set->readings)
    if (r->kind == SL_READ_CROWN_HEIGHT && r->fret == fret && r->use != SL_USE_NEVER)
      return r->value.v;
  return sl_number_or (profile->fretwire.height, SL_DEFAULT_CROWN_HEIGHT_MM);
}

/* No crown lies lower, and none is worn deeper, than it is high. */
static void
check_crown (GPtrArray *faults, const SlProfile *profile, const SlReadingSet *set, const SlReading *reading)
{
  const gboolean wear = reading->kind == SL_READ_CROWN_WEAR;
  double crown;

  if ((!wear && reading->kind != SL_READ_CROWN_GAP) || reading->value.v > sl_readings[reading->kind].bound.most)
    return;
  crown = wear ? crown_height (profile, set, reading->fret)
               : sl_number_or (profile->fretwire.height, SL_DEFAULT_CROWN_HEIGHT_MM);
  if (reading->value.v <= crown)
    return;
  g_autofree char *given = sl_plain_shortest (reading->value.v);
  g_autofree char *height = sl_plain_shortest (crown);
  sl_fault_say (faults, reading,
                wear ? _ ("crown-wear depth %s mm is deeper than the crown, %s mm")
                     : _ ("crown-gap gap %s mm is a crown gap larger than the crown, %s mm"),
                given, height);
}

/* With the strings slack or off there is no height of theirs to read. */
static void
check_strings_state (GPtrArray *faults, const SlReadingSet *set, const SlReading *reading)
{
  if (sl_set_at_pitch (set))
    return;
  if (reading->kind == SL_READ_FIRST_GAP || reading->kind == SL_READ_ACTION || reading->kind == SL_READ_PITCH)
    sl_fault_say (
        faults, reading,
        _ ("%s is read with the strings “%s”; accepted then are relief, tongue, exposure, setback, crown-gap, "
           "crown-height and crown-wear"),
        sl_readings[reading->kind].bound.element, sl_strings_state_names[set->strings]);
}

static void
check_set (GPtrArray *faults, const SlProfile *profile, const SlReadingSet *set, GHashTable *ids)
{
  check_id (faults, ids, set, "readings", set->id);
  check_date (faults, set, "readings taken", set->taken);
  check_numbers (faults, "readings", set);
  check_tools (faults, set);
  SL_EACH (const SlReading, reading, set->readings)
    {
      check_reading (faults, profile, reading);
      check_crown (faults, profile, set, reading);
      check_strings_state (faults, set, reading);
    }
}

static void
check_level_frets (GPtrArray *faults, const SlProfile *profile, const SlOperation *level)
{
  int last = SL_MAX_FRETS;

  while (last > profile->neck.frets && (level->frets >> last & 1) == 0)
    last--;
  if (last > profile->neck.frets)
    sl_fault_say (faults, level, _ ("level-frets frets names fret %d, but the frets are 1 to %d"), last,
                  profile->neck.frets);
  if ((level->frets & 1) != 0 && profile->nut.kind != SL_NUT_ZERO_FRET)
    sl_fault_say (faults, level, _ ("level-frets frets names fret 0, but only nut kind “%s” has a crown there"),
                  sl_nut_kind_names[SL_NUT_ZERO_FRET]);
}

/* What is planned must be a set of as many strings; what was done may be of when there were more. */
static void
check_fitted (GPtrArray *faults, const SlProfile *profile, const SlOperation *fit)
{
  g_autoptr (GError) error = NULL;
  SlInstrument on = { .n_strings = MIN (profile->n_strings, SL_MAX_STRINGS) };
  SlStringSet set;

  for (int i = 0; i < on.n_strings; i++)
    sl_string_data (&profile->strings[i], &on.strings[i]);
  if (!sl_string_set_parse (fit->set, fit->done == NULL ? &on : NULL, &set, &error))
    sl_fault_say (faults, fit, _ ("fit-strings set “%s”: %s"), fit->set, error->message);
}

/* The strings that new work names, each once, with what they get. */
static void
check_ends (GPtrArray *faults, const SlProfile *profile, const SlOperation *operation)
{
  const gboolean nut = operation->kind == SL_OP_MAKE_NUT;
  const SlBound *bound = nut ? sl_bound_find ("slot", "height") : &sl_readings[SL_READ_SETBACK].bound;
  guint seen = 0;

  if (nut && operation->n_ends == 0)
    sl_fault_say (faults, operation,
                  _ ("make-nut has no slot: a slot with string and height is needed for each string"));
  for (int i = 0; i < operation->n_ends; i++)
    {
      const SlStringEnd *end = &operation->ends[i];

      check_value (faults, end, bound, end->value.v);
      if (check_string (faults, end, bound->element, end->string, profile->n_strings) && (seen >> end->string & 1))
        sl_fault_say (faults, end, _ ("%s names string %d twice"), sl_operations[operation->kind].bound.element,
                      end->string);
      seen |= 1u << end->string;
    }
}

static void
check_operation (GPtrArray *faults, const SlProfile *profile, const SlOperation *operation)
{
  const SlOperationTraits *kind = &sl_operations[operation->kind];
  const int first = profile->nut.kind == SL_NUT_ZERO_FRET ? 0 : 1;
  if (kind->per_string)
    check_string (faults, operation, kind->bound.element, operation->string, profile->n_strings);
  if (sl_number_is_set (operation->amount))
    check_value (faults, operation, &kind->bound, operation->amount.v);
  else if (kind->needs_amount)
    sl_fault_say (faults, operation, _ ("%s has no %s"), kind->bound.element, kind->bound.attribute);
  if (kind->treble.element != NULL && sl_number_is_set (operation->amount_treble))
    check_value (faults, operation, &kind->treble, operation->amount_treble.v);
  if (operation->kind == SL_OP_SHAPE_CREST && operation->amount.v < 0 &&
      !sl_saddles[sl_saddle_adjust (profile)].goes_up)
    {
      g_autofree char *by = sl_plain_shortest (operation->amount.v);
      sl_fault_say (faults, operation,
                    _ ("shape-crest by %s mm would raise the crest; only a saddle with adjust “screws” or a "
                       "height-screw-pitch can be raised"),
                    by);
    }
  if (operation->kind == SL_OP_TURN_ROD && sl_number_is_set (operation->turns))
    check_value (faults, operation, sl_bound_find ("turn-rod", "turns"), operation->turns.v);
  if (operation->kind == SL_OP_REPLACE_FRETS &&
      (operation->from < first || operation->to < operation->from || operation->to > profile->neck.frets))
    sl_fault_say (faults, operation, _ ("replace-frets from %d to %d is outside %d to %d, the lower fret first"),
                  operation->from, operation->to, first, profile->neck.frets);
  sl_check_work_there_is (faults, profile, operation);
  check_ends (faults, profile, operation);
  if (operation->kind == SL_OP_LEVEL_FRETS)
    check_level_frets (faults, profile, operation);
  if (operation->kind == SL_OP_FIT_STRINGS && operation->set != NULL)
    check_fitted (faults, profile, operation);
  if (operation->done != NULL)
    check_date (faults, operation, "done", operation->done);
}

/* Whether a visit was closed before it was opened: on an earlier day as both days are written and, where both have a
 * time, at an earlier moment too, for the two may stand in different zones. */
static gboolean
ends_before (const char *opened, const char *closed)
{
  int order;

  if (!sl_moment_compare (closed, opened, &order) || strncmp (closed, opened, DATE_CHARS) >= 0)
    return FALSE;
  return order < 0 || closed[DATE_CHARS] == '\0' || opened[DATE_CHARS] == '\0';
}

/* 0 is none in particular. */
static void
check_place (GPtrArray *faults, const SlProfile *profile, const void *where, const char *element, int string, int fret)
{
  if (string != 0)
    check_string (faults, where, element, string, profile->n_strings);
  if (fret < 0 || fret > profile->neck.frets)
    sl_fault_say (faults, where, _ ("%s fret %d is outside 1 to %d, the last fret"), element, fret,
                  profile->neck.frets);
}

static void
check_photo (GPtrArray *faults, const SlProfile *profile, const SlPhoto *photo)
{
  if (photo->taken != NULL)
    check_date (faults, photo, "photo taken", photo->taken);
  check_place (faults, profile, photo, "photo", photo->string, photo->fret);
  check_numbers (faults, "photo", photo);
  if (photo->flat.given)
    check_numbers (faults, "flat", &photo->flat);
  SL_EACH (const SlKnownLength, known, photo->known)
    check_numbers (faults, "known", known);
  SL_EACH (const SlMark, mark, photo->marks)
    {
      check_numbers (faults, "mark", mark);
      check_place (faults, profile, mark, "mark", mark->string, mark->fret);
      if (mark->of == SL_MEASURE_BREAK_ANGLE && !(sl_number_is_set (mark->x[2]) && sl_number_is_set (mark->y[2])))
        sl_fault_say (faults, mark, _ ("a mark of break-angle has no x3 and y3: an angle has three marks"));
    }
}

static void
check_visit (GPtrArray *faults, const SlProfile *profile, const SlVisit *visit, GHashTable *visit_ids)
{
  /* ids of sets and photographs stand within their visit */
  g_autoptr (GHashTable) set_ids = g_hash_table_new (g_str_hash, g_str_equal),
                         photo_ids = g_hash_table_new (g_str_hash, g_str_equal);

  check_id (faults, visit_ids, visit, "visit", visit->id);
  check_date (faults, visit, "visit opened", visit->opened);
  if (visit->closed != NULL)
    {
      check_date (faults, visit, "visit closed", visit->closed);
      if (ends_before (visit->opened, visit->closed))
        sl_fault_say (faults, visit, _ ("visit closed “%s” is before opened “%s”"), visit->closed, visit->opened);
    }
  for (guint i = 0; i < visit->sets->len; i++)
    check_set (faults, profile, &g_array_index (visit->sets, SlReadingSet, i), set_ids);
  for (guint i = 0; i < visit->plan->len; i++)
    check_operation (faults, profile, &g_array_index (visit->plan, SlOperation, i));
  for (guint i = 0; i < visit->charges->len; i++)
    check_numbers (faults, "charge", &g_array_index (visit->charges, SlCharge, i));
  SL_EACH (const SlPhoto, photo, visit->photos)
    {
      check_id (faults, photo_ids, photo, "photo", photo->id);
      check_photo (faults, profile, photo);
    }
}

GPtrArray *
sl_profile_check (const SlProfile *profile)
{
  GPtrArray *faults = sl_profile_overfull (profile);
  g_autoptr (GHashTable) visit_ids = g_hash_table_new (g_str_hash, g_str_equal);
  check_uuid (faults, profile, "id", profile->id);
  if (profile->baseline != NULL)
    check_uuid (faults, profile, "baseline", profile->baseline);
  if (profile->identity.label == NULL)
    sl_fault_say (faults, &profile->identity, _ ("identity label is missing"));
  check_neck (faults, profile);
  check_numbers (faults, "fretwire", &profile->fretwire);
  check_head_and_bridge (faults, profile);
  check_widths (faults, profile);
  sl_check_construction (faults, profile);
  if (profile->fitted != NULL)
    check_date (faults, &profile->courses, "strings fitted", profile->fitted);
  check_strings (faults, profile);
  check_numbers (faults, "player", &profile->player);
  check_numbers (faults, "targets", &profile->targets);
  for (guint i = 0; i < profile->visits->len; i++)
    check_visit (faults, profile, &g_array_index (profile->visits, SlVisit, i), visit_ids);
  return faults;
}
