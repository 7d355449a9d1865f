#define _GNU_SOURCE /* memmem */
#include "lang/exchange.h"

#include <ctype.h>
#include <string.h>

#include "base/text.h"
#include "base/vec.h"
#include "lang/container.h"

enum {
    HEADER = 4000, /* bytes in which a file says what it is */
    MOST_RANGE = 64
};

enum kind {
    OTHER, SKIPPED, POU, RETURNS, SECTION, VARIABLE, TYPE, BASE, INITIAL,
    BODY, CODE, MARKUP, ACTION, DATA_TYPE, LEAF, DERIVED, ENUMERATION,
    VALUES, VALUE, STRUCTURE, ARRAY, DIMENSION, SUBRANGE, RANGE, POINTER,
    SIMPLE, SEVERAL, CONFIGURATION, RESOURCE, TASK, INSTANCE
};

struct element {
    enum kind kind;
    uint32_t n; /* of dimensions, values and the like, so far */
    const char *end; /* what is written where it ends, or NULL */
};

struct exchange {
    struct text out;
    struct text tasks;  /* the configuration, written last */
    uint32_t lines;     /* begun in out, and in the file */
    const uint32_t *line;
    VEC(struct element) open;
    uint32_t skipped;   /* open elements that are passed over */
    uint32_t instances;
    bool in_pou, in_resource;
    char task[MOST_RANGE], range[2 * MOST_RANGE];
};

/* ---- writing ---- */

static void add(struct exchange *x, const char *bytes, size_t n)
{
    for (size_t i = 0; i < n; i++)
        x->lines += bytes[i] == '\n';
    text_add_bytes(&x->out, bytes, n);
}

static void say(struct exchange *x, const char *words)
{
    add(x, words, strlen(words));
}

/* On to the line of the file, if it is not passed yet. */
static void catch_up(struct exchange *x)
{
    while (x->lines < *x->line)
        say(x, "\n");
}

/* One line, whatever the attribute holds. */
static void say_plain(struct exchange *x, struct text *to, const char *words)
{
    for (; *words; words++) {
        char c = (unsigned char)*words < ' ' ? ' ' : *words;

        if (to)
            text_add_char(to, c);
        else
            add(x, &c, 1);
    }
}

static void not_read(struct exchange *x, const char *what, const char *name)
{
    say(x, "{not read: ");
    say(x, what);
    if (*name) {
        say(x, " ");
        for (const char *at = name; *at; at++)
            if (*at != '}' && (unsigned char)*at >= ' ')
                add(x, at, 1);
    }
    say(x, "} ");
}

/* ---- attributes ---- */

static const char *attribute(const char *const *all, const char *name)
{
    for (; all[0]; all += 2)
        if (strcmp(all[0], name) == 0)
            return all[1];
    return "";
}

static bool holds(const char *const *all, const char *name)
{
    return strcmp(attribute(all, name), "true") == 0;
}

/* ---- where an element stands ---- */

static struct element *inmost(struct exchange *x)
{
    return x->open.n ? &x->open.at[x->open.n - 1] : NULL;
}

static enum kind around(struct exchange *x)
{
    return x->open.n ? inmost(x)->kind : OTHER;
}

static bool in_code(struct exchange *x)
{
    return around(x) == CODE || around(x) == MARKUP;
}

/* Does a type come next? */
static bool wants_type(struct exchange *x)
{
    enum kind kind = around(x);

    return kind == TYPE || kind == BASE || kind == RETURNS;
}

static const char *const sections[][2] = {
    {"inputVars", "VAR_INPUT"},   {"outputVars", "VAR_OUTPUT"},
    {"inOutVars", "VAR_IN_OUT"},  {"localVars", "VAR"},
    {"tempVars", "VAR_TEMP"},     {"externalVars", "VAR_EXTERNAL"},
    {"globalVars", "VAR_GLOBAL"}, {"accessVars", "VAR_ACCESS"},
    {"configVars", "VAR_CONFIG"},
};

