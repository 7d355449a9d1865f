#include "present/diagram.h"

#include <string.h>

#include "base/text.h"
#include "base/vec.h"
#include "present/amount.h"
#include "present/caption.h"
#include "present/graphviz.h"
#include "present/mapwords.h"
#include "study/map.h"
#include "study/mappath.h"

/* Columns of labels that stand on an arrow, of those told below, of text on
 * a terminal; lines that may stand on an arrow, and edges beyond which only
 * one line may. */
enum { ARROW = 32, BELOW = 88, TERMINAL = 79, LINES = 4, CROWDED = 24 };

/* Labels told under the picture. */
struct below {
    const struct map *map;
    const struct sources *sources;
    struct text list;       /* "(1) ...\n(2) ...\n" */
    VEC(size_t) begin, end; /* each sentence within the list */
};

bool diagram_fits(const struct map *map)
{
    return !map->too_many && map->n_nodes <= DIAGRAM_MOST_NODES &&
           map->n_edges <= DIAGRAM_MOST_EDGES;
}

/* Blanks that no reader of SVG takes away. */
static void add_blanks(struct text *out, size_t n)
{
    while (n-- > 0)
        text_add(out, "\xC2\xA0");
}

/* Lines in the middle of a box, as the inside of a quoted string. */
static void quote_middle(struct text *out, const char *lines)
{
    while (*lines != '\0') {
        size_t n = strcspn(lines, "\n");

        graphviz_quote(out, lines, n);
        lines += n + (lines[n] == '\n');
        if (*lines != '\0')
            text_add(out, "\\n");
    }
}

/* Lines to the left, `lead` blanks before each.  The blanks behind leave
 * room: where Helvetica is missing, a wider letter takes its place. */
static void quote_left(struct text *out, const char *lines, size_t lead)
{
    while (*lines != '\0') {
        size_t n = strcspn(lines, "\n"), blanks = strspn(lines, " ");

        add_blanks(out, lead + blanks);
        graphviz_quote(out, lines + blanks, n - blanks);
        add_blanks(out, n / 5);
        text_add(out, "\\l");
        lines += n + (lines[n] == '\n');
    }
}

/* ---- labels under the picture ---- */

/* The number of a sentence, from 1; equal ones share it. */
static size_t tell_below(struct below *below, const char *sentence)
{
    size_t n = strlen(sentence), at = below->list.n;

    for (size_t i = 0; i < below->begin.n; i++)
        if (below->end.at[i] - below->begin.at[i] == n &&
            memcmp(below->list.at + below->begin.at[i], sentence, n) == 0)
            return i + 1;
    text_printf(&below->list, "(%zu) ", below->begin.n + 1);
    at = below->list.n;
    vec_push(&below->begin, at);
    vec_push(&below->end, at + n);
    text_printf(&below->list, "%s\n", sentence);
    return below->begin.n;
}

static size_t count_lines(const char *lines)
{
    size_t n = 0;

    for (; *lines != '\0'; lines++)
        n += *lines == '\n';
    return n;
}

static void arrow_label(struct text *out, struct below *below,
                        const struct map_edge *edge)
{
    struct text lines = {0}, wrapped = {0}, sentence = {0};
    size_t most = below->map->n_edges > CROWDED ? 1 : LINES;

    mapwords_lines(&lines, below->map, edge);
    caption_wrap(&wrapped, text_str(&lines), ARROW, 2);
    if (count_lines(text_str(&wrapped)) <= most) {
        quote_left(out, text_str(&wrapped), 1);
    } else {
        mapwords_sentence(&sentence, below->map, edge);
        add_blanks(out, 1);
        text_printf(out, "(%zu)", tell_below(below, text_str(&sentence)));
    }
    text_release(&lines);
    text_release(&wrapped);
    text_release(&sentence);
}

/* ---- a path ---- */

/* Is the node on the path that is drawn in? */
static bool path_node(const struct map *map, uint32_t node)
{
    if (map->path == NULL)
        return false;
    for (uint32_t i = 0; i < map->path->n_steps; i++)
        if (map->edges[map->path->steps[i].edge].to == node)
            return true;
    return map->path->first == node;
}

