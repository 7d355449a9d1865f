#include "study/begun_machine.h"

#include <ctype.h>
#include <string.h>

#include "base/arena.h"
#include "base/name.h"
#include "base/vec.h"
#include "lang/word.h"
#include "study/load.h"

bool begun_reserved(const struct name *name)
{
    const struct word *word = word_find(name, PARSE_REVIEW);

    return word && (!word->ours || !word->before);
}

void begun_mark(struct loaded *loaded)
{
    names_of(loaded->names, "?");
}

/* A name that is younger than the mark stands in none of the texts. */
const char *begun_fresh(struct loaded *loaded, const char *wanted)
{
    const struct name *mark = names_of(loaded->names, "?");
    const char *name = wanted;

    for (unsigned i = 2; i < 1000; i++) {
        const struct name *known = names_of(loaded->names, name);

        if (known->id > mark->id && !begun_reserved(known))
            break;
        name = arena_printf(loaded->arena, "%s_%u", wanted, i);
    }
    return name;
}

/* ---- directions ---- */

static bool moves(const struct begun_signal *signal)
{
    return !signal->input &&
           (signal->kind == BEGUN_VALVE || signal->kind == BEGUN_MOTOR ||
            signal->kind == BEGUN_OUTPUT);
}

static void pair_outputs(struct begun_signal *signals, uint32_t a,
                         uint32_t b, struct begun_pair *pair)
{
    struct direction d[2] = {{0}};
    uint32_t at = 0;

    pair->one = BEGUN_NONE;
    if (!words_opposite(&signals[a].words, &signals[b].words, &at, d))
        return;
    pair->one = d[0].sign > 0 ? a : b;
    pair->other = d[0].sign > 0 ? b : a;
    pair->axis = d[0].axis;
    pair->stem = words_stem(&signals[a].words, at);
    signals[a].paired = signals[b].paired = true;
}

/* Two inputs in opposite directions that are no ends are pressed. */
static void pair_buttons(struct loaded *loaded, struct begun_signal *a,
                         struct begun_signal *b)
{
    struct direction d[2] = {{0}};
    uint32_t at = 0;

    if (a->kind != BEGUN_FREE || b->kind != BEGUN_FREE || *a->why ||
        *b->why || !words_opposite(&a->words, &b->words, &at, d) ||
        d[0].place)
        return;
    a->kind = b->kind = BEGUN_BUTTON;
    a->paired = b->paired = true;
    a->why = arena_printf(loaded->arena, "a direction, as '%s' is",
                          b->name);
    b->why = arena_printf(loaded->arena, "a direction, as '%s' is",
                          a->name);
}

void begun_pairs(struct loaded *loaded, struct beginning *begun)
{
    VEC(struct begun_pair) all = {0};
    struct begun_signal *signals = begun->signals;

    for (uint32_t a = 0; a < begun->n_signals; a++)
        for (uint32_t b = a + 1; b < begun->n_signals; b++) {
            struct begun_pair pair;

            if (signals[a].input && signals[b].input)
                pair_buttons(loaded, &signals[a], &signals[b]);
            if (!moves(&signals[a]) || !moves(&signals[b]) ||
                signals[a].paired || signals[b].paired)
                continue;
            pair_outputs(signals, a, b, &pair);
            if (pair.one != BEGUN_NONE)
                vec_push(&all, pair);
        }
    begun->n_pairs = (uint32_t)all.n;
    begun->pairs = arena_array(loaded->arena, all.n, sizeof *all.at);
    if (all.n)
        memcpy(begun->pairs, all.at, all.n * sizeof *all.at);
    vec_release(&all);
}

/* ---- ends ---- */

static bool may_be_end(const struct begun_signal *signal)
{
    return signal->input && signal->kind == BEGUN_FREE &&
           signal->mechanism == BEGUN_NONE && !signal->paired &&
           (signal->sensor_word || !*signal->why);
}

/* "Gate" of "gate"; stems of several words are joined by _. */
static const char *joined(struct loaded *loaded, const struct words *words,
                          const char *otherwise)
{
    const char *all = "";

    for (uint32_t i = 0; i < words->n; i++)
        if (*all || isalpha((unsigned char)words->at[i][0]))
            all = arena_printf(loaded->arena, "%s%s%s", all,
                               *all ? "_" : "", words->at[i]);
    return *all ? all : otherwise;
}

