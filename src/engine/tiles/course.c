#include "engine/tiles/course.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "engine/concrete/plan.h"
#include "engine/tiles/bits.h"
#include "engine/tiles/turns.h"

/* Values are put into one section while it reads no more than this: what it
 * read is the key under which its results are remembered. */
enum { READ_BITS = 26 };

/* What is put into its place as a whole. */
struct piece {
    enum part_kind kind;
    uint32_t *member;
    uint32_t n;
    bool *open;
    uint8_t *reads;
};

/* Pieces: the marks, ends, watches, then cells. */
struct draft {
    struct arena *arena;
    const struct scan_form *form;
    struct course *course;
    enum course_kind kind;
    struct piece *pieces;
    uint32_t n_pieces;
    uint32_t *piece_of_bit; /* per tile bit */
    uint8_t *read;          /* per item: read by assumptions */
};

static uint8_t *no_reads(const struct draft *d)
{
    return arena_array(d->arena, d->form->n_items, 1);
}

static bool *none_open(const struct draft *d)
{
    return arena_array(d->arena, d->form->n_marks, sizeof(bool));
}

static void add_reads(const struct draft *d, uint8_t *to,
                      const uint8_t *from)
{
    for (uint32_t i = 0; i < d->form->n_items; i++)
        to[i] |= from[i];
}

/* Bits read by a part when a piece joins it: its own marks need not be
 * read. */
static uint32_t width_with(const struct draft *d, const struct part *p,
                           const struct piece *u)
{
    const struct scan_form *f = d->form;
    uint32_t sum = 0;

    for (uint32_t i = 0; i < f->n_items; i++) {
        uint32_t base = outline_mark_item(f, 0);

        if (!p->reads[i] && !u->reads[i])
            continue;
        if (i >= base && (p->open[i - base] || u->open[i - base]))
            continue;
        sum += outline_width(f, i);
    }
    return sum;
}

static struct part *begin_part(struct draft *d, enum part_kind kind,
                               uint32_t most_members)
{
    struct course *c = d->course;
    struct part *p = &c->parts[c->n_parts];

    p->kind = kind;
    p->member = arena_array(d->arena, most_members, sizeof *p->member);
    p->reads = no_reads(d);
    p->open = none_open(d);
    p->at = c->n_parts++;
    return p;
}

/* ---- assumptions ---- */

static bool share_input(const struct draft *d, const uint8_t *a,
                        const uint8_t *b)
{
    const struct scan_form *f = d->form;

    for (uint32_t i = 0; i < f->n_rows; i++)
        if (a[i] && b[i] && plan_is_input(f->choices[i].kind))
            return true;
    return false;
}

static void join_assumption(const struct draft *d, struct part *p,
                            uint32_t member, const uint8_t *reads)
{
    p->member[p->n++] = member;
    add_reads(d, p->reads, reads);
}

/* Takes all assumptions that share an input with the part, directly or
 * through others. */
static void close_group(struct draft *d, struct part *p, uint8_t **reads,
                        bool *taken)
{
    uint32_t n = d->form->slice->n_assumptions;
    bool more = true;

    while (more) {
        more = false;
        for (uint32_t i = 0; i < n; i++) {
            if (taken[i] || !share_input(d, p->reads, reads[i]))
                continue;
            taken[i] = more = true;
            join_assumption(d, p, i, reads[i]);
        }
    }
}

/* No marks here: what is no input has to be decided first. */
static void place_assumptions(struct draft *d)
{
    const struct slice *s = d->form->slice;
    uint32_t n = s->n_assumptions;
    uint8_t **reads = arena_array(d->arena, n, sizeof *reads);
    bool *taken = arena_array(d->arena, n, sizeof *taken);
    bool *open = none_open(d);

    memset(open, true, d->form->n_marks);
    for (uint32_t i = 0; i < n; i++) {
        reads[i] = no_reads(d);
        outline_reads(d->form, outline_root(d->form, &s->assumptions[i]), open,
                   reads[i]);
    }
    for (uint32_t i = 0; i < n; i++) {
        struct part *p;

        if (taken[i])
            continue;
        taken[i] = true;
        p = begin_part(d, PART_ASSUMPTIONS, n);
        p->open = open;
        join_assumption(d, p, i, reads[i]);
        close_group(d, p, reads, taken);
        add_reads(d, d->read, p->reads);
    }
}

/* ---- pieces ---- */

