#include "tests/support/random_text.h"

#include <string.h>

#include "base/arena.h"
#include "tests/support/random_maker.h"

/* ---- the blocks of the standard ---- */

static const struct {
    const char *name, *c;
    const char *inputs[5], *outputs[3];
} standard[] = {
    {"TON", "T_", {"IN", "PT"}, {"Q", "ET"}},
    {"TOF", "T_", {"IN", "PT"}, {"Q", "ET"}},
    {"TP", "T_", {"IN", "PT"}, {"Q", "ET"}},
    {"R_TRIG", "ED_", {"CLK"}, {"Q"}},
    {"F_TRIG", "ED_", {"CLK"}, {"Q"}},
    {"SR", "LA_", {"S1", "R"}, {"Q1"}},
    {"RS", "LA_", {"S", "R1"}, {"Q1"}},
    {"CTU", "CO_", {"CU", "R", "PV"}, {"Q", "CV"}},
    {"CTD", "CO_", {"CD", "LD", "PV"}, {"Q", "CV"}},
    {"CTUD", "CO_", {"CU", "CD", "R", "LD", "PV"}, {"QU", "QD", "CV"}},
    {"CTU_UDINT", "CO_", {"CU", "R", "PV"}, {"Q", "CV"}},
};

enum { STANDARD = sizeof standard / sizeof *standard };

static const struct kind *kind_of(const char *name, bool wide)
{
    if (strcmp(name, "PT") == 0 || strcmp(name, "ET") == 0)
        return elementary(TIME);
    if (strcmp(name, "PV") == 0 || strcmp(name, "CV") == 0)
        return elementary(wide ? UDINT : INT);
    return elementary(BOOL);
}

static void add_parameter(struct unit *unit, const char *name,
                          const struct kind *kind, enum mode mode)
{
    unit->parameters[unit->n_parameters++] =
        (struct parameter){name, kind, mode};
}

static struct kind *new_block(struct maker *m, const char *name,
                              const char *c)
{
    struct kind *kind = arena_alloc(m->arena, sizeof *kind);

    kind->shape = SHAPE_BLOCK;
    kind->st = name;
    kind->c = c;
    kind->names = c;
    kind->unit = arena_alloc(m->arena, sizeof *kind->unit);
    kind->unit->name = name;
    kind->unit->c = name;
    kind->unit->cost = 1;
    m->blocks[m->n_blocks++] = kind;
    return kind;
}

static void add_field(struct kind *kind, const char *name,
                      const struct kind *of)
{
    kind->fields[kind->n_fields++] = (struct field){.name = name, .kind = of};
}

static void standard_block(struct maker *m, unsigned which)
{
    struct kind *kind = new_block(m, standard[which].name, standard[which].c);
    bool wide = strchr(kind->st, 'U') && strstr(kind->st, "UDINT");
    const char *name;

    for (unsigned i = 0; i < 5 && (name = standard[which].inputs[i]); i++)
        add_parameter(kind->unit, name, kind_of(name, wide), MODE_INPUT);
    for (unsigned i = 0; i < 3 && (name = standard[which].outputs[i]); i++) {
        add_field(kind, name, kind_of(name, wide));
        add_parameter(kind->unit, name, kind_of(name, wide), MODE_OUTPUT);
    }
}

/* ---- variables ---- */

static void see(struct maker *m, const char *st, const char *c,
                const struct kind *kind, bool written)
{
    m->variables[m->n_variables++] = (struct variable){
        .st = st, .c = c, .kind = kind, .written = written};
}

/* All elementary values of a variable, to be told. */
static void tell(struct maker *m, const char *path, const char *c,
                 const struct kind *kind)
{
    int wide = kind->to[1] - kind->from[1] + 1;

    if (is_elementary(kind)) {
        text_printf(&m->leaves, "%s\n", path);
        text_printf(&m->tell, "*o++ = %s;\n", c);
        return;
    }
    for (unsigned i = 0; i < kind->n_fields; i++)
        tell(m, phrase(m, "%s.%s", path, kind->fields[i].name),
             phrase(m, "%s.%s", c, kind->fields[i].name), kind->fields[i].kind);
    if (kind->shape != SHAPE_ARRAY)
        return;
    for (int i = kind->from[0]; i <= kind->to[0]; i++)
        for (int j = kind->from[1]; j <= kind->to[1]; j++)
            tell(m, kind->n_dims == 1 ? phrase(m, "%s[%d]", path, i)
                                      : phrase(m, "%s[%d,%d]", path, i, j),
                 phrase(m, "%s.e[%d]", c,
                     (i - kind->from[0]) * wide + j - kind->from[1]),
                 kind->element);
}

