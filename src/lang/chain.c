#include "lang/chain.h"

#include <stddef.h>
#include <string.h>

/* Through memcpy: the nodes are of many types. */
static void link_next(void *node, void *next)
{
    memcpy(node, &next, sizeof next);
}

struct chain chain_add(struct chain chain, void *node)
{
    if (!node)
        return chain;
    if (chain.last)
        link_next(chain.last, node);
    else
        chain.first = node;
    chain.last = node;
    chain.n++;
    return chain;
}

struct chain chain_join(struct chain a, struct chain b)
{
    if (!a.n)
        return b;
    if (!b.n)
        return a;
    link_next(a.last, b.first);
    a.last = b.last;
    a.n += b.n;
    return a;
}
