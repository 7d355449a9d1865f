#include "present/signaldiagram.h"

#include <string.h>

#include "base/arena.h"
#include "base/text.h"
#include "check/model.h"
#include "present/caption.h"
#include "present/colourwords.h"
#include "present/graphviz.h"
#include "present/naming.h"
#include "present/signalwords.h"
#include "study/signalway.h"

/* Letters of a line in a box, of a title or name at most, of a caption, of
 * text on paper. */
enum { BOX = 24, NAME = 96, BELOW = 92, PAPER = 100 };

bool signaldiagram_fits(const struct signal_way *way)
{
    return way->n_points <= SIGNALDIAGRAM_MOST;
}

/* ---- points ---- */

static const char *kind_of_contact(const struct contact *contact)
{
    switch (contact->kind) {
    case CONTACT_CLOSING: return "closing contact";
    case CONTACT_OPENING: return "opening contact";
    case CONTACT_ON: return "contact";
    case CONTACT_VALUE: break;
    }
    return "position";
}

static const char *kind_of_block(const struct code_pou *pou)
{
    switch (pou->standard) {
    case STANDARD_TON: case STANDARD_TOF: case STANDARD_TP: return "timer";
    case STANDARD_SR: case STANDARD_RS: return "latch";
    case STANDARD_R_TRIG: case STANDARD_F_TRIG: return "edge";
    case STANDARD_CTU: case STANDARD_CTD: case STANDARD_CTUD:
        return "counter";
    case STANDARD_NONE: break;
    }
    return pou->kind == POU_FUNCTION ? "function" : "block";
}

static const char *or_name(const char *title, const struct name *name)
{
    return title != NULL ? title : name->spelling;
}

static void add_slot(struct text *out, const struct signal_way *way,
                     const struct waypoint *point)
{
    struct text name = {0};
    size_t n;

    naming_slot(&name, way->model, point->of);
    n = strcspn(text_str(&name), "[");
    while (point->kind == WAYPOINT_BLOCK && n > 0 && name.at[n - 1] != '.')
        n--;
    n -= point->kind == WAYPOINT_BLOCK && n > 0;
    text_add_bytes(out, text_str(&name), n);
    if (point->kind == WAYPOINT_BLOCK && n == 0)
        text_add(out, point->pou->name->spelling);
    text_release(&name);
}

static void add_name(struct text *out, const struct signal_way *way,
                     const struct waypoint *point)
{
    const struct model *model = way->model;

    switch (point->kind) {
    case WAYPOINT_CONTROL:
        text_add(out, model->controls[point->of].title);
        break;
    case WAYPOINT_CONTACT:
        text_add(out, model->contacts[point->of].name->spelling);
        break;
    case WAYPOINT_SENSOR:
        text_add(out, or_name(model->sensors[point->of].title,
                              model->sensors[point->of].name));
        break;
    case WAYPOINT_ACTUATOR:
        text_add(out, or_name(model->actuators[point->of].title,
                              model->actuators[point->of].name));
        break;
    case WAYPOINT_COMMAND:
        text_printf(out, "COMMANDED %s",
                    model->actuators[point->of].name->spelling);
        break;
    case WAYPOINT_PROGRAM:
        text_add(out, model->programs[point->of].name->spelling);
        break;
    default: add_slot(out, way, point); break;
    }
}

