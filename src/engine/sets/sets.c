#include "engine/sets/sets.h"

#include "engine/sets/kinds.h"
#include "engine/sets/levels.h"

struct sets *sets_explore(const struct slice *slice,
                          const struct explore_setting *setting)
{
    struct sets *s = kinds_begin(slice, setting);

    levels_go_on(s, UINT32_MAX, UINT64_MAX);
    if (s->guard.end == EXPLORE_MEMORY && s->kind != SCHEME_APART) {
        levels_free(s);
        s = levels_begin(slice, setting, SCHEME_APART);
        levels_go_on(s, UINT32_MAX, UINT64_MAX);
    }
    levels_end(s);
    return s;
}

void sets_free(struct sets *s)
{
    levels_free(s);
}

const struct reach *sets_reach(const struct sets *s)
{
    return &s->reach;
}
