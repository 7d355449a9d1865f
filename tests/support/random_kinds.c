#include "tests/support/random_maker.h"

#include <string.h>

#include "base/arena.h"

#define FROM_TO(bits) \
    -(INT64_C(1) << (bits - 1)), (INT64_C(1) << (bits - 1)) - 1

static const struct kind plain[ELEMENTARY] = {
    [BOOL] = {SHAPE_BOOL, "BOOL", "I", 0, 1, .width = 1},
    [SINT] = {SHAPE_INTEGER, "SINT", "I", FROM_TO(8), .width = 8},
    [INT] = {SHAPE_INTEGER, "INT", "I", FROM_TO(16), .width = 16},
    [DINT] = {SHAPE_INTEGER, "DINT", "I", FROM_TO(32), .width = 32},
    [LINT] = {SHAPE_INTEGER, "LINT", "I", INT64_MIN, INT64_MAX, .width = 64},
    [USINT] = {SHAPE_INTEGER, "USINT", "I", 0, UINT8_MAX, .width = 8},
    [UINT] = {SHAPE_INTEGER, "UINT", "I", 0, UINT16_MAX, .width = 16},
    [UDINT] = {SHAPE_INTEGER, "UDINT", "I", 0, UINT32_MAX, .width = 32},
    [ULINT] = {SHAPE_INTEGER, "ULINT", "I", 0, INT64_MAX, .width = 64},
    [BYTE] = {SHAPE_BITS, "BYTE", "I", 0, UINT8_MAX, .width = 8},
    [WORD] = {SHAPE_BITS, "WORD", "I", 0, UINT16_MAX, .width = 16},
    [DWORD] = {SHAPE_BITS, "DWORD", "I", 0, UINT32_MAX, .width = 32},
    [LWORD] = {SHAPE_BITS, "LWORD", "I", INT64_MIN, INT64_MAX,
               .width = 64},
    [TIME] = {SHAPE_TIME, "TIME", "I", -(INT64_C(1) << 53),
              INT64_C(1) << 53},
};

static const struct kind reals[] = {
    {SHAPE_REAL, "REAL", "I", .width = 32},
    {SHAPE_REAL, "LREAL", "I", .width = 64},
};

static const char *const real_numbers[] = {"0.0", "1.5", "-2.5", "1.0E1"};

const struct kind *elementary(enum elementary which)
{
    return &plain[which];
}

bool is_elementary(const struct kind *kind)
{
    return kind->shape < SHAPE_ARRAY;
}

const struct kind *base_of(const struct kind *kind)
{
    return kind->base ? kind->base : kind;
}

/* ---- literals ---- */

static const char *item(struct maker *m, const struct kind *kind,
                        int64_t value)
{
    const char *name = kind->items[value];

    switch (any(m, 3)) {
    case 0: return phrase(m, "%s.%s", kind->st, name);
    case 1: return phrase(m, "%s#%s", kind->st, name);
    default: return name;
    }
}

struct both literal_of(struct maker *m, const struct kind *kind,
                       int64_t value, bool typed)
{
    struct both out = {.fixed = true, .c = number_in_c(m, value)};
    const struct kind *base = base_of(kind);
    long long v = (long long)value;

    switch (kind->shape) {
    case SHAPE_BOOL:
        out.st = typed && chance(m, 20) ? phrase(m, "BOOL#%lld", v)
                                        : value ? "TRUE" : "FALSE";
        break;
    case SHAPE_TIME:
        out.st = v % 1000 == 0 && chance(m, 50)
                     ? phrase(m, "TIME#%llds", v / 1000)
                     : phrase(m, "T#%lldms", v);
        break;
    case SHAPE_ENUM: out.st = item(m, kind, value); break;
    case SHAPE_REAL:
        out.st = typed ? phrase(m, "%s#%s", base->st, real_numbers[value])
                       : real_numbers[value];
        break;
    case SHAPE_BITS:
        out.st = chance(m, 40) || typed ? phrase(m, "%s#16#%llX", base->st, v)
                                        : phrase(m, "16#%llX", v);
        break;
    default:
        out.st = typed ? phrase(m, "%s#%lld", base->st, v)
                       : phrase(m, "%lld", v);
    }
    return out;
}