static const char *section_word(const char *name)
{
    for (size_t i = 0; i < sizeof sections / sizeof *sections; i++)
        if (strcmp(sections[i][0], name) == 0)
            return sections[i][1];
    return NULL;
}

/* ---- declarations ---- */

static void begin_section(struct exchange *x, const char *name,
                          const char *const *a)
{
    catch_up(x);
    say(x, section_word(name));
    say(x, holds(a, "constant") ? " CONSTANT" : "");
    say(x, holds(a, "retain") || holds(a, "persistent") ? " RETAIN" : "");
    say(x, holds(a, "nonretain") ? " NON_RETAIN" : "");
    say(x, " ");
    inmost(x)->end = "END_VAR ";
}

/* In VAR_CONFIG a path stands for the name, in VAR_ACCESS behind it. */
static void begin_variable(struct exchange *x, const char *const *a)
{
    const char *place = attribute(a, "address");
    const char *path = attribute(a, "instancePathAndName");
    const char *alias = attribute(a, "alias");
    bool writes = strcmp(attribute(a, "direction"), "readWrite") == 0;

    catch_up(x);
    say_plain(x, NULL, attribute(a, "name"));
    say_plain(x, NULL, alias);
    say(x, *alias ? " : " : "");
    say_plain(x, NULL, path);
    say(x, *place ? " AT " : "");
    say_plain(x, NULL, place);
    inmost(x)->end = !*alias ? "; " : writes ? " READ_WRITE; "
                                             : " READ_ONLY; ";
}

static void begin_pou(struct exchange *x, const char *const *a)
{
    const char *type = attribute(a, "pouType");
    bool program = strcmp(type, "program") == 0;
    bool function = strcmp(type, "function") == 0;

    catch_up(x);
    say(x, program ? "PROGRAM " : function ? "FUNCTION " : "FUNCTION_BLOCK ");
    say_plain(x, NULL, attribute(a, "name"));
    say(x, " ");
    inmost(x)->end = program    ? "END_PROGRAM "
                     : function ? "END_FUNCTION "
                                : "END_FUNCTION_BLOCK ";
    x->in_pou = true;
}

static void begin_action(struct exchange *x, const char *const *a)
{
    catch_up(x);
    say(x, "ACTION ");
    say_plain(x, NULL, attribute(a, "name"));
    say(x, ": ");
    inmost(x)->end = " END_ACTION ";
}

/* ---- types ---- */

static void begin_dimension(struct exchange *x, const char *const *a)
{
    struct element *array = &x->open.at[x->open.n - 2];

    say(x, array->n++ ? ", " : "");
    say_plain(x, NULL, attribute(a, "lower"));
    say(x, " .. ");
    say_plain(x, NULL, attribute(a, "upper"));
}

static void begin_value(struct exchange *x, const char *const *a)
{
    struct element *values = &x->open.at[x->open.n - 2];
    const char *number = attribute(a, "value");

    say(x, values->n++ ? ", " : "");
    say_plain(x, NULL, attribute(a, "name"));
    say(x, *number ? " := " : "");
    say_plain(x, NULL, number);
}

/* The range stands before its type in the file and behind it in the text. */
static void keep_range(struct exchange *x, const char *const *a)
{
    struct text range = {0};

    text_add(&range, " (");
    say_plain(x, &range, attribute(a, "lower"));
    text_add(&range, " .. ");
    say_plain(x, &range, attribute(a, "upper"));
    text_add(&range, ")");
    strncpy(x->range, text_str(&range), sizeof x->range - 1);
    text_release(&range);
}

static void begin_base(struct exchange *x)
{
    enum kind kind = x->open.n > 1 ? x->open.at[x->open.n - 2].kind : OTHER;

    if (kind == ARRAY)
        say(x, "] OF ");
    else if (kind == ENUMERATION)
        say(x, " ");
    if (kind == SUBRANGE)
        inmost(x)->end = x->range;
}

