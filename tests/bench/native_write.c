/* The text of a compiled explorer. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "tests/bench/shape.h"
#include "tests/bench/native.h"

enum { CHEAP = 3 };

struct writer {
    struct text *out;
    const struct slice *slice;
    struct shape shape;
    struct field *fields;
    uint32_t n_words;
    uint32_t *cost;   /* per node: operations of its text */
    uint32_t *memo;   /* per node: its place among those kept, or FLAT_NONE */
    uint32_t n_memo;
    const char *way;  /* "f" first scan, "n" later ones, "a" all inputs */
    bool all;         /* choices are loop variables, nodes local variables */
};

static const struct flat_node *node_at(const struct writer *w, flat_expr e)
{
    return &w->slice->nodes[e];
}

static bool is_constant(const struct writer *w, flat_expr e)
{
    return node_at(w, e)->op == FLAT_CONST;
}

/* ---- expressions ---- */

static void write_operation(struct writer *w, flat_expr e, bool local);

static void write_choice(struct writer *w, uint32_t row)
{
    text_printf(w->out, w->all ? "value_%u(i%u)" : "INPUT(%u, value_%u)",
                row, row);
}

/* local: within what is known before any choice is read. */
static void write_use(struct writer *w, flat_expr e, bool local)
{
    const struct flat_node *node = node_at(w, e);

    if (node->op == FLAT_CONST)
        text_printf(w->out, "%lld", (long long)node->value);
    else if (node->op == FLAT_CHOICE && !w->all)
        write_choice(w, node->a);
    else if (local || w->all)
        text_printf(w->out, "n%u", e);
    else if (!w->shape.on_choice[e])
        text_printf(w->out, "c->v[%u]", e);
    else if (w->memo[e] != FLAT_NONE)
        text_printf(w->out, "%s_m%u(c)", w->way, w->memo[e]);
    else
        write_operation(w, e, false);
}

static const char *operator_text(enum flat_op op)
{
    switch (op) {
    case FLAT_AND: return "&";
    case FLAT_OR: return "|";
    case FLAT_XOR: return "^";
    case FLAT_EQ: return "==";
    case FLAT_LT: return "<";
    case FLAT_LE: return "<=";
    case FLAT_ADD: return "+";
    case FLAT_SUB: return "-";
    case FLAT_MUL: return "*";
    case FLAT_MEET: return "&";
    default: return "?";
    }
}

/* Names of the operations where a side may be undecided. */
static const char *open_name(enum flat_op op)
{
    switch (op) {
    case FLAT_NOT: return "NOT";
    case FLAT_AND: return "AND";
    case FLAT_OR: return "OR";
    case FLAT_DIV: return "DIV";
    case FLAT_MOD: return "MOD";
    case FLAT_ITE: return "ITE";
    default: return "BOTH";
    }
}

static void write_function(struct writer *w, const char *name, flat_expr e,
                           bool local)
{
    const struct flat_node *node = node_at(w, e);

    text_printf(w->out, "%s(", name);
    write_use(w, node->a, local);
    text_add(w->out, ", ");
    write_use(w, node->b, local);
    text_add(w->out, ")");
}

static void write_infix(struct writer *w, flat_expr e, bool local)
{
    const struct flat_node *node = node_at(w, e);

    text_add(w->out, "(");
    write_use(w, node->a, local);
    text_printf(w->out, " %s ", operator_text(node->op));
    write_use(w, node->b, local);
    text_add(w->out, ")");
}

/* All that it reads is known. */
static void write_decided(struct writer *w, flat_expr e, bool local)
{
    const struct flat_node *node = node_at(w, e);

    switch (node->op) {
    case FLAT_NOT:
        text_add(w->out, "!");
        write_use(w, node->a, local);
        break;
    case FLAT_DIV:
        write_function(w, "quotient", e, local);
        break;
    case FLAT_MOD:
        write_function(w, "rest", e, local);
        break;
    case FLAT_ITE:
        text_add(w->out, "(");
        write_use(w, node->a, local);
        text_add(w->out, " ? ");
        write_use(w, node->b, local);
        text_add(w->out, " : ");
        write_use(w, node->c, local);
        text_add(w->out, ")");
        break;
    default:
        write_infix(w, e, local);
    }
}

/* A side that is known before any choice is looked at first. */
static void write_open(struct writer *w, flat_expr e)
{
    const struct flat_node *node = node_at(w, e);
    flat_expr a = node->a, b = node->b;

    if ((node->op == FLAT_AND || node->op == FLAT_OR) &&
        w->shape.on_choice[a] && !w->shape.on_choice[b]) {
        a = node->b;
        b = node->a;
    }
    text_printf(w->out, "%s(", open_name(node->op));
    write_use(w, a, false);
    if (node->op != FLAT_NOT) {
        text_add(w->out, ", ");
        write_use(w, b, false);
    }
    if (node->op == FLAT_ITE) {
        text_add(w->out, ", ");
        write_use(w, node->c, false);
    } else if (!strcmp(open_name(node->op), "BOTH")) {
        text_printf(w->out, ", %s", operator_text(node->op));
    }
    text_add(w->out, ")");
}