/* Where a variable lies: in C, a member, a local or a global of its own. */
struct declared {
    const char *st, *c;
    const char *initial; /* in C */
};

static bool holds_block(const struct kind *kind)
{
    return kind->shape == SHAPE_BLOCK ||
           (kind->element && kind->element->shape == SHAPE_BLOCK);
}

static struct both initializer(struct maker *m, const struct kind *kind);

/* Fields in any number; what is not named keeps the default. */
static void init_fields(struct maker *m, const struct kind *kind,
                        struct text *st, struct text *c)
{
    unsigned first = any(m, kind->n_fields);

    for (unsigned i = first; i < kind->n_fields; i++) {
        const struct field *field = &kind->fields[i];
        struct both value;

        if (i > first && chance(m, 40))
            continue;
        value = initializer(m, field->kind);
        text_printf(st, "%s%s := %s", i > first ? ", " : "(", field->name,
                    value.st);
        text_printf(c, " r_.%s = %s;", field->name, value.c);
    }
    text_add(st, ")");
}

/* One value, and one repeated; what is left over keeps the default. */
static void init_elements(struct maker *m, const struct kind *kind,
                          struct text *st, struct text *c)
{
    int n = kind->to[0] - kind->from[0] + 1, more = (int)any(m, 3);
    struct both first = initializer(m, kind->element);
    struct both rest = initializer(m, kind->element);

    if (kind->n_dims == 2)
        n *= kind->to[1] - kind->from[1] + 1;
    if (more > n - 1)
        more = n - 1;
    text_printf(st, "[%s", first.st);
    text_printf(c, " r_.e[0] = %s;", first.c);
    if (more > 0)
        text_printf(st, ", %d(%s)", more, rest.st);
    for (int i = 0; i < more; i++)
        text_printf(c, " r_.e[%d] = %s;", i + 1, rest.c);
    text_add(st, "]");
}

/* A value as it stands behind := in a declaration. */
static struct both initializer(struct maker *m, const struct kind *kind)
{
    struct text st = {0}, c = {0};
    struct both out = {.fixed = true};

    if (is_elementary(kind))
        return literal(m, kind, chance(m, 30));
    text_printf(&c, "({ %s r_ = %s;", kind->c, initial_of(m, kind));
    if (kind->shape == SHAPE_STRUCT)
        init_fields(m, kind, &st, &c);
    else
        init_elements(m, kind, &st, &c);
    text_add(&c, " r_; })");
    out.st = phrase(m, "%s", text_str(&st));
    out.c = phrase(m, "%s", text_str(&c));
    text_release(&st);
    text_release(&c);
    return out;
}

/* Writes "name : kind := value;". */
static struct declared declare(struct maker *m, const char *name,
                               const struct kind *kind)
{
    struct declared out = {.st = name, .initial = initial_of(m, kind)};

    text_printf(&m->st, "%s : %s", name, kind->st);
    if (!holds_block(kind) && chance(m, 40)) {
        struct both value = initializer(m, kind);

        text_printf(&m->st, " := %s", value.st);
        out.initial = value.c;
    }
    text_add(&m->st, ";\n");
    return out;
}

static const struct kind *counting(struct maker *m)
{
    static const enum elementary which[] = {INT, DINT, SINT};

    return elementary(which[any(m, 3)]);
}

/* A variable of the program, or a global: in C a variable of its own. */
static void outer_variable(struct maker *m, const char *owner,
                           const char *name, const struct kind *kind)
{
    struct declared v = declare(m, name, kind);
    const char *c = phrase(m, "%s_%s_%u", owner ? owner : "g", name, m->number);

    text_printf(&m->c, "static %s %s;\n", kind->c, c);
    text_printf(&m->start, "%s = %s;\n", c, v.initial);
    tell(m, owner ? phrase(m, "%s.%s", owner, name) : name, c, kind);
    see(m, name, c, kind, !holds_block(kind));
}

