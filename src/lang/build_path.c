#include "lang/build_path.h"

#include "base/arena.h"
#include "lang/reading.h"
#include "lang/refuse.h"

static struct path_part *add_part(struct reading *reading,
                                  struct tree_path *path,
                                  enum path_part_kind kind,
                                  struct span span)
{
    struct path_part *part = ARENA_NEW(reading->context->arena,
                                       struct path_part);

    part->kind = kind;
    part->span = span;
    path->span = path->parts.n ? span_join(path->span, span) : span;
    CHAIN_APPEND(&path->parts, part);
    return part;
}

struct tree_path *build_path(struct reading *reading,
                             struct tree_ident *ident)
{
    struct tree_path *path = ARENA_NEW(reading->context->arena,
                                       struct tree_path);

    return build_path_more(reading, path, ident);
}

struct tree_path *build_path_more(struct reading *reading,
                                  struct tree_path *path,
                                  struct tree_ident *ident)
{
    add_part(reading, path, PART_NAME, ident->span)->name = ident->name;
    return path;
}

struct tree_path *build_path_index(struct reading *reading,
                                   struct tree_path *path,
                                   struct chain indices, struct span where)
{
    struct path_part *part = add_part(reading, path, PART_INDEX, where);

    CHAIN_INTO(&part->indices, indices);
    return path;
}

struct tree_path *build_path_bit(struct reading *reading,
                                 struct tree_path *path,
                                 const struct tree_expr *bit)
{
    add_part(reading, path, PART_BIT, bit->span)->bit = bit->number;
    return path;
}

struct tree_path *build_refused_path(struct reading *reading,
                                     const char *construct,
                                     struct tree_path *path,
                                     struct span where)
{
    refuse_construct(reading, construct, where);
    return path;
}
