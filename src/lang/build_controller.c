#include "lang/build_controller.h"

#include "base/arena.h"
#include "lang/reading.h"

void build_setting(struct reading *reading, struct tree_ident *name,
                   struct build_said said, struct span span)
{
    struct tree_setting *setting =
        ARENA_NEW(reading->context->arena, struct tree_setting);

    setting->name = name;
    setting->words = said.words;
    setting->observed_by = said.observed_by;
    setting->reason = said.reason;
    setting->span = span;
    CHAIN_APPEND(&reading->run->review.settings, setting);
}

void build_controller(struct reading *reading, struct tree_string title,
                      struct span span)
{
    struct tree_review *review = &reading->run->review;

    if (review->controller_span.file)
        reading_error(reading, span, "keep one of them",
                      "CONTROLLER is said a second time");
    review->controller = title;
    review->controller_span = span;
}
