#include "lang/expect.h"

#include <stddef.h>
#include <string.h>

#include "base/text.h"
#include "base/arena.h"
#include "lang/reading.h"

enum { MOST_WORDS = 12 };

static const char *const operators[] = {
    "OR", "XOR", "AND", "=", "<>", "<", "<=", ">", ">=", "+", "-", "*", "/",
    "MOD", "**", "(", "TRUE", "AND_THEN", "OR_ELSE", NULL};

static const char *const values[] = {
    "a name", "a number", "a time such as T#100ms", "a value with its type",
    "a text in '...'",
    "TRUE", "FALSE", "(", "-", "+", "NOT", "PRESSED", "READ", "COMMANDED",
    "PREVIOUS", "RISING", "FALLING", NULL};

static const char *const statements[] = {
    "a name", ";", "IF", "CASE", "FOR", "WHILE", "REPEAT", "EXIT", "RETURN",
    "CONTINUE", "JMP", "MAY", NULL};

static const char *const not_read[] = {
    ".", "ARRAY", "STRUCT", "POINTER", "[", "^", "**", "JMP", "S=", "R=", "+=",
    "EXTENDS", NULL};

/* Taken only to be refused in better words. */
static const char *const equals[] = {"=", NULL};

/* Whatever takes a name takes a place, too. */
static const char *const places[] = {"a place such as %IX0.0", NULL};

static bool is_in(const char *word, const char *const *list)
{
    for (; *list; list++)
        if (strcmp(word, *list) == 0)
            return true;
    return false;
}

static void drop(struct expect *expect, const char *const *list)
{
    int kept = 0;

    for (int i = 0; i < expect->n; i++)
        if (!is_in(expect->words[i], list))
            expect->words[kept++] = expect->words[i];
    expect->n = kept;
}

bool expect_has(const struct expect *expect, const char *word)
{
    for (int i = 0; i < expect->n; i++)
        if (strcmp(expect->words[i], word) == 0)
            return true;
    return false;
}

struct expect expect_of(const char **words, int n)
{
    struct expect expect = {.words = words, .n = n};

    expect.name = expect_has(&expect, "a name");
    expect.value = expect_has(&expect, "a number") &&
                   expect_has(&expect, "NOT");
    expect.operators = !expect.value && (expect_has(&expect, "OR") ||
                                         expect_has(&expect, "TRUE"));
    expect.statement = expect_has(&expect, "IF") &&
                       expect_has(&expect, "CASE");
    if (expect.name)
        drop(&expect, places);
    if (expect.value)
        drop(&expect, values);
    if (expect.operators)
        drop(&expect, operators);
    if (expect.statement)
        drop(&expect, statements);
    if (expect_has(&expect, ":="))
        drop(&expect, equals);
    drop(&expect, not_read);
    return expect;
}

int expect_count(const struct expect *expect)
{
    return expect->n + expect->value + expect->statement;
}

static void add(struct text *text, const char *word, int index, int count)
{
    const char *bare = "";

    if (index)
        text_add(text, index + 1 == count ? " or " : ", ");
    if (strncmp(word, "a ", 2) != 0 && strncmp(word, "the ", 4) != 0)
        bare = "'";
    text_printf(text, "%s%s%s", bare, word, bare);
}

const char *expect_words(struct reading *reading,
                         const struct expect *expect)
{
    struct text text = {0};
    int count = expect_count(expect), index = 0;
    const char *copy;

    if (count > MOST_WORDS)
        count = MOST_WORDS;
    if (expect->value)
        add(&text, "a value", index++, count);
    if (expect->statement)
        add(&text, "a statement", index++, count);
    for (int i = 0; i < expect->n && index < count; i++)
        add(&text, expect->words[i], index++, count);
    copy = arena_copy(reading->context->arena, text_str(&text), text.n);
    text_release(&text);
    return copy;
}
