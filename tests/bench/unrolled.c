#include "tests/bench/unrolled.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "tests/bench/clock.h"
#include "tests/bench/folder.h"
#include "tests/bench/shape.h"
#include "tests/bench/found.h"

struct unroll {
    struct text *out;
    const struct slice *slice;
    struct shape first, next;
    uint32_t width; /* bits of a number */
    uint32_t step;  /* from 1 */
};

/* 0 and 1 are truth values wherever nothing else can be. */
static bool is_truth(const struct unroll *u, flat_expr e)
{
    const struct flat_node *node = &u->slice->nodes[e];

    switch (node->op) {
    case FLAT_NOT: case FLAT_AND: case FLAT_OR: case FLAT_XOR:
    case FLAT_EQ: case FLAT_LT: case FLAT_LE:
        return true;
    case FLAT_ITE:
        return is_truth(u, node->b) && is_truth(u, node->c);
    default:
        return false;
    }
}

static void write_number(struct unroll *u, int64_t value)
{
    uint64_t all = (UINT64_C(1) << u->width) - 1;

    text_printf(u->out, "(_ bv%llu %u)",
                (unsigned long long)((uint64_t)value & all), u->width);
}

static void write_plain(struct unroll *u, flat_expr e)
{
    const struct flat_node *node = &u->slice->nodes[e];

    if (node->op == FLAT_CONST)
        write_number(u, node->value);
    else if (node->op == FLAT_CELL)
        text_printf(u->out, "c%u_%u", node->a, u->step - 1);
    else if (node->op == FLAT_CHOICE)
        text_printf(u->out, "i%u_%u", node->a, u->step);
    else
        text_printf(u->out, "n%u_%u", e, u->step);
}

static void write_as(struct unroll *u, flat_expr e, bool truth)
{
    if (truth == is_truth(u, e)) {
        write_plain(u, e);
        return;
    }
    text_add(u->out, truth ? "(distinct " : "(ite ");
    write_plain(u, e);
    text_add(u->out, " ");
    write_number(u, truth ? 0 : 1);
    if (!truth) {
        text_add(u->out, " ");
        write_number(u, 0);
    }
    text_add(u->out, ")");
}

static const char *name_of(enum flat_op op)
{
    switch (op) {
    case FLAT_NOT: return "not";
    case FLAT_AND: return "and";
    case FLAT_OR: return "or";
    case FLAT_XOR: return "xor";
    case FLAT_EQ: return "=";
    case FLAT_LT: return "bvslt";
    case FLAT_LE: return "bvsle";
    case FLAT_ADD: return "bvadd";
    case FLAT_SUB: return "bvsub";
    case FLAT_MUL: return "bvmul";
    case FLAT_DIV: return "bvsdiv";
    case FLAT_MOD: return "bvsrem";
    case FLAT_MEET: return "bvand";
    default: return "ite";
    }
}

static bool of_truths(enum flat_op op)
{
    return op == FLAT_NOT || op == FLAT_AND || op == FLAT_OR ||
           op == FLAT_XOR;
}

static void write_operation(struct unroll *u, flat_expr e)
{
    const struct flat_node *node = &u->slice->nodes[e];
    bool truth = of_truths(node->op), guarded = node->op == FLAT_DIV ||
                                                node->op == FLAT_MOD;

    if (guarded) { /* a divisor 0 gives 0 */
        text_add(u->out, "(ite (= ");
        write_as(u, node->b, false);
        text_printf(u->out, " (_ bv0 %u)) (_ bv0 %u) ", u->width, u->width);
    }
    text_printf(u->out, "(%s ", name_of(node->op));
    write_as(u, node->a, truth || node->op == FLAT_ITE);
    if (node->op == FLAT_ITE)
        truth = is_truth(u, e);
    if (node->op != FLAT_NOT) {
        text_add(u->out, " ");
        write_as(u, node->b, truth);
    }
    if (node->op == FLAT_ITE) {
        text_add(u->out, " ");
        write_as(u, node->c, truth);
    }
    text_add(u->out, guarded ? "))" : ")");
}

static void write_nodes(struct unroll *u, const struct shape *shape)
{
    for (uint32_t e = 0; e < u->slice->n_nodes; e++) {
        enum flat_op op = u->slice->nodes[e].op;

        if (!shape->reached[e] || op == FLAT_CONST || op == FLAT_CELL ||
            op == FLAT_CHOICE)
            continue;
        text_printf(u->out, "(define-fun n%u_%u () ", e, u->step);
        if (is_truth(u, e))
            text_add(u->out, "Bool ");
        else
            text_printf(u->out, "(_ BitVec %u) ", u->width);
        write_operation(u, e);
        text_add(u->out, ")\n");
    }
}

