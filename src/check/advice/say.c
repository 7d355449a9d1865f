#include "check/advice/say.h"

#include <stdarg.h>
#include <stdio.h>

enum { MESSAGE_MAX = 1000 };

void say(struct draft *draft, const struct remark *what,
         const char *format, ...)
{
    char message[MESSAGE_MAX];
    struct remark remark = *what;
    va_list args;

    va_start(args, format);
    vsnprintf(message, sizeof message, format, args);
    va_end(args);
    remark.message = arena_printf(draft->arena, "%s", message);
    remark.words = draft_words(draft, remark.span);
    remark.accepted = MODEL_NONE;
    vec_push(&draft->remarks, remark);
}

const char *say_line(struct draft *draft, struct span from,
                     struct span line)
{
    struct place place = sources_place(draft->sources, line);

    return from.file == line.file
               ? arena_printf(draft->arena, "line %u", place.line)
               : arena_printf(draft->arena, "line %u of %s", place.line,
                              place.path);
}

const struct code_frame_var *say_row(const struct code_pou *pou,
                                     uint32_t offset)
{
    for (uint32_t i = 0; i < pou->n_vars; i++)
        if (offset >= pou->vars[i].offset &&
            offset - pou->vars[i].offset < code_var_size(&pou->vars[i]))
            return &pou->vars[i];
    return NULL;
}

const char *say_declared(struct draft *draft, const struct unit *unit,
                         const struct code_frame_var *row)
{
    return arena_printf(draft->arena, "%s.%s", unit->name->spelling,
                        draft_spelling(draft, row->name, row->span));
}

static const char *in_out_name(struct draft *draft, const struct unit *unit,
                               uint32_t index)
{
    for (size_t i = 0; i < unit->scope.all.n; i++) {
        const struct symbol *symbol = unit->scope.all.at[i];

        if (symbol->variable.base == CODE_IN_OUT &&
            symbol->variable.index == index)
            return arena_printf(draft->arena, "%s.%s",
                                unit->name->spelling,
                                draft_spelling(draft, symbol->name,
                                               symbol->span));
    }
    return unit->name->spelling;
}

const char *say_variable(struct draft *draft, const struct unit *unit,
                         struct code_variable variable)
{
    const char *path = unit->name->spelling;
    const struct code_pou *pou = unit->pou;
    uint32_t offset = variable.index;

    if (variable.base == CODE_IN_OUT)
        return in_out_name(draft, unit, offset);
    if (variable.base == CODE_GLOBAL)
        return offset < draft->slots.n ? draft->slots.at[offset].path
                                       : path;
    while (pou) {
        const struct code_frame_var *row = say_row(pou, offset);

        if (!row)
            break;
        path = arena_printf(draft->arena, "%s.%s", path,
                            draft_spelling(draft, row->name, row->span));
        offset -= row->offset;
        pou = row->pou;
    }
    return path;
}
