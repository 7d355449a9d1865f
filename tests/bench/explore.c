/* Measurements, side by side in one run: the explorer against naive
 * enumeration by the reference interpreter, on the same questions.  Ratios
 * are what counts; seconds differ from machine to machine. */
#include <stdio.h>
#include <stdlib.h>

#include "base/arena.h"
#include "base/os.h"
#include "check/model.h"
#include "engine/explore.h"
#include "lower/lower.h"
#include "reference/naive.h"
#include "study/load.h"

enum { ROUNDS = 5 };

static int ascending(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

/* Median of the rounds, in seconds. */
static double median(double *seconds)
{
    qsort(seconds, ROUNDS, sizeof *seconds, ascending);
    return seconds[ROUNDS / 2];
}

struct subject {
    struct loaded *loaded;
    struct lowered *lowered;
    struct machine *machine;
};

static const struct slice *slice_of(const struct subject *s,
                                    struct arena *arena, uint32_t r)
{
    const struct requirement *requirement =
        &s->loaded->model->requirements[r];
    const struct slice_request request = {
        .watches = &s->lowered->breach[r],
        .n_watches = 1,
        .faults = requirement->despite,
        .allowed = requirement->despite_of,
    };

    return slice_build(arena, s->lowered->builder, s->lowered->flat,
                       &request);
}

static double time_explorer(const struct slice *slice, uint64_t *situations,
                            size_t *bytes)
{
    double seconds[ROUNDS];

    for (int i = 0; i < ROUNDS; i++) {
        double start = os_seconds();
        struct exploration *found = explore(slice, NULL);

        seconds[i] = os_seconds() - start;
        *situations = exploration_situations(found);
        *bytes = exploration_bytes(found);
        exploration_free(found);
    }
    return median(seconds);
}

/* Seconds per situation of the whole state, over a bounded part. */
static double time_naive(const struct subject *s, uint32_t r)
{
    const struct requirement *requirement =
        &s->loaded->model->requirements[r];
    struct arena *arena = arena_new();
    const struct naive_place none = {0};
    const struct naive_setting setting = {
        .step = {.fault_limit = requirement->despite,
                 .allowed = requirement->despite_of},
        .places = &none,
        .n_places = 0,
        .requirement = r,
        .most_states = 300,
    };
    double start = os_seconds(), seconds;

    naive_explore(arena, s->machine, &setting);
    seconds = (os_seconds() - start) / 300;
    arena_free(arena);
    return seconds;
}

static void measure(const struct subject *s, uint32_t r)
{
    struct arena *arena = arena_new();
    const struct slice *slice = slice_of(s, arena, r);
    uint64_t situations;
    size_t bytes;
    double seconds = time_explorer(slice, &situations, &bytes);
    double naive = time_naive(s, r);

    printf("  %-5s %9llu situations  %8.1f thousand a second  %6.0f bytes "
           "each  %7.0f times the reference\n",
           s->loaded->model->requirements[r].name->spelling,
           (unsigned long long)situations, situations / seconds / 1000,
           (double)bytes / (double)situations,
           naive / (seconds / (double)situations));
    arena_free(arena);
}

static int bench(const char *path)
{
    const struct load_request request = {.path = path};
    struct subject s = {.loaded = load_run(&request)};

    if (s.loaded->model == NULL) {
        printf("%s cannot be read\n", path);
        return 1;
    }
    s.lowered = lower_model(s.loaded->arena, s.loaded->model,
                            s.loaded->diags);
    s.machine = machine_new(s.loaded->arena, s.loaded->model);
    printf("%s, with movement times, median of %d runs\n", path, ROUNDS);
    for (uint32_t r = 0; r < s.loaded->model->n_requirements; r++)
        measure(&s, r);
    lowered_free(s.lowered);
    loaded_free(s.loaded);
    return 0;
}

int main(void)
{
    return bench("models/table/table.review") ||
           bench("models/tailgate/tailgate.review");
}
