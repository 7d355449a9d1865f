/* away.h - words for what cannot occur before very many scans. */
#ifndef KEEPCLEAR_PRESENT_AWAY_H
#define KEEPCLEAR_PRESENT_AWAY_H

#include <stdint.h>

struct error_finding;
struct findings;
struct model;
struct text;

/* "2,147,483,647 scans (6.8 years at 0.1 s a scan) from power-up" */
void away_scans(struct text *out, const struct model *model, uint64_t scans);

/* Behind a verdict: up to which error it is one; nothing where there is
 * none so far away. */
void away_condition(struct text *out, const struct findings *findings);

/* Below such an error: when, and what to do. */
void away_error(struct text *out, const struct model *model,
                const struct error_finding *finding, int indent);

#endif
