/* begun.h - a first review text, with its reasons in comments. */
#ifndef KEEPCLEAR_PRESENT_BEGUN_H
#define KEEPCLEAR_PRESENT_BEGUN_H

#include <stddef.h>

struct beginning;
struct text;

/* controls: paths of the control texts, as the review text shall name
 * them. */
void begun_add(struct text *out, const struct beginning *begun,
               const char *const *controls, size_t n_controls);

#endif
