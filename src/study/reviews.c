#include "study/reviews.h"

#include <ctype.h>
#include <string.h>
#include <strings.h>

#include "base/arena.h"
#include "base/name.h"
#include "base/vec.h"
#include "check/model.h"
#include "lang/review.h"
#include "study/load.h"

/* One item of a review text. */
struct item {
    const char *kind, *name;
    struct span span;
    bool excluded;    /* a fault */
    uint32_t despite; /* a requirement */
};

struct items {
    struct item *at;
    size_t n, cap;
};

struct comparing {
    struct arena *arena;
    const struct loaded *was, *is;
    VEC(struct review_difference) found;
};

/* ---- the items of a text ---- */

static void add(struct items *items, const char *kind, const char *name,
                struct span span)
{
    vec_push(items, ((struct item){.kind = kind, .name = name,
                                   .span = span}));
}

static void add_asked(struct items *items, const struct loaded *loaded)
{
    const struct tree_review *review = &loaded->run->review;
    const struct model *model = loaded->model;

    for (const struct tree_assumption *at = review->assumptions.first;
         at != NULL; at = at->next)
        add(items, "assumption", at->name->name->spelling, at->span);
    for (const struct tree_fault *at = review->faults.first; at != NULL;
         at = at->next) {
        add(items, "fault", at->name->name->spelling, at->span);
        items->at[items->n - 1].excluded = at->excluded;
    }
    for (uint32_t i = 0; i < model->n_requirements; i++) {
        const struct requirement *asked = &model->requirements[i];

        add(items, "requirement", asked->name->spelling, asked->said);
        items->at[items->n - 1].despite = asked->despite + asked->another;
    }
}

/* Causes that several faults have in common count once. */
static void add_groups(struct items *items, struct arena *arena,
                       const struct model *model)
{
    for (uint32_t i = 0; i < model->n_causes; i++) {
        const struct cause *cause = &model->causes[i];
        const char *words = cause->name->spelling;

        if (!cause->group)
            continue;
        for (uint32_t k = 0; k < cause->n_members; k++)
            words = arena_printf(arena, "%s%s%s", words,
                                 k == 0 ? " of " : ", ",
                                 model->faults[cause->members[k]]
                                     .name->spelling);
        add(items, "common cause", words, (struct span){0});
    }
}

static const char *body_kind(enum tree_body_kind kind)
{
    switch (kind) {
    case TREE_WIRING_IN: return "wiring in";
    case TREE_WIRING_OUT: return "wiring out";
    case TREE_MECHANISM: return "mechanism";
    case TREE_RECORDER: return "recorder";
    }
    return "text";
}

static void add_machine(struct items *items, const struct tree_review *review)
{
    for (const struct tree_body *at = review->bodies.first; at != NULL;
         at = at->next)
        add(items, body_kind(at->kind),
            at->name == NULL ? "" : at->name->name->spelling, at->span);
    for (const struct tree_signal *at = review->signals.first; at != NULL;
         at = at->next)
        add(items, "signal", at->name->name->spelling, at->span);
    for (const struct tree_setting *at = review->settings.first; at != NULL;
         at = at->next)
        add(items, "controller's setting", at->name->name->spelling,
            at->span);
}

static void add_one(struct items *items, struct arena *arena,
                    const struct model *model)
{
    add(items, "scan time",
        arena_printf(arena, "%lld ms", (long long)model->scan),
        (struct span){0});
    add(items, "power", model->power_may_fail ? "may go" : "stays",
        (struct span){0});
    for (uint32_t i = 0; i < model->n_slots; i++)
        if (model->slots[i].driver == DRIVER_CHOICE && !model->slots[i].input)
            add(items, "SHARED", model->slots[i].path, (struct span){0});
    for (uint32_t i = 0; i < model->n_unknown; i++)
        add(items, "UNKNOWN", model->unknown[i].name->spelling,
            (struct span){0});
    for (uint32_t i = 0; i < model->n_fixed; i++)
        if (!model->fixed[i].constant)
            add(items, "FIXED",
                arena_printf(arena, "%s := %lld",
                             model->slots[model->fixed[i].slot].path,
                             (long long)model->slots[
                                 model->fixed[i].slot].initial),
                (struct span){0});
}

static struct items items_of(struct arena *arena, const struct loaded *loaded)
{
    struct items items = {0};

    add_asked(&items, loaded);
    add_groups(&items, arena, loaded->model);
    add_machine(&items, &loaded->run->review);
    add_one(&items, arena, loaded->model);
    return items;
}

/* ---- words ---- */

struct reading {
    const char *at, *end;
};

static struct reading reading_of(const struct loaded *loaded,
                                 struct span span)
{
    size_t n;
    const char *text;

    if (span.file == 0)
        return (struct reading){"", ""};
    text = sources_text(loaded->sources, span.file, &n);
    return (struct reading){text + span.from, text + span.to};
}

/* The next sign that counts, 0 at the end. */
static int next_sign(struct reading *r)
{
    for (;;) {
        while (r->at < r->end && isspace((unsigned char)*r->at))
            r->at++;
        if (r->end - r->at >= 2 && r->at[0] == '(' && r->at[1] == '*') {
            while (r->end - r->at >= 2 &&
                   !(r->at[0] == '*' && r->at[1] == ')'))
                r->at++;
            r->at += r->end - r->at >= 2 ? 2 : 1;
        } else if (r->end - r->at >= 2 && r->at[0] == '/' &&
                   r->at[1] == '/') {
            while (r->at < r->end && *r->at != '\n')
                r->at++;
        } else {
            return r->at < r->end ? toupper((unsigned char)*r->at++) : 0;
        }
    }
}

