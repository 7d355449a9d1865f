#include "check/standard.h"

#include <string.h>

#include "base/ensure.h"
#include "check/told.h"

enum holds { HOLDS_BOOL, HOLDS_TIME, HOLDS_COUNT };

struct row {
    const char *name;
    enum tree_section section;
    enum holds holds;
    bool hidden;
};

static const struct row timer_rows[TIMER_SIZE] = {
    [TIMER_IN] = {"IN", TREE_VAR_INPUT, HOLDS_BOOL, false},
    [TIMER_PT] = {"PT", TREE_VAR_INPUT, HOLDS_TIME, false},
    [TIMER_Q] = {"Q", TREE_VAR_OUTPUT, HOLDS_BOOL, false},
    [TIMER_ET] = {"ET", TREE_VAR_OUTPUT, HOLDS_TIME, false},
    [TIMER_M] = {"(last)", TREE_VAR, HOLDS_BOOL, true},
    [TIMER_RUNNING] = {"(running)", TREE_VAR, HOLDS_BOOL, true},
    [TIMER_DONE] = {"(done)", TREE_VAR, HOLDS_BOOL, true},
    [TIMER_AGE] = {"(age)", TREE_VAR, HOLDS_TIME, true},
    [TIMER_HELD] = {"(preset)", TREE_VAR, HOLDS_TIME, true}};

static const struct row edge_rows[EDGE_SIZE] = {
    [EDGE_CLK] = {"CLK", TREE_VAR_INPUT, HOLDS_BOOL, false},
    [EDGE_Q] = {"Q", TREE_VAR_OUTPUT, HOLDS_BOOL, false},
    [EDGE_M] = {"(last)", TREE_VAR, HOLDS_BOOL, true}};

static const struct row sr_rows[LATCH_SIZE] = {
    [LATCH_S] = {"S1", TREE_VAR_INPUT, HOLDS_BOOL, false},
    [LATCH_R] = {"R", TREE_VAR_INPUT, HOLDS_BOOL, false},
    [LATCH_Q1] = {"Q1", TREE_VAR_OUTPUT, HOLDS_BOOL, false}};

static const struct row rs_rows[LATCH_SIZE] = {
    [LATCH_S] = {"S", TREE_VAR_INPUT, HOLDS_BOOL, false},
    [LATCH_R] = {"R1", TREE_VAR_INPUT, HOLDS_BOOL, false},
    [LATCH_Q1] = {"Q1", TREE_VAR_OUTPUT, HOLDS_BOOL, false}};

static const struct row ctu_rows[COUNTER_SIZE] = {
    [COUNTER_CU] = {"CU", TREE_VAR_INPUT, HOLDS_BOOL, false},
    [COUNTER_CD] = {"(no CD)", TREE_VAR, HOLDS_BOOL, true},
    [COUNTER_R] = {"R", TREE_VAR_INPUT, HOLDS_BOOL, false},
    [COUNTER_LD] = {"(no LD)", TREE_VAR, HOLDS_BOOL, true},
    [COUNTER_PV] = {"PV", TREE_VAR_INPUT, HOLDS_COUNT, false},
    [COUNTER_CV] = {"CV", TREE_VAR_OUTPUT, HOLDS_COUNT, false},
    [COUNTER_QU] = {"Q", TREE_VAR_OUTPUT, HOLDS_BOOL, false},
    [COUNTER_QD] = {"(no QD)", TREE_VAR, HOLDS_BOOL, true},
    [COUNTER_MU] = {"(last)", TREE_VAR, HOLDS_BOOL, true},
    [COUNTER_MD] = {"(no last)", TREE_VAR, HOLDS_BOOL, true}};

