/* lessonplan.h - the trainer's own text of a lesson.
 *
 *     # a heading
 *     - an item of a list
 *     PLAY RescueUnderTheStop
 *     PLAY RescueUnderTheStop ON changes/rescue_closes.st
 *     BREAK R40 ON changes/rescue_closes.st
 *     anything else is a paragraph; lines that follow one another are one
 *
 * A PLAY is replaced by the story of that SCENARIO, a BREAK by the shortest
 * way to break that requirement, on the control text behind ON (as seen from
 * the lesson's folder) where one is named.
 */
#ifndef KEEPCLEAR_PRESENT_LESSONPLAN_H
#define KEEPCLEAR_PRESENT_LESSONPLAN_H

#include <stddef.h>
#include <stdint.h>

struct arena;

enum plan_kind { PLAN_HEADING, PLAN_WORDS, PLAN_ITEM, PLAN_PLAY, PLAN_BREAK };

struct plan_line {
    enum plan_kind kind;
    unsigned line;       /* where it begins, from 1 */
    const char *words;   /* PLAY, BREAK: the name */
    const char *control; /* behind ON, or NULL */
};

struct plan {
    const struct plan_line *lines;
    uint32_t n;
    const char *failure; /* a sentence with what to do, or NULL */
    unsigned wrong;      /* its line */
};

/* Reads the text; all of it lies in the arena. */
struct plan lessonplan_read(struct arena *arena, const char *text, size_t n);

#endif
