#include "base/workers.h"

#include "base/ensure.h"
#include "base/os_child.h"
#include "base/text.h"

/* A child has as long as it needs. */
static const double ANY_TIME = 1e6;

/* Children under way, and the numbers of their jobs. */
struct crew {
    const struct workers *workers;
    struct os_child *child[OS_CHILDREN];
    uint32_t number[OS_CHILDREN];
    uint32_t at_a_time, running, next;
};

struct errand {
    const struct workers *workers;
    uint32_t number;
};

static bool in_child(void *context, struct text *result)
{
    const struct errand *errand = context;

    return errand->workers->job(errand->workers->context, errand->number,
                                result);
}

static bool stopped(const struct workers *workers)
{
    return workers->stops != NULL && workers->stops();
}

static void begin(struct crew *crew, uint32_t place)
{
    const struct workers *workers = crew->workers;
    struct errand errand = {workers, crew->next++};

    crew->number[place] = errand.number;
    crew->child[place] = os_child_start(in_child, &errand, ANY_TIME);
    if (crew->child[place] == NULL)
        workers->take(workers->context, errand.number, NULL);
    else
        crew->running++;
}

static void begin_all(struct crew *crew)
{
    for (uint32_t i = 0; i < crew->at_a_time; i++)
        while (crew->child[i] == NULL && crew->next < crew->workers->n &&
               !stopped(crew->workers))
            begin(crew, i);
}

static void end_one(struct crew *crew)
{
    const struct workers *workers = crew->workers;
    uint32_t place = os_child_next(crew->child, crew->at_a_time);
    struct text result = {0};
    bool good = os_child_end(crew->child[place], &result) == OS_OK;

    crew->child[place] = NULL;
    crew->running--;
    if (!stopped(workers))
        workers->take(workers->context, crew->number[place],
                      good ? &result : NULL);
    text_release(&result);
}

void workers_run(const struct workers *workers)
{
    struct crew crew = {.workers = workers, .at_a_time = workers->at_a_time};

    ENSURE(workers->at_a_time > 0);
    if (crew.at_a_time > OS_CHILDREN)
        crew.at_a_time = OS_CHILDREN;
    for (begin_all(&crew); crew.running > 0; begin_all(&crew))
        end_one(&crew);
}