static void constant(struct maker *m, const char *name,
                     const struct kind *kind)
{
    struct both value = literal(m, kind, false);

    text_printf(&m->st, "%s : %s := %s;\n", name, kind->st, value.st);
    see(m, name, value.c, kind, false);
    m->variables[m->n_variables - 1].fixed = true;
}

static void globals(struct maker *m)
{
    unsigned n = 2 + any(m, 3);

    text_add(&m->st, "VAR_GLOBAL\n");
    for (unsigned i = 0; i < n; i++)
        outer_variable(m, NULL, phrase(m, "g%u", i), pick_kind(m));
    outer_variable(m, NULL, "gi", counting(m));
    m->variables[m->n_variables - 1].counter = true;
    m->variables[m->n_variables - 1].shared = true;
    text_add(&m->st, "END_VAR VAR_GLOBAL CONSTANT\n");
    constant(m, "gk", pick_elementary(m));
    text_add(&m->st, "END_VAR\n");
}

static void external(struct maker *m, const struct variable *seen)
{
    text_printf(&m->st, "VAR_EXTERNAL%s %s : %s; END_VAR\n",
                seen->fixed ? " CONSTANT" : "", seen->st, seen->kind->st);
    m->variables[m->n_variables++] = *seen;
}

static void externals(struct maker *m, const struct variable *seen,
                      unsigned n)
{
    for (unsigned i = 0; i < n; i++)
        if (chance(m, 70))
            external(m, &seen[i]);
}

/* ---- functions ---- */

static void function_parameters(struct maker *m, struct unit *unit,
                                struct text *head)
{
    static const char *const sections[] = {"VAR_INPUT", "VAR_OUTPUT",
                                           "VAR_IN_OUT"};
    static const unsigned most[] = {3, 2, 2};

    for (enum mode mode = MODE_INPUT; mode <= MODE_IN_OUT; mode++) {
        unsigned n = any(m, most[mode] + 1);

        if (n == 0)
            continue;
        text_printf(&m->st, "%s\n", sections[mode]);
        for (unsigned i = 0; i < n; i++) {
            const struct kind *kind = pick_kind(m);
            const char *name = phrase(m, "%c%u", "ioz"[mode], i);

            text_printf(&m->st, "%s : %s;\n", name, kind->st);
            add_parameter(unit, name, kind, mode);
            see(m, name, mode == MODE_INPUT ? name : phrase(m, "(*%s)", name),
                kind, mode != MODE_INPUT);
            text_printf(head, "%s%s %s%s", head->n ? ", " : "", kind->c,
                        mode == MODE_INPUT ? "" : "*", name);
        }
        text_add(&m->st, "END_VAR\n");
    }
}

static void local(struct maker *m, struct text *to, const char *name,
                  const struct kind *kind)
{
    struct declared v = declare(m, name, kind);

    text_printf(to, "%s %s = %s; (void)%s;\n", kind->c, name, v.initial,
                name);
    see(m, name, name, kind, true);
}

/* VAR_STAT: in C a variable of its own, which its calls show. */
static void static_variable(struct maker *m, const struct unit *unit)
{
    const struct kind *kind = chance(m, 60) ? counting(m) : pick_kind(m);
    const char *c = phrase(m, "%s_s0", unit->c);
    struct declared v;

    text_add(&m->st, "VAR_STAT\n");
    v = declare(m, "s0", kind);
    text_add(&m->st, "END_VAR\n");
    text_printf(&m->c, "static %s %s;\n", kind->c, c);
    text_printf(&m->start, "%s = %s;\n", c, v.initial);
    see(m, "s0", c, kind, true);
}

