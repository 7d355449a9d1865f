#include "check/spread.h"

struct spread {
    const struct code_variable *variable;
    uint32_t size;
    void (*visit)(void *context, uint32_t slot);
    void *context;
};

/* An index of a subrange has no other values. */
static int64_t least(const struct code_index *index)
{
    int64_t low = index->value->type->low;

    return low > index->low ? low : index->low;
}

static int64_t most(const struct code_index *index)
{
    int64_t high = index->value->type->high;

    return high < index->high ? high : index->high;
}

static void visit_from(const struct spread *s, uint32_t step, uint32_t first)
{
    const struct code_index *index;

    if (step == s->variable->n_steps) {
        for (uint32_t i = 0; i < s->size; i++)
            s->visit(s->context, first + i);
        return;
    }
    index = &s->variable->steps[step];
    for (int64_t i = least(index); i <= most(index); i++)
        visit_from(s, step + 1,
                   first + (uint32_t)(i - index->low) * index->stride);
}

void spread_visit(const struct code_variable *variable, uint32_t size,
                  uint32_t first, void (*visit)(void *context, uint32_t slot),
                  void *context)
{
    struct spread spread = {variable, size, visit, context};

    visit_from(&spread, 0, first);
}