static const char *capital(struct loaded *loaded, const char *word)
{
    char *copy = arena_copy(loaded->arena, word, strlen(word));

    copy[0] = (char)toupper((unsigned char)copy[0]);
    return copy;
}

/* "Open"; "Out_end" where Out is a word of its own.  End WHILE would be read
 * as one word. */
static const char *position(struct loaded *loaded, const char *end)
{
    const char *wanted =
        strcmp(end, "end") == 0 ? "At_end" : capital(loaded, end);
    const char *fresh = begun_fresh(loaded, wanted);

    return fresh == wanted
               ? wanted
               : begun_fresh(loaded, arena_printf(loaded->arena, "%s_end",
                                                  wanted));
}

struct mechanisms {
    VEC(struct begun_mechanism) all;
};

/* Parts of one name are numbered. */
static const char *part_name(struct loaded *loaded,
                             const struct mechanisms *others,
                             const struct begun_mechanism *m)
{
    const char *part = joined(loaded, &m->stem, "part");
    unsigned n = 1;

    for (size_t i = 0; i < others->all.n; i++)
        n += strcmp(part, joined(loaded, &others->all.at[i].stem, "part")) ==
             0;
    return n > 1 ? arena_printf(loaded->arena, "%s_no%u", part, n) : part;
}

static void name_parts(struct loaded *loaded,
                       const struct mechanisms *others,
                       struct begun_mechanism *m, const char *ends[2])
{
    const char *part = part_name(loaded, others, m);

    m->name = capital(loaded, part);
    if (begun_fresh(loaded, m->name) != m->name)
        m->name = begun_fresh(loaded, arena_printf(loaded->arena, "%s_part",
                                                   m->name));
    m->variable = begun_fresh(
        loaded, arena_printf(loaded->arena, "%s_place", part));
    for (int i = 0; i < 2; i++)
        m->positions[i] = ends[i] ? position(loaded, ends[i]) : NULL;
    m->positions[2] =
        begun_fresh(loaded, ends[1] ? "Between" : "Elsewhere");
}

static void see_end(struct beginning *begun, uint32_t mechanism,
                    uint32_t end, uint32_t sensor)
{
    struct begun_signal *signal = &begun->signals[sensor];

    signal->kind = BEGUN_SENSOR;
    signal->mechanism = mechanism;
    signal->end = end;
}

/* How well a drive fits to a part: the same name best, then one of the two
 * without a name of its own. */
static int fit(const struct begun_mechanism *m, const struct begun_pair *p)
{
    if (m->stem.n && words_same(&m->stem, &p->stem))
        return m->axis == p->axis ? 4 : 3;
    if (m->axis != p->axis)
        return 0;
    return !m->stem.n && !p->stem.n ? 3 : !m->stem.n || !p->stem.n ? 1 : 0;
}

/* The pair of outputs that fits best; none where several do. */
static const struct begun_pair *drive_of(const struct beginning *begun,
                                         const struct begun_mechanism *m)
{
    const struct begun_pair *best = NULL;
    int most = 0;

    for (uint32_t i = 0; i < begun->n_pairs; i++) {
        int here = fit(m, &begun->pairs[i]);

        if (here && here == most)
            best = NULL;
        if (here > most) {
            most = here;
            best = &begun->pairs[i];
        }
    }
    return best;
}

static void find_drives(const struct beginning *begun,
                        struct begun_mechanism *m)
{
    const struct begun_pair *pair = drive_of(begun, m);
    bool first = m->sign > 0;

    m->drives[0] = m->drives[1] = BEGUN_NONE;
    if (pair) {
        m->drives[0] = first ? pair->one : pair->other;
        m->drives[1] = first ? pair->other : pair->one;
        return;
    }
    /* One output alone: it drives to one end, its absence to the other. */
    for (uint32_t i = 0; i < begun->n_signals; i++) {
        const struct begun_signal *signal = &begun->signals[i];

        for (uint32_t k = 0; moves(signal) && !signal->paired &&
                             m->stem.n && k < signal->words.n; k++) {
            struct words stem = words_stem(&signal->words, k);
            struct direction d;

            if (words_direction(signal->words.at[k], false, &d) &&
                words_same(&stem, &m->stem))
                m->drives[(d.sign > 0) != first] = i;
        }
    }
}

