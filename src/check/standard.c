#include "check/standard.h"

#include <string.h>

struct row {
    const char *name;
    enum tree_section section;
    bool time, hidden;
};

static const struct row timer_rows[TIMER_SIZE] = {
    [TIMER_IN] = {"IN", TREE_VAR_INPUT, false, false},
    [TIMER_PT] = {"PT", TREE_VAR_INPUT, true, false},
    [TIMER_Q] = {"Q", TREE_VAR_OUTPUT, false, false},
    [TIMER_ET] = {"ET", TREE_VAR_OUTPUT, true, false},
    [TIMER_M] = {"(last)", TREE_VAR, false, true},
    [TIMER_RUNNING] = {"(running)", TREE_VAR, false, true},
    [TIMER_DONE] = {"(done)", TREE_VAR, false, true},
    [TIMER_AGE] = {"(age)", TREE_VAR, true, true}};

static const struct row edge_rows[EDGE_SIZE] = {
    [EDGE_CLK] = {"CLK", TREE_VAR_INPUT, false, false},
    [EDGE_Q] = {"Q", TREE_VAR_OUTPUT, false, false},
    [EDGE_M] = {"(last)", TREE_VAR, false, true}};

static const struct row sr_rows[LATCH_SIZE] = {
    [LATCH_S] = {"S1", TREE_VAR_INPUT, false, false},
    [LATCH_R] = {"R", TREE_VAR_INPUT, false, false},
    [LATCH_Q1] = {"Q1", TREE_VAR_OUTPUT, false, false}};

static const struct row rs_rows[LATCH_SIZE] = {
    [LATCH_S] = {"S", TREE_VAR_INPUT, false, false},
    [LATCH_R] = {"R1", TREE_VAR_INPUT, false, false},
    [LATCH_Q1] = {"Q1", TREE_VAR_OUTPUT, false, false}};

static const struct {
    const char *name;
    const struct row *rows;
    uint32_t size;
} blocks[] = {[STANDARD_TON] = {"TON", timer_rows, TIMER_SIZE},
              [STANDARD_TOF] = {"TOF", timer_rows, TIMER_SIZE},
              [STANDARD_TP] = {"TP", timer_rows, TIMER_SIZE},
              [STANDARD_R_TRIG] = {"R_TRIG", edge_rows, EDGE_SIZE},
              [STANDARD_F_TRIG] = {"F_TRIG", edge_rows, EDGE_SIZE},
              [STANDARD_SR] = {"SR", sr_rows, LATCH_SIZE},
              [STANDARD_RS] = {"RS", rs_rows, LATCH_SIZE}};

const char *standard_name(enum code_standard kind)
{
    return blocks[kind].name;
}

void standard_declare(struct draft *draft, struct unit *unit,
                      enum code_standard kind)
{
    uint32_t size = blocks[kind].size;
    struct code_frame_var *vars =
        arena_array(draft->arena, size, sizeof *vars);

    for (uint32_t i = 0; i < size; i++) {
        const struct row *row = &blocks[kind].rows[i];
        struct symbol symbol = {.kind = SYMBOL_VARIABLE,
                                .section = row->section,
                                .hidden = row->hidden};

        symbol.name = names_of(draft->names, row->name);
        symbol.type = row->time ? draft->types.time : draft->types.boolean;
        symbol.variable = 
            (struct code_variable){.base = CODE_LOCAL, .index = i};
        scope_put(&unit->scope, draft->arena, &symbol);
        vars[i] = (struct code_frame_var){
            .name = symbol.name, .type = symbol.type, .offset = i};
    }
    unit->state = SYMBOL_DONE;
    unit->pou->kind = POU_BLOCK;
    unit->pou->standard = kind;
    unit->pou->vars = vars;
    unit->pou->n_vars = unit->pou->size = size;
}

bool standard_is_age(const struct code_frame_var *row)
{
    return !row->span.file && !strcmp(row->name->spelling, "(age)");
}