/* "STEP 2, 0.3 s": each time that the path goes along the edge; false: it
 * does not. */
static bool add_steps(struct text *out, const struct map *map, uint32_t edge)
{
    bool any = false;

    for (uint32_t i = 0; map->path != NULL && i < map->path->n_steps; i++)
        if (map->path->steps[i].edge == edge) {
            text_printf(out, "STEP %u, ", (unsigned)(i + 1));
            amount_seconds(out, map->path->steps[i].time);
            text_add(out, "\n");
            any = true;
        }
    return any;
}

static void add_path_title(struct text *out, const struct map *map)
{
    if (map->path == NULL)
        return;
    text_printf(out, "Thick: %s, %s", map->path->name, map->path->words);
    text_add(out, map->path->n_steps == 0
                      ? ". It stays in one combination.\n"
                      : ". STEP: where it changes the combination, and "
                        "when.\n");
}

static void tell_path(struct text *out, const struct map *map)
{
    if (map->path == NULL)
        return;
    text_printf(out, "\nThe path of %s, %s\n", map->path->name,
                map->path->words);
    text_add(out, "  at first      ");
    mapwords_node(out, map, map->path->first, ", ");
    text_add(out, "\n");
    for (uint32_t i = 0; i < map->path->n_steps; i++) {
        struct text when = {0};

        amount_seconds(&when, map->path->steps[i].time);
        text_printf(out, "  STEP %-3u %6s  ", (unsigned)(i + 1),
                    text_str(&when));
        mapwords_node(out, map,
                      map->edges[map->path->steps[i].edge].to, ", ");
        text_add(out, "\n");
        text_release(&when);
    }
}

/* ---- DOT ---- */

static void add_node(struct text *out, const struct map *map, uint32_t node)
{
    bool first = map->nodes[node].first;
    struct text words = {0};

    if (first)
        text_add(&words, "power-up\n");
    mapwords_node(&words, map, node, "\n");
    text_printf(out, "    n%u [id=\"n%u\"%s%s, label=\"", node + 1, node + 1,
                first ? ", peripheries=2" : "",
                path_node(map, node) ? ", penwidth=3.5" : "");
    quote_middle(out, text_str(&words));
    text_add(out, "\"];\n");
    text_release(&words);
}

static void add_edge(struct text *out, struct below *below, uint32_t number)
{
    const struct map_edge *edge = &below->map->edges[number];
    struct text steps = {0};

    text_printf(out, "    n%u -> n%u [id=\"e%u\"", edge->from + 1,
                edge->to + 1, number + 1);
    text_printf(out, "%s, label=\"",
                add_steps(&steps, below->map, number) ? ", penwidth=3" : "");
    quote_left(out, text_str(&steps), 1);
    text_release(&steps);
    arrow_label(out, below, edge);
    text_add(out, "\"];\n");
}

/* The library takes much longer for a few nodes more: then it may look for
 * the nicest places only so long, and lines are straight. */
static void add_manners(struct text *out, const struct map *map)
{
    text_add(out,
        "  charset=\"utf-8\"; rankdir=TB; margin=0.2; pad=0.1;\n"
        "  nodesep=0.45; ranksep=0.5;\n"
        "  fontname=\"Helvetica\"; fontsize=10; labelloc=b; labeljust=l;\n"
        "  node [shape=box, style=rounded, fontname=\"Helvetica\", "
        "fontsize=13,\n        penwidth=1.3, margin=\"0.18,0.1\"];\n"
        "  edge [fontname=\"Helvetica\", fontsize=10.5, penwidth=1, "
        "arrowsize=0.8];\n");
    if (map->n_nodes > 50 || map->n_edges > 120)
        text_add(out, "  nslimit=1; nslimit1=1; mclimit=0.1; "
                      "splines=line;\n");
}

