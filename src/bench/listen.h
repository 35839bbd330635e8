/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Listening for a bench: what is asked next (a string, open or at a fret), the sound that comes in, and the reading it
 * becomes once it has settled. No widgets here. */
#pragma once

#include "bench/plucks.h"

#define SL_TYPE_LISTEN (sl_listen_get_type ())
G_DECLARE_FINAL_TYPE (SlListen, sl_listen, SL, LISTEN, GObject)

/* What is gone through. */
typedef enum
{
  SL_LISTEN_TUNE,    /* open strings, to be brought to their notes; nothing is taken as a reading */
  SL_LISTEN_OCTAVES, /* each string open and at the 12th fret */
  SL_LISTEN_FRETS,   /* every fret of every string, the open one first */
  SL_LISTEN_ASKED    /* what sl_listen_ask() was given */
} SlListenProgramme;

typedef enum
{
  SL_LISTEN_OFF,
  SL_LISTEN_WAITING,  /* for a pluck */
  SL_LISTEN_SOUNDING, /* a note that has not settled */
  SL_LISTEN_TAKEN,    /* it settled and became a reading, or in tuning a figure that stands; it may sound on */
  SL_LISTEN_TROUBLE,  /* no device, busy, denied, unplugged: its trouble says */
  SL_LISTEN_DONE      /* all that was asked */
} SlListenState;

/* Signals: "changed", whenever anything below is another; "taken", with string and fret, after a reading was put, or in
 * tuning a string was found in tune. */
struct _SlListen
{
  GObject parent_instance;

  /* to be looked at, not changed */
  SlListenProgramme programme;
  GArray *places; /* of SlQuestion: what is asked, in this order */
  guint at;       /* which of them now; places->len: the end */
  SlListenState state;
  char *trouble;     /* why nothing is heard, a sentence; NULL while there is none */
  char *advice;      /* why a pluck is not taken, and what to do; or NULL */
  gboolean has_note; /* something sounds, or sounded last, for this question: */
  SlNote note;
  GArray *plucks; /* all that was taken: what was read of each question, and what else the notes say */
  gboolean same;  /* at "changed": question, note and fan are as they were; only level and words may be others */

  /* its own */
  SlBench *bench;
  struct _SlCapture *capture;
  SlListener *listener; /* NULL before the first sound */
  SlFan fan;            /* of what was taken, kept in … */
  float *columns;
  gboolean on;
  guint again_id;
  double rate, clock;       /* s heard since the listener began */
  SlQuestion alone;         /* of SL_LISTEN_ASKED */
  int then;                 /* the place to go on at when the open string was heard; −1: the next */
  double onset;             /* of the pluck heard last; −1: none */
  gboolean over;            /* it was taken, or is not for what is asked */
  double taken_at, told_at; /* by the clock */
  gboolean untold;          /* that it was taken */
};

SlListen *sl_listen_new (SlBench *bench);

/* From the device of the settings, from now on; and no longer. What is waited for stays. What was plugged in again is
 * listened to again. */
void sl_listen_start (SlListen *self);
void sl_listen_stop (SlListen *self);

/* Sound from elsewhere, as the device would bring it. */
void sl_listen_hear (SlListen *self, const float *samples, gsize n, double rate);

void sl_listen_set_programme (SlListen *self, SlListenProgramme programme);
void sl_listen_ask (SlListen *self, const SlQuestion *question); /* alone; SL_LISTEN_ASKED */

/* Past what is not to be read, or back, or (0) the same again, which becomes part of its mean; a string or fret chosen
 * by hand, which is asked alone where the programme has it not. What was taken stays shown for a second, or until the
 * next pluck, before the next is asked. */
void sl_listen_step (SlListen *self, int by);
void sl_listen_go_to (SlListen *self, int string, int fret);

gboolean sl_listen_get_question (SlListen *self, SlQuestion *out); /* FALSE at the end */
double sl_listen_get_expected (SlListen *self);      /* Hz; with the reference pitch and temperament of the shop */
void sl_listen_get_fan (SlListen *self, SlFan *out); /* of its note; borrowed until the next "changed" */
double sl_listen_get_level (SlListen *self);         /* dB under full scale */
