#include "logic/infix.h"

#include <inttypes.h>

#include "base/text.h"

/* Something still to be written: an expression, or else words. */
struct todo {
    flat_expr expr;
    const char *words;
};

struct writer {
    const struct infix *infix;
    struct text *out;
    VEC(struct todo) todo;
};

static const char *const sign[] = {
    [FLAT_AND] = " AND ", [FLAT_OR] = " OR ", [FLAT_XOR] = " XOR ",
    [FLAT_EQ] = " = ",    [FLAT_LT] = " < ",  [FLAT_LE] = " <= ",
    [FLAT_ADD] = " + ",   [FLAT_SUB] = " - ", [FLAT_MUL] = " * ",
    [FLAT_DIV] = " / ",   [FLAT_MOD] = " MOD ",
    [FLAT_MEET] = " & "};

static bool is_inner(const struct flat_node *node)
{
    return node->op > FLAT_HOLE;
}

void infix_init(struct infix *infix, const struct flat_node *nodes,
                uint32_t n_nodes)
{
    *infix = (struct infix){.nodes = nodes, .n_nodes = n_nodes};
    for (uint32_t i = 0; i < n_nodes; i++) {
        vec_push(&infix->uses, 0);
        vec_push(&infix->number, FLAT_NONE);
    }
}

void infix_release(struct infix *infix)
{
    vec_release(&infix->uses);
    vec_release(&infix->number);
}

void infix_count(struct infix *infix, flat_expr root)
{
    infix->uses.at[root]++;
}

static void count_children(struct infix *infix, const struct flat_node *node)
{
    infix->uses.at[node->a]++;
    if (node->b != FLAT_NONE)
        infix->uses.at[node->b]++;
    if (node->c != FLAT_NONE)
        infix->uses.at[node->c]++;
}

/* A negated leaf is shorter than any number. */
static bool is_large(const struct infix *infix, const struct flat_node *node)
{
    return is_inner(node) && (node->op != FLAT_NOT ||
                              is_inner(&infix->nodes[node->a]));
}

static void say(struct writer *writer, const char *words)
{
    vec_push(&writer->todo, ((struct todo){FLAT_NONE, words}));
}

static void write_later(struct writer *writer, flat_expr expr)
{
    vec_push(&writer->todo, ((struct todo){expr, NULL}));
}

/* What is put on the pile last is written first. */
static void open_node(struct writer *writer, const struct flat_node *node)
{
    if (node->op == FLAT_NOT) {
        write_later(writer, node->a);
        say(writer, "NOT ");
        return;
    }
    say(writer, ")");
    if (node->op == FLAT_ITE) {
        write_later(writer, node->c);
        say(writer, " ELSE ");
        write_later(writer, node->b);
        say(writer, " THEN ");
        write_later(writer, node->a);
        say(writer, "(IF ");
        return;
    }
    write_later(writer, node->b);
    say(writer, sign[node->op]);
    write_later(writer, node->a);
    say(writer, "(");
}

static void write_one(struct writer *writer, struct todo todo, bool as_part)
{
    const struct infix *infix = writer->infix;
    const struct flat_node *node;

    if (todo.words) {
        text_add(writer->out, todo.words);
        return;
    }
    node = &infix->nodes[todo.expr];
    if (!as_part && infix->number.at[todo.expr] != FLAT_NONE)
        text_printf(writer->out, "#%" PRIu32, infix->number.at[todo.expr]);
    else if (node->op == FLAT_CONST)
        text_printf(writer->out, "%" PRId64, node->value);
    else if (is_inner(node))
        open_node(writer, node);
    else
        infix->add_leaf(writer->out, infix->context, node);
}

/* as_part: the outermost is written out although it has a number. */
static void write_all(const struct infix *infix, struct text *out,
                      flat_expr expr, bool as_part)
{
    struct writer writer = {infix, out, {0}};

    write_later(&writer, expr);
    while (writer.todo.n) {
        struct todo todo = writer.todo.at[--writer.todo.n];

        write_one(&writer, todo, as_part);
        as_part = false;
    }
    vec_release(&writer.todo);
}

void infix_add_parts(struct infix *infix, struct text *out)
{
    uint32_t n = 0;

    for (uint32_t i = infix->n_nodes; i-- > 0;)
        if (infix->uses.at[i] && is_inner(&infix->nodes[i]))
            count_children(infix, &infix->nodes[i]);
    for (uint32_t i = 0; i < infix->n_nodes; i++) {
        if (infix->uses.at[i] < 2 || !is_large(infix, &infix->nodes[i]))
            continue;
        infix->number.at[i] = ++n;
        text_printf(out, "part #%" PRIu32 ": ", n);
        write_all(infix, out, i, true);
        text_add_char(out, '\n');
    }
}

void infix_add(const struct infix *infix, struct text *out, flat_expr expr)
{
    write_all(infix, out, expr, false);
}
