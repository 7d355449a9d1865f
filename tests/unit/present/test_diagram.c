#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <string.h>

#include "base/name.h"
#include "base/text.h"
#include "check/model.h"
#include "present/diagram.h"
#include "present/graphviz.h"
#include "study/map.h"

/* A gate with two buttons, a stop and a selector, made by hand. */
static const struct name shut = {"Shut", "shut", 4, 0};
static const struct name wide = {"Wide", "wide", 4, 1};
static const struct name *const places[] = {&shut, &wide};
static const struct type bool_type = {.kind = TYPE_BOOL, .high = 1};
static const struct type gap_type = {
    .kind = TYPE_ENUM, .high = 1, .count = 2, .items = places};
static const struct type mode_type = {.kind = TYPE_INTEGER, .high = 3};
static const struct name f1 = {"F1", "f1", 2, 2};

static const struct control controls[] = {
    {.kind = SIGNAL_BUTTON, .title = "left \"closing\" button",
     .type = &bool_type},
    {.kind = SIGNAL_STOP, .title = "stop, rear", .type = &bool_type},
    {.kind = SIGNAL_SELECTOR, .title = "mode", .type = &mode_type},
};

static const int64_t values[] = {0, 1, 2, 3};
static const struct choice choices[] = {
    {.kind = CHOICE_POWER, .count = 2, .values = values,
     .type = &bool_type},
    {.kind = CHOICE_FAULT, .count = 2, .values = values,
     .type = &bool_type, .of = 0},
    {.kind = CHOICE_OPERATOR, .count = 2, .values = values,
     .type = &bool_type, .of = 0},
    {.kind = CHOICE_OPERATOR, .count = 2, .values = values,
     .type = &bool_type, .of = 1},
    {.kind = CHOICE_OPERATOR, .count = 4, .values = values,
     .type = &mode_type, .of = 2},
};

static const struct fault faults[] = {{.name = &f1, .title = "spool sticks"}};
static const struct slot slots[] = {
    {.path = "gap", .type = &gap_type, .home = SLOT_MACHINE}};

static const struct model model = {
    .name = "Gate", .title = "a <gate> & more",
    .slots = slots, .n_slots = 1,
    .choices = choices, .n_choices = 5,
    .controls = controls, .n_controls = 3,
    .faults = faults, .n_faults = 1,
};

static const int64_t from[64] = {0, 1}, to[64] = {0, 0};
static const struct map_condition conditions[] = {
    {MAP_CHOICE, 0, NULL, NULL, 3, true},
    {MAP_CHOICE, 1, NULL, NULL, 3, true},
    {MAP_CHOICE, 2, NULL, NULL, 3, false},
    {MAP_CHOICE, 3, NULL, NULL, 3, false},
    {MAP_CHOICE, 4, NULL, NULL, 15, false},
    {MAP_MOVE, 0, from, to, UINT64_MAX, true},
};

enum { CONDITIONS = 6 };
#define ANY 3, 3, 3, 3, 15, UINT64_MAX

static const struct shown shown[] = {
    {SHOWN_SLOT, 0, "gap", &gap_type, false}};
static const int64_t at_shut[] = {0}, at_wide[] = {1};
static const struct map_node nodes[] = {{at_shut, true, 1200},
                                        {at_wide, false, 1}};

static struct map map_of(const struct map_edge *edge, uint32_t n)
{
    return (struct map){
        .model = &model, .shown = shown, .n_shown = 1,
        .nodes = nodes, .n_nodes = 2, .edges = edge, .n_edges = n,
        .conditions = conditions, .n_conditions = CONDITIONS,
        .coverage = {.situations = 1201, .complete = true}};
}

static void assert_has(const struct text *text, const char *piece)
{
    if (strstr(text_str(text), piece) == NULL)
        fail_msg("'%s' is not in:\n%s", piece, text_str(text));
}

/* The sentence in the text form of one edge with this label. */
static void assert_sentence(const struct label *label, const char *sentence)
{
    const struct map_edge edge = {0, 1, *label};
    struct map map = map_of(&edge, 1);
    struct text text = {0};

    diagram_text(&text, &map, NULL);
    for (size_t i = 0; i < text.n; i++) /* lines are broken at blanks */
        if (text.at[i] == '\n' && strncmp(text.at + i, "\n      ", 7) == 0)
            memmove(text.at + i, text.at + i + 6, text.n - i - 5);
    assert_has(&text, sentence);
    text_release(&text);
}

static void what_is_common_is_a_conjunction(void **state)
{
    static const uint64_t box[] = {3, 3, 2, 1, 15, UINT64_MAX};
    const struct label label = {box, box, 1};

    (void)state;
    assert_sentence(&label, "to 2, gap Wide: only with left \"closing\" button "
                            "held and stop, rear not pressed\n");
}

