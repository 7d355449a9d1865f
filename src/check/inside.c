#include "check/inside.h"

#include "check/spread.h"

bool inside_has(const struct unit *unit)
{
    return unit && unit->pou->kind == POU_BLOCK;
}

struct noting {
    const struct unit *unit;
    struct inner done;
};

static void add(struct inner *to, const struct inner *done)
{
    if (done->read.file)
        draft_note(&to->read, done->read);
    if (done->written.file)
        draft_note(&to->written, done->written);
    to->bits_read |= done->bits_read;
    to->bits_written |= done->bits_written;
    to->bits_lent |= done->bits_lent;
    to->whole_written |= done->whole_written;
}

void inside_done(struct use *use, const struct inner *done)
{
    struct inner all = {use->read, use->written, use->bits_read,
                        use->bits_written, use->bits_lent,
                        use->whole_written};

    add(&all, done);
    use->read = all.read;
    use->written = all.written;
    use->bits_read = all.bits_read;
    use->bits_written = all.bits_written;
    use->bits_lent = all.bits_lent;
    use->whole_written = all.whole_written;
}

static void note(void *context, uint32_t slot)
{
    struct noting *n = context;

    if (slot < n->unit->pou->size)
        add(&n->unit->inner[slot], &n->done);
}

void inside_touch(struct draft *draft, struct unit *unit,
                  const struct code_variable *variable, uint32_t size,
                  struct inner done)
{
    struct noting noting = {unit, done};

    if (!unit->inner)
        unit->inner = arena_array(draft->arena, (size_t)unit->pou->size + 1,
                                  sizeof *unit->inner);
    spread_visit(variable, size, variable->index, note, &noting);
}

void inside_laid(struct draft *draft, struct unit *unit,
                 struct unit *program, uint32_t slot)
{
    vec_push(&draft->laid, ((struct laid){unit, program, slot}));
}

/* ---- when all bodies are known ---- */

/* What no text writes may be driven from outside. */
static void own(struct draft *draft, const struct laid *laid,
                const struct symbol *symbol)
{
    for (uint32_t i = 0; i < symbol->type->size; i++) {
        struct use *use =
            &draft->uses.at[laid->slot + symbol->variable.index + i];

        if (use->written.file || use->symbol)
            continue;
        use->symbol = symbol;
        use->program = laid->program;
    }
}

static void note_instance(struct draft *draft, const struct laid *laid)
{
    const struct unit *unit = laid->unit;
    const struct scope *scope = &unit->scope;

    for (uint32_t i = 0; unit->inner && i < unit->pou->size; i++)
        inside_done(&draft->uses.at[laid->slot + i], &unit->inner[i]);
    for (size_t i = 0; i < scope->all.n; i++) {
        const struct symbol *symbol = scope->all.at[i];

        if (symbol->kind == SYMBOL_VARIABLE && symbol->type &&
            symbol->location && !symbol->constant &&
            symbol->variable.base == CODE_LOCAL)
            own(draft, laid, symbol);
    }
}

void inside_note(struct draft *draft)
{
    for (size_t i = 0; i < draft->laid.n; i++)
        note_instance(draft, &draft->laid.at[i]);
}
