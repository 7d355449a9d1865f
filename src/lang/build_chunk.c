#include "lang/build_chunk.h"

#include <ctype.h>

#include "base/arena.h"
#include "lang/build_decl.h"
#include "lang/build_expr.h"
#include "lang/build_path.h"
#include "lang/build_stmt.h"
#include "lang/reading.h"

/* Its width in bits and the number of its lowest one. */
struct chunk {
    unsigned width, at;
    struct span span;
};

/* False: reported. */
static bool chunk_of(struct reading *reading, struct span where,
                     struct chunk *chunk)
{
    char size = (char)toupper(
        (unsigned char)reading->text[where.from + 1]);

    chunk->span = where;
    chunk->width = size == 'B' ? 8 : size == 'W' ? 16 : 32;
    chunk->at = chunk->width *
                (unsigned)(reading->text[where.from + 2] - '0');
    if (where.to - where.from == 3 && chunk->at < 64 &&
        (size == 'B' || size == 'W' || size == 'D') &&
        isdigit((unsigned char)reading->text[where.from + 2]))
        return true;
    reading_error(reading, where, "write %B, %W or %D and a number",
                  "a bit string has no such part");
    return false;
}

static struct tree_expr *number(struct reading *reading,
                                const struct chunk *chunk, int64_t value)
{
    struct tree_expr *expr = build_bool(reading, false, chunk->span);

    expr->kind = TREE_INTEGER;
    expr->number = value;
    return expr;
}

static struct tree_expr *call(struct reading *reading,
                              const struct chunk *chunk, const char *name,
                              struct tree_expr *first,
                              struct tree_expr *second)
{
    struct tree_ident *ident = build_nameless(reading, chunk->span);
    struct tree_path *path;
    struct chain args = chain_add(
        (struct chain){0}, build_arg(reading, NULL, first, false,
                                     chunk->span));

    ident->name = names_of(reading->context->names, name);
    path = build_path(reading, ident);
    path->standard = true;
    if (second)
        args = chain_add(args, build_arg(reading, NULL, second, false,
                                         chunk->span));
    return build_call(reading, path, args, chunk->span);
}

struct tree_expr *build_chunk(struct reading *reading,
                              struct tree_path *path, struct span where)
{
    struct chunk chunk;
    struct tree_expr *moved;

    if (!chunk_of(reading, where, &chunk))
        return build_ref(reading, path);
    moved = call(reading, &chunk, "SHR", build_ref(reading, path),
                 number(reading, &chunk, chunk.at));
    return call(reading, &chunk,
                chunk.width == 8    ? "TO_BYTE"
                : chunk.width == 16 ? "TO_WORD"
                                    : "TO_DWORD",
                moved, NULL);
}

static struct tree_expr *both(struct reading *reading,
                              const struct chunk *chunk, enum tree_op op,
                              struct tree_expr *left,
                              struct tree_expr *right)
{
    return build_paren(reading,
                       build_binary(reading, op, chunk->span, left, right),
                       chunk->span);
}

/* (path AND NOT mask) OR SHL (path AND 0 OR value, at) */
struct tree_stmt *build_assign_chunk(struct reading *reading,
                                     struct tree_path *path,
                                     struct span where,
                                     struct tree_expr *value)
{
    struct span span = span_join(path->span, value->span);
    struct chunk chunk;
    struct tree_expr *kept, *wide;
    int64_t mask;

    if (!chunk_of(reading, where, &chunk))
        return build_assign(reading, path, value, span);
    mask = (int64_t)(((UINT64_C(1) << chunk.width) - 1) << chunk.at);
    kept = both(reading, &chunk, TREE_AND, build_ref(reading, path),
                build_unary(reading, TREE_NOT, where,
                            number(reading, &chunk, mask)));
    wide = both(reading, &chunk, TREE_AND, build_ref(reading, path),
                number(reading, &chunk, 0));
    wide = both(reading, &chunk, TREE_OR, wide, value);
    return build_assign(
        reading, path,
        both(reading, &chunk, TREE_OR, kept,
             call(reading, &chunk, "SHL", wide,
                  number(reading, &chunk, chunk.at))),
        span);
}
