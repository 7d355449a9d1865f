#include "engine/sets/shortest.h"

#include "base/ensure.h"
#include "engine/sets/run.h"

static bool on_path(void *context, uint32_t level, const int64_t *cells)
{
    const struct sets_path *path = context;

    return level < sets_path_length(path) &&
           sets_on_path(path, level, cells);
}

/* Why this is the sequence of the whole exploration.  Let P(r) be the
 * situations of the path at level r: first seen at level r, and able to
 * reach the goal in exactly length - r scans through first seen levels.
 *
 * - The filtered run stores P(r) as its level r and nothing else: it stores
 *   at judging r only members of P(r), all of which are first seen there;
 *   and each is found, since a situation first seen at level r has one
 *   before it that is first seen at level r - 1, and that one is then in
 *   P(r - 1), so stored.
 * - sequence_find lets row r lead only from level r - 1 into level r.  In
 *   the whole exploration a situation of a level that is not in P has no way
 *   on to the goal, so it costs COST_NEVER and is never taken; here a way
 *   into it leads nowhere, which costs the same.  The rows out of members of
 *   P, their costs and choices are found by the same walk over the same
 *   scan.  The order of situations plays no part.
 * - The last row, of a dead end too, is looked for in every member of
 *   P(length - 1), which are all from where the goal is seen in that scan.
 *
 * Goals are seen at the same level, since all shortest ways are there and no
 * way is shorter. */
const struct sequence *sets_sequence(struct arena *arena, struct sets *s,
                                     enum sequence_goal goal, uint32_t index,
                                     enum explore_end *end)
{
    const struct sets_path *path = sets_path(s, goal, index);
    struct explore_setting setting = s->setting;
    struct explore_filter filter = {on_path, NULL, 0};
    const struct sequence *found = NULL;
    struct exploration *x;

    *end = EXPLORE_COMPLETE;
    if (!path)
        return NULL;
    setting.until = NULL;
    setting.progress = NULL;
    filter.context = (void *)path;
    filter.length = sets_path_length(path);
    x = explore_within(s->slice, &setting, &filter);
    *end = exploration_end(x);
    if (*end == EXPLORE_COMPLETE) {
        found = sequence_find(arena, x, goal, index);
        ENSURE(found && found->length == filter.length);
    }
    exploration_free(x);
    return found;
}
