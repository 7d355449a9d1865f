#include "engine/tiles/budget.h"

#include "base/os.h"

void *budget_take(struct budget *b, size_t bytes)
{
    void *at;

    if (b->most != 0 && (b->held > b->most || bytes > b->most - b->held))
        return NULL;
    at = os_map(bytes);
    if (at)
        b->held += bytes;
    return at;
}

void budget_give(struct budget *b, void *at, size_t bytes)
{
    if (!at)
        return;
    b->held -= bytes;
    os_unmap(at, bytes);
}
