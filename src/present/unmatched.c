#include "present/unmatched.h"

#include <stdlib.h>

#include "base/ensure.h"
#include "base/text.h"
#include "base/vec.h"
#include "check/model.h"
#include "study/compare.h"

static bool is_control(const struct slot *slot)
{
    return (slot->home == SLOT_PROGRAM || slot->home == SLOT_GLOBAL) &&
           !slot->clock;
}

struct sides {
    VEC(bool) matched; /* per slot of the old one */
    uint32_t inner[2]; /* variables that are neither read nor given away */
    uint32_t named;
};

static void add_slot(struct text *out, struct sides *sides,
                     const struct slot *slot, bool of_new)
{
    if (!is_control(slot))
        return;
    if (!slot->input && !slot->output) {
        sides->inner[of_new]++;
        return;
    }
    if (sides->named++ == 0)
        text_add(out, "\nNames without a partner\n");
    text_printf(out, "  %-8s %-7s %s\n", of_new ? "only new" : "only old",
                slot->input ? "input" : "output", slot->path);
}

void unmatched_add(struct text *out, const struct comparison *comparison)
{
    const struct model *was = comparison->was.model;
    const struct model *is = comparison->is.model;
    struct sides sides = {0};

    for (uint32_t i = 0; i < was->n_slots; i++)
        vec_push(&sides.matched, false);
    for (uint32_t i = 0; i < is->n_slots; i++)
        if (comparison->slots[i] != MODEL_NONE)
            sides.matched.at[comparison->slots[i]] = true;
    for (uint32_t i = 0; i < was->n_slots; i++)
        if (!sides.matched.at[i])
            add_slot(out, &sides, &was->slots[i], false);
    for (uint32_t i = 0; i < is->n_slots; i++)
        if (comparison->slots[i] == MODEL_NONE)
            add_slot(out, &sides, &is->slots[i], true);
    vec_release(&sides.matched);
    if (sides.named > 0)
        text_add(out, "  where one of them is another by a new name: --map "
                      "old=new\n");
    if (sides.inner[0] + sides.inner[1] > 0)
        text_printf(out, "\nInner variables by no common name: %u only old, "
                         "%u only new; that changes nothing above.\n",
                    (unsigned)sides.inner[0], (unsigned)sides.inner[1]);
}