static void leaf(struct exchange *x, const char *name, const char *const *a)
{
    const char *length = attribute(a, "length");

    for (const char *at = name; *at; at++) {
        char c = (char)toupper((unsigned char)*at);

        add(x, &c, 1);
    }
    if (*length) {
        say(x, "[");
        say_plain(x, NULL, length);
        say(x, "]");
    }
}

/* ---- initial values ---- */

/* value of an array (repeated) or a structure (named): a part of it. */
static void begin_part(struct exchange *x, const char *const *a)
{
    struct element *whole = &x->open.at[x->open.n - 2];
    const char *times = attribute(a, "repetitionValue");
    const char *member = attribute(a, "member");

    say(x, whole->n++ ? ", " : "");
    say_plain(x, NULL, member);
    say(x, *member ? " := " : "");
    say_plain(x, NULL, times);
    say(x, *times ? "(" : "");
    inmost(x)->end = *times ? ")" : NULL;
}

/* ---- the configuration ---- */

/* PT0.1S is T#0.1s. */
static void say_interval(struct exchange *x, const char *interval)
{
    struct text *to = &x->tasks;

    if (interval[0] != 'P') {
        say_plain(x, to, interval);
        return;
    }
    text_add(to, "T#");
    for (const char *at = interval + 1; *at; at++)
        if (*at != 'T')
            text_add_char(to, (char)tolower((unsigned char)*at));
}

static void open_resource(struct exchange *x, const char *name)
{
    if (x->in_resource)
        text_add(&x->tasks, "END_RESOURCE ");
    x->in_resource = true;
    text_add(&x->tasks, "RESOURCE ");
    say_plain(x, &x->tasks, *name ? name : "Exported");
    text_add(&x->tasks, " ");
}

static void begin_task(struct exchange *x, const char *const *a)
{
    const char *priority = attribute(a, "priority");
    const char *interval = attribute(a, "interval");
    const char *single = attribute(a, "single");

    if (!x->in_resource)
        open_resource(x, "");
    memset(x->task, 0, sizeof x->task);
    strncpy(x->task, attribute(a, "name"), sizeof x->task - 1);
    text_add(&x->tasks, "TASK ");
    say_plain(x, &x->tasks, x->task);
    text_add(&x->tasks, " (");
    if (*single)
        text_add(&x->tasks, "SINGLE := TRUE, ");
    if (*interval) {
        text_add(&x->tasks, "INTERVAL := ");
        say_interval(x, interval);
        text_add(&x->tasks, ", ");
    }
    text_add(&x->tasks, "PRIORITY := ");
    say_plain(x, &x->tasks, *priority ? priority : "0");
    text_add(&x->tasks, "); ");
}

static void begin_instance(struct exchange *x, const char *const *a)
{
    const char *type = attribute(a, "typeName");
    bool tasked = x->open.n > 1 && x->open.at[x->open.n - 2].kind == TASK;

    if (!x->in_resource)
        open_resource(x, "");
    x->instances++;
    text_add(&x->tasks, "PROGRAM ");
    say_plain(x, &x->tasks, attribute(a, "name"));
    if (tasked) {
        text_add(&x->tasks, " WITH ");
        say_plain(x, &x->tasks, x->task);
    }
    text_add(&x->tasks, " : ");
    say_plain(x, &x->tasks,
              *type ? type
              : *attribute(a, "type") ? attribute(a, "type")
                                      : attribute(a, "name"));
    text_add(&x->tasks, "; ");
}

/* ---- elements ---- */

