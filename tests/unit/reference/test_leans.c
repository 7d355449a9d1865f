/* What a scan is said to lean on is enough: on random machines, whatever is
 * not named is turned into something else, and the outcome stays. */
#include "reference/leans.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/hash.h"
#include "check/model.h"
#include "tests/support/subject.h"

#ifdef __SANITIZE_ADDRESS__
enum { MACHINES = 60 };
#else
enum { MACHINES = 400 };
#endif

enum { STATES = 40, TRIALS = 300, WORDS_ASKED = 4 };

enum outcome { NOT_ALLOWED, ERROR, FOUND, LEFT, LEADS_ON, OUTCOMES };

struct bench {
    struct subject s;
    const struct model *model;
    struct leans *leans;
    uint64_t seed;
    uint32_t words;
    int64_t *states; /* STATES rows that can be reached */
    unsigned outcomes[OUTCOMES], turned, named;
};

static unsigned below(struct bench *b, unsigned bound)
{
    b->seed = hash_word(b->seed + 0x9e3779b97f4a7c15u);
    return (unsigned)((b->seed >> 24) % bound);
}

static int64_t *state_at(const struct bench *b, unsigned number)
{
    return b->states + (size_t)number * b->words;
}

static void choose(struct bench *b, uint32_t *choices)
{
    for (uint32_t i = 0; i < b->model->n_choices; i++)
        choices[i] = below(b, b->model->choices[i].count);
}

static enum outcome outcome_of(const struct step_result *step)
{
    if (step->end == STEP_NOT_ALLOWED)
        return NOT_ALLOWED;
    if (step->end == STEP_ERROR)
        return ERROR;
    if (step->breach[0])
        return FOUND;
    return step->trigger[0][0] ? LEADS_ON : LEFT;
}

/* ---- states that can be reached, faults and the dark included ---- */

static void wander(struct bench *b)
{
    uint32_t *choices = arena_array(b->s.arena, b->model->n_choices + 1,
                                    sizeof *choices);
    struct step_setting setting = {.first = true, .fault_limit = 2};

    b->states = arena_array(b->s.arena, (size_t)STATES * b->words,
                            sizeof *b->states);
    for (unsigned i = 0; i < STATES; i++) {
        int64_t *state = state_at(b, i);
        const struct step_result *step;

        setting.first = i % 10 == 0;
        do {
            choose(b, choices);
            if (setting.first)
                machine_start(b->s.machine, choices, state);
            else
                memcpy(state, state - b->words, b->words * sizeof *state);
            step = machine_step(b->s.machine, &setting, choices, state);
        } while (step->end != STEP_JUDGED && below(b, 50) > 0);
    }
}

/* ---- one trial ---- */

static bool is_kept(const struct bench *b, uint32_t word)
{
    uint32_t dark = machine_word(b->s.machine,
                                 (struct place_id){PLACE_WAS_DARK, 0});
    uint32_t fault = b->model->n_faults == 0 ? dark
        : machine_word(b->s.machine, (struct place_id){PLACE_FAULT, 0});

    return word == dark ||
           (word >= fault && word < fault + b->model->n_faults + b->model->n_causes);
}

static bool still(const struct choice *choice)
{
    return choice->kind == CHOICE_POWER || choice->kind == CHOICE_FAULT;
}

static void join(const struct bench *b, uint64_t *set, leans_set other)
{
    for (uint32_t i = 0; i < leans_size(b->leans); i++)
        set[i] |= other[i];
}

/* What is not in the set is as in another state, and as it happens. */
static void turn(struct bench *b, leans_set set, const int64_t *from,
                 int64_t *state, uint32_t *choices)
{
    const int64_t *other = state_at(b, below(b, STATES));
    uint32_t n = b->model->n_choices;

    for (uint32_t i = 0; i < b->words; i++) {
        bool same = is_kept(b, i) || leans_has(set, n + i);

        state[i] = same ? from[i] : other[i];
        b->turned += state[i] != from[i];
        b->named += leans_has(set, n + i);
    }
    for (uint32_t i = 0; i < n; i++)
        if (!leans_has(set, i) && !still(&b->model->choices[i]))
            choices[i] = below(b, b->model->choices[i].count);
}

