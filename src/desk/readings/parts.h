/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the readings form and the reading run are made of. */
#pragma once

#include "bench/listen.h"
#include "desk/kit/kit.h"

/* ---- readings-header ----
 *
 * The head of the readings column: stage and date of the reading set, the air it was read in and the wood's moisture
 * content in that air; and what can be done with the set as a whole. */

GtkWidget *sl_readings_header_new (SlBench *bench);
void sl_readings_header_update (GtkWidget *header);

/* Has a menu button open one of the menus of ui/readings.ui. */
void sl_readings_menu_init (GtkWidget *button, const char *id);

/* ---- readings-row ----
 *
 * One row of the readings form: a question's name, its entry, the ± of its tool (which opens what can be done with the
 * reading), and below, where there is something to say, what is assumed or carried over from an earlier set of the
 * visit, what disagrees, what the entry does not accept, and as a faint trace what was read before. */

#define SL_TYPE_READING_ROW (sl_reading_row_get_type ())
G_DECLARE_FINAL_TYPE (SlReadingRow, sl_reading_row, SL, READING_ROW, GtkBox)

struct _SlReadingRow
{
  GtkBox parent_instance;

  /* for all to read */
  SlQuestion question;
  GtkWidget *name, *entry;
  GtkWidget *tolerance; /* for a size group: the column of ± */

  /* inside; children (bound in this order from name on), then owned */
  GtkWidget *tolerance_label, *trace;
  SlBench *bench;
  SlBound bound;
  GSimpleAction *use_action, *remove_action;
  GtkWidget *message;                              /* made with the first complaint */
  GtkWidget *note, *note_icon, *note_label, *keep; /* made with the first note */
  GtkWidget *slip;                                 /* made with the first slip */
};

/* Signal: "removed" after its reading was taken away through the row's menu. */
GtkWidget *sl_reading_row_new (SlBench *bench, const SlQuestion *question);

/* Shows the bench's present state of its reading; what is being typed stays. @extra: whether it was asked for beyond
 * the usual ones, so that it can be removed even while it is empty. */
void sl_reading_row_update (SlReadingRow *self, gboolean extra);

/* ---- readings-tools ----
 *
 * The tools of a reading set: which of the shop's a kind of reading is taken with, chosen by name and kept by its
 * figures; and the figures themselves, for a group of readings. */

typedef void (*SlToolChosen) (gpointer owner);

/* A drop-down of the tools for a kind, which may be −1: none is used, and the chooser is hidden. @chosen is called
 * after the person chose one; may be NULL. */
GtkWidget *sl_tool_chooser_new (SlBench *bench, int kind, SlToolChosen chosen, gpointer owner);
void sl_tool_chooser_set_kind (GtkWidget *chooser, int kind);

/* The figures in force for the kind: "steps of 0.02 mm, within 0.01 mm". Free with g_free(). */
char *sl_tool_chooser_figures (GtkWidget *chooser);

/* Makes @button, small, at a group's heading, open what holds the resolution and error limit of each tool that measures
 * its readings; hidden where there is none. It follows the bench while it is open. */
void sl_readings_tools_init (GtkWidget *button, SlBench *bench, SlQuestionGroup group);

/* ---- readings-add ----
 *
 * "Add a reading…": a popover that asks for kind, string, fret and what the string is held at, so that any reading of
 * the model can be entered. */

typedef void (*SlQuestionChosen) (gpointer owner, const SlQuestion *question);

/* Makes @button open it. */
void sl_readings_add_init (GtkWidget *button, SlBench *bench, SlQuestionChosen chosen, gpointer owner);

/* ---- readings-air ----
 *
 * What a reading set says beside its readings: whether the strings were at pitch, slack or off, and whether the
 * instrument had settled in the air it was read in. */

/* It follows the bench. */
GtkWidget *sl_readings_air_new (SlBench *bench);

/* ---- slip-offer ----
 *
 * The offer below an entry whose value looks like inches typed as millimetres, or the other way round, or as if its
 * decimal point were lost: what was meant, to be taken, or what was typed, to be kept. Nothing is changed without an
 * answer. */

/* Hidden until something is asked. @answered is told the value to stand, mm; the offer is hidden then. */
typedef void (*SlSlipAnswered) (gpointer owner, double value_mm);
GtkWidget *sl_slip_offer_new (SlBench *bench, SlSlipAnswered answered, gpointer owner);

/* Asks, where @value_mm looks like a slip as an answer to @question in the readings that are shown, and returns whether
 * it does. */
gboolean sl_slip_offer_ask (GtkWidget *offer, const SlQuestion *question, double value_mm);

/* Withdraws what was asked; and where the value is another by now, taken back or read otherwise. */
void sl_slip_offer_withdraw (GtkWidget *offer);
void sl_slip_offer_follow (GtkWidget *offer, double value_mm);

/* Gives the keyboard to the answer that takes what was meant. */
void sl_slip_offer_focus (GtkWidget *offer);

/* ---- readings-known ----
 *
 * What the bench knows of a question of the readings form at present: what was read, what is to be expected where it
 * was not, and what the visit's earlier sets read of it. No widgets here. */

/* Decimals shown of a length: hundredths, as tools are read. */
#define SL_READING_PLACES 2

/* A question's answer in an earlier set of the visit: the mean of its repeats, those left out by choice apart. */
typedef struct
{
  const SlReadingSet *set; /* borrowed from the bench */
  double value;
} SlAnswerBefore;

typedef struct
{
  const SlReading *reading;    /* NULL while not read */
  const SlReadingFit *fit;     /* NULL where the kind is not fitted */
  double value;                /* NAN while not read */
  double expected, expected_u; /* of an unread question: its standard uncertainty is NAN where none is known; NAN where
                                  nothing is to be expected */
  gboolean assumed;            /* something assumed stands behind the expectation */
  const SlReadingSet *carried; /* the expectation is what was read in this earlier set, carried through the work since;
                                  NULL where it is not */
} SlReadingKnown;

SlReadingKnown sl_reading_known (SlBench *bench, const SlQuestion *question);

/* Earlier answers, oldest first: of SlAnswerBefore, free with g_array_unref(). A repeat (nth above 0) has none. */
GArray *sl_answers_before (SlBench *bench, const SlQuestion *question);

/* What earlier sets of the visit were asked beyond @usual: of SlQuestion, each once. */
GArray *sl_questions_before (SlBench *bench, const GArray *usual);

const char *sl_ask_plain_unit (int ask); /* of what is no length; translated */

/* In the units its entry shows; texts are free with g_free(). The ± of a length small against a 64th: decimal inches
 * where 64ths are chosen. */
char *sl_reading_small_length (SlBench *bench, double mm);

/* "carried from Received, 2 h ago, ± 0.12 mm" */
char *sl_carried_text (SlBench *bench, const SlReadingKnown *known);

/* What was read before, for the eye: "3.25 → 2.88"; and in words: "Read before: 3.25 mm, Received, yesterday; 2.88 mm,
 * During work, 2 h ago". NULL where nothing was. */
void sl_before_texts (SlBench *bench, const SlQuestion *question, char **trace, char **words);

/* ---- accepting ---- */

/* "✓ " and @text in the label @tick, for a moment unless it @stays, with the display's beep. */
void sl_tick (GtkWidget *tick, const char *text, gboolean stays);

/* ---- listen-window ----
 *
 * What is heard of @listen, an SlListen: its picture; and what to do next, or about it. */
void sl_listen_draw (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer listen);
const char *sl_listen_sentence (SlListen *listen);