static struct piece *new_piece(struct draft *d, enum part_kind kind)
{
    struct piece *u = &d->pieces[d->n_pieces++];

    u->kind = kind;
    u->reads = no_reads(d);
    u->open = none_open(d);
    return u;
}

static void add_member(struct draft *d, struct piece *u, uint32_t member,
                       flat_expr root)
{
    uint32_t *more = arena_array(d->arena, (size_t)u->n + 1, sizeof *more);

    if (u->n)
        memcpy(more, u->member, u->n * sizeof *more);
    more[u->n++] = member;
    u->member = more;
    outline_reads(d->form, root, u->open, u->reads);
}

/* Which tile bits the next value of a bit reads, directly or through what
 * these read. */
static void find_ties(const struct draft *d,
                      bool tied[BITS_MOST][BITS_MOST])
{
    const struct scan_form *f = d->form;
    bool *open = none_open(d);
    uint32_t n = f->bits->n;

    for (uint32_t t = 0; t < n; t++) {
        uint8_t *reads = no_reads(d);

        outline_reads(f, outline_next(f, f->bits->cell[t]), open, reads);
        for (uint32_t u = 0; u < n; u++)
            tied[t][u] = reads[f->slice->n_choices + u];
    }
    for (uint32_t k = 0; k < n; k++)
        for (uint32_t t = 0; t < n; t++)
            for (uint32_t u = 0; u < n; u++)
                tied[t][u] |= tied[t][k] && tied[k][u];
}

/* A bit is replaced in the bitmap by its next value in the section that
 * works it out: nothing later may read the bit.  Bits that read one another
 * are therefore one piece. */
static void make_cells(struct draft *d)
{
    const struct scan_form *f = d->form;
    bool tied[BITS_MOST][BITS_MOST] = {{false}};

    find_ties(d, tied);
    for (uint32_t i = 0; i < f->slice->n_cells; i++) {
        uint32_t t = f->bits->of[i];
        struct piece *piece = NULL;

        for (uint32_t u = 0; t != FLAT_NONE && u < t && !piece; u++)
            if (tied[t][u] && tied[u][t])
                piece = &d->pieces[d->piece_of_bit[u]];
        if (!piece)
            piece = new_piece(d, PART_VALUES);
        if (t != FLAT_NONE)
            d->piece_of_bit[t] = (uint32_t)(piece - d->pieces);
        add_member(d, piece, i, outline_next(f, i));
    }
}

static void make_pieces(struct draft *d)
{
    const struct scan_form *f = d->form;
    const struct slice *s = f->slice;

    d->pieces = arena_array(d->arena,
                           (size_t)f->n_marks + s->n_ends + s->n_watches +
                               s->n_cells,
                           sizeof *d->pieces);
    for (uint32_t i = 0; i < f->n_marks; i++) {
        struct piece *u = new_piece(d, PART_VALUES);

        u->open[i] = true;
        add_member(d, u, s->n_cells + i, f->mark[i]);
    }
    for (uint32_t i = 0; i < s->n_ends; i++)
        add_member(d, new_piece(d, PART_END), i, outline_root(f, &s->ends[i]));
    for (uint32_t i = 0; i < s->n_watches; i++)
        add_member(d, new_piece(d, PART_WATCH), i,
                   outline_root(f, &s->watches[i]));
    make_cells(d);
}

/* ---- their order ---- */

static bool is_mark(const struct draft *d, const struct piece *p)
{
    return p->kind == PART_VALUES &&
           p->member[0] >= d->form->slice->n_cells;
}

static void set_before(const struct draft *d, bool *precedes, uint32_t a,
                       uint32_t b)
{
    if (a != b)
        precedes[(size_t)a * d->n_pieces + b] = true;
}

/* A mark comes before what reads it. */
static void marks_first(const struct draft *d, bool *precedes)
{
    for (uint32_t m = 0; m < d->form->n_marks; m++)
        for (uint32_t p = 0; p < d->n_pieces; p++)
            if (d->pieces[p].reads[outline_mark_item(d->form, m)])
                set_before(d, precedes, m, p);
}

static void ends_first(const struct draft *d, bool *precedes)
{
    for (uint32_t a = 0; a < d->n_pieces; a++)
        for (uint32_t b = 0; b < d->n_pieces; b++)
            if (d->pieces[a].kind == PART_END &&
                (d->pieces[b].kind == PART_END
                     ? a < b
                     : !is_mark(d, &d->pieces[b])))
                set_before(d, precedes, a, b);
}