static bool same_words(const uint32_t *asked,
                       const int64_t *x, const int64_t *y)
{
    for (uint32_t i = 0; i < WORDS_ASKED; i++)
        if (x[asked[i]] != y[asked[i]])
            return false;
    return true;
}

static bool try_once(struct bench *b)
{
    const struct step_setting setting = {.fault_limit = 2};
    struct arena *arena = arena_new();
    int64_t *after = arena_array(arena, b->words, sizeof *after);
    int64_t *turned = arena_array(arena, b->words, sizeof *turned);
    uint32_t *choices = arena_array(arena, b->model->n_choices + 1,
                                    sizeof *choices);
    uint64_t *set = arena_array(arena, leans_size(b->leans), sizeof *set);
    const int64_t *from = state_at(b, below(b, STATES));
    uint32_t asked[WORDS_ASKED];
    enum outcome outcome, again;
    bool same;

    choose(b, choices);
    for (uint32_t i = 0; i < b->model->n_choices; i++)
        if (still(&b->model->choices[i]))
            choices[i] = 0;
    memcpy(after, from, b->words * sizeof *after);
    outcome = outcome_of(leans_step(b->leans, &setting, choices, after));
    join(b, set, leans_outcome(b->leans));
    for (uint32_t i = 0; i < WORDS_ASKED; i++) {
        asked[i] = below(b, b->words);
        if (outcome >= FOUND)
            join(b, set, leans_word(b->leans, asked[i]));
    }
    turn(b, set, from, turned, choices);
    again = outcome_of(machine_step(b->s.machine, &setting, choices, turned));
    same = again == outcome &&
           (outcome < FOUND || same_words(asked, after, turned));
    b->outcomes[outcome]++;
    arena_free(arena);
    return same;
}

static bool try_machine(struct bench *total, uint64_t seed, bool loops)
{
    struct bench b = {.s = {.seed = seed, .again = true, .loops = loops},
                      .seed = seed};
    bool same = true;

    subject_read(&b.s, false);
    b.model = b.s.model;
    b.words = machine_words(b.s.machine);
    b.leans = leans_new(b.s.arena, b.s.machine, 0);
    assert_non_null(b.leans);
    wander(&b);
    for (unsigned i = 0; same && i < TRIALS; i++)
        same = try_once(&b);
    if (!same)
        subject_complain(&b.s, "the outcome leans on more than was named");
    for (int i = 0; i < OUTCOMES; i++)
        total->outcomes[i] += b.outcomes[i];
    total->turned += b.turned;
    total->named += b.named;
    leans_release(b.leans);
    subject_release(&b.s);
    return same;
}

static void try_machines(uint64_t first, bool loops)
{
    struct bench total = {.turned = 0};
    bool same = true;

    for (uint64_t seed = first; same && seed < first + MACHINES; seed++)
        same = try_machine(&total, seed, loops);
    print_message("not allowed %u, error %u, found %u, left %u, leads on %u; "
                  "per scan %u words named, %u turned\n",
                  total.outcomes[NOT_ALLOWED], total.outcomes[ERROR],
                  total.outcomes[FOUND], total.outcomes[LEFT],
                  total.outcomes[LEADS_ON],
                  total.named / (MACHINES * TRIALS),
                  total.turned / (MACHINES * TRIALS));
    assert_true(same);
    for (int i = 0; i < OUTCOMES; i++)
        assert_true(total.outcomes[i] > MACHINES / 20);
    assert_true(total.turned > 2 * MACHINES * TRIALS);
}

static void what_is_named_is_enough(void **state)
{
    (void)state;
    try_machines(7001, false);
}

static void also_with_loops(void **state)
{
    (void)state;
    try_machines(9001, true);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_named_is_enough),
        cmocka_unit_test(also_with_loops),
    };

    return cmocka_run_group_tests_name("leans", tests, NULL, NULL);
}
