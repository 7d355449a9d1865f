/* The library calls its own function that makes or finds a node by its name,
 * through the dynamic linker.  So a function of that name in the program
 * takes its place; it counts, and hands on. */
#include "engine/sets/steps.h"

#include <stddef.h>

#include "base/ensure.h"
#include "base/os.h"

int bdd_makenode(unsigned level, int low, int high);

typedef int maker(unsigned level, int low, int high);

/* One for the whole program, as the library is. */
static struct {
    maker *maker; /* the library's own, NULL until it is looked for */
    uint64_t made, next; /* steps; at which the listener is called */
    void (*listener)(void *context);
    void *context;
    uint64_t between; /* two calls */
    uint64_t looked;
    uint64_t bound;   /* steps are allowed up to there */
} steps = {.bound = UINT64_MAX};

static void pause_for(void)
{
    if (!steps.maker)
        steps.maker = (maker *)os_behind("bdd_makenode");
    ENSURE(steps.maker);
    steps.next = steps.listener ? steps.made + steps.between : UINT64_MAX;
    if (steps.listener)
        steps.listener(steps.context);
}

int bdd_makenode(unsigned level, int low, int high)
{
    if (++steps.made >= steps.next)
        pause_for();
    return steps.maker(level, low, high);
}

uint64_t steps_made(void)
{
    return steps.made;
}

void steps_look(uint64_t nodes)
{
    steps.looked += nodes;
}

uint64_t steps_looked(void)
{
    return steps.looked;
}

void steps_listen(void (*listener)(void *context), void *context,
                  uint64_t between)
{
    steps.listener = listener;
    steps.context = context;
    steps.between = between;
    steps.next = !steps.maker ? 0
                 : listener   ? steps.made + between
                              : UINT64_MAX;
}

void steps_bind(uint64_t more)
{
    steps.bound = steps.made + more;
}

bool steps_passed(void)
{
    return steps.made > steps.bound;
}

bool steps_unbind(void)
{
    bool kept = !steps_passed();

    steps.bound = UINT64_MAX;
    return kept;
}
