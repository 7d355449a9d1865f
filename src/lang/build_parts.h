/* build_parts.h - bundles that grammar actions hand to constructors. */
#ifndef KEEPCLEAR_LANG_BUILD_PARTS_H
#define KEEPCLEAR_LANG_BUILD_PARTS_H

#include "lang/chain.h"
#include "lang/review.h"

/* low .. high, FROM TO, IN t .. t. */
struct build_bounds {
    struct tree_expr *low, *high;
};

/* What stands in a POU, a wiring, a mechanism, a recorder. */
struct build_parts {
    struct chain blocks, movements, body;
    struct tree_type *result;
};

/* : type := initial */
struct build_value {
    struct tree_type *type;
    struct tree_expr *initial;
};

/* What a DATA_BLOCK holds: the variables of its sections (of
 * tree_var_block), or what a type says. */
struct build_data {
    struct tree_type *type; /* NULL: sections */
    struct chain sections;
    int bits; /* BUILD_NON_RETAIN or 0 */
};

struct build_movement {
    struct build_bounds places, times;
    struct tree_expr *condition;
};

/* overflow : ... */
struct build_said {
    struct span words;
    struct tree_string observed_by;
    struct tree_reason reason;
};

/* expression BECAUSE ... */
struct build_differing {
    struct tree_ident *output;
    struct tree_expr *condition;
};

struct build_claim {
    struct tree_expr *condition;
    struct tree_reason reason;
};

/* := initial STRICT BELOW '...' */
struct build_limits {
    struct tree_expr *initial;
    enum tree_side side;
    struct tree_string why;
};

/* AT '...' BECAUSE ... */
struct build_why {
    struct tree_string words;
    struct tree_reason reason;
};

struct build_references {
    struct tree_string refers_to, read_by;
};

struct build_despite {
    struct tree_expr *number; /* NULL: not written */
    struct chain of;          /* tree_ident */
    bool another;             /* AND ANOTHER AFTER AN UNNOTICED ONE */
    bool until_noticed;       /* EXCEPT UNTIL NOTICED */
    struct tree_expr *within; /* EXCEPT WITHIN .. OF FAULT, or NULL */
    bool sampled;             /* of within */
    struct span except;       /* what stands behind EXCEPT */
};

/* What stands around the form of a requirement. */
struct build_heading {
    struct tree_ident *name;
    struct tree_string title;
    struct chain against; /* tree_ident */
    struct build_references references;
    struct build_despite despite;
};

#endif