static const struct row ctd_rows[COUNTER_SIZE] = {
    [COUNTER_CU] = {"(no CU)", TREE_VAR, HOLDS_BOOL, true},
    [COUNTER_CD] = {"CD", TREE_VAR_INPUT, HOLDS_BOOL, false},
    [COUNTER_R] = {"(no R)", TREE_VAR, HOLDS_BOOL, true},
    [COUNTER_LD] = {"LD", TREE_VAR_INPUT, HOLDS_BOOL, false},
    [COUNTER_PV] = {"PV", TREE_VAR_INPUT, HOLDS_COUNT, false},
    [COUNTER_CV] = {"CV", TREE_VAR_OUTPUT, HOLDS_COUNT, false},
    [COUNTER_QU] = {"(no QU)", TREE_VAR, HOLDS_BOOL, true},
    [COUNTER_QD] = {"Q", TREE_VAR_OUTPUT, HOLDS_BOOL, false},
    [COUNTER_MU] = {"(no last)", TREE_VAR, HOLDS_BOOL, true},
    [COUNTER_MD] = {"(last)", TREE_VAR, HOLDS_BOOL, true}};

static const struct row ctud_rows[COUNTER_SIZE] = {
    [COUNTER_CU] = {"CU", TREE_VAR_INPUT, HOLDS_BOOL, false},
    [COUNTER_CD] = {"CD", TREE_VAR_INPUT, HOLDS_BOOL, false},
    [COUNTER_R] = {"R", TREE_VAR_INPUT, HOLDS_BOOL, false},
    [COUNTER_LD] = {"LD", TREE_VAR_INPUT, HOLDS_BOOL, false},
    [COUNTER_PV] = {"PV", TREE_VAR_INPUT, HOLDS_COUNT, false},
    [COUNTER_CV] = {"CV", TREE_VAR_OUTPUT, HOLDS_COUNT, false},
    [COUNTER_QU] = {"QU", TREE_VAR_OUTPUT, HOLDS_BOOL, false},
    [COUNTER_QD] = {"QD", TREE_VAR_OUTPUT, HOLDS_BOOL, false},
    [COUNTER_MU] = {"(last up)", TREE_VAR, HOLDS_BOOL, true},
    [COUNTER_MD] = {"(last down)", TREE_VAR, HOLDS_BOOL, true}};

/* count: the type of a counter's numbers. */
static const struct {
    const char *name, *count;
    enum code_standard kind;
    const struct row *rows;
    uint32_t size;
} blocks[] = {
    {"TON", NULL, STANDARD_TON, timer_rows, TIMER_SIZE},
    {"TOF", NULL, STANDARD_TOF, timer_rows, TIMER_SIZE},
    {"TP", NULL, STANDARD_TP, timer_rows, TIMER_SIZE},
    {"TON_TIME", NULL, STANDARD_TON, timer_rows, TIMER_SIZE},
    {"TON_LTIME", NULL, STANDARD_TON, timer_rows, TIMER_SIZE},
    {"TOF_TIME", NULL, STANDARD_TOF, timer_rows, TIMER_SIZE},
    {"TOF_LTIME", NULL, STANDARD_TOF, timer_rows, TIMER_SIZE},
    {"TP_TIME", NULL, STANDARD_TP, timer_rows, TIMER_SIZE},
    {"TP_LTIME", NULL, STANDARD_TP, timer_rows, TIMER_SIZE},
    {"R_TRIG", NULL, STANDARD_R_TRIG, edge_rows, EDGE_SIZE},
    {"F_TRIG", NULL, STANDARD_F_TRIG, edge_rows, EDGE_SIZE},
    {"SR", NULL, STANDARD_SR, sr_rows, LATCH_SIZE},
    {"RS", NULL, STANDARD_RS, rs_rows, LATCH_SIZE},
    {"CTU", "INT", STANDARD_CTU, ctu_rows, COUNTER_SIZE},
    {"CTU_INT", "INT", STANDARD_CTU, ctu_rows, COUNTER_SIZE},
    {"CTU_DINT", "DINT", STANDARD_CTU, ctu_rows, COUNTER_SIZE},
    {"CTU_LINT", "LINT", STANDARD_CTU, ctu_rows, COUNTER_SIZE},
    {"CTU_UDINT", "UDINT", STANDARD_CTU, ctu_rows, COUNTER_SIZE},
    {"CTU_ULINT", "ULINT", STANDARD_CTU, ctu_rows, COUNTER_SIZE},
    {"CTD", "INT", STANDARD_CTD, ctd_rows, COUNTER_SIZE},
    {"CTD_INT", "INT", STANDARD_CTD, ctd_rows, COUNTER_SIZE},
    {"CTD_DINT", "DINT", STANDARD_CTD, ctd_rows, COUNTER_SIZE},
    {"CTD_LINT", "LINT", STANDARD_CTD, ctd_rows, COUNTER_SIZE},
    {"CTD_UDINT", "UDINT", STANDARD_CTD, ctd_rows, COUNTER_SIZE},
    {"CTD_ULINT", "ULINT", STANDARD_CTD, ctd_rows, COUNTER_SIZE},
    {"CTUD", "INT", STANDARD_CTUD, ctud_rows, COUNTER_SIZE},
    {"CTUD_INT", "INT", STANDARD_CTUD, ctud_rows, COUNTER_SIZE},
    {"CTUD_DINT", "DINT", STANDARD_CTUD, ctud_rows, COUNTER_SIZE},
    {"CTUD_LINT", "LINT", STANDARD_CTUD, ctud_rows, COUNTER_SIZE},
    {"CTUD_UDINT", "UDINT", STANDARD_CTUD, ctud_rows, COUNTER_SIZE},
    {"CTUD_ULINT", "ULINT", STANDARD_CTUD, ctud_rows, COUNTER_SIZE}};

