#include "logic/keep.h"

#include <stdlib.h>
#include <string.h>

#include "base/ensure.h"
#include "base/vec.h"
#include "logic/filled.h"
#include "logic/table.h"

enum {
    KEPT_MOST = 64,
    NODES_MOST = 1 << 20 /* of all that is kept, some 60 MiB */
};

/* Everything, but for the nodes, on which what is filled depends: each list
 * behind the number of its members, so that no two say the same. */
typedef VEC(uint64_t) keep_key;

struct kept {
    keep_key key;
    struct filled *filled;
};

struct keep {
    struct kept kept[KEPT_MOST]; /* those asked for last come first */
    uint32_t n;
    uint64_t nodes;
    keep_key asked;
};

/* ---- the key ---- */

static void put(keep_key *key, uint64_t value)
{
    vec_push(key, value);
}

static void put_list(keep_key *key, const uint32_t *list, uint32_t n)
{
    put(key, n);
    for (uint32_t i = 0; i < n; i++)
        put(key, list[i]);
}

static void put_request(keep_key *key, const struct flat *flat,
                        const struct slice_request *request,
                        const bool *read)
{
    put(key, request->free_times);
    put_list(key, request->studied, request->n_studied);
    put(key, flat->n_causes);
    for (uint32_t i = 0; i < flat->n_causes; i++)
        put(key, filled_may_occur(request, i));
    put(key, read != NULL);
    if (read == NULL)
        return;
    for (uint32_t i = 0; i < flat->n_causes; i++)
        put(key, read[i]);
    put(key, request->faults);
    put(key, request->n_forbidden);
    for (uint32_t i = 0; i < request->n_forbidden; i++)
        put_list(key, request->forbidden[i].causes, request->forbidden[i].n);
}

static void put_cells(keep_key *key, const struct flat *flat)
{
    put(key, flat->n_cells);
    for (uint32_t i = 0; i < flat->n_cells; i++) {
        const struct flat_cell *cell = &flat->cells[i];

        put(key, (uint64_t)cell->low);
        put(key, (uint64_t)cell->high);
        put(key, (uint64_t)cell->unit);
        put(key, cell->initial);
        put(key, cell->next);
    }
}

static void put_faults(keep_key *key, const struct flat *flat)
{
    for (uint32_t i = 0; i < flat->n_causes; i++) {
        put(key, flat->causes[i].choice);
        put(key, flat->causes[i].cell);
        put(key, flat->causes[i].first_only);
    }
    put(key, flat->n_faults);
    for (uint32_t i = 0; i < flat->n_faults; i++) {
        const struct flat_fault *fault = &flat->faults[i];

        put(key, fault->choice);
        put(key, fault->cell);
        put_list(key, fault->causes, fault->n_causes);
        put(key, fault->first_only);
        put(key, fault->goes);
    }
}

static void put_rest(keep_key *key, const struct flat *flat)
{
    put(key, flat->n_assumptions);
    for (uint32_t i = 0; i < flat->n_assumptions; i++)
        put(key, flat->assumptions[i].condition);
    put(key, flat->n_motions);
    for (uint32_t i = 0; i < flat->n_motions; i++)
        put(key, flat->motions[i].moved);
    put(key, flat->n_holes);
    for (uint32_t i = 0; i < flat->n_holes; i++) {
        put(key, flat->hole_kind[i]);
        put(key, flat->hole_index[i]);
    }
    put_list(key, flat->timed_may, flat->n_movements);
    put_list(key, flat->timed_must, flat->n_movements);
}

static bool is_for(const struct kept *kept, const keep_key *key,
                   const struct flat_builder *builder)
{
    return kept->key.n == key->n &&
           memcmp(kept->key.at, key->at, key->n * sizeof *key->at) == 0 &&
           kept->filled->n_nodes == builder->n &&
           memcmp(kept->filled->table->nodes, builder->nodes,
                  builder->n * sizeof *builder->nodes) == 0;
}

/* ---- keeping ---- */

static void drop_last(struct keep *keep)
{
    struct kept *kept = &keep->kept[--keep->n];

    keep->nodes -= kept->filled->table->n;
    filled_free(kept->filled);
    vec_release(&kept->key);
}

static void move_to_front(struct keep *keep, uint32_t from)
{
    struct kept kept = keep->kept[from];

    memmove(&keep->kept[1], &keep->kept[0], from * sizeof kept);
    keep->kept[0] = kept;
}

/* Takes the key that was asked for. */
static void add(struct keep *keep, struct filled *filled)
{
    if (keep->n == KEPT_MOST)
        drop_last(keep);
    keep->kept[keep->n] = (struct kept){keep->asked, filled};
    memset(&keep->asked, 0, sizeof keep->asked);
    keep->nodes += filled->table->n;
    move_to_front(keep, keep->n++);
    while (keep->nodes > NODES_MOST && keep->n > 1)
        drop_last(keep);
}

struct keep *keep_new(void)
{
    struct keep *keep = calloc(1, sizeof *keep);

    if (keep == NULL)
        base_fail(BASE_OUT_OF_MEMORY, "no memory left", __FILE__, __LINE__);
    return keep;
}

void keep_free(struct keep *keep)
{
    if (keep == NULL)
        return;
    while (keep->n > 0)
        drop_last(keep);
    vec_release(&keep->asked);
    free(keep);
}

const struct filled *keep_filled(struct keep *keep,
                                 const struct flat_builder *builder,
                                 const struct flat *flat,
                                 const struct slice_request *request,
                                 const bool *read)
{
    vec_clear(&keep->asked);
    put_request(&keep->asked, flat, request, read);
    put_cells(&keep->asked, flat);
    put_faults(&keep->asked, flat);
    put_rest(&keep->asked, flat);
    for (uint32_t i = 0; i < keep->n; i++)
        if (is_for(&keep->kept[i], &keep->asked, builder)) {
            move_to_front(keep, i);
            return keep->kept[0].filled;
        }
    add(keep, filled_new(builder, flat, request, read));
    return keep->kept[0].filled;
}
