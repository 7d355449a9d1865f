/* build_type.h - constructors of types. */
#ifndef KEEPCLEAR_LANG_BUILD_TYPE_H
#define KEEPCLEAR_LANG_BUILD_TYPE_H

#include "lang/build_parts.h"

struct reading;

struct tree_type *build_type_name(struct reading *reading,
                                  struct tree_ident *name);
/* STRING [80]; length: where the number stands. */
struct tree_type *build_type_length(struct reading *reading,
                                    struct tree_ident *name,
                                    struct span length);
/* The same with ( ) around the length. */
struct tree_type *build_round_length(struct reading *reading,
                                     struct tree_ident *name,
                                     struct span length);
struct tree_type *build_subrange(struct reading *reading,
                                 struct tree_ident *name,
                                 struct build_bounds bounds,
                                 struct span span);
struct tree_enum_item *build_item(struct reading *reading,
                                  struct tree_ident *name,
                                  struct tree_expr *value);
/* items: of tree_enum_item; base may be NULL. */
struct tree_type *build_enum(struct reading *reading, struct chain items,
                             struct tree_ident *base, struct span span);
struct tree_dim *build_dim(struct reading *reading,
                           struct build_bounds bounds, struct span span);
/* dims: of tree_dim. */
struct tree_type *build_array(struct reading *reading, struct chain dims,
                              struct tree_type *element, struct span span);
/* fields: of tree_var. */
struct tree_type *build_structure(struct reading *reading,
                                  struct chain fields, struct span span);
/* What extends the structure of that name; type need be none. */
struct tree_type *build_heir(struct reading *reading,
                             struct tree_ident *of, struct tree_type *type);
struct tree_type *build_refused_type(struct reading *reading,
                                     const char *construct,
                                     struct span where);
struct tree_type_decl *build_type_decl(struct reading *reading,
                                       struct tree_ident *name,
                                       struct tree_type *type,
                                       struct tree_expr *initial,
                                       struct span span);

#endif