/* What it is: "timer TON", "opening contact", "program variable". */
static void add_kind(struct text *out, const struct signal_way *way,
                     const struct waypoint *point)
{
    const struct model *model = way->model;

    switch (point->kind) {
    case WAYPOINT_CONTROL:
        signalwords_coloured(out, model->controls[point->of].kind,
                             model->controls[point->of].colour);
        if (model->controls[point->of].latching)
            text_add(out, ", latching");
        break;
    case WAYPOINT_CONTACT:
        text_add(out, kind_of_contact(&model->contacts[point->of]));
        break;
    case WAYPOINT_ACTUATOR:
        signalwords_coloured(out, model->actuators[point->of].kind,
                             model->actuators[point->of].colour);
        break;
    case WAYPOINT_BLOCK:
        text_printf(out, "%s %s", kind_of_block(point->pou),
                    point->pou->name->spelling);
        break;
    case WAYPOINT_SENSOR: text_add(out, "sensor"); break;
    case WAYPOINT_INPUT: text_add(out, "program input"); break;
    case WAYPOINT_RELAY: text_add(out, "in the wiring"); break;
    case WAYPOINT_VARIABLE: text_add(out, "variable"); break;
    case WAYPOINT_PROGRAM: text_add(out, "program"); break;
    case WAYPOINT_COMMAND: text_add(out, "what is asked for"); break;
    case WAYPOINT_PART: text_add(out, "part of the machine"); break;
    }
    if (point->remembered && (point->kind == WAYPOINT_VARIABLE ||
                              point->kind == WAYPOINT_RELAY))
        text_add(out, ", remembered");
}

/* ---- around the picture ---- */

static void add_title(struct text *out, const struct signal_way *way)
{
    struct text name = {0};
    const char *line = way->to != NULL ? "The way from "
                       : way->backward ? "The ways to " : "The ways of ";

    text_printf(&name, "%s", way->from);
    if (way->backward && way->forward)
        line = "The ways through ";
    text_printf(out, "%s%.*s", line, NAME, text_str(&name));
    if (way->to != NULL)
        text_printf(out, " to %.*s", NAME, way->to);
    text_release(&name);
    if (way->model->name != NULL)
        text_printf(out, " in %.*s", NAME, way->model->name);
}

static void add_grain(struct text *out, const struct signal_way *way)
{
    if (way->grain == WAY_VARIABLES)
        return;
    text_printf(out, "Drawn coarser: %u signals one by one could not be read. "
                     "A block of the texts stands for all its variables",
                (unsigned)way->n_finest);
    if (way->grain == WAY_PROGRAMS)
        text_add(out, ", and a program for all of its own");
    if (way->to != NULL)
        text_add(out, ".\n");
    else
        text_printf(out, ". Finer: name the other end, too: --signal "
                         "%s%.*s%s.\n",
                    way->forward ? "" : "NAME,", NAME, way->from,
                    way->forward ? ",NAME" : "");
}

static void add_legend(struct text *out, const struct signal_way *way)
{
    add_grain(out, way);
    text_add(out, "An arrow leads from what is read to what is given a value "
                  "by it, in an assignment or in a condition under which it "
                  "runs; dashed: in the wiring or the machine. Double frame: "
                  "remembered from scan to scan. A filled lamp or button "
                  "has the colour that its words say. From the texts alone: an "
                  "arrow does not say that it ever makes a difference "
                  "(`keepclear effects` does). What comes back by a sensor or "
                  "is read back begins a new way and is not followed.\n");
}

/* ---- DOT ---- */

static void quote_lines(struct text *out, const struct text *words)
{
    struct text wrapped = {0};
    const char *lines;

    caption_wrap(&wrapped, text_str(words), BOX, 0);
    for (lines = text_str(&wrapped); *lines != '\0';) {
        size_t n = strcspn(lines, "\n");

        graphviz_quote(out, lines, n);
        lines += n + (lines[n] == '\n');
        if (*lines != '\0')
            text_add(out, "\\n");
    }
    text_release(&wrapped);
}

/* A long name is cut, at a whole letter. */
static void shorten(struct text *name)
{
    size_t n = NAME;

    if (name->n <= NAME)
        return;
    while (n > 0 && ((unsigned char)name->at[n] & 0xC0) == 0x80)
        n--;
    name->n = n;
    name->at[n] = '\0';
    text_add(name, " ...");
}

static bool is_real(const struct waypoint *point)
{
    return point->kind == WAYPOINT_CONTROL ||
           point->kind == WAYPOINT_SENSOR ||
           point->kind == WAYPOINT_ACTUATOR || point->kind == WAYPOINT_PART;
}