static void function(struct maker *m, unsigned number,
                     const struct variable *seen, unsigned n_seen)
{
    struct unit *unit = &m->functions[m->n_functions];
    struct text head = {0}, locals = {0};

    m->n_variables = 0;
    m->where = IN_FUNCTION;
    m->cost = 1;
    *unit = (struct unit){.name = phrase(m, "F%u", number),
                          .c = phrase(m, "F%u_%u", number, m->number)};
    unit->result = number == 1 ? m->kinds[m->n_kinds - 1 - any(m, 2)]
                               : pick_elementary(m);
    text_printf(&m->st, "FUNCTION %s : %s\n", unit->name, unit->result->st);
    function_parameters(m, unit, &head);
    text_add(&m->st, "VAR\n");
    local(m, &locals, "c0", counting(m));
    m->variables[m->n_variables - 1].counter = true;
    for (unsigned i = 0; i < 2; i++)
        local(m, &locals, phrase(m, "v%u", i), pick_kind(m));
    text_add(&m->st, "END_VAR\n");
    if (chance(m, 40))
        static_variable(m, unit);
    if (chance(m, 40))
        externals(m, seen, n_seen);
    see(m, unit->name, "result_", unit->result, true);
    text_printf(&m->c, "static %s %s(%s)\n{ %s result_ = %s;\n%s",
                unit->result->c, unit->c, head.n ? text_str(&head) : "void",
                unit->result->c, initial_of(m, unit->result),
                text_str(&locals));
    for (unsigned i = 0; i < unit->n_parameters; i++)
        if (unit->parameters[i].mode == MODE_OUTPUT)
            text_printf(&m->c, "*%s = %s;\n", unit->parameters[i].name,
                        initial_of(m, unit->parameters[i].kind));
    statements(m, 2 + any(m, 3), 2);
    text_add(&m->st, "END_FUNCTION\n");
    text_add(&m->c, "return result_; }\n");
    unit->cost = m->cost;
    m->n_functions++;
    text_release(&head);
    text_release(&locals);
}

/* ---- blocks ---- */

struct building {
    struct kind *kind;
    struct text members, begin; /* in C */
    struct text head;           /* in C: VAR_IN_OUT */
    struct text temps;          /* in C: set at each call */
};

static void member(struct maker *m, struct building *b, const char *name,
                   const struct kind *kind, bool written)
{
    struct declared v = declare(m, name, kind);

    text_printf(&b->members, " %s %s;", kind->c, name);
    text_printf(&b->begin, " r.%s = %s;", name, v.initial);
    see(m, name, phrase(m, "b_->%s", name), kind, written);
}

static void block_parameters(struct maker *m, struct building *b)
{
    struct unit *unit = b->kind->unit;
    unsigned n = 1 + any(m, 2);

    text_add(&m->st, "VAR_INPUT\n");
    for (unsigned i = 0; i < n; i++) {
        const struct kind *kind = pick_kind(m);

        member(m, b, phrase(m, "i%u", i), kind, false);
        add_parameter(unit, phrase(m, "i%u", i), kind, MODE_INPUT);
    }
    text_add(&m->st, "END_VAR VAR_OUTPUT\n");
    for (unsigned i = 0; i < 2; i++) {
        const struct kind *kind = pick_kind(m);
        const char *name = phrase(m, "o%u", i);

        member(m, b, name, kind, true);
        add_parameter(unit, name, kind, MODE_OUTPUT);
        add_field(b->kind, name, kind);
    }
    text_add(&m->st, "END_VAR\n");
    n = any(m, 3);
    if (n > 0)
        text_add(&m->st, "VAR_IN_OUT\n");
    for (unsigned i = 0; i < n; i++) {
        const struct kind *kind = pick_kind(m);
        const char *name = phrase(m, "z%u", i);

        if (m->n_blocks > 1 && chance(m, 20)) /* not of itself */
            kind = m->blocks[any(m, m->n_blocks - 1)];

        text_printf(&m->st, "%s : %s;\n", name, kind->st);
        add_parameter(unit, name, kind, MODE_IN_OUT);
        text_printf(&b->head, ", %s *%s", kind->c, name);
        see(m, name, phrase(m, "(*%s)", name), kind, true);
    }
    if (n > 0)
        text_add(&m->st, "END_VAR\n");
}

