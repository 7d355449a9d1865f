#include "lang/complain.h"

#include <string.h>
#include <strings.h>

#include "base/name.h"
#include "lang/expect.h"
#include "lang/reading.h"

enum { MOST_MISTAKES = 20 };

static const char THE_END[] = "the end of the text";

/* What is at hand while a complaint is worded. */
struct complaint {
    struct reading *reading;
    struct span where;
    const char *found; /* the grammar's word */
    const char *quote; /* what stands there, in quotes if typed */
    struct expect expect;
    bool at_end; /* of the text */
};

static bool is(const struct complaint *c, const char *found)
{
    return strcmp(c->found, found) == 0;
}

/* Does the token at hand begin another line than the one before it? */
static bool new_line(const struct complaint *c)
{
    struct span last = c->reading->last;

    if (!last.file)
        return false;
    for (size_t i = last.to; i < c->where.from; i++)
        if (c->reading->text[i] == '\n')
            return true;
    return false;
}

static struct span behind_last(const struct complaint *c)
{
    struct span last = c->reading->last;

    last.from = last.to;
    return last;
}

static bool is_wordlike(const struct complaint *c)
{
    unsigned char first = (unsigned char)c->reading->text[c->where.from];

    return c->at_end || first == '_' || (first >= 'A' && first <= 'Z') ||
           (first >= 'a' && first <= 'z');
}

/* ---- special cases, each true when it spoke ---- */

static bool said_equals(const struct complaint *c)
{
    if (is(c, "=") && expect_has(&c->expect, ":=")) {
        reading_error(c->reading, c->where, "write :=",
                      "'=' only compares; expected ':='");
        return true;
    }
    if (is(c, ":=") &&
        (c->expect.operators || expect_has(&c->expect, "THEN") ||
         expect_has(&c->expect, "ONLY"))) {
        reading_error(c->reading, c->where,
                      "write = to compare two values",
                      "':=' gives a value to a variable and cannot stand in "
                      "an expression");
        return true;
    }
    return false;
}

/* `x : = 5;`, or a label in the place of a statement. */
static bool said_colon(const struct complaint *c)
{
    if (!is(c, ":") || !expect_has(&c->expect, ":="))
        return false;
    if (*reading_peek(c->reading, c->where.to) == '=')
        reading_error(c->reading, c->where, "write := without a blank",
                      "the two signs of ':=' stand apart");
    else
        reading_error(c->reading, c->where,
                      "put what follows under an IF, and take the label out",
                      "labels to jump to are not read in this version");
    return true;
}

/* block(x := [1, 2, 3]), x := [1, 2, 3]; */
static bool said_list(const struct complaint *c)
{
    struct span last = c->reading->last;

    if (!is(c, "[") || !last.file || last.to - last.from != 2 ||
        memcmp(c->reading->text + last.from, ":=", 2) != 0)
        return false;
    reading_error(c->reading, c->where,
                  "declare a variable with these values, and give that",
                  "a list of values in [ ] stands in a declaration only");
    return true;
}

/* A word that is missing at the end of the line or before another word:
 * best shown where it should stand. */
static bool said_missing(const struct complaint *c)
{
    const char *word = expect_has(&c->expect, ";") ? ";" : NULL;

    if (!c->reading->last.file || c->expect.value || c->expect.statement)
        return false;
    if (!word && c->expect.n == 1)
        word = c->expect.words[0];
    if (!word || !(new_line(c) || (is_wordlike(c) && *word == ';')))
        return false;
    if (strncmp(word, "a ", 2) == 0)
        return false;
    reading_error(c->reading, behind_last(c),
                  reading_printf(c->reading, "write %s behind it", word),
                  "expected '%s' after '%s'", word,
                  reading_quote(c->reading, c->reading->last));
    return true;
}

/* The sections of a kind of text; the list ends with NULL. */
struct sections {
    const char *text, *known;
    const char *words[24];
};

static const struct sections of_review = {
    "review text",
    "known are CONTROL, TEMPLATES, SCAN, RUNS, POWER, RETAIN ANY, FIXED, "
    "SHARED, UNKNOWN, TYPE, CONTROLLER, CONTROLS, WIRING, MECHANISM, "
    "RECORDER, ASSUMPTIONS, FAULTS, NOTICING, HAZARDS, REQUIREMENTS, "
    "INTENDED, ACCEPTED and SCENARIO",
    {"CONTROL", "TEMPLATES", "SCAN", "RUNS", "POWER", "RETAIN", "FIXED",
     "SHARED", "UNKNOWN", "TYPE", "CONTROLLER", "CONTROLS", "WIRING",
     "MECHANISM", "RECORDER", "ASSUMPTIONS", "FAULTS", "NOTICING",
     "HAZARDS", "REQUIREMENTS", "INTENDED", "ACCEPTED", "SCENARIO"}};

