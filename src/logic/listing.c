#include "logic/listing.h"

#include <inttypes.h>

#include "base/text.h"
#include "logic/flat.h"
#include "logic/infix.h"
#include "logic/slice.h"

/* What leaves stand for; slice is NULL for the flat logic itself. */
struct scene {
    const struct flat *flat;
    const struct slice *slice;
};

static const char *const kind_words[] = {
    [FLAT_TIME] = "time",
    [FLAT_POWER] = "power",       [FLAT_FAULT] = "fault",
    [FLAT_START] = "start",       [FLAT_PAST] = "past",
    [FLAT_MACHINE] = "machine",   [FLAT_OPERATOR] = "operator",
    [FLAT_INPUT] = "input",       [FLAT_SHARED] = "shared",
    [FLAT_UNCOMMANDED] = "uncommanded",
    [FLAT_ANY] = "any"};

static const char *const watch_words[] = {
    [WATCH_BREACH] = "breach", [WATCH_TRIGGER] = "trigger",
    [WATCH_ERROR] = "error",   [WATCH_BRANCH] = "branch",
    [WATCH_STRETCH] = "stretch",
    [WATCH_DIFFERENCE] = "difference", [WATCH_ACT] = "act",
    [WATCH_VECTOR] = "vector", [WATCH_NOTICE] = "notice"};

static const char *const hole_words[] = {[HOLE_FIRST] = "first",
                                         [HOLE_FAULT] = "fault",
                                         [HOLE_STUDIED] = "studied",
                                         [HOLE_CAUSE] = "cause",
                                         [HOLE_MAY] = "may",
                                         [HOLE_MUST] = "must"};

static void add_hole(struct text *out, const struct flat *flat,
                     uint32_t hole)
{
    text_add(out, hole_words[flat->hole_kind[hole]]);
    if (flat->hole_kind[hole] != HOLE_FIRST)
        text_printf(out, "(%" PRIu32 ")", flat->hole_index[hole]);
}

/* Numbers make names unique: one variable may have several cells. */
static void add_leaf(struct text *out, const void *context,
                     const struct flat_node *leaf)
{
    const struct scene *scene = context;
    const struct flat *flat = scene->flat;
    uint32_t cell = leaf->a;

    if (leaf->op == FLAT_HOLE) {
        add_hole(out, flat, leaf->a);
        return;
    }
    if (leaf->op == FLAT_CHOICE) {
        text_printf(out, "x%" PRIu32 ":%s", leaf->a,
                    flat->choices[leaf->a].name);
        return;
    }
    if (scene->slice)
        cell = scene->slice->cells[cell].cell;
    text_printf(out, "c%" PRIu32 ":%s", cell, flat->cells[cell].name);
}

static void add_choice(struct text *out, const struct flat *flat, uint32_t i)
{
    const struct flat_choice *choice = &flat->choices[i];

    text_printf(out, "choice x%" PRIu32 ":%s %s, values", i, choice->name,
                kind_words[choice->kind]);
    for (uint32_t k = 0; k < choice->count; k++)
        text_printf(out, " %" PRId64, choice->values[k]);
    if (choice->count)
        text_printf(out, ", rest %" PRId64, choice->values[choice->rest]);
    text_add_char(out, '\n');
}

static void add_line(struct text *out, const struct infix *infix,
                     const char *head, flat_expr expr)
{
    text_add(out, head);
    infix_add(infix, out, expr);
    text_add_char(out, '\n');
}

static void add_cell_head(struct text *out, const struct flat *flat,
                          uint32_t cell, int64_t low, int64_t high)
{
    text_printf(out, "cell c%" PRIu32 ":%s %" PRId64 " .. %" PRId64
                " by %" PRId64 "\n", cell, flat->cells[cell].name, low, high,
                flat->cells[cell].unit);
}

static void add_watch_head(struct text *out, const struct flat *flat,
                           uint32_t number)
{
    const struct flat_watch *watch = &flat->watches[number];

    text_printf(out, "watch %" PRIu32 " %s %" PRIu32 "/%" PRIu32, number,
                watch_words[watch->kind], watch->index, watch->part);
}

/* ---- the flat logic ---- */

static void count_flat(struct infix *infix, const struct flat *flat)
{
    for (uint32_t i = 0; i < flat->n_cells; i++) {
        infix_count(infix, flat->cells[i].initial);
        infix_count(infix, flat->cells[i].next);
    }
    for (uint32_t i = 0; i < flat->n_assumptions; i++)
        infix_count(infix, flat->assumptions[i].condition);
    for (uint32_t i = 0; i < flat->n_watches; i++)
        infix_count(infix, flat->watches[i].condition);
    for (uint32_t i = 0; i < flat->n_motions; i++)
        infix_count(infix, flat->motions[i].moved);
    for (uint32_t i = 0; i < flat->n_movements; i++) {
        infix_count(infix, flat->timed_may[i]);
        infix_count(infix, flat->timed_must[i]);
    }
    for (uint32_t i = 0; i < flat->n_values; i++)
        infix_count(infix, flat->value[i]);
}

