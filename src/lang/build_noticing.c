#include "lang/build_noticing.h"

#include "lang/reading.h"

void build_notice(struct reading *reading, enum build_notice which,
                  struct tree_expr *condition, struct span where)
{
    struct tree_noticing *noticing = &reading->run->review.noticing;
    struct tree_expr **at = which == BUILD_DIAGNOSTIC ? &noticing->diagnostic
                            : which == BUILD_DEMAND   ? &noticing->demand
                            : which == BUILD_CYCLE    ? &noticing->cycle
                                                      : &noticing->repair;

    if (*at)
        reading_error(reading, where,
                      "keep one of them; OR joins several conditions",
                      "'%s' is said a second time",
                      reading_quote(reading, where));
    *at = condition;
}

void build_noticing(struct reading *reading, struct span span)
{
    struct tree_noticing *noticing = &reading->run->review.noticing;

    if (noticing->span.file)
        reading_error(reading, span, "keep one of them",
                      "NOTICING is said a second time");
    noticing->span = span;
}