static bool same_words(const struct comparing *c, const struct item *was,
                       const struct item *is)
{
    struct reading a = reading_of(c->was, was->span);
    struct reading b = reading_of(c->is, is->span);

    for (;;) {
        int left = next_sign(&a);

        if (left != next_sign(&b))
            return false;
        if (left == 0)
            return true;
    }
}

/* ---- differences ---- */

static const struct item *partner(const struct items *items,
                                  const struct item *wanted)
{
    for (size_t i = 0; i < items->n; i++)
        if (strcmp(items->at[i].kind, wanted->kind) == 0 &&
            strcasecmp(items->at[i].name, wanted->name) == 0)
            return &items->at[i];
    return NULL;
}

/* Does less of the machine, or of what is asked, come to bear?  What may be
 * so counts. */
static bool shows_less(const char *kind, enum review_change change)
{
    bool assumes = strcmp(kind, "assumption") == 0 ||
                   strcmp(kind, "FIXED") == 0;
    bool asks = strcmp(kind, "fault") == 0 || strcmp(kind, "SHARED") == 0 ||
                strcmp(kind, "requirement") == 0;

    if (change == REVIEW_ADDED && asks)
        return false;
    return !(change == REVIEW_REMOVED && assumes);
}

static void note(struct comparing *c, enum review_change change,
                 const struct item *was, const struct item *is)
{
    const struct item *item = is != NULL ? is : was;

    vec_push(&c->found, ((struct review_difference){
        .kind = item->kind, .name = item->name, .change = change,
        .shows_less = shows_less(item->kind, change),
        .was = was == NULL ? (struct span){0} : was->span,
        .is = is == NULL ? (struct span){0} : is->span}));
}

static void compare_item(struct comparing *c, const struct item *was,
                         const struct item *is)
{
    if (was->despite > is->despite)
        note(c, REVIEW_FEWER_FAULTS, was, is);
    else if (!was->excluded && is->excluded)
        note(c, REVIEW_EXCLUDED, was, is);
    else if (!same_words(c, was, is))
        note(c, REVIEW_CHANGED, was, is);
}

static void compare_items(struct comparing *c, const struct items *was,
                          const struct items *is)
{
    for (size_t i = 0; i < was->n; i++) {
        const struct item *other = partner(is, &was->at[i]);

        if (other == NULL)
            note(c, REVIEW_REMOVED, &was->at[i], NULL);
        else
            compare_item(c, &was->at[i], other);
    }
    for (size_t i = 0; i < is->n; i++)
        if (partner(was, &is->at[i]) == NULL)
            note(c, REVIEW_ADDED, NULL, &is->at[i]);
}

/* ---- requirements that changed ---- */

/* Does a change leave the machine, its signals and faults, as they were? */
static bool leaves_machine(const struct review_difference *found)
{
    return strcmp(found->kind, "requirement") == 0 ||
           strcmp(found->kind, "assumption") == 0;
}

static bool is_changed_requirement(const struct review_difference *found)
{
    return found->change == REVIEW_CHANGED &&
           strcmp(found->kind, "requirement") == 0;
}

static uint32_t requirement_of(const struct model *model, const char *name)
{
    uint32_t i = 0;

    while (strcmp(model->requirements[i].name->spelling, name) != 0)
        i++;
    return i;
}

static bool any_to_ask(const struct comparing *c)
{
    bool any = false;

    for (size_t i = 0; i < c->found.n; i++) {
        if (!leaves_machine(&c->found.at[i]))
            return false;
        any = any || is_changed_requirement(&c->found.at[i]);
    }
    return any;
}

/* What asks the same or more shows no less. */
static void compare_requirements(struct comparing *c,
                                 const struct study_setting *setting)
{
    const struct version was = {c->was->model, c->was->sources};
    const struct version is = {c->is->model, c->is->sources};
    struct asking *asking;

    if (!any_to_ask(c))
        return;
    asking = asking_open(c->arena, &was, &is, setting);
    for (size_t i = 0; i < c->found.n; i++) {
        struct review_difference *one = &c->found.at[i];

        if (!is_changed_requirement(one))
            continue;
        one->asks = asking_compare(asking,
                                   requirement_of(c->is->model, one->name));
        one->shows_less = one->asks != ASKS_SAME && one->asks != ASKS_MORE;
    }
    asking_close(asking);
}

const struct review_differences *reviews_compare(
    struct arena *arena, const struct loaded *was, const struct loaded *is,
    const struct study_setting *setting)
{
    struct review_differences *out = ARENA_NEW(arena,
                                               struct review_differences);
    struct comparing c = {.arena = arena, .was = was, .is = is};
    struct items old = items_of(arena, was), new = items_of(arena, is);
    struct review_difference *all;

    compare_items(&c, &old, &new);
    compare_requirements(&c, setting);
    all = arena_array(arena, c.found.n + 1, sizeof *all);
    for (size_t i = 0; i < c.found.n; i++) {
        all[i] = c.found.at[i];
        out->n_less += all[i].shows_less;
    }
    out->at = all;
    out->n = (uint32_t)c.found.n;
    vec_release(&c.found);
    vec_release(&old);
    vec_release(&new);
    return out;
}