static const struct sections of_template = {
    "template",
    "known are SOURCE, PARAMETERS, RECORDER, HAZARDS and REQUIREMENTS",
    {"SOURCE", "PARAMETERS", "RECORDER", "HAZARDS", "REQUIREMENTS"}};

/* In capitals, or NULL. */
static const char *nearest_section(struct reading *reading,
                                   const struct sections *sections,
                                   const struct name *wanted)
{
    const struct name *candidates[24], *nearest;
    size_t n = 0;

    for (; sections->words[n]; n++)
        candidates[n] = names_of(reading->context->names, sections->words[n]);
    nearest = name_nearest(wanted, candidates, n);
    for (size_t i = 0; i < n; i++)
        if (nearest == candidates[i])
            return sections->words[i];
    return NULL;
}

static bool said_section(const struct complaint *c)
{
    struct reading *reading = c->reading;
    const struct sections *sections =
        reading->kind == PARSE_TEMPLATE ? &of_template : &of_review;
    const char *word, *nearest;
    const struct name *name;

    if (!is(c, "a name") || !expect_has(&c->expect, "REQUIREMENTS"))
        return false;
    word = reading_quote(reading, c->where);
    name = names_of(reading->context->names, word);
    nearest = nearest_section(reading, sections, name);
    reading_error(reading, c->where,
                  nearest ? reading_printf(reading, "did you mean %s?",
                                           nearest)
                          : sections->known,
                  "a %s has no section '%s'", sections->text, word);
    reading->unknown = c->where;
    reading->end_of_unknown =
        names_of(reading->context->names,
                 reading_printf(reading, "end_%s", name->folded));
    return true;
}

static bool said_top(const struct complaint *c)
{
    struct reading *reading = c->reading;

    if (expect_has(&c->expect, "REVIEW")) {
        reading_error(reading, c->where,
                      "begin the review text with REVIEW Name 'title' and "
                      "end it with END_REVIEW",
                      "expected 'REVIEW', found %s", c->quote);
        return true;
    }
    if (expect_has(&c->expect, "TEMPLATE")) {
        reading_error(reading, c->where,
                      "begin the text with TEMPLATE Name 'title' and end it "
                      "with END_TEMPLATE",
                      "expected 'TEMPLATE', found %s", c->quote);
        return true;
    }
    if (!expect_has(&c->expect, "FUNCTION_BLOCK"))
        return false;
    if (reading_word_at(reading->text + c->where.from, "REVIEW")) {
        reading->stopped = true;
        reading_error(reading, c->where,
                      "give it the ending .review, or name the control "
                      "text here", "this is a review text, not a control "
                      "text");
        return true;
    }
    reading_error(reading, c->where,
                  "statements and variables stand within PROGRAM Name and "
                  "END_PROGRAM",
                  "expected 'PROGRAM', 'FUNCTION_BLOCK', 'FUNCTION', 'TYPE' "
                  "or 'VAR_GLOBAL', found %s", c->quote);
    return true;
}

/* A declaration gets another name; what the control text declares keeps its
 * own and is told apart by what stands before it. */
static const char *own_word_hint(const struct complaint *c, const char *word)
{
    const char *next = reading_peek(c->reading, c->where.to);

    if (c->reading->kind == PARSE_TEMPLATE)
        return "choose another name";
    if (*next == ':' && next[1] != '=')
        return reading_printf(c->reading,
                              "choose another name; an input of the program "
                              "that has this one is assigned in WIRING IN: "
                              "Main.%s := other;", word);
    return reading_printf(c->reading,
                          "write the program of a variable before it: "
                          "Main.%s, or the type of an item: Type.%s; or "
                          "choose another name", word, word);
}

static bool said_reserved(const struct complaint *c)
{
    struct reading *reading = c->reading;
    bool ours = reading->keyword == READING_OUR_WORD;
    const char *word = reading_quote(reading, c->where);

    if (!c->expect.name || !reading->keyword ||
        strncasecmp(word, "end_", 4) == 0)
        return false;
    if (ours)
        reading_error(reading, c->where, own_word_hint(c, word),
                      "'%s' is a word of the review text and cannot be a "
                      "name", word);
    else if (c->expect.value || c->expect.statement)
        return false;
    else
        reading_error(reading, c->where, "write the name that is missing, "
                      "or choose another name",
                      "'%s' is a word of the language and cannot be a name",
                      word);
    return true;
}

