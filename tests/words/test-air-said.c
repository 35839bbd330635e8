/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is said of the air. */
#include "words/said.h"

#include <locale.h>
#include <math.h>

static const SlTextStyle mm = { SL_LENGTHS_MM, "." }, inches = { SL_LENGTHS_INCH, "." },
                         sixty = { SL_LENGTHS_64THS, "." }, comma = { SL_LENGTHS_MM, "," };
static char taken[] = "2025-07-15T15:20:00Z";
static const SlReadingSet july = { .taken = taken };

static void
assert_said (SlAirFound air, const SlTextStyle *style, const char *expected)
{
  g_autofree char *text = sl_air_text (&air, NULL, &SL_SHOP_DEFAULT, style);

  g_assert_cmpstr (text, ==, expected);
}

/* An instrument read at this humidity, with and without a set that was in range in other air. */
static SlAirFound
found (SlAirState state, double humidity)
{
  return (SlAirFound){ .state = state,
                       .humidity = humidity,
                       .moisture = NAN,
                       .good_moisture = NAN,
                       .good_action_treble = NAN,
                       .good_action_bass = NAN,
                       .middle = 50 };
}

static SlAirFound
against_july (SlAirState state, double humidity, double points)
{
  SlAirFound air = found (state, humidity);

  air.good = &july;
  air.good_moisture = 10.6;
  air.moisture = air.good_moisture + points;
  air.good_action_treble = 1.85;
  air.good_action_bass = 2.4;
  return air;
}

static SlAirFound
foretold (SlAirFound air)
{
  air.foretold = TRUE;
  air.action_treble = 1.93;
  air.action_bass = 2.42;
  air.U_treble = 0.21;
  air.U_bass = 0.22;
  return air;
}

static void
test_settled (void)
{
  assert_said (found (SL_AIR_SETTLED, 50), &mm, NULL);
}

static void
test_outside (void)
{
  assert_said (
      found (SL_AIR_OUTSIDE, 74), &mm,
      "74 %: the air is damper than the 45–55 % it should be kept in. Bring it to 45–55 % for one to two weeks "
      "and read again: what the air did comes back by itself.");
  assert_said (found (SL_AIR_OUTSIDE, 31), &mm,
               "31 %: the air is drier than the 45–55 % it should be kept in. Bring it to 45–55 % for one to two weeks "
               "and read again: what the air did comes back by itself.");
}

/* Air that was read with earlier readings, and not with these. */
static void
test_last_read (void)
{
  SlAirFound air = found (SL_AIR_OUTSIDE, 28);

  air.read = &july;
  assert_said (air, &mm,
               "28 %: the air is drier than the 45–55 % it should be kept in. The air was last read on 15 July 2025. "
               "Bring it to 45–55 % for one to two weeks and read again: what the air did comes back by itself.");
  air = found (SL_AIR_UNSETTLED, 50);
  air.read = &july;
  assert_said (
      air, &mm,
      "Marked as not settled in its air. The air was last read on 15 July 2025. Leave it at 45–55 % for one to "
      "two weeks and read again: what the air did comes back by itself.");
}

static void
test_compared (void)
{
  SlAirFound unread = against_july (SL_AIR_OUTSIDE, 74, 2.9);

  unread.good_action_bass = NAN;
  assert_said (
      against_july (SL_AIR_OUTSIDE, 74, 2.9), &mm,
      "74 %: the wood is 2.9 points wetter than on 15 July 2025, when everything was in range: action 1.85 / "
      "2.40 mm. Bring it to 45–55 % for one to two weeks and read again: what the air did comes back by itself.");
  assert_said (
      against_july (SL_AIR_MOVED, 41, -2.84), &mm,
      "41 %: the wood is 2.8 points drier than on 15 July 2025, when everything was in range: action 1.85 / "
      "2.40 mm. Bring it to 45–55 % for one to two weeks and read again: what the air did comes back by itself.");
  assert_said (unread, &mm,
               "74 %: the wood is 2.9 points wetter than on 15 July 2025, when everything was in range. Bring it to "
               "45–55 % for one to two weeks and read again: what the air did comes back by itself.");
}

/* Nothing is to be gained by taking an instrument out of the air it should be in. */
static void
test_in_the_band (void)
{
  assert_said (
      against_july (SL_AIR_MOVED, 50, 1.7), &mm,
      "50 %: the wood is 1.7 points wetter than on 15 July 2025, when everything was in range: action 1.85 / "
      "2.40 mm. It is in the 45–55 % it should be kept in now: once it has been there for one to two weeks, set "
      "it up for this air.");
}

static void
test_unsettled (void)
{
  assert_said (
      found (SL_AIR_UNSETTLED, 50), &mm,
      "Marked as not settled in its air. Leave it at 45–55 % for one to two weeks and read again: what the air "
      "did comes back by itself.");
  assert_said (
      found (SL_AIR_UNSETTLED, NAN), &mm,
      "Marked as not settled in its air. Bring it to 45–55 % for one to two weeks and read again: what the air "
      "did comes back by itself.");
  assert_said (
      against_july (SL_AIR_UNSETTLED, 74, 2.9), &mm,
      "Marked as not settled in its air. 74 %: the wood is 2.9 points wetter than on 15 July 2025, when "
      "everything was in range: action 1.85 / 2.40 mm. Bring it to 45–55 % for one to two weeks and read again: "
      "what the air did comes back by itself.");
}

/* Lengths as chosen: 1.85 mm are 0.073 in, 2.40 mm 0.094 in, 1.93 mm 0.076 in, 0.21 mm 0.008 in (25.4 mm are 1 in, NIST
 * SP 811); a 64th, 0.4 mm, is too coarse. */
static void
test_foretold (void)
{
  const SlAirFound air = foretold (against_july (SL_AIR_OUTSIDE, 74, 2.9));
  const char *in_inches = "74 %: the wood is 2.9 points wetter than on 15 July 2025, when everything was in range: "
                          "action 0.073 / 0.094 in. "
                          "Bring it to 45–55 % for one to two weeks and read again: what the air did comes back by "
                          "itself; at 50 % the action "
                          "is foretold as 0.076 ± 0.008 / 0.095 ± 0.009 in.";

  assert_said (
      air, &comma,
      "74 %: the wood is 2,9 points wetter than on 15 July 2025, when everything was in range: action 1,85 / "
      "2,40 mm. Bring it to 45–55 % for one to two weeks and read again: what the air did comes back by itself; "
      "at 50 % the action is foretold as 1,93 ± 0,21 / 2,42 ± 0,22 mm.");
  assert_said (air, &inches, in_inches);
  assert_said (air, &sixty, in_inches);
}

int
main (int argc, char **argv)
{
  setlocale (LC_ALL, "");
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/air-said/settled", test_settled);
  g_test_add_func ("/air-said/outside", test_outside);
  g_test_add_func ("/air-said/compared", test_compared);
  g_test_add_func ("/air-said/last-read", test_last_read);
  g_test_add_func ("/air-said/in-the-band", test_in_the_band);
  g_test_add_func ("/air-said/unsettled", test_unsettled);
  g_test_add_func ("/air-said/foretold", test_foretold);
  return g_test_run ();
}
