/* report_parts.h - the parts of the record of a check, in their order. */
#ifndef KEEPCLEAR_PRESENT_REPORT_PARTS_H
#define KEEPCLEAR_PRESENT_REPORT_PARTS_H

#include <stdint.h>

struct findings;
struct model;
struct replay;
struct report;
struct requirement;
struct text;

/* First page: what was shown, under which assumptions, what was not. */
void report_summary(struct text *out, const struct report *report);

/* Which valves and motors may be on while a stop is pressed, in short. */
void report_motion(struct text *out, const struct report *report);

/* What was looked at by what: machine, texts with fingerprints, program;
 * statements that a person fills in. */
void report_identification(struct text *out, const struct report *report);

/* The review text as plain sentences. */
void report_review(struct text *out, const struct report *report);

/* Hazard, requirement, logic, result, row by row. */
void report_trace(struct text *out, const struct report *report);

/* What each input alone does to each output, as far as that was asked. */
void report_effects(struct text *out, const struct report *report);

/* What each stop stops, and motion that remains possible. */
void report_stops(struct text *out, const struct report *report);

/* Each requirement with what belongs to it. */
void report_requirements(struct text *out, const struct report *report);

/* Of one requirement: where it comes to bear, a wrong change that it
 * catches. */
void report_examples(struct text *out, const struct report *report,
                     uint32_t requirement);

/* A sequence as a log sheet. */
void report_sheet(struct text *out, const struct findings *findings,
                  const struct replay *sequence);

/* What of the logic a requirement speaks of: its actuators, and the programs
 * that command them or whose variables it names. */
void report_logic(struct text *words, const struct model *model,
                  const struct requirement *requirement);

/* Faults, the version before, logic that no requirement protects; each as
 * far as it was asked for. */
void report_beyond(struct text *out, const struct report *report);

/* The same as plain text; what was left out is named. */
void report_text_beyond(struct text *out, const struct report *report);

/* Conditions, limits, warnings; lines for signatures. */
void report_limits(struct text *out, const struct report *report);

/* What cuts the chart short, as far as that is so. */
void report_chart_limits(struct text *out, const struct report *report);

#endif