static int64_t some_value(struct maker *m, const struct kind *kind)
{
    switch (kind->shape) {
    case SHAPE_BOOL: return any(m, 2);
    case SHAPE_ENUM: return any(m, kind->n_items);
    case SHAPE_REAL: return any(m, 4);
    case SHAPE_TIME: return (int64_t)any(m, 6) * 100;
    case SHAPE_BITS:
        if (kind->width == 64 && chance(m, 40))
            return chance(m, 50) ? -1 - (int64_t)any(m, 65536)
                                 : INT64_MIN + any(m, 65536);
        if (chance(m, 10))
            return kind->high;
        return any(m, kind->width == 8 ? 256 : 65536);
    default: break;
    }
    if (kind->base)
        return kind->low + any(m, (unsigned)(kind->high - kind->low) + 1);
    if (chance(m, 2))
        return kind->high - any(m, 2);
    if (chance(m, 2) && kind->low > INT64_MIN)
        return kind->low + any(m, 2);
    return (int64_t)any(m, 9) - (kind->low < 0 ? 3 : 0);
}

struct both literal(struct maker *m, const struct kind *kind, bool typed)
{
    return literal_of(m, kind, some_value(m, kind), typed);
}

/* ---- kinds of the text ---- */

static struct kind *new_kind(struct maker *m, enum shape shape)
{
    struct kind *kind = arena_alloc(m->arena, sizeof *kind);

    kind->shape = shape;
    kind->c = "I";
    m->kinds[m->n_kinds++] = kind;
    return kind;
}

static void enumeration(struct maker *m, unsigned n)
{
    struct kind *kind = new_kind(m, SHAPE_ENUM);
    bool numbered = chance(m, 50);
    int number = -2;

    kind->st = phrase(m, "E%u", n);
    kind->n_items = 2 + any(m, 3);
    kind->high = kind->n_items - 1;
    text_printf(&m->st, "TYPE %s : (", kind->st);
    text_printf(&m->c, "static const I number_%s_%u[] = {", kind->st,
                m->number);
    for (unsigned i = 0; i < kind->n_items; i++) {
        number = numbered ? number + 1 + (int)any(m, 5) : (int)i;
        kind->items[i] = phrase(m, "item%u%u", n, i);
        kind->numbers[i] = number;
        text_printf(&m->st, numbered ? "%s%s := %d" : "%s%s",
                    i ? ", " : "", kind->items[i], number);
        text_printf(&m->c, "%d, ", number);
    }
    text_add(&m->st, "); END_TYPE\n");
    text_add(&m->c, "};\n");
}

static void subrange(struct maker *m, unsigned n)
{
    struct kind *kind = new_kind(m, SHAPE_INTEGER);
    const struct kind *base = elementary(chance(m, 60)   ? INT
                                         : chance(m, 50) ? SINT
                                                         : DINT);

    kind->base = base;
    kind->width = base->width;
    kind->low = -(int64_t)any(m, 5);
    kind->high = 2 + any(m, 9);
    if (n > 0 && chance(m, 60)) {
        kind->st = phrase(m, "%s (%lld .. %lld)", base->st,
                       (long long)kind->low, (long long)kind->high);
        return;
    }
    kind->st = phrase(m, "R%u", n);
    text_printf(&m->st, "TYPE %s : %s (%lld .. %lld); END_TYPE\n", kind->st,
                base->st, (long long)kind->low, (long long)kind->high);
}

static const char *initials(struct maker *m, struct kind *kind)
{
    unsigned n = (unsigned)(kind->to[0] - kind->from[0]) + 1;
    struct both first = literal(m, kind->element, false);
    struct both rest = literal(m, kind->element, false);

    for (unsigned i = 0; i < n; i++)
        text_printf(&m->c, " r.e[%u] = %s;", i, i ? rest.c : first.c);
    return n == 1 ? phrase(m, "[%s]", first.st)
                  : phrase(m, "[%s, %u(%s)]", first.st, n - 1, rest.st);
}

static void array(struct maker *m, unsigned n)
{
    struct kind *kind = new_kind(m, SHAPE_ARRAY);
    const struct kind *element = m->kinds[any(m, m->n_kinds - 1)];
    unsigned cells = 1;
    struct text st = {0};
    const char *initial = "";

    kind->element = element;
    kind->n_dims = 1 + (is_elementary(element) && chance(m, 30));
    text_add(&st, "ARRAY [");
    for (unsigned i = 0; i < kind->n_dims; i++) {
        kind->from[i] = (int)any(m, 3) - 1;
        kind->to[i] = kind->from[i] + (int)any(m, 3);
        cells *= (unsigned)(kind->to[i] - kind->from[i]) + 1;
        text_printf(&st, "%s%d .. %d", i ? ", " : "", kind->from[i],
                    kind->to[i]);
    }
    text_printf(&st, "] OF %s", element->st);
    kind->c = phrase(m, "struct A%u_%u", n, m->number);
    text_printf(&m->c, "%s { %s e[%u]; };\nstatic %s new_A%u_%u(void) { %s r;",
                kind->c, element->c, cells, kind->c, n, m->number, kind->c);
    text_printf(&m->c, " for (int i = 0; i < %u; i++) r.e[i] = %s;", cells,
                initial_of(m, element));
    kind->names = phrase(m, "A%u_%u", n, m->number);
    if (chance(m, 60)) {
        kind->st = phrase(m, "A%u", n);
        if (kind->n_dims == 1 && is_elementary(element) && chance(m, 60))
            initial = phrase(m, " := %s", initials(m, kind));
        text_printf(&m->st, "TYPE %s : %s%s; END_TYPE\n", kind->st,
                    text_str(&st), initial);
    } else {
        kind->st = phrase(m, "%s", text_str(&st));
    }
    text_add(&m->c, " return r; }\n");
    text_release(&st);
}

