/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Starting profiles: what a new instrument begins from. They lie in the program's resources as documents like any
 * other; their values are common practice, for nobody's model in particular. */
#pragma once

#include "setup/profile/profile.h"

/* Names of the starting profiles ("flat-top", …), ended by NULL, and what each is called on screen, untranslated. */
extern const char *const sl_starting_names[], *const sl_starting_titles[];

/* A profile to start with, with a new id, or NULL where there is none of this name. */
SlProfile *sl_starting_profile (const char *name);

/* Demonstration profiles: their names, ended by NULL, to be freed with g_strfreev(); and one of them as a profile of
 * its own, with a new id, or NULL where there is none of this name. */
char **sl_demo_names (void);
SlProfile *sl_demo_profile (const char *name);
