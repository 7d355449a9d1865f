#include "check/draft.h"

#include <string.h>

#include "base/text.h"

enum { WORDS_MAX = 200 };

static const struct type *make_elementary(struct draft *draft,
                                          enum type_kind kind,
                                          const char *words, int64_t low,
                                          int64_t high)
{
    struct type *type = ARENA_NEW(draft->arena, struct type);

    *type = (struct type){
        .kind = kind, .low = low, .high = high, .size = 1};
    type->name = names_of(draft->names, words);
    scope_put(&draft->type_scope, draft->arena,
              &(struct symbol){.name = type->name,
                               .kind = SYMBOL_TYPE,
                               .type = type,
                               .state = SYMBOL_DONE});
    return type;
}

static void make_bits(struct draft *draft)
{
    static const char *const words[] = {"BYTE", "WORD", "DWORD", "LWORD"};
    static const int64_t high[] = {UINT8_MAX, UINT16_MAX, UINT32_MAX,
                                   INT64_MAX};

    for (size_t i = 0; i < 4; i++)
        draft->types.bits[i] =
            make_elementary(draft, TYPE_BITS, words[i],
                            i < 3 ? 0 : INT64_MIN, high[i]);
}

/* Times are counted in milliseconds, whatever their type is called. */
static void make_times(struct draft *draft)
{
    draft->types.time =
        make_elementary(draft, TYPE_TIME, "TIME", -((int64_t)1 << 53),
                        (int64_t)1 << 53);
    scope_put(&draft->type_scope, draft->arena,
              &(struct symbol){.name = names_of(draft->names, "LTIME"),
                               .kind = SYMBOL_TYPE,
                               .type = draft->types.time,
                               .state = SYMBOL_DONE});
}

static void make_types(struct draft *draft)
{
    static const struct {
        const char *words;
        int64_t low, high;
    } rows[] = {{"SINT", INT8_MIN, INT8_MAX},
                {"USINT", 0, UINT8_MAX},
                {"UINT", 0, UINT16_MAX},
                {"UDINT", 0, UINT32_MAX},
                {"ULINT", 0, INT64_MAX}};
    struct elementary *types = &draft->types;
    struct type *literal = ARENA_NEW(draft->arena, struct type);

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        make_elementary(draft, TYPE_INTEGER, rows[i].words, rows[i].low,
                        rows[i].high);
    types->integer =
        make_elementary(draft, TYPE_INTEGER, "INT", INT16_MIN, INT16_MAX);
    types->dint =
        make_elementary(draft, TYPE_INTEGER, "DINT", INT32_MIN, INT32_MAX);
    types->lint =
        make_elementary(draft, TYPE_INTEGER, "LINT", INT64_MIN, INT64_MAX);
    types->boolean = make_elementary(draft, TYPE_BOOL, "BOOL", 0, 1);
    make_times(draft);
    make_bits(draft);
    *literal = *types->lint;
    literal->name = names_of(draft->names, "a whole number");
    types->literal = literal;
}

static void make_words(struct draft *draft)
{
    static const struct {
        const char *words;
        enum code_op op;
    } rows[] = {{"power", CODE_POWER},
                {"cold", CODE_COLD},
                {"warm", CODE_WARM},
                {"elapsed", CODE_ELAPSED}};

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        scope_put(
            &draft->review, draft->arena,
            &(struct symbol){.name = names_of(draft->names, rows[i].words),
                             .kind = SYMBOL_WORD,
                             .index = rows[i].op,
                             .type = rows[i].op == CODE_ELAPSED
                                         ? draft->types.time
                                         : draft->types.boolean});
}

void draft_init(struct draft *draft, struct arena *arena,
                struct names *names, const struct sources *sources,
                struct diags *diags)
{
    memset(draft, 0, sizeof *draft);
    draft->arena = arena;
    draft->names = names;
    draft->sources = sources;
    draft->diags = diags;
    draft->model = ARENA_NEW(draft->arena, struct model);
    make_types(draft);
    make_words(draft);
}

static void release_scopes(struct draft *draft)
{
    scope_release(&draft->type_scope);
    scope_release(&draft->item_scope);
    scope_release(&draft->unit_scope);
    scope_release(&draft->globals);
    scope_release(&draft->places);
    vec_release(&draft->placed);
    vec_release(&draft->meeting);
    scope_release(&draft->review);
    scope_release(&draft->bodies);
    scope_release(&draft->labels);
    for (size_t i = 0; i < draft->units.n; i++) {
        scope_release(&draft->units.at[i]->scope);
        vec_release(&draft->units.at[i]->calls);
    }
    vec_release(&draft->units);
    vec_release(&draft->open);
    vec_release(&draft->program_units);
    vec_release(&draft->program_names);
}

void draft_release(struct draft *draft)
{
    release_scopes(draft);
    vec_release(&draft->slots);
    vec_release(&draft->uses);
    vec_release(&draft->errors);
    vec_release(&draft->branches);
    vec_release(&draft->stretches);
    vec_release(&draft->controls);
    vec_release(&draft->contacts);
    vec_release(&draft->sensors);
    vec_release(&draft->actuators);
    vec_release(&draft->programs);
    vec_release(&draft->functions);
    vec_release(&draft->movements);
    vec_release(&draft->mechanisms);
    vec_release(&draft->recorders);
    vec_release(&draft->faults);
    vec_release(&draft->effects);
    vec_release(&draft->causes);
    vec_release(&draft->assumptions);
    vec_release(&draft->intended);
    vec_release(&draft->hazards);
    vec_release(&draft->clocks);
    vec_release(&draft->requirements);
    vec_release(&draft->used);
    vec_release(&draft->scenarios);
    vec_release(&draft->fixed);
    vec_release(&draft->remarks);
    vec_release(&draft->acceptances);
    vec_release(&draft->harmless);
    vec_release(&draft->open_places);
    vec_release(&draft->unknown);
    vec_release(&draft->choices);
    vec_release(&draft->told);
    vec_release(&draft->lent);
    vec_release(&draft->aliases);
    vec_release(&draft->handed);
    vec_release(&draft->laid);
    vec_release(&draft->mays);
    vec_release(&draft->edges);
    vec_release(&draft->contact_used);
    vec_release(&draft->sensor_used);
}