static void write_operation(struct writer *w, flat_expr e, bool local)
{
    const struct flat_node *node = node_at(w, e);

    if (node->op == FLAT_CHOICE)
        write_choice(w, node->a);
    else if (local || w->all)
        write_decided(w, e, local);
    else
        write_open(w, e);
}

/* ---- cells ---- */

static void write_encoded(struct writer *w, uint32_t cell, const char *value)
{
    const struct slice_cell *at = &w->slice->cells[cell];
    const struct flat_node *node = node_at(w, shape_cell(&w->shape, cell));
    bool fits = node->low >= at->low && node->high <= at->high;

    text_printf(w->out, "((uint64_t)((%s(%s, %lld, %lld) - %lld) / %lld) << "
                "%u)", fits ? "plain" : "clamp", value, (long long)at->low,
                (long long)at->high, (long long)at->low,
                (long long)at->unit, w->fields[cell].shift);
}

/* The cells as local variables, and all that follows from them alone. */
static void write_known(struct writer *w)
{
    for (uint32_t e = 0; e < w->slice->n_nodes; e++) {
        const struct flat_node *node = node_at(w, e);

        if (!w->shape.reached[e] || w->shape.on_choice[e] ||
            node->op == FLAT_CONST)
            continue;
        text_printf(w->out, "    const V n%u = ", e);
        if (node->op == FLAT_CELL) {
            const struct field *f = &w->fields[node->a];
            const struct slice_cell *cell = &w->slice->cells[node->a];

            text_printf(w->out,
                        "(V)(from.w[%u] >> %u & %lluu) * %lld + %lld",
                        f->word, f->shift,
                        (1ull << f->bits) - 1, (long long)cell->unit,
                        (long long)cell->low);
        } else {
            write_operation(w, e, true);
        }
        text_add(w->out, ";\n");
    }
}

static void write_base(struct writer *w)
{
    char value[32];

    for (uint32_t i = 0; i < w->slice->n_cells; i++) {
        flat_expr e = shape_cell(&w->shape, i);

        if (w->shape.on_choice[e])
            continue;
        if (is_constant(w, e))
            snprintf(value, sizeof value, "(V)%lld",
                     (long long)node_at(w, e)->value);
        else
            snprintf(value, sizeof value, "n%u", e);
        text_printf(w->out, "    to.w[%u] |= ", w->fields[i].word);
        write_encoded(w, i, value);
        text_add(w->out, ";\n");
    }
}

/* ---- on demand ---- */

static bool is_kept(const struct writer *w, flat_expr e)
{
    return w->shape.reached[e] && w->shape.on_choice[e] &&
           w->shape.uses[e] > 1 && w->cost[e] > CHEAP;
}

static uint32_t cost_of(const struct writer *w, flat_expr e)
{
    return w->shape.on_choice[e] && w->memo[e] == FLAT_NONE ? w->cost[e] : 1;
}

/* Nodes that several others read are evaluated once for each way. */
static void choose_kept(struct writer *w)
{
    w->n_memo = 0;
    for (uint32_t e = 0; e < w->slice->n_nodes; e++) {
        const struct flat_node *node = node_at(w, e);

        w->cost[e] = 1;
        w->memo[e] = FLAT_NONE;
        if (node->op == FLAT_CONST || node->op == FLAT_CELL ||
            node->op == FLAT_CHOICE)
            continue;
        w->cost[e] += cost_of(w, node->a);
        if (node->op != FLAT_NOT)
            w->cost[e] += cost_of(w, node->b);
        if (node->op == FLAT_ITE)
            w->cost[e] += cost_of(w, node->c);
        if (is_kept(w, e))
            w->memo[e] = w->n_memo++;
    }
}

static void write_kept(struct writer *w)
{
    for (uint32_t e = 0; e < w->slice->n_nodes; e++) {
        uint32_t m = w->memo[e];

        if (m == FLAT_NONE)
            continue;
        text_printf(w->out,
                    "static inline V %s_m%u(struct way *c)\n{\n"
                    "    if ((c->known.k[%u] | c->tried.k[%u]) >> %u & 1)\n"
                    "        return c->m[%u];\n    const V v = ",
                    w->way, m, m / 64, m / 64, m % 64, m);
        write_operation(w, e, false);
        text_printf(w->out, ";\n    KEEP(%u, %u, %u)\n}\n\n", m, m / 64,
                    m % 64);
    }
}