static const struct {
    const char *name;
    enum kind kind, within; /* OTHER: anywhere */
} known[] = {
    {"pou", POU, OTHER},
    {"returnType", RETURNS, OTHER},
    {"variable", VARIABLE, OTHER},
    {"accessVariable", VARIABLE, OTHER},
    {"configVariable", VARIABLE, OTHER},
    {"type", TYPE, VARIABLE},
    {"baseType", BASE, OTHER},
    {"initialValue", INITIAL, OTHER},
    {"simpleValue", SIMPLE, OTHER},
    {"arrayValue", SEVERAL, OTHER},
    {"structValue", SEVERAL, OTHER},
    {"value", VALUE, VALUES},
    {"value", VALUE, SEVERAL},
    {"action", ACTION, OTHER},
    {"body", BODY, POU},
    {"body", BODY, ACTION},
    {"ST", CODE, BODY},
    {"dataType", DATA_TYPE, OTHER},
    {"values", VALUES, ENUMERATION},
    {"dimension", DIMENSION, ARRAY},
    {"range", RANGE, SUBRANGE},
    {"configuration", CONFIGURATION, OTHER},
    {"resource", RESOURCE, OTHER},
    {"task", TASK, OTHER},
    {"pouInstance", INSTANCE, OTHER},
};

static enum kind of_type(const char *name)
{
    static const struct {
        const char *name;
        enum kind kind;
    } types[] = {
        {"derived", DERIVED}, {"enum", ENUMERATION}, {"struct", STRUCTURE},
        {"array", ARRAY}, {"subrangeSigned", SUBRANGE},
        {"subrangeUnsigned", SUBRANGE}, {"pointer", POINTER},
    };

    for (size_t i = 0; i < sizeof types / sizeof *types; i++)
        if (strcmp(types[i].name, name) == 0)
            return types[i].kind;
    return LEAF;
}

/* Parts of a POU that change what it does and are not read. */
static const char *left_out(const char *name)
{
    static const char *const words[][2] = {
        {"transition", "the transition"}, {"Method", "the method"},
        {"Property", "the property"}, {"Inheritance", "EXTENDS"},
        {"Extends", "EXTENDS"},
    };

    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (strcmp(words[i][0], name) == 0)
            return words[i][1];
    return NULL;
}

static bool is_aside(struct exchange *x, const char *name)
{
    return strcmp(name, "documentation") == 0 ||
           strcmp(name, "Documentation") == 0 ||
           (x->in_pou && strcmp(name, "addData") == 0);
}

static enum kind kind_of(struct exchange *x, const char *name)
{
    if (in_code(x))
        return MARKUP;
    if (is_aside(x, name) || (x->in_pou && left_out(name)))
        return SKIPPED;
    if (wants_type(x))
        return of_type(name);
    if (section_word(name))
        return SECTION;
    for (size_t i = 0; i < sizeof known / sizeof *known; i++)
        if (strcmp(known[i].name, name) == 0 &&
            (known[i].within == OTHER || known[i].within == around(x)))
            return known[i].kind;
    return around(x) == BODY ? SKIPPED : OTHER;
}

static void begin_type(struct exchange *x, const char *name,
                       const char *const *a)
{
    switch (inmost(x)->kind) {
    case DERIVED: say_plain(x, NULL, attribute(a, "name")); break;
    case STRUCTURE:
        say(x, "STRUCT ");
        inmost(x)->end = "END_STRUCT";
        break;
    case ARRAY: say(x, "ARRAY ["); break;
    case POINTER: say(x, "POINTER TO "); break;
    case LEAF: leaf(x, name, a); break;
    default: break;
    }
}

static void begin_data_type(struct exchange *x, const char *const *a)
{
    catch_up(x);
    say(x, "TYPE ");
    say_plain(x, NULL, attribute(a, "name"));
    say(x, " : ");
    inmost(x)->end = "; END_TYPE ";
}

static void begin_initial(struct exchange *x, const char *name,
                          const char *const *a)
{
    switch (inmost(x)->kind) {
    case INITIAL: say(x, " := "); break;
    case SIMPLE: say_plain(x, NULL, attribute(a, "value")); break;
    default:
        say(x, *name == 'a' ? "[" : "(");
        inmost(x)->end = *name == 'a' ? "]" : ")";
    }
}