static void *keep(struct arena *arena, const void *at, size_t n,
                  size_t size)
{
    void *copy = arena_array(arena, n, size);

    if (n)
        memcpy(copy, at, n * size);
    return copy;
}

#define KEEP(field, count)                                                 \
    (draft->model->field = keep(draft->arena, draft->field.at,             \
                                draft->field.n, sizeof *draft->field.at),  \
     draft->model->count = (uint32_t)draft->field.n)

void draft_finish(struct draft *draft)
{
    KEEP(slots, n_slots);
    KEEP(choices, n_choices);
    KEEP(controls, n_controls);
    KEEP(contacts, n_contacts);
    KEEP(sensors, n_sensors);
    KEEP(actuators, n_actuators);
    KEEP(programs, n_programs);
    draft->model->n_called =
        draft->model->n_programs - (uint32_t)draft->n_running;
    draft->model->n_programs = (uint32_t)draft->n_running;
    KEEP(functions, n_functions);
    KEEP(mechanisms, n_mechanisms);
    KEEP(movements, n_movements);
    KEEP(recorders, n_recorders);
    KEEP(faults, n_faults);
    KEEP(effects, n_effects);
    KEEP(causes, n_causes);
    KEEP(assumptions, n_assumptions);
    KEEP(intended, n_intended);
    KEEP(hazards, n_hazards);
    KEEP(clocks, n_clocks);
    KEEP(requirements, n_requirements);
    KEEP(scenarios, n_scenarios);
    KEEP(errors, n_errors);
    KEEP(branches, n_branches);
    KEEP(stretches, n_stretches);
    KEEP(fixed, n_fixed);
    KEEP(remarks, n_remarks);
    KEEP(acceptances, n_acceptances);
    KEEP(harmless, n_harmless);
    KEEP(open_places, n_open_places);
    KEEP(unknown, n_unknown);
    KEEP(used, n_used);
}

uint32_t draft_site(struct draft *draft, enum error_kind kind,
                    bool in_review, struct span span)
{
    vec_push(&draft->errors, ((struct error_site){kind, in_review, span, 0,
                                                   false}));
    return (uint32_t)(draft->errors.n - 1);
}

bool draft_slot(struct draft *draft, const struct slot *slot,
                uint32_t *number)
{
    if (draft->slots.n >= DRAFT_MAX_SLOTS) {
        if (draft->slots.n == DRAFT_MAX_SLOTS)
            diag_add(draft->diags, DIAG_ERROR, slot->span,
                     "review fewer programs or instances at once",
                     "more than %d variables with all instances unfolded",
                     DRAFT_MAX_SLOTS);
        return false;
    }
    vec_push(&draft->slots, *slot);
    vec_push(&draft->uses, (struct use){0});
    *number = (uint32_t)(draft->slots.n - 1);
    return true;
}

static bool is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\n' || c == '\r';
}

/* Bytes of the comment that begins at `at`, 0 when none does. */
static size_t comment_length(const char *at, size_t n)
{
    size_t depth = 0, i = 0;

    if (n > 1 && at[0] == '/' && at[1] == '/') {
        while (i < n && at[i] != '\n')
            i++;
        return i;
    }
    while (i + 1 < n) {
        if (at[i] == '(' && at[i + 1] == '*')
            depth++, i += 2;
        else if (depth && at[i] == '*' && at[i + 1] == ')')
            depth--, i += 2;
        else if (depth)
            i++;
        if (!depth)
            return i;
    }
    return i;
}

const char *draft_words(const struct draft *draft, struct span span)
{
    struct text words = {0};
    size_t n, skip;
    const char *at, *result;

    if (!span.file)
        return "";
    at = sources_text(draft->sources, span.file, &n);
    for (size_t i = span.from; i < span.to && i < n; i++) {
        skip = comment_length(at + i, n - i);
        if (skip || is_blank(at[i])) {
            if (words.n && words.at[words.n - 1] != ' ')
                text_add_char(&words, ' ');
            i += skip ? skip - 1 : 0;
        } else {
            text_add_char(&words, at[i]);
        }
    }
    if (words.n > WORDS_MAX) {
        words.n = WORDS_MAX;
        text_add(&words, " ...");
    }
    result = arena_copy(draft->arena, text_str(&words), words.n);
    text_release(&words);
    return result;
}

const char *draft_spelling(const struct draft *draft,
                           const struct name *name, struct span span)
{
    return span.file && span.to - span.from == name->length
               ? draft_words(draft, span)
               : name->spelling;
}

const struct name *draft_named(const struct draft *draft,
                               const struct name *name, struct span span)
{
    const char *spelling = draft_spelling(draft, name, span);
    struct name *named;

    if (strcmp(spelling, name->spelling) == 0)
        return name;
    named = ARENA_NEW(draft->arena, struct name);
    *named = *name;
    named->spelling = spelling;
    return named;
}

uint32_t draft_line(const struct draft *draft, struct span span)
{
    return sources_place(draft->sources, span).line;
}

void draft_note(struct span *first, struct span span)
{
    if (!first->file)
        *first = span;
}