static void block_variables(struct maker *m, struct building *b)
{
    text_add(&m->st, "VAR\n");
    member(m, b, "c0", counting(m), true);
    m->variables[m->n_variables - 1].counter = true;
    for (unsigned i = 0; i < 2; i++)
        member(m, b, phrase(m, "v%u", i), pick_kind(m), true);
    for (unsigned i = 0; i < 2 && m->n_blocks > 1; i++)
        member(m, b, phrase(m, "n%u", i), m->blocks[any(m, m->n_blocks - 1)],
               false);
    text_add(&m->st, "END_VAR VAR_TEMP\n");
    local(m, &b->temps, "t0", pick_kind(m));
    text_add(&m->st, "END_VAR\n");
}

static void block(struct maker *m, unsigned number,
                  const struct variable *seen, unsigned n_seen)
{
    const char *name = phrase(m, "B%u", number);
    const char *c = phrase(m, "B%u_%u", number, m->number);
    struct building b = {.kind = new_block(m, name, phrase(m, "struct %s", c))};

    m->n_variables = 0;
    m->where = IN_BLOCK;
    m->cost = 1;
    b.kind->names = c;
    b.kind->unit->c = c;
    text_printf(&m->st, "FUNCTION_BLOCK %s\n", name);
    block_parameters(m, &b);
    block_variables(m, &b);
    externals(m, seen, n_seen);
    text_printf(&m->c,
                "struct %s {%s };\nstatic struct %s new_%s(void)\n"
                "{ struct %s r; memset(&r, 0, sizeof r);%s return r; }\n"
                "static void run_%s(struct %s *b_%s)\n{ %s",
                c, text_str(&b.members), c, c, c, text_str(&b.begin), c, c,
                text_str(&b.head), text_str(&b.temps));
    m->n_blocks--; /* not of itself */
    statements(m, 3 + any(m, 3), 2);
    m->n_blocks++;
    text_add(&m->st, "END_FUNCTION_BLOCK\n");
    text_add(&m->c, "}\n");
    b.kind->unit->cost = m->cost;
    text_release(&b.members);
    text_release(&b.begin);
    text_release(&b.head);
    text_release(&b.temps);
}

/* ---- programs ---- */

static void input(struct maker *m, const char *program, const char *name,
                  const struct kind *kind)
{
    const char *c = phrase(m, "%s_%s_%u", program, name, m->number);

    text_printf(&m->st, "%s : %s;\n", name, kind->st);
    text_printf(&m->c, "static %s %s;\n", kind->c, c);
    if (m->called && strcmp(name, "p") == 0) {
        text_printf(&m->start, "%s = 0;\n", c); /* its caller gives it */
    } else {
        text_printf(&m->inputs, "%s.%s\n", program, name);
        text_printf(&m->give, "%s = *i++;\n", c);
    }
    see(m, name, c, kind, false);
}

static const struct kind *narrow(struct maker *m, const char *st, int low,
                                 int high)
{
    struct kind *kind = arena_alloc(m->arena, sizeof *kind);

    *kind = *elementary(INT);
    kind->base = elementary(INT);
    kind->st = st;
    kind->low = low;
    kind->high = high;
    return kind;
}

static void program_inputs(struct maker *m, const char *name)
{
    text_add(&m->st, "VAR_INPUT\n");
    input(m, name, "p", elementary(BOOL));
    input(m, name, "q", elementary(BOOL));
    input(m, name, "n", narrow(m, "INT (0 .. 4)", 0, 4));
    input(m, name, "k", narrow(m, "INT (-3 .. 6)", -3, 6));
    input(m, name, "w", elementary(BYTE));
    input(m, name, "e", m->kinds[ELEMENTARY]);
    if (m->real)
        input(m, name, "x", m->real);
    text_add(&m->st, "END_VAR\n");
}

static void constants(struct maker *m)
{
    text_add(&m->st, "VAR CONSTANT\n");
    for (unsigned i = 0; i < 2; i++)
        constant(m, phrase(m, "k%u", i), pick_elementary(m));
    text_add(&m->st, "END_VAR\n");
}

