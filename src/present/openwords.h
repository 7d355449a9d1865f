/* openwords.h - what the texts leave open, in words.
 */
#ifndef KEEPCLEAR_PRESENT_OPENWORDS_H
#define KEEPCLEAR_PRESENT_OPENWORDS_H

struct findings;
struct leaning;
struct model;
struct requirement_finding;
struct sources;
struct text;

/* " · 3 comparisons and 1 value left open", nothing where nothing is. */
void openwords_count(struct text *out, const struct model *model,
                     const struct requirement_finding *finding);

/* "the comparison on line 40 of body.st (axle_load > limit)", one line each
 * place, for what leans on them. */
void openwords_leaning(struct text *out, const struct model *model,
                       const struct sources *sources,
                       const struct leaning *leaning, unsigned indent);

/* Under the conditions of the result: every place that any finding reads,
 * once, and the UNKNOWN blocks. */
void openwords_list(struct text *out, const struct findings *findings,
                    const struct sources *sources);

#endif