static void write_choices(struct unroll *u)
{
    for (uint32_t r = 0; r < u->slice->n_choices; r++) {
        const struct flat_choice *row = &u->slice->choices[r];

        if (!u->slice->used[r])
            continue;
        text_printf(u->out, "(declare-const i%u_%u (_ BitVec %u))\n"
                    "(assert (or false", r, u->step, u->width);
        for (uint32_t i = 0; i < row->count; i++) {
            text_printf(u->out, " (= i%u_%u ", r, u->step);
            write_number(u, row->values[i]);
            text_add(u->out, ")");
        }
        text_add(u->out, "))\n");
    }
}

static void write_roots(struct unroll *u, const struct shape *shape)
{
    const struct slice *s = u->slice;

    for (uint32_t i = 0; i < s->n_assumptions; i++) {
        text_add(u->out, "(assert ");
        write_as(u, shape_root(shape, &s->assumptions[i]), true);
        text_add(u->out, ")\n");
    }
    for (uint32_t i = 0; i < s->n_ends; i++) {
        text_add(u->out, "(assert (not ");
        write_as(u, shape_root(shape, &s->ends[i]), true);
        text_add(u->out, "))\n");
    }
}

/* Values that do not fit are left to the models not to have. */
static void write_cells(struct unroll *u, const struct shape *shape)
{
    for (uint32_t i = 0; i < u->slice->n_cells; i++) {
        text_printf(u->out, "(declare-const c%u_%u (_ BitVec %u))\n"
                    "(assert (= c%u_%u ", i, u->step, u->width, i, u->step);
        write_as(u, shape_cell(shape, i), false);
        text_add(u->out, "))\n");
    }
}

static void write_step(struct unroll *u)
{
    const struct shape *shape = u->step == 1 ? &u->first : &u->next;

    write_choices(u);
    write_nodes(u, shape);
    write_roots(u, shape);
    text_add(u->out, "(push)\n(assert ");
    write_as(u, shape_root(shape, &u->slice->watches[0]), true);
    text_add(u->out, ")\n(check-sat)\n(pop)\n");
    write_cells(u, shape);
}

static uint32_t width_of(const struct slice *slice)
{
    int64_t most = 1;
    uint32_t bits = 2;

    for (uint32_t i = 0; i < slice->n_nodes; i++) {
        int64_t low = llabs(slice->nodes[i].low);
        int64_t high = llabs(slice->nodes[i].high);

        most = low > most ? low : most;
        most = high > most ? high : most;
    }
    while ((INT64_C(1) << (bits - 1)) <= most)
        bits++;
    return bits;
}

void unrolled_write(struct text *out, const struct slice *slice,
                    uint32_t depth)
{
    struct unroll u = {.out = out, .slice = slice, .width = width_of(slice)};

    shape_init(&u.first, slice, true);
    shape_init(&u.next, slice, false);
    text_add(out, "(set-logic QF_BV)\n");
    for (u.step = 1; u.step <= depth; u.step++)
        write_step(&u);
    shape_release(&u.first);
    shape_release(&u.next);
}

/* One answer a line. */
static void read_answers(FILE *answers, struct found *found)
{
    char line[256];

    while (fgets(line, sizeof line, answers)) {
        if (!strncmp(line, "unsat", 5) && !found->watch_level)
            found->expanded++;
        else if (!strncmp(line, "sat", 3) && !found->watch_level)
            found->watch_level = (uint32_t)found->expanded + 1;
    }
}

void unrolled_run(const struct slice *slice, uint32_t depth,
                  double most_seconds, struct found *found)
{
    struct text problem = {0}, command = {0};
    double start = clock_children();
    FILE *answers;

    memset(found, 0, sizeof *found);
    unrolled_write(&problem, slice, depth);
    folder_write("deep", ".smt2", &problem);
    text_printf(&command, "ulimit -t %.0f; z3 -smt2 -T:%.0f ",
                most_seconds + 0.5, 3 * most_seconds + 0.5);
    folder_path(&command, "deep", ".smt2");
    answers = popen(text_str(&command), "r");
    if (answers) {
        read_answers(answers, found);
        pclose(answers);
    }
    found->seconds = clock_children() - start;
    found->failed = found->watch_level == 0;
    text_release(&problem);
    text_release(&command);
}

bool unrolled_here(void)
{
    return system("command -v z3 >/dev/null 2>&1") == 0;
}