/* A block, or an array of them. */
static const struct kind *some_block(struct maker *m, const char *program,
                                     unsigned i)
{
    const struct kind *block = m->blocks[any(m, m->n_blocks)];
    struct kind *kind;

    if (chance(m, 70))
        return block;
    kind = arena_alloc(m->arena, sizeof *kind);
    kind->shape = SHAPE_ARRAY;
    kind->element = block;
    kind->n_dims = 1;
    kind->from[0] = (int)any(m, 3) - 1;
    kind->to[0] = kind->from[0] + (int)any(m, 2);
    kind->st = phrase(m, "ARRAY [%d .. %d] OF %s", kind->from[0],
                      kind->to[0], block->st);
    kind->names = phrase(m, "%sB%u_%u", program, i, m->number);
    kind->c = phrase(m, "struct %s", kind->names);
    text_printf(&m->c,
                "%s { %s e[2]; };\nstatic %s new_%s(void)\n"
                "{ %s r; r.e[0] = r.e[1] = new_%s(); return r; }\n",
                kind->c, block->c, kind->c, kind->names, kind->c,
                block->names);
    return kind;
}

static void program_variables(struct maker *m, const char *name,
                              struct text *temps)
{
    if (m->all && chance(m, 15)) {
        text_add(&m->st, "VAR RETAIN\n");
        for (unsigned i = 0; i < 2; i++)
            outer_variable(m, name, phrase(m, "r%u", i), pick_kind(m));
        outer_variable(m, name, "rb", m->blocks[any(m, m->n_blocks)]);
        text_add(&m->st, "END_VAR\n");
    }
    text_add(&m->st, "VAR\n");
    for (unsigned i = 0; i < 2; i++) {
        outer_variable(m, name, phrase(m, "c%u", i), counting(m));
        m->variables[m->n_variables - 1].counter = true;
    }
    for (unsigned i = 0; i < 7; i++)
        outer_variable(m, name, phrase(m, "v%u", i), pick_kind(m));
    for (unsigned i = 0; i < 3; i++)
        outer_variable(m, name, phrase(m, "b%u", i), some_block(m, name, i));
    outer_variable(m, name, "u", m->blocks[m->n_blocks - 1]);
    text_add(&m->st, "END_VAR VAR_OUTPUT\n");
    for (unsigned i = 0; i < 2; i++)
        outer_variable(m, name, phrase(m, "o%u", i), pick_kind(m));
    text_add(&m->st, "END_VAR VAR_TEMP\n");
    local(m, temps, "t0", pick_kind(m));
    text_add(&m->st, "END_VAR\n");
}

/* Every variable is written by some text: none is an input. */
static void write_all(struct maker *m)
{
    text_add(&m->st, "IF FALSE THEN\n");
    for (unsigned i = 0; i < m->n_variables; i++)
        if (m->variables[i].written)
            text_printf(&m->st, "%s := %s;\n", m->variables[i].st,
                        m->variables[i].st);
    text_add(&m->st, "END_IF;\n");
}

/* The other program, in this one's place now and then. */
static void call_program(struct maker *m)
{
    struct both when = make(m, elementary(BOOL), 1, true);
    struct both given = make(m, elementary(BOOL), 2, true);
    bool gives = chance(m, 70);

    text_printf(&m->st, "IF %s THEN Second(%s%s); END_IF;\n", when.st,
                gives ? "p := " : "", gives ? given.st : "");
    text_printf(&m->c, "if (%s) { ", when.c);
    if (gives)
        text_printf(&m->c, "Second_p_%u = %s; ", m->number, given.c);
    text_printf(&m->c, "Second_%u(); }\n", m->number);
}

/* The last call always gives the input: it is no free one. */
static void call_last(struct maker *m)
{
    struct both given = make(m, elementary(BOOL), 1, true);

    text_printf(&m->st, "Second(p := %s);\n", given.st);
    text_printf(&m->c, "Second_p_%u = %s; Second_%u();\n", m->number,
                given.c, m->number);
}

static void body(struct maker *m, bool calls)
{
    if (!calls) {
        statements(m, 6 + any(m, 5), 3);
        return;
    }
    statements(m, 2 + any(m, 2), 3);
    call_program(m);
    statements(m, 3, 3);
    call_last(m);
    statements(m, 1, 2);
}

