#include "tests/bench/question.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/name.h"
#include "base/text.h"
#include "check/model.h"
#include "logic/slice.h"
#include "lower/lower.h"
#include "source/diag.h"
#include "source/render.h"
#include "study/load.h"
#include "tests/bench/shape.h"

struct question_texts {
    struct loaded *loaded;
    struct lowered *lowered;
    struct arena *arena;
};

static _Noreturn void fail(const char *path, const char *what)
{
    fprintf(stderr, "bench: %s: %s\n", path, what);
    exit(1);
}

static void load(struct question_texts *t, const char *path)
{
    const struct load_request request = {.path = path};

    t->loaded = load_run(&request);
    if (!t->loaded->model)
        fail(path, t->loaded->failure ? t->loaded->failure
                                      : "has mistakes: run check on it");
    t->lowered = lower_model(t->loaded->arena, t->loaded->model,
                             t->loaded->diags);
    if (!t->lowered)
        fail(path, "cannot be lowered");
    t->arena = arena_new();
}

static uint32_t find(const struct question_texts *t, const char *path,
                     const char *requirement)
{
    const struct model *model = t->loaded->model;

    for (uint32_t i = 0; i < model->n_requirements; i++)
        if (!strcmp(model->requirements[i].name->spelling, requirement))
            return i;
    fail(path, requirement);
}

struct question question_open(const char *path, const char *requirement)
{
    struct question_texts *t = calloc(1, sizeof *t);
    struct slice_request request = {.n_watches = 1};
    struct question question = {t, NULL};
    const struct requirement *asked;
    uint32_t r;

    load(t, path);
    r = find(t, path, requirement);
    asked = &t->loaded->model->requirements[r];
    request.watches = &t->lowered->breach[r];
    request.faults = asked->despite;
    request.allowed = asked->despite_of;
    question.slice = slice_build(t->arena, t->lowered->builder,
                                 t->lowered->flat, &request);
    return question;
}

void question_close(struct question *question)
{
    struct question_texts *t = question->texts;

    arena_free(t->arena);
    lowered_free(t->lowered);
    loaded_free(t->loaded);
    free(t);
}

unsigned question_bits(const struct slice *slice)
{
    unsigned bits = 0;

    for (uint32_t i = 0; i < slice->n_cells; i++) {
        const struct slice_cell *c = &slice->cells[i];

        bits += bits_of((uint64_t)(c->high - c->low) / (uint64_t)c->unit);
    }
    return bits;
}

unsigned question_inputs(const struct slice *slice)
{
    unsigned n = 0;

    for (uint32_t r = 0; r < slice->n_choices; r++)
        n += slice->used[r];
    return n;
}

double question_vectors(const struct slice *slice)
{
    double all = 1;

    for (uint32_t r = 0; r < slice->n_choices; r++)
        if (slice->used[r])
            all *= slice->choices[r].count;
    return all;
}