/* `TRUE:` within CASE. */
static bool said_label(const struct complaint *c)
{
    const char *next = reading_peek(c->reading, c->where.to);

    if (!expect_has(&c->expect, "END_CASE") || *next != ':' ||
        next[1] == '=')
        return false;
    reading_error(c->reading, c->where, "choose with IF instead",
                  "%s is no label of CASE: labels are whole numbers, items of "
                  "enumerations and texts", c->quote);
    return true;
}

/* ELSE where no IF or CASE is open. */
static bool said_else(const struct complaint *c)
{
    if (!c->expect.statement || (!is(c, "ELSE") && !is(c, "ELSIF")))
        return false;
    reading_error(c->reading, c->where,
                  is(c, "ELSE")
                      ? "take it out, or look above for an END_IF or END_CASE "
                        "that is too early"
                      : "take it out, or look above for an END_IF or ELSE "
                        "that is too early",
                  is(c, "ELSE") ? "'ELSE' belongs to no IF or CASE here"
                                : "'ELSIF' belongs to no IF here");
    return true;
}

static bool said_movement(const struct complaint *c)
{
    if (!is(c, "MOVES") || !c->expect.statement)
        return false;
    reading_error(c->reading, c->where,
                  "put the movements behind the variables, before the first "
                  "statement", "'MOVES' stands behind a statement");
    return true;
}

/* ---- the rest ---- */

static const char *general_hint(const struct complaint *c)
{
    struct reading *reading = c->reading;

    if (c->expect.value)
        return "give a name, a number or an expression in ( ) here";
    if (c->expect.statement)
        return "a statement is path := value; or block(...); or IF, CASE";
    if (expect_has(&c->expect, "ONLY"))
        return "behind a condition stand ONLY IF, NO LONGER THAN or AT "
               "LEAST; the other forms begin with NEVER, ALWAYS, AFTER, "
               "WHEN or POSSIBLE";
    if (expect_count(&c->expect) == 1)
        return reading_printf(reading, "write %s here",
                              expect_words(reading, &c->expect));
    if (c->at_end)
        return "write what is missing";
    return reading_printf(reading, "write what is missing, or take %s out",
                          c->quote);
}

static void say(const struct complaint *c)
{
    const char *words = expect_words(c->reading, &c->expect);

    if (!*words)
        reading_error(c->reading, c->where, "take it out",
                      "%s cannot stand here", c->quote);
    else
        reading_error(c->reading, c->where, general_hint(c),
                      "expected %s, found %s", words, c->quote);
}

static void speak(const struct complaint *c)
{
    if (said_top(c) || said_section(c) || said_equals(c) || said_colon(c) ||
        said_list(c) ||
        said_movement(c) || said_label(c) || said_else(c) ||
        said_reserved(c) ||
        said_missing(c))
        return;
    say(c);
}

/* What follows a token that was wrong in itself is not blamed. */
static bool is_cascade(const struct reading *reading, struct span where)
{
    struct span bad = reading->bad;

    if (reading->quiet)
        return true;
    return bad.file && (bad.from == where.from ||
                        (reading->last.file && bad.to >= reading->last.to));
}

/* An END_ word or ELSE where a statement could stand: its beginning was lost
 * to an earlier mistake, for the feed sees to it that blocks are closed. */
static bool is_left_over(const struct complaint *c)
{
    return c->reading->mistakes > 0 && c->expect.statement &&
           (strncmp(c->found, "END_", 4) == 0 || is(c, "ELSE") ||
            is(c, "ELSIF"));
}

void complain_syntax(struct reading *reading, struct span where,
                     const char *found, const char **expected, int n)
{
    struct complaint c = {
        reading, where, found, NULL, expect_of(expected, n),
        where.from == where.to || strcmp(found, THE_END) == 0};

    /* What the grammar did not take is left out of the tree: never without
     * a word. */
    if (reading->stopped ||
        (reading->told && (is_cascade(reading, where) || is_left_over(&c))))
        return;
    c.quote = c.at_end ? THE_END
                       : reading_printf(reading, "'%s'",
                                        reading_quote(reading, where));
    if (*c.quote == '\'' && c.quote[1] == '\'')
        c.quote = reading_quote(reading, where);
    speak(&c);
    if (++reading->mistakes < MOST_MISTAKES)
        return;
    if (reading->place != READING_UNIT)
        reading->stopped = true;
    reading_error(reading, where, "mend the first ones and try again",
                  reading->place == READING_UNIT
                      ? "too many mistakes; the rest of this block is not "
                        "read"
                      : "too many mistakes; the rest of this text is not "
                        "read");
    reading->mute = reading->place == READING_UNIT;
}

void complain_depth(struct reading *reading, struct span where)
{
    if (reading->stopped)
        return;
    reading->stopped = true;
    reading_error(reading, where,
                  "name parts of it in variables, or split the block",
                  "this is nested too deeply; the rest of this text is not "
                  "read");
}
