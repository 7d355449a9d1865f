#include "engine/tiles/budget.h"

#include "base/os.h"

void *budget_take(struct budget *b, size_t bytes)
{
    uint64_t before = atomic_fetch_add(&b->held, bytes);
    void *at = NULL;

    if (b->most == 0 || (before <= b->most && bytes <= b->most - before))
        at = os_map(bytes);
    if (!at)
        atomic_fetch_sub(&b->held, bytes);
    return at;
}

void budget_give(struct budget *b, void *at, size_t bytes)
{
    if (!at)
        return;
    b->held -= bytes;
    os_unmap(at, bytes);
}
