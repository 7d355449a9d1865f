#include "engine/sets/shortest.h"

#include "engine/sets/run.h"

static void list(void *context, uint32_t level, explore_taker *take,
                 void *taker)
{
    sets_path_list(context, level, take, taker);
}

/* Why this is the sequence of the whole exploration.  Let P(r) be the
 * situations of the path at level r: first seen at level r, and able to
 * reach the goal in exactly length - r scans through first seen levels.
 *
 * - What is known is P(r) as level r and nothing else.
 * - sequence_along lets row r lead only from level r - 1 into level r.  In
 *   the whole exploration a situation of a level that is not in P has no way
 *   on to the goal, so it costs COST_NEVER and is never taken; here a way
 *   into it leads nowhere, which costs the same.  The rows out of members of
 *   P, their costs and choices are found by the same walk over the same
 *   scan.  The order of situations plays no part.
 * - The last row, of a dead end too, is looked for in every member of
 *   P(length - 1), which are all from where the goal is seen in that scan.
 */
const struct sequence *sets_sequence(struct arena *arena, struct sets *s,
                                     enum sequence_goal goal, uint32_t index,
                                     enum explore_end *end)
{
    const struct sets_path *path = sets_path(s, goal, index);
    struct explore_setting setting = s->setting;
    struct explore_known known = {list, NULL, 0};
    const struct sequence *found = NULL;
    struct exploration *x;

    *end = EXPLORE_COMPLETE;
    if (!path)
        return NULL;
    known.context = (void *)path;
    known.length = sets_path_length(path);
    x = explore_known(s->slice, &setting, &known);
    *end = exploration_end(x);
    if (*end == EXPLORE_COMPLETE)
        found = sequence_along(arena, x, goal, index, known.length);
    if (*end == EXPLORE_COMPLETE && !found)
        *end = EXPLORE_INTERRUPTED;
    exploration_free(x);
    return found;
}
