#include "lang/spelling.h"

#include <stdio.h>

#include "lang/reading.h"
#include "lang/review.h"
#include "source/diag.h"

static const struct {
    const char *message, *hint;
} words[SPELLINGS] = {
    [SPELLING_WINDOWS] =
        {"this file is not UTF-8 and is read as Windows-1252",
         "export it as UTF-8"},
    [SPELLING_UTF16] = {"this file is UTF-16", "export it as UTF-8"},
    [SPELLING_CONTAINER] =
        {"the END_ word of this block is not written in the XML file",
         "nothing: such files leave it out"},
    [SPELLING_SEMICOLON] = {"there is no ';' behind this END_ word",
                            "write ; behind it"},
    [SPELLING_SLASHES] = {"a comment begins with '//'",
                          "write (* comment *)"},
    [SPELLING_STARS] = {"a comment stands between '/*' and '*/'",
                        "write (* comment *)"},
    [SPELLING_NESTED] = {"a comment stands within a comment",
                         "close the outer comment first"},
    [SPELLING_PRAGMA] = {"a pragma in { } is skipped",
                         "see that it does not change what the text does"},
    [SPELLING_IMPORT] = {"a line that begins with #import is skipped",
                         "give the text that it names as well"},
    [SPELLING_ELSEIF] = {"'ELSEIF' is read as ELSIF", "write ELSIF"},
    [SPELLING_RUN_ON] =
        {"this word is read as FUNCTION_BLOCK or PROGRAM",
         "write FUNCTION_BLOCK or PROGRAM, and END_ accordingly"},
    [SPELLING_BARE_CALL] = {"a block is called without ( )",
                            "write () behind its name"},
    [SPELLING_ACCESS] =
        {"this word says who may use what follows, and is skipped",
         "take it out: it does not change what the text does"},
    [SPELLING_PERSISTENT] = {"'PERSISTENT' is read as RETAIN",
                             "write RETAIN"},
    [SPELLING_SETS] = {"'S=' is read as IF ... THEN ... := TRUE; END_IF;",
                       "write it so"},
    [SPELLING_RESETS] =
        {"'R=' is read as IF ... THEN ... := FALSE; END_IF;",
         "write it so"},
    [SPELLING_BARE_LIST] =
        {"the initial values of an array stand without [ ]",
         "write [ ] around them"},
    [SPELLING_LENGTH] = {"the length of a STRING stands in ( )",
                         "write it in [ ]"},
    [SPELLING_LETTERS] =
        {"a name holds a letter beyond A to Z",
         "write it with the letters A to Z, digits and _"},
    [SPELLING_POINT] = {"a number has no digit on one side of its point",
                        "write 0.5, 1.0"},
    [SPELLING_MARKED] = {"a name is marked with # or double quotes",
                         "write the name alone"},
    [SPELLING_DATA] = {"DATA_BLOCK is read as a global variable",
                       "declare a structure with VAR_GLOBAL"},
    [SPELLING_ABOUT] =
        {"this word and what it says about the block are skipped",
         "write it as a comment"},
    [SPELLING_NAMESPACE] =
        {"names are read without the NAMESPACE before them",
         "see that no two have the same name"},
    [SPELLING_COUNTS] = {"'+=' and the like are read as := and a sum",
                         "write the assignment out"},
    [SPELLING_CHAINED] =
        {"several assignments stand in one: they are read from the right",
         "write one behind the other"},
    [SPELLING_SHORT] = {"a type is shortened before '#'",
                        "write BYTE#, WORD#, DWORD# or DINT#"},
    [SPELLING_IDLE] = {"this ';' ends nothing", "take it out"},
    [SPELLING_COMMA] = {"a ',' stands behind the last of a list",
                        "take it out"},
    [SPELLING_ELSE_COLON] = {"a ':' stands behind ELSE", "take it out"},
    [SPELLING_NO_VALUE] =
        {"nothing is given to this parameter: it is read as left out",
         "take its name out of the call"},
    [SPELLING_VOID] = {"a function that gives 'VOID' has no result",
                       "take it out, and the colon"},
    [SPELLING_BIT] = {"'BIT' is read as BOOL", "write BOOL"},
    [SPELLING_WORD] = {"this word of the language is read as a name",
                       "choose another name"},
};

void spelling_seen(struct reading *reading, enum spelling kind,
                   struct span span)
{
    struct spelled *spelled = &reading->spelled[kind];

    if (!spelled->n++)
        spelled->first = span;
}

void spelling_report(const struct reading *reading)
{
    enum tree_spelling level = reading->run->spelling;
    char more[40];

    if (level == TREE_ANY_SPELLING)
        return;
    for (int i = 0; i < SPELLINGS; i++) {
        const struct spelled *spelled = &reading->spelled[i];

        if (!spelled->n)
            continue;
        more[0] = '\0';
        if (spelled->n > 1)
            snprintf(more, sizeof more, " (and %u more in this text)",
                     (unsigned)(spelled->n - 1));
        diag_add(reading->context->diags,
                 level == TREE_STRICT && i != SPELLING_CONTAINER
                     ? DIAG_ERROR : DIAG_NOTE,
                 spelled->first, words[i].hint, "%s%s", words[i].message,
                 more);
    }
}