/* Wraps and quotes lines, and empties them. */
static void add_caption(struct text *out, struct text *lines)
{
    struct text wrapped = {0};

    caption_wrap(&wrapped, text_str(lines), BELOW, 0);
    quote_left(out, text_str(&wrapped), 0);
    text_release(lines);
    text_release(&wrapped);
}

static void add_below(struct text *out, const struct below *below)
{
    struct text wrapped = {0}, legend = {0};

    if (below->list.n > 0)
        text_add(&wrapped, "\n");
    caption_wrap(&wrapped, text_str(&below->list), BELOW, 6);
    text_add(&wrapped, "\n");
    text_add(out, "  label=\"");
    quote_left(out, text_str(&wrapped), 0);
    caption_legend(&legend, below->map, below->sources);
    add_caption(out, &legend);
    text_add(out, "\";\n");
    text_release(&wrapped);
}

void diagram_dot(struct text *out, const struct map *map,
                 const struct sources *sources)
{
    struct below below = {.map = map, .sources = sources};
    struct text title = {0};

    text_add(out, "digraph situations {\n  id=\"situations\";\n");
    add_manners(out, map);
    text_add(out, "  subgraph cluster_picture {\n    id=\"picture\"; "
                  "pencolor=none; labelloc=t; labeljust=l; fontsize=12;\n"
                  "    label=\"");
    caption_title(&title, map);
    add_path_title(&title, map);
    add_caption(out, &title);
    text_add(out, "\\l\";\n");
    for (uint32_t i = 0; i < map->n_nodes; i++)
        add_node(out, map, i);
    for (uint32_t i = 0; i < map->n_edges; i++)
        add_edge(out, &below, i);
    text_add(out, "  }\n");
    add_below(out, &below);
    text_add(out, "}\n");
    text_release(&below.list);
    vec_release(&below.begin);
    vec_release(&below.end);
}

/* ---- in words ---- */

static void tell_node(struct text *out, const struct map *map, uint32_t node)
{
    struct text line = {0};

    text_printf(&line, "  %u  ", node + 1);
    mapwords_node(&line, map, node, ", ");
    text_printf(&line, "%s (in ", map->nodes[node].first
                                      ? ", also at power-up" : "");
    amount_of(&line, map->nodes[node].situations, "situation");
    text_add(&line, ")");
    caption_wrap(out, text_str(&line), TERMINAL, 5);
    text_release(&line);
}

static void tell_edges(struct text *out, const struct map *map,
                       uint32_t *edge, uint32_t node)
{
    struct text line = {0};

    text_printf(out, "  from %u, ", node + 1);
    mapwords_node(out, map, node, ", ");
    text_add(out, "\n");
    for (; *edge < map->n_edges && map->edges[*edge].from == node;
         ++*edge) {
        text_clear(&line);
        text_printf(&line, "    to %u, ", map->edges[*edge].to + 1);
        mapwords_node(&line, map, map->edges[*edge].to, ", ");
        text_add(&line, ": ");
        mapwords_sentence(&line, map, &map->edges[*edge]);
        caption_wrap(out, text_str(&line), TERMINAL, 6);
    }
    text_release(&line);
}

void diagram_text(struct text *out, const struct map *map,
                  const struct sources *sources)
{
    struct text legend = {0};

    caption_title(&legend, map);
    text_add(&legend, "\nCombinations\n");
    caption_wrap(out, text_str(&legend), TERMINAL, 0);
    for (uint32_t i = 0; i < map->n_nodes; i++)
        tell_node(out, map, i);
    text_add(out, "\nWays between them\n");
    for (uint32_t i = 0, edge = 0; i < map->n_nodes; i++)
        if (edge < map->n_edges && map->edges[edge].from == i)
            tell_edges(out, map, &edge, i);
    if (map->n_edges == 0)
        text_add(out, "  none\n");
    tell_path(out, map);
    text_add(out, "\n");
    text_clear(&legend);
    caption_legend(&legend, map, sources);
    caption_wrap(out, text_str(&legend), TERMINAL, 0);
    text_release(&legend);
}