/* Some structure above, or NULL. */
static const struct kind *heritage(struct maker *m, unsigned room)
{
    const struct kind *kind = m->kinds[any(m, m->n_kinds - 1)];

    return kind->shape == SHAPE_STRUCT && kind->n_fields <= room &&
                   chance(m, 60)
               ? kind : NULL;
}

static void structure(struct maker *m, unsigned n)
{
    struct kind *kind = new_kind(m, SHAPE_STRUCT);
    unsigned fields = 1 + any(m, 4);
    const struct kind *of_all = heritage(m, MOST_FIELDS - fields);
    bool before = chance(m, 50);

    kind->names = phrase(m, "S%u_%u", n, m->number);
    kind->st = phrase(m, "S%u", n);
    kind->c = phrase(m, "struct %s", kind->names);
    text_printf(&m->st, "TYPE %s", kind->st);
    if (of_all)
        text_printf(&m->st, before ? " EXTENDS %s : STRUCT\n"
                                   : " : STRUCT EXTENDS %s\n", of_all->st);
    else
        text_add(&m->st, " : STRUCT\n");
    text_printf(&m->c, "%s {", kind->c);
    for (unsigned i = 0; of_all && i < of_all->n_fields; i++) {
        kind->fields[kind->n_fields++] = of_all->fields[i];
        text_printf(&m->c, " %s %s;", of_all->fields[i].kind->c,
                    of_all->fields[i].name);
    }
    fields += kind->n_fields;
    for (unsigned i = kind->n_fields; i < fields; i++) {
        struct field *field = &kind->fields[kind->n_fields++];
        const struct kind *of = m->kinds[any(m, m->n_kinds - 1)];

        field->name = phrase(m, "f%u", i);
        field->kind = of;
        text_printf(&m->c, " %s %s;", of->c, field->name);
        if (is_elementary(of) && chance(m, 40)) {
            struct both value = literal(m, of, false);

            field->initial = value.c;
            text_printf(&m->st, "%s : %s := %s; ", field->name, of->st,
                        value.st);
        } else {
            field->initial = initial_of(m, of);
            text_printf(&m->st, "%s : %s; ", field->name, of->st);
        }
    }
    text_add(&m->st, "END_STRUCT; END_TYPE\n");
    text_printf(&m->c, " };\nstatic %s new_%s(void) { %s r;", kind->c,
                kind->names, kind->c);
    for (unsigned i = 0; i < fields; i++)
        text_printf(&m->c, " r.%s = %s;", kind->fields[i].name,
                    kind->fields[i].initial);
    text_add(&m->c, " return r; }\n");
}

void make_kinds(struct maker *m)
{
    for (unsigned i = 0; i < ELEMENTARY; i++)
        m->kinds[m->n_kinds++] = &plain[i];
    for (unsigned i = 0; i < 2; i++)
        enumeration(m, i);
    for (unsigned i = 0; i < 3; i++)
        subrange(m, i);
    m->few = m->kinds[m->n_kinds - 1];
    if (m->all && chance(m, 30)) {
        m->real = &reals[any(m, 2)];
        for (unsigned i = 0; i < 4; i++) /* as often as other kinds */
            m->kinds[m->n_kinds++] = m->real;
    }
    m->n_own = m->n_kinds;
    for (unsigned i = 0; i < 3; i++) {
        array(m, i);
        structure(m, i);
    }
}

const char *initial_of(struct maker *m, const struct kind *kind)
{
    if (kind->shape >= SHAPE_ARRAY)
        return phrase(m, "new_%s()", kind->names);
    return number_in_c(m, kind->base ? kind->low : 0);
}

const struct kind *pick_elementary(struct maker *m)
{
    if (chance(m, 25))
        return elementary(BOOL);
    return m->kinds[any(m, m->n_own)];
}

const struct kind *pick_kind(struct maker *m)
{
    if (chance(m, 65))
        return pick_elementary(m);
    return m->kinds[m->n_own + any(m, m->n_kinds - m->n_own)];
}
