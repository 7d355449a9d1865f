#include "study/complete.h"

#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "check/model.h"
#include "engine/sequence.h"

/* A completion under way: rows of value indices, row by row. */
struct completion {
    struct study *study;
    const struct answer *answer;
    uint32_t *rows;
    uint32_t n_rows;
    uint32_t n_fit;  /* rows that fit the assumptions: all, or all but the one
                        that is a dead end */
    uint32_t n_choices;
    uint32_t *fixed; /* as decided so far, the rest free */
};

/* Rows that all slices share without being tied by them. */
static bool is_common(const struct choice *choice)
{
    return choice->kind == CHOICE_TIME || choice->kind == CHOICE_POWER;
}

/* What a slice has decided stays; so does what all slices share. */
static void fix_used(struct completion *c, const struct slice *slice)
{
    const struct model *model = c->study->model;
    size_t n = (size_t)c->n_rows * c->n_choices;

    for (size_t i = 0; i < n; i++)
        if (slice->used[i % c->n_choices] ||
            is_common(&model->choices[i % c->n_choices]))
            c->fixed[i] = c->rows[i];
}

static void fix_first(struct completion *c)
{
    size_t n = (size_t)c->n_rows * c->n_choices;

    c->fixed = arena_array(c->answer->arena, n + 1, sizeof *c->fixed);
    for (size_t i = 0; i < n; i++)
        c->fixed[i] = FLAT_NONE;
    fix_used(c, c->answer->slice);
}

static void merge(struct completion *c, const struct slice *slice,
                  const struct sequence *found)
{
    size_t n = (size_t)c->n_fit * c->n_choices;

    for (size_t i = 0; i < n; i++)
        if (slice->used[i % c->n_choices] && c->fixed[i] == FLAT_NONE)
            c->rows[i] = found->choices[i];
    fix_used(c, slice);
}

/* Completes the choices of one group of assumptions. */
static bool complete_group(struct completion *c, const uint32_t *members,
                           uint32_t n)
{
    const struct question question = {
        .with_assumptions = members,
        .n_with_assumptions = n,
        .faults = c->answer->request.faults,
        .allowed = c->answer->request.allowed,
        .forbidden = c->answer->request.forbidden,
        .n_forbidden = c->answer->request.n_forbidden,
        .walk = true,
    };
    struct answer other;
    const struct sequence *found = NULL;

    answer_find(c->study, &question, &other);
    answer_walk(&other);
    if (answer_complete(&other))
        found = sequence_of_length(other.arena, other.exploration, c->n_fit,
                                   c->fixed);
    if (found != NULL)
        merge(c, other.slice, found);
    answer_release(&other);
    return found != NULL;
}

static bool complete_groups(struct completion *c)
{
    const struct flat *flat = c->study->lowered->flat;
    uint32_t n = flat->n_assumptions;
    uint32_t *group = arena_array(c->answer->arena, n + 1, sizeof *group);
    uint32_t *members = arena_array(c->answer->arena, n + 1, sizeof *members);
    uint32_t groups = slice_outside(c->study->lowered->builder, flat,
                                    c->answer->slice, &c->answer->request,
                                    group);

    for (uint32_t g = 0; g < groups && c->n_fit > 0; g++) {
        uint32_t count = 0;

        for (uint32_t i = 0; i < n; i++)
            if (group[i] == g)
                members[count++] = i;
        if (!complete_group(c, members, count))
            return false;
    }
    return true;
}

struct step_setting complete_setting(const struct study *study,
                                     const struct answer *answer)
{
    return (struct step_setting){
        .fault_limit = answer->request.faults,
        .allowed = answer->request.allowed,
        .studied = answer->request.studied,
        .n_studied = answer->request.n_studied,
        .forbidden = answer->request.forbidden,
        .n_forbidden = answer->request.n_forbidden,
        .dropped = study->dropped,
    };
}

const struct replay *complete_play(struct study *study,
                                   const struct answer *answer,
                                   const struct replay_asked *asked)
{
    const struct step_setting setting = complete_setting(study, answer);
    const struct replay *replay =
        replay_run(study->arena, study->machine, &setting, asked);

    if (replay->accepted)
        return replay;
    study_internal(study,
                   arena_printf(study->arena,
                                "a sequence of %u scans was not accepted by "
                                "the reference interpreter: %s",
                                asked->length + (asked->claim ==
                                                 REPLAY_DEAD_END),
                                replay->why_not));
    return NULL;
}

/* Where the last row is a dead end nothing fits there: what is left of it stays
 * at rest. */
static const uint32_t *complete_all(struct study *study,
                                    const struct answer *answer,
                                    const struct sequence *sequence,
                                    bool dead_end)
{
    struct completion c = {
        .study = study,
        .answer = answer,
        .n_rows = sequence->length,
        .n_fit = sequence->length - dead_end,
        .n_choices = sequence->n_choices,
    };
    size_t n = (size_t)c.n_rows * c.n_choices;

    c.rows = arena_array(study->arena, n + 1, sizeof *c.rows);
    memcpy(c.rows, sequence->choices, n * sizeof *c.rows);
    fix_first(&c);
    return complete_groups(&c) ? c.rows : NULL;
}

const uint32_t *complete_rows(struct study *study,
                              const struct answer *answer,
                              const struct sequence *sequence)
{
    return complete_all(study, answer, sequence, false);
}

const struct replay *complete_sequence(struct study *study,
                                       const struct answer *answer,
                                       const struct sequence *sequence,
                                       enum replay_claim claim,
                                       uint32_t index)
{
    bool dead_end = claim == REPLAY_DEAD_END;
    const uint32_t *rows = complete_all(study, answer, sequence, dead_end);
    const struct replay_asked asked = {
        .choices = rows,
        .length = sequence->length - dead_end,
        .claim = claim,
        .index = index,
    };

    return rows == NULL ? NULL : complete_play(study, answer, &asked);
}
