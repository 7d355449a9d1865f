#include "logic/flatdata.h"

#include <inttypes.h>
#include <stdbool.h>

#include "base/text.h"
#include "logic/slice.h"

/* What a double holds exactly. */
static const int64_t most_exact = (int64_t)1 << 53;

static bool is_exact(int64_t value)
{
    return value >= -most_exact && value <= most_exact;
}

static void add_number(struct text *out, int64_t value)
{
    text_printf(out, is_exact(value) ? "%" PRId64 : "\"%" PRId64 "\"", value);
}

static void comma(struct text *out, uint32_t i)
{
    if (i > 0)
        text_add(out, i % 16 == 0 ? ",\n" : ",");
}

static void add_node(struct text *out, const struct flat_node *node)
{
    text_printf(out, "[%d,", (int)node->op);
    if (node->op == FLAT_CONST)
        add_number(out, node->value);
    else
        text_printf(out, "%u", node->a);
    if (node->op > FLAT_NOT)
        text_printf(out, ",%u", node->b);
    if (node->op == FLAT_ITE)
        text_printf(out, ",%u", node->c);
    text_add(out, "]");
}

static void add_nodes(struct text *out, const struct slice *slice)
{
    uint32_t wide = 0;

    text_add(out, "\"nodes\":[");
    for (uint32_t i = 0; i < slice->n_nodes; i++) {
        comma(out, i);
        add_node(out, &slice->nodes[i]);
    }
    text_add(out, "],\n\"wide\":[");
    for (uint32_t i = 0; i < slice->n_nodes; i++) {
        if (is_exact(slice->nodes[i].low) && is_exact(slice->nodes[i].high))
            continue;
        comma(out, wide++);
        text_printf(out, "%u", i);
    }
    text_add(out, "],\n");
}

static void add_choices(struct text *out, const struct slice *slice)
{
    text_add(out, "\"choices\":[");
    for (uint32_t i = 0; i < slice->n_choices; i++) {
        const struct flat_choice *choice = &slice->choices[i];

        comma(out, i);
        text_printf(out, "[%d,%u", (int)choice->kind, choice->rest);
        for (uint32_t k = 0; k < choice->count; k++) {
            text_add(out, ",");
            add_number(out, choice->values[k]);
        }
        text_add(out, "]");
    }
    text_add(out, "],\n\"cells\":[");
    for (uint32_t i = 0; i < slice->n_cells; i++) {
        comma(out, i);
        text_printf(out, "[%u,%u]", slice->cells[i].first,
                    slice->cells[i].next);
    }
    text_add(out, "],\n");
}

static void add_roots(struct text *out, const char *name,
                      const struct slice_root *roots, uint32_t n)
{
    text_printf(out, "\"%s\":[", name);
    for (uint32_t i = 0; i < n; i++) {
        comma(out, i);
        text_printf(out, "[%u,%u,%u]", roots[i].number, roots[i].first,
                    roots[i].next);
    }
    text_add(out, "]");
}

void flatdata_add(struct text *out, const struct slice *slice)
{
    text_add(out, "{");
    add_nodes(out, slice);
    add_choices(out, slice);
    add_roots(out, "assumptions", slice->assumptions, slice->n_assumptions);
    text_add(out, ",\n");
    add_roots(out, "watches", slice->watches, slice->n_watches);
    text_add(out, ",\n");
    add_roots(out, "values", slice->values, slice->n_values);
    text_add(out, "}");
}
