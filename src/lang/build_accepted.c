#include "lang/build_accepted.h"

#include "base/arena.h"
#include "lang/reading.h"

void build_accepted(struct reading *reading, struct tree_ident *kind,
                    struct tree_path *path, struct build_why why)
{
    struct tree_accepted *made =
        ARENA_NEW(reading->context->arena, struct tree_accepted);

    made->kind = kind;
    made->path = path;
    made->words = why.words;
    made->reason = why.reason;
    CHAIN_APPEND(&reading->run->review.accepted, made);
}