/* Its words say the colour, too. */
static void add_style(struct text *out, const struct signal_way *way,
                      const struct waypoint *point)
{
    const struct model *model = way->model;
    enum colour colour = COLOUR_NONE;

    if (!is_real(point))
        return;
    if (point->kind == WAYPOINT_CONTROL)
        colour = model->controls[point->of].colour;
    else if (point->kind == WAYPOINT_ACTUATOR)
        colour = model->actuators[point->of].colour;
    text_printf(out, ", style=\"rounded%s\", penwidth=2",
                colour != COLOUR_NONE ? ",filled" : "");
    if (colour != COLOUR_NONE)
        text_printf(out, ", fillcolor=\"%s\", fontcolor=\"%s\"",
                    colourwords_fill(colour), colourwords_ink(colour));
}

static void add_point(struct text *out, const struct signal_way *way,
                      uint32_t number)
{
    const struct waypoint *point = &way->points[number];
    struct text words = {0}, kind = {0};

    add_name(&words, way, point);
    shorten(&words);
    text_add(&words, "\n");
    add_kind(&kind, way, point);
    text_add(&words, text_str(&kind));
    text_printf(out, "  p%u [id=\"p%u\"", number + 1, number + 1);
    add_style(out, way, point);
    text_printf(out, "%s, label=\"",
                point->remembered ? ", peripheries=2" : "");
    quote_lines(out, &words);
    text_add(out, "\"];\n");
    text_release(&words);
    text_release(&kind);
}

static bool is_wiring(const struct signal_way *way,
                      const struct way_arrow *arrow)
{
    enum waypoint_kind to = way->points[arrow->to].kind;

    return to == WAYPOINT_INPUT || to == WAYPOINT_RELAY ||
           to == WAYPOINT_PART ||
           (to == WAYPOINT_ACTUATOR &&
            way->model->actuators[way->points[arrow->to].of].wired);
}

static void add_caption(struct text *out, const struct text *lines)
{
    struct text wrapped = {0};

    caption_wrap(&wrapped, text_str(lines), BELOW, 0);
    for (const char *at = text_str(&wrapped); *at != '\0';) {
        size_t n = strcspn(at, "\n");

        graphviz_quote(out, at, n);
        text_add(out, "\\l");
        at += n + (at[n] == '\n');
    }
    text_release(&wrapped);
}

void signaldiagram_dot(struct text *out, const struct signal_way *way)
{
    struct text title = {0}, legend = {0};

    add_title(&title, way);
    add_legend(&legend, way);
    text_add(out,
             "digraph signal {\n  id=\"signal\";\n"
             "  charset=\"utf-8\"; rankdir=TB; margin=0.2; pad=0.1;\n"
             "  nodesep=0.3; ranksep=0.4; labelloc=b; labeljust=l;\n"
             "  fontname=\"Helvetica\"; fontsize=11;\n"
             "  node [shape=box, fontname=\"Helvetica\", fontsize=13, "
             "penwidth=1.1,\n        margin=\"0.18,0.07\"];\n"
             "  edge [penwidth=1, arrowsize=0.8];\n"
             "  label=\"");
    add_caption(out, &legend);
    text_add(out, "\";\n  subgraph cluster_picture {\n  id=\"picture\"; "
                  "pencolor=none; labelloc=t; labeljust=l; fontsize=15;\n"
                  "  label=\"");
    add_caption(out, &title);
    text_add(out, "\";\n");
    for (uint32_t i = 0; i < way->n_points; i++)
        add_point(out, way, i);
    text_add(out, "  }\n");
    for (uint32_t i = 0; i < way->n_arrows; i++)
        text_printf(out, "  p%u -> p%u%s;\n", way->arrows[i].from + 1,
                    way->arrows[i].to + 1,
                    is_wiring(way, &way->arrows[i]) ? " [style=dashed]" : "");
    text_add(out, "}\n");
    text_release(&title);
    text_release(&legend);
}

/* ---- in words ---- */

/* Steps back from a point to what it was reached from first. */
struct chain {
    const struct signal_way *way;
    uint32_t *before; /* per point; UINT32_MAX: not reached, itself: begins */
};

