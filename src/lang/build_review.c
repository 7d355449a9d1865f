#include "lang/build_review.h"

#include "base/arena.h"
#include "lang/reading.h"

#define NEW(reading, type) ARENA_NEW((reading)->context->arena, type)

static void twice(struct reading *reading, struct span span,
                  const char *what)
{
    reading_error(reading, span, "keep one of them",
                  "%s is said a second time", what);
}

void build_review(struct reading *reading, struct tree_ident *name,
                  struct tree_string title, struct span span)
{
    struct tree_review *review = &reading->run->review;

    if (review->name) {
        reading_error(reading, name->span,
                      "give one review text at a time",
                      "a second REVIEW in one run");
        return;
    }
    review->name = name;
    review->title = title;
    review->span = span;
}

void build_control_file(struct reading *reading, struct tree_string path)
{
    struct tree_control_file *file = NEW(reading, struct tree_control_file);

    file->path = path;
    CHAIN_APPEND(&reading->run->review.controls_in, file);
}

void build_scan(struct reading *reading, struct tree_scan scan,
                struct span span)
{
    if (reading->run->review.scan.longest)
        twice(reading, span, "SCAN");
    reading->run->review.scan = scan;
}

void build_runs(struct reading *reading, struct tree_ident *name,
                struct tree_expr *every)
{
    struct tree_runs *runs = NEW(reading, struct tree_runs);

    runs->name = name;
    runs->every = every;
    CHAIN_APPEND(&reading->run->review.runs, runs);
}

void build_power(struct reading *reading, enum tree_power power,
                 struct tree_reason reason, struct span span)
{
    struct tree_review *review = &reading->run->review;

    if (review->power != TREE_POWER_UNSAID)
        twice(reading, span, "POWER");
    else if (power == TREE_POWER_STAYS && !reason.because.at)
        reading_error(reading, span, "write POWER STAYS BECAUSE '...'",
                      "'POWER STAYS' needs a reason");
    review->power = power;
    review->power_reason = reason;
    review->power_span = span;
}

void build_retain_any(struct reading *reading)
{
    reading->run->review.retain_any = true;
}

void build_fixed(struct reading *reading, struct tree_path *path,
                 struct tree_expr *value, struct tree_reason reason,
                 struct span span)
{
    struct tree_fixed *fixed = NEW(reading, struct tree_fixed);

    fixed->path = path;
    fixed->value = value;
    fixed->reason = reason;
    fixed->span = span;
    CHAIN_APPEND(&reading->run->review.fixed, fixed);
}

void build_shared(struct reading *reading, struct tree_path *path)
{
    struct tree_shared *shared = NEW(reading, struct tree_shared);

    shared->path = path;
    CHAIN_APPEND(&reading->run->review.shared, shared);
}

void build_types_review(struct reading *reading, struct chain decls)
{
    struct tree_type_decl *next, *decl = decls.first;

    for (; decl; decl = next) {
        next = decl->next;
        CHAIN_APPEND(&reading->run->review.types, decl);
    }
}

void build_body(struct reading *reading, enum tree_body_kind kind,
                struct tree_ident *name, struct build_parts parts,
                struct span span)
{
    struct tree_body *body = NEW(reading, struct tree_body);

    body->kind = kind;
    body->name = name;
    CHAIN_INTO(&body->blocks, parts.blocks);
    CHAIN_INTO(&body->movements, parts.movements);
    CHAIN_INTO(&body->body, parts.body);
    body->span = span;
    CHAIN_APPEND(&reading->run->review.bodies, body);
}

struct tree_movement *build_movement(struct reading *reading,
                                     struct tree_path *variable,
                                     struct build_movement movement,
                                     struct span span)
{
    struct tree_movement *made = NEW(reading, struct tree_movement);

    made->variable = variable;
    made->from = movement.places.low;
    made->to = movement.places.high;
    made->lower = movement.times.low;
    made->upper = movement.times.high;
    made->condition = movement.condition;
    made->span = span;
    return made;
}

void build_assumption(struct reading *reading, struct tree_ident *name,
                      struct tree_string title, struct build_claim claim,
                      struct span span)
{
    struct tree_assumption *made = NEW(reading, struct tree_assumption);

    made->name = name;
    made->title = title;
    made->condition = claim.condition;
    made->reason = claim.reason;
    made->span = span;
    CHAIN_APPEND(&reading->run->review.assumptions, made);
}

struct tree_fault *build_fault_kind(struct reading *reading,
                                    enum tree_fault_kind kind,
                                    struct chain places,
                                    struct tree_path *other)
{
    struct tree_fault *fault = NEW(reading, struct tree_fault);

    fault->kind = kind;
    CHAIN_INTO(&fault->places, places);
    fault->other = other;
    return fault;
}

void build_fault(struct reading *reading, struct tree_ident *name,
                 struct tree_string title, struct tree_fault *fault,
                 struct span span)
{
    fault->name = name;
    fault->title = title;
    fault->span = span;
    CHAIN_APPEND(&reading->run->review.faults, fault);
}

void build_hazard(struct reading *reading, struct tree_ident *name,
                  struct tree_string title)
{
    struct tree_hazard *hazard = NEW(reading, struct tree_hazard);

    hazard->name = name;
    hazard->title = title;
    CHAIN_APPEND(&reading->run->review.hazards, hazard);
}
