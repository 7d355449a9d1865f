#include "check/told.h"

static const struct {
    const char *message, *hint;
} words[TOLD_KINDS] = {
    [TOLD_ITEM_NUMBER] =
        {"an item of an enumeration is taken for its number",
         "write ..._TO_INT (...) around it"},
    [TOLD_NUMBER_ITEM] =
        {"a number is taken for the item of an enumeration that has it",
         "write the name of the item"},
    [TOLD_SIGNS] = {"signed and unsigned integers are mixed",
                    "convert one of them"},
    [TOLD_BITS_NUMBER] =
        {"a bit string is taken for a number without a sign, or a number "
         "for a bit string",
         "convert one of them"},
    [TOLD_BITWISE] = {"an integer is taken for its bits",
                      "convert it to a bit string"},
    [TOLD_TRUTH] = {"0 or 1 is taken for FALSE or TRUE",
                    "write FALSE or TRUE"},
    [TOLD_INPUT] = {"a block or function assigns its own input",
                    "copy it into a VAR and assign that"},
    [TOLD_RESULT] = {"the result of a function is dropped",
                     "assign it to a variable"},
    [TOLD_PORT] = {"an input of a standard block has another name",
                   "write the name that the standard gives it"},
    [TOLD_SHORTER] = {"a number is rounded to a shorter REAL or an integer",
                      "write the conversion, such as REAL_TO_INT (...)"},
    [TOLD_LIST] = {"the name before the point is taken for that of a list of "
                   "global variables",
                   "write the variable alone"},
    [TOLD_CASE] = {"CASE chooses by a condition", "write IF"},
};

void told_seen(struct draft *draft, enum told kind, struct span span)
{
    for (size_t i = 0; i < draft->told.n; i++)
        if (draft->told.at[i].kind == (int)kind &&
            draft->told.at[i].first.file == span.file) {
            draft->told.at[i].n++;
            return;
        }
    vec_push(&draft->told,
             ((struct told_row){.kind = (int)kind, .n = 1, .first = span}));
}

void told_report(struct draft *draft)
{
    enum tree_spelling level = draft->run->spelling;

    for (size_t i = 0; i < draft->told.n; i++) {
        const struct told_row *row = &draft->told.at[i];
        const char *more =
            row->n > 1 ? arena_printf(draft->arena,
                                      " (and %u more in this text)",
                                      (unsigned)(row->n - 1))
                       : "";

        if (level == TREE_ANY_SPELLING || !row->first.file)
            continue;
        diag_add(draft->diags,
                 level == TREE_STRICT ? DIAG_ERROR : DIAG_NOTE, row->first,
                 words[row->kind].hint, "%s%s", words[row->kind].message,
                 more);
    }
}