static void add_flat_cells(struct text *out, const struct infix *infix,
                           const struct flat *flat)
{
    for (uint32_t i = 0; i < flat->n_cells; i++) {
        add_cell_head(out, flat, i, flat->cells[i].low, flat->cells[i].high);
        add_line(out, infix, "  initial ", flat->cells[i].initial);
        add_line(out, infix, "  next ", flat->cells[i].next);
    }
}

static void add_flat_roots(struct text *out, const struct infix *infix,
                           const struct flat *flat)
{
    for (uint32_t i = 0; i < flat->n_movements; i++) {
        text_printf(out, "movement %" PRIu32 "\n", i);
        add_line(out, infix, "  may ", flat->timed_may[i]);
        add_line(out, infix, "  must ", flat->timed_must[i]);
    }
    for (uint32_t i = 0; i < flat->n_assumptions; i++) {
        text_printf(out, "assumption %" PRIu32, i);
        add_line(out, infix, " ", flat->assumptions[i].condition);
    }
    for (uint32_t i = 0; i < flat->n_watches; i++) {
        add_watch_head(out, flat, i);
        add_line(out, infix, " ", flat->watches[i].condition);
    }
    for (uint32_t i = 0; i < flat->n_motions; i++) {
        text_printf(out, "motion %" PRIu32 " of x%" PRIu32, i,
                    flat->motions[i].choice);
        add_line(out, infix, " ", flat->motions[i].moved);
    }
    for (uint32_t i = 0; i < flat->n_values; i++) {
        text_printf(out, "value %" PRIu32, i);
        add_line(out, infix, " ", flat->value[i]);
    }
}

void listing_flat(struct text *out, const struct flat *flat)
{
    struct scene scene = {flat, NULL};
    struct infix infix;

    infix_init(&infix, flat->nodes, flat->n_nodes);
    infix.add_leaf = add_leaf;
    infix.context = &scene;
    count_flat(&infix, flat);
    for (uint32_t i = 0; i < flat->n_choices; i++)
        add_choice(out, flat, i);
    infix_add_parts(&infix, out);
    add_flat_cells(out, &infix, flat);
    add_flat_roots(out, &infix, flat);
    infix_release(&infix);
}

/* ---- a slice ---- */

/* The roots of a slice of one sort. */
struct sort {
    const char *word; /* NULL: watches, which say their kind */
    const struct slice_root *roots;
    uint32_t n;
};

enum { SORTS = 5 };

static void list_sorts(const struct slice *slice, struct sort *sorts)
{
    sorts[0] = (struct sort){"assumption", slice->assumptions,
                             slice->n_assumptions};
    sorts[1] = (struct sort){"end at", slice->ends, slice->n_ends};
    sorts[2] = (struct sort){NULL, slice->watches, slice->n_watches};
    sorts[3] = (struct sort){"motion", slice->motions, slice->n_motions};
    sorts[4] = (struct sort){"value", slice->values, slice->n_values};
}

static void count_slice(struct infix *infix, const struct slice *slice,
                        const struct sort *sorts)
{
    for (uint32_t i = 0; i < slice->n_cells; i++) {
        infix_count(infix, slice->cells[i].first);
        infix_count(infix, slice->cells[i].next);
    }
    for (int s = 0; s < SORTS; s++)
        for (uint32_t i = 0; i < sorts[s].n; i++) {
            infix_count(infix, sorts[s].roots[i].first);
            infix_count(infix, sorts[s].roots[i].next);
        }
}

static void add_forms(struct text *out, const struct infix *infix,
                      flat_expr first, flat_expr next)
{
    add_line(out, infix, "  first ", first);
    add_line(out, infix, "  next ", next);
}

static void add_sort(struct text *out, const struct infix *infix,
                     const struct flat *flat, const struct sort *sort)
{
    for (uint32_t i = 0; i < sort->n; i++) {
        const struct slice_root *root = &sort->roots[i];

        if (sort->word)
            text_printf(out, "%s %" PRIu32, sort->word, root->number);
        else
            add_watch_head(out, flat, root->number);
        text_add_char(out, '\n');
        add_forms(out, infix, root->first, root->next);
    }
}

static void add_slice_cells(struct text *out, const struct infix *infix,
                            const struct scene *scene)
{
    for (uint32_t i = 0; i < scene->slice->n_cells; i++) {
        const struct slice_cell *cell = &scene->slice->cells[i];

        add_cell_head(out, scene->flat, cell->cell, cell->low, cell->high);
        add_forms(out, infix, cell->first, cell->next);
    }
}

void listing_slice(struct text *out, const struct flat *flat,
                   const struct slice *slice)
{
    struct scene scene = {flat, slice};
    struct sort sorts[SORTS];
    struct infix infix;

    list_sorts(slice, sorts);
    infix_init(&infix, slice->nodes, slice->n_nodes);
    infix.add_leaf = add_leaf;
    infix.context = &scene;
    count_slice(&infix, slice, sorts);
    text_printf(out, "faults at most %" PRIu32 ", times %s\n",
                slice->faults, slice->has_times ? "count" : "do not count");
    for (uint32_t i = 0; i < slice->n_choices; i++)
        if (slice->used[i])
            add_choice(out, flat, i);
    infix_add_parts(&infix, out);
    add_slice_cells(out, &infix, &scene);
    for (int s = 0; s < SORTS; s++)
        add_sort(out, &infix, flat, &sorts[s]);
    infix_release(&infix);
}