static void power_faults_moves_and_positions_have_words(void **state)
{
    static const uint64_t box[] = {2, 2, 3, 3, 5, 2};
    static const uint64_t most[] = {3, 3, 3, 3, 7, UINT64_MAX};
    const struct label label = {box, box, 1}, but = {most, most, 1};

    (void)state;
    assert_sentence(&label, "only with power off and F1 (spool sticks) "
                            "appearing and mode at 0 or 2 and gap moving "
                            "Wide to Shut\n");
    assert_sentence(&but, "only with mode not at 3\n");
}

static void groups_are_told_apart(void **state)
{
    static const uint64_t common[] = {3, 3, 3, 3, 1, UINT64_MAX};
    static const uint64_t groups[] = {3, 3, 2, 3, 1, UINT64_MAX,
                                      3, 3, 3, 2, 1, UINT64_MAX};
    const struct label label = {common, groups, 2};

    (void)state;
    assert_sentence(&label,
                    "only with mode at 0, and either left \"closing\" button "
                    "held, or stop, rear pressed\n");
}

static void what_is_not_told_is_said_to_be_more(void **state)
{
    static const uint64_t common[] = {3, 3, 2, 3, 15, UINT64_MAX};
    static const uint64_t any[] = {ANY};
    const struct label more = {common, NULL, 0}, ways = {any, NULL, 0},
                       one = {any, any, 1};

    (void)state;
    assert_sentence(&more, "only with left \"closing\" button held, and "
                           "more\n");
    assert_sentence(&ways, "gap Wide: in different ways\n");
    assert_sentence(&one, "gap Wide: whatever is operated\n");
}

static void the_picture_is_escaped_and_numbered(void **state)
{
    static const uint64_t box[] = {3, 3, 2, 1, 15, UINT64_MAX};
    static const uint64_t common[] = {3, 3, 3, 3, 1, UINT64_MAX};
    static const uint64_t groups[] = {3, 3, 2, 3, 1, UINT64_MAX,
                                      2, 3, 1, 2, 1, UINT64_MAX};
    const struct map_edge edges[] = {{0, 1, {box, box, 1}},
                                     {1, 0, {common, groups, 2}}};
    struct map map = map_of(edges, 2);
    struct text dot = {0}, svg = {0};

    (void)state;
    diagram_dot(&dot, &map, NULL);
    assert_has(&dot, "n1 [id=\"n1\", peripheries=2, "
                     "label=\"power-up\\ngap Shut\"]");
    assert_has(&dot, "n2 [id=\"n2\", label=\"gap Wide\"]");
    assert_has(&dot, "label=\"\xC2\xA0" "left \\\"closing\\\" button held");
    assert_has(&dot, "n2 -> n1 [id=\"e2\", label=\"\xC2\xA0" "(1)\"]");
    assert_has(&dot, "(1) only with mode at 0, and either left \\\"closing");
    assert_has(&dot, "a <gate> &amp; more");
    assert_int_equal(graphviz_svg(text_str(&dot), 20, &svg), OS_OK);
    assert_has(&svg, "a &lt;gate&gt; &amp; more");
    assert_has(&svg, "id=\"e2\"");
    text_release(&dot);
    text_release(&svg);
}

static void what_is_not_complete_says_so_first(void **state)
{
    struct map map = map_of(NULL, 0);
    struct text text = {0};

    (void)state;
    map.stop = STOP_SITUATIONS;
    diagram_text(&text, &map, NULL);
    assert_memory_equal(text.at, "NOT COMPLETE: the limit of situations", 37);
    text_clear(&text);
    map.stop = STOP_NONE;
    diagram_text(&text, &map, NULL);
    assert_memory_equal(text.at, "Gate: a <gate> & more\nShown by gap, without ", 44);
    assert_has(&text, "them, 1,201 reachable situations behind them.");
    assert_has(&text, "\n  1  gap Shut, also at power-up (in 1,200 ");
    text_release(&text);
}

static void too_much_does_not_fit(void **state)
{
    struct map map = map_of(NULL, 0);

    (void)state;
    assert_true(diagram_fits(&map));
    map.n_nodes = DIAGRAM_MOST_NODES + 1;
    assert_false(diagram_fits(&map));
    map.n_nodes = 2;
    map.n_edges = DIAGRAM_MOST_EDGES + 1;
    assert_false(diagram_fits(&map));
    map.n_edges = 1;
    map.too_many = true;
    assert_false(diagram_fits(&map));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_common_is_a_conjunction),
        cmocka_unit_test(power_faults_moves_and_positions_have_words),
        cmocka_unit_test(groups_are_told_apart),
        cmocka_unit_test(what_is_not_told_is_said_to_be_more),
        cmocka_unit_test(the_picture_is_escaped_and_numbered),
        cmocka_unit_test(what_is_not_complete_says_so_first),
        cmocka_unit_test(too_much_does_not_fit),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
