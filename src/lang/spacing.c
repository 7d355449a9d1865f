#include "lang/spacing.h"

#include "grammar/parser.tab.h"

static bool ends_value(int kind)
{
    switch (kind) {
    case LANG_IDENT: case LANG_NUMBER: case LANG_DURATION: case LANG_TYPED:
    case LANG_TRUE: case LANG_FALSE: case LANG_RIGHT:
    case LANG_RIGHT_SQUARE:
        return true;
    default:
        return false;
    }
}

/* The token before, comments aside; 0 when there is none. */
static int token_before(const struct pieces *pieces, size_t index)
{
    while (index-- > 0)
        if (pieces->at[index].kind != PIECE_COMMENT)
            return pieces->at[index].kind;
    return 0;
}

static bool is_sign(const struct pieces *pieces, size_t index)
{
    int kind = pieces->at[index].kind;

    return (kind == LANG_SUB || kind == LANG_ADD) &&
           !ends_value(token_before(pieces, index));
}

static bool is_operator(const struct pieces *pieces, size_t index)
{
    switch (pieces->at[index].kind) {
    case LANG_OR: case LANG_XOR: case LANG_AND: case LANG_MOD:
    case LANG_OR_ELSE: case LANG_AND_THEN: case LANG_SETS: case LANG_RESETS:
    case LANG_EQ: case LANG_NE: case LANG_LT: case LANG_LE: case LANG_GT:
    case LANG_GE: case LANG_MUL: case LANG_DIV: case LANG_BECOMES:
    case LANG_GIVES:
        return true;
    case LANG_ADD: case LANG_SUB:
        return !is_sign(pieces, index);
    default:
        return false;
    }
}

static bool hugs_left(int kind)
{
    switch (kind) {
    case LANG_SEMICOLON: case LANG_COMMA: case LANG_RIGHT: case LANG_DOT:
    case LANG_RIGHT_SQUARE:
        return true;
    default:
        return false;
    }
}

/* An empty statement stands apart: `THEN ;`. */
static bool ends_phrase(int kind)
{
    return kind != LANG_THEN && kind != LANG_ELSE && kind != LANG_COLON &&
           kind != LANG_OR && kind != LANG_MAY && kind != LANG_OF;
}

static bool hugs_right(int kind)
{
    return kind == LANG_LEFT || kind == LANG_LEFT_SQUARE || kind == LANG_DOT;
}

static uint32_t at_least_one(uint32_t blanks)
{
    return blanks ? blanks : 1;
}

uint32_t spacing_before(const struct pieces *pieces, size_t index)
{
    const struct piece *piece = &pieces->at[index];
    int before = pieces->at[index - 1].kind;

    if (piece->kind == PIECE_COMMENT || before == PIECE_COMMENT)
        return at_least_one(piece->blanks);
    if (piece->kind == LANG_SEMICOLON && !ends_phrase(before))
        return 1;
    if (hugs_left(piece->kind) || hugs_right(before) ||
        is_sign(pieces, index - 1))
        return 0;
    if (is_operator(pieces, index) || is_operator(pieces, index - 1))
        return 1;
    if (before == LANG_SEMICOLON || before == LANG_COMMA ||
        before == LANG_COLON)
        return at_least_one(piece->blanks);
    return piece->blanks;
}

bool spacing_is_keyword(int kind)
{
    switch (kind) {
    case PIECE_COMMENT: case LANG_IDENT: case LANG_NUMBER:
    case LANG_DURATION: case LANG_TYPED: case LANG_STRING:
    case LANG_LOCATION: case LANG_BIT:
        return false;
    default:
        return true;
    }
}
