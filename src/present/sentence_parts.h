/* sentence_parts.h - the groups of present/sentences.h. */
#ifndef KEEPCLEAR_PRESENT_SENTENCE_PARTS_H
#define KEEPCLEAR_PRESENT_SENTENCE_PARTS_H

#include "present/sentence.h"

/* CONTROL, SCAN, RUNS, POWER, RETAIN ANY, FIXED, SHARED, UNKNOWN,
 * CONTROLLER: what runs, and how. */
void sentences_of_run(struct sentence_writer *w);

/* FAULTS, ONE CAUSE OF, NOTICING. */
void sentences_of_faults(struct sentence_writer *w);

/* HAZARDS; then, behind the requirements, TEMPLATES and USE, INTENDED,
 * ACCEPTED. */
void sentences_of_hazards(struct sentence_writer *w);
void sentences_of_claims(struct sentence_writer *w);

/* SCENARIO: what is played, and what is expected. */
void sentences_of_scenarios(struct sentence_writer *w);

#endif