static void program(struct maker *m, const char *name,
                    const struct variable *seen, unsigned n_seen)
{
    struct text temps = {0};
    bool calls = m->calls && strcmp(name, "Main") == 0;

    m->called = m->calls && !calls;

    m->n_variables = 0;
    m->where = IN_PROGRAM;
    m->cost = 0;
    text_printf(&m->st, "PROGRAM %s\n", name);
    program_inputs(m, name);
    constants(m);
    program_variables(m, name, &temps);
    for (unsigned i = 0; i < n_seen; i++)
        external(m, &seen[i]);
    write_all(m);
    if (calls)
        text_printf(&m->c,
                    "static %s Second_p_%u; static void Second_%u(void);\n",
                    elementary(BOOL)->c, m->number, m->number);
    text_printf(&m->c, "static void %s_%u(void)\n{ %s", name, m->number,
                text_str(&temps));
    body(m, calls);
    text_add(&m->st, "END_PROGRAM\n");
    text_add(&m->c, "}\n");
    text_release(&temps);
}

static void finish(struct maker *m, bool two)
{
    unsigned n = m->number;

    text_printf(&m->c, "static void scan_%u(void) { Main_%u(); ", n, n);
    if (two && !m->calls)
        text_printf(&m->c, "Second_%u(); ", n);
    text_printf(&m->c,
                "}\nstatic void start_%u(void)\n{\n%s}\n"
                "static void give_%u(const I *i)\n{\n%s}\n"
                "static void tell_%u(I *o)\n{\n%s}\n",
                n, text_str(&m->start), n, text_str(&m->give), n,
                text_str(&m->tell));
}

static const char *const *lines(struct maker *m, struct text *text,
                                uint32_t *n)
{
    const char **out;
    char *at = arena_copy(m->arena, text_str(text), text->n), *end;

    *n = 0;
    for (size_t i = 0; i < text->n; i++)
        *n += at[i] == '\n';
    out = arena_array(m->arena, *n, sizeof *out);
    for (uint32_t i = 0; i < *n; i++, at = end + 1) {
        out[i] = at;
        end = strchr(at, '\n');
        *end = '\0';
    }
    text_release(text);
    return out;
}

struct random_text random_text(struct arena *arena, uint64_t seed,
                               unsigned number, bool all)
{
    struct maker m = {.arena = arena, .seed = seed, .number = number,
                      .weight = 1, .all = all};
    struct variable seen[8];
    struct random_text out;
    unsigned n;
    bool two = chance(&m, 35), line = !two && all && chance(&m, 15);

    m.calls = two && chance(&m, 50);

    for (int i = 0; i < 8; i++)
        (void)any(&m, 2);
    make_kinds(&m);
    globals(&m);
    n = m.n_variables;
    memcpy(seen, m.variables, n * sizeof *seen);
    for (unsigned i = 0; i < 3; i++)
        function(&m, i, seen, n);
    for (unsigned i = 0; i < 4; i++)
        standard_block(&m, any(&m, STANDARD / 4) + i * (STANDARD / 4));
    for (unsigned i = 0; i < 2; i++)
        block(&m, i, seen, n);
    program(&m, "Main", seen, n);
    if (line)
        text_add(&m.st, "CONFIGURATION Line RESOURCE Cell ON Cpu\n"
                        "TASK T (INTERVAL := T#100ms, PRIORITY := 1);\n"
                        "PROGRAM Left WITH T : Main;\n"
                        "PROGRAM Right WITH T : Main;\n"
                        "END_RESOURCE END_CONFIGURATION\n");
    else if (two)
        program(&m, "Second", seen, n);
    finish(&m, two);
    out.control = arena_copy(arena, text_str(&m.st), m.st.n);
    out.c = arena_copy(arena, text_str(&m.c), m.c.n);
    out.inputs = lines(&m, &m.inputs, &out.n_inputs);
    out.leaves = lines(&m, &m.leaves, &out.n_leaves);
    text_release(&m.st);
    text_release(&m.c);
    text_release(&m.give);
    text_release(&m.tell);
    text_release(&m.start);
    return out;
}
