#include "lang/build_intended.h"

#include "base/arena.h"
#include "lang/reading.h"

void build_intended(struct reading *reading, struct tree_ident *name,
                    struct tree_string title, struct build_differing what,
                    struct span span)
{
    struct tree_intended *made =
        ARENA_NEW(reading->context->arena, struct tree_intended);

    made->name = name;
    made->title = title;
    made->output = what.output;
    made->condition = what.condition;
    made->span = span;
    CHAIN_APPEND(&reading->run->review.intended, made);
}