const char *standard_name(size_t block)
{
    return block < sizeof blocks / sizeof *blocks ? blocks[block].name
                                                  : NULL;
}

static const struct type *held_by(struct draft *draft, size_t block,
                                  enum holds holds)
{
    const struct symbol *count;

    if (holds == HOLDS_BOOL)
        return draft->types.boolean;
    if (holds == HOLDS_TIME)
        return draft->types.time;
    count = scope_find(&draft->type_scope,
                       names_of(draft->names, blocks[block].count));
    ENSURE(count && count->type);
    return count->type;
}

void standard_declare(struct draft *draft, struct unit *unit,
                      size_t block)
{
    uint32_t size = blocks[block].size;
    struct code_frame_var *vars =
        arena_array(draft->arena, size, sizeof *vars);

    for (uint32_t i = 0; i < size; i++) {
        const struct row *row = &blocks[block].rows[i];
        struct symbol symbol = {.kind = SYMBOL_VARIABLE,
                                .section = row->section,
                                .hidden = row->hidden};

        symbol.name = names_of(draft->names, row->name);
        symbol.type = held_by(draft, block, row->holds);
        symbol.variable =
            (struct code_variable){.base = CODE_LOCAL, .index = i};
        scope_put(&unit->scope, draft->arena, &symbol);
        vars[i] = (struct code_frame_var){
            .name = symbol.name, .type = symbol.type, .offset = i};
    }
    unit->state = SYMBOL_DONE;
    unit->pou->kind = POU_BLOCK;
    unit->pou->standard = blocks[block].kind;
    unit->pou->vars = vars;
    unit->pou->n_vars = unit->pou->size = size;
}

/* What libraries of the second edition's time call the inputs. */
static const struct {
    enum code_standard kind;
    const char *other, *name;
} other_names[] = {
    {STANDARD_CTU, "reset", "R"},    {STANDARD_CTD, "load", "LD"},
    {STANDARD_CTUD, "reset", "R"},   {STANDARD_CTUD, "load", "LD"},
    {STANDARD_SR, "set1", "S1"},     {STANDARD_SR, "reset", "R"},
    {STANDARD_RS, "set", "S"},       {STANDARD_RS, "reset1", "R1"},
};

const struct symbol *standard_member(struct draft *draft,
                                     const struct unit *unit,
                                     const struct name *name,
                                     struct span span)
{
    const struct symbol *symbol = scope_find(&unit->scope, name);

    for (size_t i = 0;
         !symbol && i < sizeof other_names / sizeof *other_names; i++) {
        if (unit->pou->standard != other_names[i].kind ||
            strcmp(name->folded, other_names[i].other))
            continue;
        told_seen(draft, TOLD_PORT, span);
        symbol = scope_find(&unit->scope,
                            names_of(draft->names, other_names[i].name));
    }
    return symbol;
}

bool standard_is_age(const struct code_frame_var *row)
{
    return !row->span.file && !strcmp(row->name->spelling, "(age)");
}