struct step {
    flat_expr e;
    enum { STEP_ASSUME, STEP_END, STEP_WATCH, STEP_CELL } kind;
    uint32_t index;
};

static uint32_t add_steps(const struct writer *w, struct step *steps,
                          uint32_t n, int kind)
{
    const struct slice *s = w->slice;
    const struct slice_root *roots = kind == STEP_ASSUME ? s->assumptions
                                     : kind == STEP_END  ? s->ends
                                                         : s->watches;
    uint32_t n_roots = kind == STEP_ASSUME ? s->n_assumptions
                       : kind == STEP_END  ? s->n_ends
                                           : s->n_watches;

    for (uint32_t i = 0; i < n_roots; i++) {
        struct step step = {shape_root(&w->shape, &roots[i]), kind, i};

        steps[n++] = step;
    }
    return n;
}

static uint32_t find_steps(const struct writer *w, struct step *steps)
{
    uint32_t n = add_steps(w, steps, 0, STEP_ASSUME);

    n = add_steps(w, steps, n, STEP_END);
    n = add_steps(w, steps, n, STEP_WATCH);
    for (uint32_t i = 0; i < w->slice->n_cells; i++) {
        struct step step = {shape_cell(&w->shape, i), STEP_CELL, i};

        if (w->shape.on_choice[step.e])
            steps[n++] = step;
    }
    return n;
}

static struct step *steps_of(const struct writer *w, uint32_t *n)
{
    const struct slice *s = w->slice;
    struct step *steps = calloc(s->n_assumptions + s->n_ends + s->n_watches +
                                    s->n_cells + 1, sizeof *steps);

    *n = find_steps(w, steps);
    return steps;
}

static void write_effect(struct writer *w, const struct step *step,
                         const char *leave)
{
    switch (step->kind) {
    case STEP_ASSUME:
        text_printf(w->out, "    if (!v)\n        %s;\n", leave);
        break;
    case STEP_END:
        text_printf(w->out, "    if (v)\n        %s;\n", leave);
        break;
    case STEP_WATCH:
        if (step->index == 0)
            text_add(w->out, "    if (v && !watch_level)\n"
                             "        watch_level = level;\n");
        break;
    case STEP_CELL:
        text_printf(w->out, "    to.w[%u] |= ",
                    w->fields[step->index].word);
        write_encoded(w, step->index, "v");
        text_add(w->out, ";\n");
    }
}

static void write_step(struct writer *w, const struct step *step, uint32_t i)
{
    text_printf(w->out,
                "static void %s_%u(struct way *c, struct words to)\n{\n"
                "    const V v = ", w->way, i);
    write_use(w, step->e, false);
    text_add(w->out, ";\n");
    if (w->shape.on_choice[step->e])
        text_printf(w->out, "    FORK(%s_%u)\n", w->way, i);
    write_effect(w, step, "return");
    text_printf(w->out, "    %s_%u(c, to);\n}\n\n", w->way, i + 1);
}

static void write_steps(struct writer *w)
{
    uint32_t n;
    struct step *steps = steps_of(w, &n);

    text_printf(w->out, "static inline void %s_%u(struct way *c, "
                "struct words to)\n{\n    emit(to);\n}\n\n", w->way, n);
    for (uint32_t i = n; i-- > 0;)
        write_step(w, &steps[i], i);
    free(steps);
}

static bool is_frontier(const struct writer *w, flat_expr e)
{
    return w->shape.reached[e] && !w->shape.on_choice[e] && !is_constant(w, e);
}

static void write_on_demand(struct writer *w, const char *head)
{
    choose_kept(w);
    write_kept(w);
    write_steps(w);
    text_printf(w->out, "%s\n{\n", head);
    write_known(w);
    text_add(w->out, "    struct words to = {{0}};\n"
                     "    struct way *c = &the_way;\n"
                     "    c->known = c->tried = (struct known){{0}};\n");
    for (uint32_t e = 0; e < w->slice->n_nodes; e++)
        if (is_frontier(w, e))
            text_printf(w->out, "    c->v[%u] = n%u;\n", e, e);
    write_base(w);
    text_printf(w->out, "    %s_0(c, to);\n}\n\n", w->way);
}

/* ---- all inputs ---- */

/* The loop within which a node can be computed: 0 outside of all. */
static uint32_t depth_of(const struct writer *w, flat_expr e)
{
    uint32_t depth = 0;

    for (uint32_t r = 0; r < w->slice->n_choices; r++)
        if (shape_reads(&w->shape, e, r))
            depth = r + 1;
    return depth;
}

static void write_at_depth(struct writer *w, uint32_t depth)
{
    for (uint32_t e = 0; e < w->slice->n_nodes; e++) {
        if (!w->shape.reached[e] || !w->shape.on_choice[e] ||
            depth_of(w, e) != depth)
            continue;
        text_printf(w->out, "    const V n%u = ", e);
        write_operation(w, e, false);
        text_add(w->out, ";\n");
    }
}

