#include "lang/block.h"

#include <stddef.h>

#include "grammar/parser.tab.h"

#define BLOCK(word, rank)                                                  \
    {                                                                      \
        LANG_##word, LANG_END_##word, rank, #word, "END_" #word            \
    }

static const struct block blocks[] = {
    BLOCK(REVIEW, BLOCK_REVIEW),
    BLOCK(TEMPLATE, BLOCK_REVIEW),
    BLOCK(PROGRAM, BLOCK_UNIT),
    BLOCK(FUNCTION, BLOCK_UNIT),
    BLOCK(FUNCTION_BLOCK, BLOCK_UNIT),
    BLOCK(DATA_BLOCK, BLOCK_UNIT),
    BLOCK(TYPE, BLOCK_UNIT),
    BLOCK(CONFIGURATION, BLOCK_UNIT),
    BLOCK(RESOURCE, BLOCK_RESOURCE),
    BLOCK(CONTROLLER, BLOCK_UNIT),
    BLOCK(CONTROLS, BLOCK_UNIT),
    BLOCK(WIRING, BLOCK_UNIT),
    BLOCK(MECHANISM, BLOCK_UNIT),
    BLOCK(RECORDER, BLOCK_UNIT),
    BLOCK(ACCEPTED, BLOCK_UNIT),
    BLOCK(ASSUMPTIONS, BLOCK_UNIT),
    BLOCK(INTENDED, BLOCK_UNIT),
    BLOCK(FAULTS, BLOCK_UNIT),
    BLOCK(PARAMETERS, BLOCK_UNIT),
    BLOCK(NOTICING, BLOCK_UNIT),
    BLOCK(HAZARDS, BLOCK_UNIT),
    BLOCK(REQUIREMENTS, BLOCK_UNIT),
    BLOCK(SCENARIO, BLOCK_UNIT),
    BLOCK(VAR, BLOCK_VARIABLES),
    BLOCK(IF, BLOCK_STATEMENT),
    BLOCK(CASE, BLOCK_STATEMENT),
    BLOCK(FOR, BLOCK_STATEMENT),
    BLOCK(WHILE, BLOCK_STATEMENT),
    BLOCK(REPEAT, BLOCK_STATEMENT),
    BLOCK(MAY, BLOCK_STATEMENT),
    BLOCK(STRUCT, BLOCK_STATEMENT),
};

enum { BLOCKS = sizeof blocks / sizeof *blocks };

const struct block *block_opened(int token)
{
    if (token < LANG_PROGRAM) /* signs, values: none of them */
        return NULL;
    for (int i = 0; i < BLOCKS; i++)
        if (blocks[i].open == token)
            return &blocks[i];
    return NULL;
}

const struct block *block_closed(int token)
{
    if (token < LANG_PROGRAM)
        return NULL;
    for (int i = 0; i < BLOCKS; i++)
        if (blocks[i].close == token)
            return &blocks[i];
    return NULL;
}

int block_statement_after(int token)
{
    switch (token) {
    case LANG_SEMICOLON: case LANG_THEN: case LANG_ELSE: case LANG_DO:
    case LANG_REPEAT: case LANG_COLON: case LANG_MAY: case LANG_END_VAR:
        return 1;
    default:
        return 0;
    }
}
