/* assumed.h - on what a verdict leans: assumptions, and whether the logic has
 * a part in it. */
#ifndef KEEPCLEAR_PRESENT_ASSUMED_H
#define KEEPCLEAR_PRESENT_ASSUMED_H

struct model;
struct requirement_finding;
struct text;

/* For the line of the verdict: " · needs A1 (confirmed); A2 not needed", or
 * how many were assumed where that is not known or would be too long. */
void assumed_add(struct text *out, const struct model *model,
                 const struct requirement_finding *finding);

/* Lines of their own, each indented by `indent`: the needed ones where the
 * line of the verdict only counts them, what is not known, and what the test
 * with actuators at will showed. */
void assumed_lines(struct text *out, const struct model *model,
                   const struct requirement_finding *finding,
                   unsigned indent);

#endif