static bool is_looped(const struct writer *w, uint32_t row)
{
    for (uint32_t e = 0; e < w->slice->n_nodes; e++)
        if (w->shape.reached[e] && node_at(w, e)->op == FLAT_CHOICE &&
            node_at(w, e)->a == row)
            return true;
    return false;
}

static void write_innermost(struct writer *w)
{
    uint32_t n;
    struct step *steps = steps_of(w, &n);

    text_add(w->out, "    do {\n    struct words to = base;\n");
    for (uint32_t i = 0; i < n; i++) {
        text_add(w->out, "    { const V v = ");
        write_use(w, steps[i].e, false);
        text_add(w->out, ";\n");
        write_effect(w, &steps[i], "break");
        text_add(w->out, "    }\n");
    }
    text_add(w->out, "    emit(to);\n    } while (0);\n");
    free(steps);
}

static void write_all_inputs(struct writer *w)
{
    uint32_t loops = 0;

    w->all = true;
    text_add(w->out, "static void expand_all(struct words from)\n{\n"
                     "    struct words to = {{0}};\n");
    write_known(w);
    write_base(w);
    text_add(w->out, "    const struct words base = to;\n");
    for (uint32_t r = 0; r < w->slice->n_choices; r++) {
        if (!is_looped(w, r))
            continue;
        text_printf(w->out, "    for (V i%u = 0; i%u < %u; i%u++) {\n", r, r,
                    w->slice->choices[r].count, r);
        write_at_depth(w, r + 1);
        loops++;
    }
    write_innermost(w);
    while (loops-- > 0)
        text_add(w->out, "    }\n");
    text_add(w->out, "}\n");
    w->all = false;
}

/* ---- the whole ---- */

static bool fits_int32(const struct slice *s)
{
    for (uint32_t i = 0; i < s->n_nodes; i++)
        if (s->nodes[i].low < -INT32_MAX / 2 ||
            s->nodes[i].high > INT32_MAX / 2)
            return false;
    return true;
}

static void write_values(struct writer *w)
{
    for (uint32_t r = 0; r < w->slice->n_choices; r++) {
        const struct flat_choice *row = &w->slice->choices[r];
        bool plain = true;

        if (!w->slice->used[r])
            continue;
        for (uint32_t i = 0; i < row->count; i++)
            plain &= row->values[i] == i;
        if (plain) {
            text_printf(w->out, "#define value_%u(i) (i)\n", r);
            continue;
        }
        text_printf(w->out, "static const V values_%u[] = {", r);
        for (uint32_t i = 0; i < row->count; i++)
            text_printf(w->out, "%lld, ", (long long)row->values[i]);
        text_printf(w->out, "};\n#define value_%u(i) (values_%u[i])\n", r, r);
    }
}

static void write_head(struct writer *w)
{
    text_printf(w->out, "#define WORDS %u\n#include \"explorer.h\"\n\n"
                "typedef %s V;\n#define OPEN ((V)1 << (sizeof(V) * 8 - 2))\n"
                "enum { ROWS = %u, NODES = %u, KEPT = %u };\n",
                w->n_words, fits_int32(w->slice) ? "int32_t" : "int64_t",
                w->slice->n_choices + 1, w->slice->n_nodes + 1,
                w->n_memo / 64 + 1);
    text_add(w->out, "static const uint16_t row_count[] = {");
    for (uint32_t r = 0; r < w->slice->n_choices; r++)
        text_printf(w->out, "%u, ", w->slice->choices[r].count);
    text_add(w->out, "0};\n#include \"ways.h\"\n");
    write_values(w);
}

static void open_form(struct writer *w, bool first)
{
    shape_init(&w->shape, w->slice, first);
    w->way = first ? "f" : "n";
}

void native_write(struct text *out, const struct slice *slice)
{
    struct writer w = {.out = out, .slice = slice};
    uint32_t kept;

    w.fields = calloc(slice->n_cells + 1, sizeof *w.fields);
    w.cost = calloc(slice->n_nodes, sizeof *w.cost);
    w.memo = calloc(slice->n_nodes, sizeof *w.memo);
    w.n_words = shape_pack(slice, w.fields);
    open_form(&w, true);
    choose_kept(&w);
    kept = w.n_memo;
    shape_release(&w.shape);
    open_form(&w, false);
    choose_kept(&w);
    if (kept > w.n_memo)
        w.n_memo = kept;
    write_head(&w);
    write_on_demand(&w, "static void expand(struct words from)");
    write_all_inputs(&w);
    shape_release(&w.shape);
    open_form(&w, true);
    write_on_demand(&w, "static void expand_first(void)");
    shape_release(&w.shape);
    free(w.fields);
    free(w.cost);
    free(w.memo);
}