/* A bit is replaced after all that read it. */
static void bits_last(const struct draft *d, bool *precedes)
{
    const struct scan_form *f = d->form;

    for (uint32_t t = 0; t < f->bits->n; t++)
        for (uint32_t p = 0; p < d->n_pieces; p++)
            if (d->pieces[p].reads[f->slice->n_choices + t])
                set_before(d, precedes, p, d->piece_of_bit[t]);
}

static const uint32_t *makes_of(const struct draft *d, const struct piece *p)
{
    uint32_t *makes = arena_array(d->arena, p->n, sizeof *makes);

    for (uint32_t i = 0; i < p->n; i++)
        makes[i] = d->form->n_rows + p->member[i];
    return makes;
}

static const uint32_t *find_order(struct draft *d)
{
    uint32_t n = d->n_pieces;
    struct unit *units = arena_array(d->arena, n, sizeof *units);
    bool *precedes = arena_array(d->arena, (size_t)n * n, sizeof *precedes);
    struct turns_task task = {d->form, units,    n,
                              d->read, precedes, d->kind == COURSE_GOOD};

    for (uint32_t p = 0; p < n; p++) {
        units[p].reads = d->pieces[p].reads;
        if (d->pieces[p].kind != PART_VALUES)
            continue;
        units[p].makes = makes_of(d, &d->pieces[p]);
        units[p].n_makes = d->pieces[p].n;
    }
    marks_first(d, precedes);
    ends_first(d, precedes);
    bits_last(d, precedes);
    return turns_find(d->arena, &task);
}

/* ---- putting them into sections ---- */

static void take_piece(const struct draft *d, struct part *p,
                      const struct piece *u)
{
    const struct scan_form *f = d->form;

    for (uint32_t i = 0; i < u->n; i++)
        p->member[p->n++] = u->member[i];
    add_reads(d, p->reads, u->reads);
    for (uint32_t m = 0; m < f->n_marks; m++) {
        p->open[m] |= u->open[m];
        if (p->open[m])
            p->reads[outline_mark_item(f, m)] = 0;
    }
}

static void place_watch(struct draft *d, const struct piece *u)
{
    struct part *p = &d->course->watches[u->member[0]];

    p->kind = PART_WATCH;
    p->member = u->member;
    p->n = 1;
    p->at = d->course->n_parts;
    p->open = u->open;
    p->reads = u->reads;
}

/* The part that the next piece may join, NULL: none. */
static struct part *place(struct draft *d, const struct piece *u,
                          struct part *p)
{
    uint32_t most = d->form->slice->n_cells + d->form->n_marks;

    if (u->kind == PART_WATCH) {
        place_watch(d, u);
        return NULL;
    }
    if (!p || u->kind == PART_END ||
        (d->kind != COURSE_WHOLE && width_with(d, p, u) > READ_BITS))
        p = begin_part(d, u->kind, u->kind == PART_END ? 1 : most);
    take_piece(d, p, u);
    return u->kind == PART_END ? NULL : p;
}

/* Behind the last part there are situations and nothing else: what watches
 * alone still read is given up in a part that works out nothing. */
static void close_course(struct draft *d)
{
    struct course *c = d->course;

    for (uint32_t i = 0; i < c->n_watches; i++)
        if (c->watches[i].at == c->n_parts) {
            begin_part(d, PART_VALUES, 0);
            return;
        }
}

const struct course *course_new(struct arena *arena,
                                const struct scan_form *form,
                                enum course_kind kind)
{
    const struct slice *s = form->slice;
    struct course *c = ARENA_NEW(arena, struct course);
    struct draft d = {.arena = arena, .form = form, .course = c,
                      .kind = kind};
    struct part *p = NULL;
    const uint32_t *order;

    c->parts = arena_array(arena,
                           (size_t)s->n_assumptions + s->n_ends +
                               s->n_cells + form->n_marks + 1,
                           sizeof *c->parts);
    c->n_watches = s->n_watches;
    c->watches = arena_array(arena, s->n_watches, sizeof *c->watches);
    d.read = no_reads(&d);
    d.piece_of_bit =
        arena_array(arena, form->bits->n, sizeof *d.piece_of_bit);
    place_assumptions(&d);
    make_pieces(&d);
    order = find_order(&d);
    for (uint32_t i = 0; i < d.n_pieces; i++)
        p = place(&d, &d.pieces[order[i]], p);
    close_course(&d);
    return c;
}