static void add_two_ends(struct loaded *loaded, struct beginning *begun,
                         uint32_t a, uint32_t b, struct mechanisms *out)
{
    struct begun_signal *signals = begun->signals;
    struct direction d[2] = {{0}};
    struct begun_mechanism m = {0};
    uint32_t at = 0;
    const char *ends[2];

    if (!words_opposite(&signals[a].words, &signals[b].words, &at, d) ||
        (!d[0].place && !signals[a].sensor_word))
        return;
    m.sensors[0] = a;
    m.sensors[1] = b;
    m.axis = d[0].axis;
    m.sign = d[0].sign;
    m.stem = words_stem(&signals[a].words, at);
    ends[0] = signals[a].words.at[at];
    ends[1] = signals[b].words.at[at];
    for (int i = 0; i < 2; i++)
        signals[i ? b : a].why = arena_printf(
            loaded->arena, "'%s' and '%s' name two ends", ends[0], ends[1]);
    name_parts(loaded, out, &m, ends);
    find_drives(begun, &m);
    see_end(begun, (uint32_t)out->all.n, 0, a);
    see_end(begun, (uint32_t)out->all.n, 1, b);
    vec_push(&out->all, m);
}

/* The other end of a part of which one is known, though the words of the two
 * are no pair. */
static bool join_end(struct loaded *loaded, struct beginning *begun,
                     uint32_t a, const struct begun_mechanism *like,
                     struct mechanisms *out)
{
    for (size_t i = 0; i < out->all.n; i++) {
        struct begun_mechanism *m = &out->all.at[i];

        if (m->sensors[1] != BEGUN_NONE || m->axis != like->axis ||
            m->sign == like->sign || !words_same(&m->stem, &like->stem))
            continue;
        m->sensors[1] = a;
        m->positions[1] = position(loaded, like->positions[0]);
        m->positions[2] = begun_fresh(loaded, "Between");
        see_end(begun, (uint32_t)i, 1, a);
        begun->signals[a].why = arena_printf(
            loaded->arena, "'%s' is the other end of what '%s' sees",
            like->positions[0], begun->signals[m->sensors[0]].name);
        return true;
    }
    return false;
}

/* One end is enough where two outputs drive to it and away. */
static void add_one_end(struct loaded *loaded, struct beginning *begun,
                        uint32_t a, struct mechanisms *out)
{
    struct begun_signal *signal = &begun->signals[a];
    struct begun_mechanism m = {0};
    const char *ends[2] = {NULL, NULL};
    struct direction d;

    for (uint32_t k = 0; k < signal->words.n && !ends[0]; k++)
        if (words_direction(signal->words.at[k], true, &d)) {
            ends[0] = signal->words.at[k];
            m.axis = d.axis;
            m.sign = d.sign;
            m.stem = words_stem(&signal->words, k);
        }
    m.positions[0] = ends[0];
    if (!ends[0] || !drive_of(begun, &m) ||
        join_end(loaded, begun, a, &m, out))
        return;
    m.sensors[0] = a;
    m.sensors[1] = BEGUN_NONE;
    find_drives(begun, &m);
    signal->why = arena_printf(
        loaded->arena, "'%s' is an end that '%s' drives to", ends[0],
        begun->signals[m.drives[0]].name);
    name_parts(loaded, out, &m, ends);
    see_end(begun, (uint32_t)out->all.n, 0, a);
    vec_push(&out->all, m);
}

void begun_mechanisms(struct loaded *loaded, struct beginning *begun)
{
    struct mechanisms found = {.all = {0}};
    const struct begun_signal *signals = begun->signals;
    uint32_t n = begun->n_signals;

    for (uint32_t a = 0; a < n; a++)
        for (uint32_t b = a + 1; may_be_end(&signals[a]) && b < n; b++)
            if (may_be_end(&signals[b]))
                add_two_ends(loaded, begun, a, b, &found);
    for (uint32_t a = 0; a < n; a++)
        if (may_be_end(&signals[a]) && signals[a].sensor_word)
            add_one_end(loaded, begun, a, &found);
    begun->n_mechanisms = (uint32_t)found.all.n;
    begun->mechanisms = arena_array(loaded->arena, found.all.n,
                                    sizeof *found.all.at);
    if (found.all.n)
        memcpy(begun->mechanisms, found.all.at,
               found.all.n * sizeof *found.all.at);
    vec_release(&found.all);
}