static void begin_any(struct exchange *x, const char *name,
                      const char *const *a, enum kind outer)
{
    switch (inmost(x)->kind) {
    case POU: begin_pou(x, a); break;
    case RETURNS: say(x, ": "); inmost(x)->end = " "; break;
    case ACTION: begin_action(x, a); break;
    case SECTION: begin_section(x, name, a); break;
    case VARIABLE: begin_variable(x, a); break;
    case TYPE: say(x, " : "); break;
    case BASE: begin_base(x); break;
    case INITIAL: case SIMPLE: case SEVERAL: begin_initial(x, name, a); break;
    case CODE: catch_up(x); inmost(x)->end = "\n"; break;
    case DATA_TYPE: begin_data_type(x, a); break;
    case VALUES: say(x, "("); inmost(x)->end = ")"; break;
    case VALUE: outer == VALUES ? begin_value(x, a) : begin_part(x, a); break;
    case DIMENSION: begin_dimension(x, a); break;
    case RANGE: keep_range(x, a); break;
    case RESOURCE: open_resource(x, attribute(a, "name")); break;
    case TASK: begin_task(x, a); break;
    case INSTANCE: begin_instance(x, a); break;
    default: begin_type(x, name, a);
    }
}

/* The body that was just met: is it that of an action? */
static bool in_action(struct exchange *x)
{
    return x->open.n > 2 && x->open.at[x->open.n - 3].kind == ACTION;
}

/* What is passed over leaves a mark where it matters. */
static void skip(struct exchange *x, const char *name, const char *const *a,
                 enum kind outer)
{
    catch_up(x);
    if (outer == BODY && !is_aside(x, name))
        not_read(x, in_action(x) ? "the action in" : "the body in", name);
    else if (x->in_pou && left_out(name))
        not_read(x, left_out(name), attribute(a, "name"));
}

static void begin(void *context, const char *name, const char *const *a)
{
    struct exchange *x = context;
    enum kind outer = around(x);
    struct element element = {.kind = x->skipped ? OTHER : kind_of(x, name)};

    vec_push(&x->open, element);
    if (x->skipped || element.kind == SKIPPED) {
        if (!x->skipped || isupper((unsigned char)*name))
            skip(x, name, a, x->skipped ? OTHER : outer);
        x->skipped++;
        return;
    }
    begin_any(x, name, a, outer);
}

static void end(void *context, const char *name)
{
    struct exchange *x = context;
    struct element element = *inmost(x);

    x->open.n--;
    if (x->skipped) {
        x->skipped--;
        return;
    }
    if (element.kind == MARKUP && strcmp(name, "xhtml") != 0)
        say(x, "\n"); /* a paragraph */
    if (element.end)
        say(x, element.end);
    if (element.kind == POU)
        x->in_pou = false;
}

static void characters(void *context, const char *bytes, size_t n)
{
    struct exchange *x = context;

    if (!x->skipped && in_code(x))
        add(x, bytes, n);
}

/* ---- the whole ---- */

static bool is_project(const char *bytes, size_t n)
{
    static const char mark[] = "plcopen.org/xml/tc6";

    return container_is(bytes, n) &&
           memmem(bytes, n < HEADER ? n : HEADER, mark, sizeof mark - 1);
}

static void finish(struct exchange *x, struct text *out)
{
    text_add_bytes(out, text_str(&x->out), x->out.n);
    text_add(out, "\n");
    if (x->instances)
        text_printf(out, "CONFIGURATION Exported %sEND_RESOURCE "
                         "END_CONFIGURATION\n", text_str(&x->tasks));
}

void exchange_unpack(struct text *content)
{
    const struct container_events events = {begin, end, characters};
    uint32_t line = 1;
    struct exchange x = {.lines = 1, .line = &line};

    if (is_project(text_str(content), content->n) &&
        container_walk(text_str(content), content->n, &events, &x, &line)) {
        text_clear(content);
        finish(&x, content);
    }
    text_release(&x.out);
    text_release(&x.tasks);
    vec_release(&x.open);
}
