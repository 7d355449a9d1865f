/* verdict.h - one requirement's verdict with its conditions, and what
 * belongs to it. */
#ifndef KEEPCLEAR_PRESENT_VERDICT_H
#define KEEPCLEAR_PRESENT_VERDICT_H

#include <stdbool.h>
#include <stdint.h>

struct dead_end_finding;
struct error_finding;
struct findings;
struct requirement;
struct requirement_finding;
struct sources;
struct tested;
struct text;

/* What a view of findings needs; borrowed. */
struct view {
    const struct findings *findings;
    const struct sources *sources;
    bool figures;  /* counts of situations per question */
    bool examples; /* sequences for what is possible */
    bool advice;   /* remarks of a careful reader in full */
    bool apart;    /* sequences have a place of their own: only their heading
                      is said */
    const struct tested *tested; /* a filled test sheet, or NULL */
    bool part;     /* of a longer text, which has heading and cautions */
};

/* "R1 kept in the model · any one of 20 faults · ..." */
void verdict_line(struct text *out, const struct view *view,
                  const struct requirement_finding *finding);

/* What belongs to it besides the title: assumptions, notes, for what is not
 * kept its reason and the sequence. */
void verdict_notes(struct text *out, const struct view *view,
                   const struct requirement_finding *finding);

/* Line of the verdict, title, and for what is not kept its reason and the
 * sequence as a log sheet. */
void verdict_requirement(struct text *out, const struct view *view,
                         const struct requirement_finding *finding);

/* Run-time error number `number` (E1 …): what it is and where. */
void verdict_error_title(struct text *out, const struct view *view,
                         const struct error_finding *finding,
                         uint32_t number);

/* The same with the way to it. */
void verdict_error(struct text *out, const struct view *view,
                   const struct error_finding *finding, uint32_t number);

/* Assumptions that leave no way to go on. */
void verdict_dead_end(struct text *out, const struct view *view,
                      const struct dead_end_finding *finding);

/* How much of a judged limit was left at the longest that was seen, in ms; -1
 * where there is none to be told. */
int64_t verdict_margin(const struct requirement *requirement,
                       const struct requirement_finding *finding);

#endif
