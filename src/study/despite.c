#include "study/despite.h"

#include <string.h>

#include "base/arena.h"
#include "check/model.h"
#include "study/question.h"

/* What is known under one set of dropped assumptions. */
struct ledger {
    const bool *dropped;             /* per assumption; NULL: none */
    const struct noticed_finding **noticed; /* per cause, or NULL */
    const struct despite **despite;  /* per requirement, or NULL */
    struct ledger *next;
};

static bool same_dropped(const struct study *study, const bool *a,
                         const bool *b)
{
    return a == NULL || b == NULL
               ? a == b
               : memcmp(a, b, study->model->n_assumptions) == 0;
}

static struct ledger *ledger_new(struct study *study)
{
    const struct model *model = study->model;
    struct arena *arena = study->arena;
    struct ledger *ledger = ARENA_NEW(arena, struct ledger);
    bool *dropped;

    if (study->dropped != NULL) {
        dropped = arena_array(arena, model->n_assumptions + 1,
                              sizeof *dropped);
        memcpy(dropped, study->dropped, model->n_assumptions);
        ledger->dropped = dropped;
    }
    ledger->noticed = arena_array(arena, model->n_causes + 1,
                                  sizeof *ledger->noticed);
    ledger->despite = arena_array(arena, model->n_requirements + 1,
                                  sizeof *ledger->despite);
    ledger->next = study->despites->ledgers;
    study->despites->ledgers = ledger;
    return ledger;
}

static struct ledger *ledger_of(struct study *study)
{
    struct ledger *ledger = study->despites->ledgers;

    while (ledger != NULL &&
           !same_dropped(study, ledger->dropped, study->dropped))
        ledger = ledger->next;
    return ledger != NULL ? ledger : ledger_new(study);
}

const struct despite *despite_of(struct study *study, uint32_t requirement)
{
    const struct requirement *asked = &study->model->requirements[requirement];
    struct ledger *ledger = ledger_of(study);
    struct despite *despite;

    if (study->instead != NULL)
        return study->instead;
    if (ledger->despite[requirement] != NULL)
        return ledger->despite[requirement];
    despite = ARENA_NEW(study->arena, struct despite);
    despite->faults = asked->despite + asked->another;
    despite->allowed = asked->despite_of;
    if (!asked->another)
        ledger->despite[requirement] = despite;
    return despite;
}

void despite_ask(const struct despite *despite, struct question *question)
{
    question->faults = despite->faults;
    question->allowed = despite->allowed;
    question->forbidden = despite->forbidden;
    question->n_forbidden = despite->n_forbidden;
    question->most_effort = despite->most_effort;
}

bool despite_is_set(struct study *study, uint32_t requirement)
{
    return study->instead != NULL ||
           ledger_of(study)->despite[requirement] != NULL;
}

void despite_set(struct study *study, uint32_t requirement,
                 const struct despite *despite)
{
    ledger_of(study)->despite[requirement] = despite;
}

const struct noticed_finding **despite_noticed(struct study *study)
{
    return ledger_of(study)->noticed;
}