static void follow(struct chain *chain, uint32_t from)
{
    const struct signal_way *way = chain->way;
    bool more = true;

    for (uint32_t i = 0; i < way->n_points; i++)
        chain->before[i] = UINT32_MAX;
    chain->before[from] = from;
    while (more) {
        uint32_t found = UINT32_MAX, reached = UINT32_MAX;

        /* One step at a time, in rounds: the first round to reach is the
           shortest. */
        more = false;
        for (uint32_t round = 0; round < way->n_arrows; round++) {
            const struct way_arrow *a = &way->arrows[round];

            if (chain->before[a->from] == UINT32_MAX ||
                chain->before[a->to] != UINT32_MAX)
                continue;
            if (found == UINT32_MAX ||
                way->points[a->to].distance < way->points[reached].distance) {
                found = a->from;
                reached = a->to;
            }
        }
        if (found != UINT32_MAX) {
            chain->before[reached] = found;
            more = true;
        }
    }
}

static void tell_chain(struct text *out, const struct chain *chain,
                       uint32_t point)
{
    if (chain->before[point] != point) {
        tell_chain(out, chain, chain->before[point]);
        text_add(out, " > ");
    }
    add_name(out, chain->way, &chain->way->points[point]);
}

static void wrapped(struct text *out, const struct text *line, size_t indent)
{
    struct text lines = {0};

    caption_wrap(&lines, text_str(line), PAPER, indent);
    text_add(out, text_str(&lines));
    text_release(&lines);
}

static bool begins(const struct signal_way *way, uint32_t point)
{
    if (way->forward && !way->backward)
        return way->points[point].ends && way->points[point].distance == 0;
    for (uint32_t i = 0; i < way->n_arrows; i++)
        if (way->arrows[i].to == point)
            return false;
    return true;
}

static bool is_goal(const struct signal_way *way, uint32_t point)
{
    if (way->to != NULL || !way->forward)
        return way->points[point].ends && !begins(way, point);
    return way->points[point].kind == WAYPOINT_ACTUATOR;
}

static void tell_ways(struct text *out, const struct signal_way *way)
{
    struct arena *arena = arena_new();
    struct chain chain = {
        way, arena_array(arena, (size_t)way->n_points + 1,
                         sizeof *chain.before)};

    for (uint32_t from = 0; from < way->n_points; from++) {
        if (!begins(way, from))
            continue;
        follow(&chain, from);
        for (uint32_t to = 0; to < way->n_points; to++) {
            struct text line = {0};

            if (!is_goal(way, to) || to == from ||
                chain.before[to] == UINT32_MAX)
                continue;
            text_add(&line, "  ");
            tell_chain(&line, &chain, to);
            wrapped(out, &line, 6);
            text_release(&line);
        }
    }
    arena_free(arena);
}

static void tell_point(struct text *out, const struct signal_way *way,
                       const struct sources *sources, uint32_t point)
{
    const struct waypoint *at = &way->points[point];
    struct text line = {0};
    uint32_t n = 0;

    text_add(&line, "  ");
    add_name(&line, way, at);
    text_add(&line, ", ");
    add_kind(&line, way, at);
    if (at->place.file != 0) {
        text_add(&line, " (");
        naming_place(&line, sources, at->place);
        text_add(&line, ")");
    }
    for (uint32_t i = 0; i < way->n_arrows; i++) {
        if (way->arrows[i].to != point)
            continue;
        text_add(&line, n++ == 0 ? ": from " : ", ");
        add_name(&line, way, &way->points[way->arrows[i].from]);
    }
    wrapped(out, &line, 6);
    text_release(&line);
}

void signaldiagram_text(struct text *out, const struct signal_way *way,
                        const struct sources *sources)
{
    struct text words = {0};

    add_title(&words, way);
    wrapped(out, &words, 0);
    text_add(out, "\nShortest ways\n");
    tell_ways(out, way);
    text_add(out, "\nEvery point, and from what it is given its value\n");
    for (uint32_t i = 0; i < way->n_points; i++)
        tell_point(out, way, sources, i);
    text_add(out, "\n");
    text_clear(&words);
    add_legend(&words, way);
    wrapped(out, &words, 0);
    text_release(&words);
}
