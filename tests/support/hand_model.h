/* hand_model.h - small checked models built by hand, without any text.
 *
 * For tests of what stands on the checked tree alone.  Order matters where
 * the model's own numbers are given back: choices in canonical order.
 */
#ifndef KEEPCLEAR_TESTS_HAND_MODEL_H
#define KEEPCLEAR_TESTS_HAND_MODEL_H

#include "base/arena.h"
#include "check/model.h"

enum { HAND_MOST = 32 };

struct hand {
    struct arena *arena;
    struct model model; /* its arrays point to those below */
    struct slot slots[HAND_MOST];
    struct choice choices[HAND_MOST];
    struct control controls[HAND_MOST];
    struct contact contacts[HAND_MOST];
    struct sensor sensors[HAND_MOST];
    struct actuator actuators[HAND_MOST];
    struct program program;
    struct movement movements[HAND_MOST];
    struct fault faults[HAND_MOST];
    struct assumption assumptions[HAND_MOST];
    struct clock clocks[HAND_MOST];
    struct requirement requirements[HAND_MOST];
    struct error_site errors[HAND_MOST];
};

const struct type *hand_bool(void);
const struct type *hand_int(void);
const struct type *hand_time(void);

/* An empty model with a scan of 100 ms; hand_end frees all of it. */
struct hand *hand_begin(void);
void hand_end(struct hand *hand);

/* A slot of its own type; its number. */
uint32_t hand_slot(struct hand *hand, enum slot_home home,
                   const struct type *type, int64_t initial);

/* A choice among 0 .. count - 1, at rest 0; its row. */
uint32_t hand_choice(struct hand *hand, enum choice_kind kind,
                     uint32_t count, uint32_t of);

/* A button with one contact, both with the same number; its row is new. */
uint32_t hand_button(struct hand *hand, bool opening);

/* A program input that reads that contact. */
uint32_t hand_input(struct hand *hand, uint32_t contact);

/* An actuator that follows a command slot; its slot. */
uint32_t hand_actuator(struct hand *hand, uint32_t command);

/* A fault with a row of its own. */
uint32_t hand_fault(struct hand *hand, enum fault_kind kind,
                    enum fault_target target, uint32_t first);

/* Expressions. */
const struct code_expr *hand_number(struct hand *hand, int64_t value);
const struct code_expr *hand_var(struct hand *hand, uint32_t slot,
                                 enum code_when when);
const struct code_expr *hand_leaf(struct hand *hand, enum code_op op,
                                  uint32_t index, enum code_when when);
const struct code_expr *hand_op(struct hand *hand, enum code_op op,
                                const struct code_expr *left,
                                const struct code_expr *right);

/* Statements: slot := value, kept by the caller in an array. */
struct code_stmt hand_assign(struct hand *hand, uint32_t slot,
                             const struct code_expr *value);

/* The one program of the model; frame base 0. */
void hand_program(struct hand *hand, const struct code_stmt *stmts,
                  uint32_t n);

/* A requirement; its number. */
uint32_t hand_require(struct hand *hand, enum form form,
                      const struct code_expr *a, const struct code_expr *b,
                      const struct code_expr *c);

#endif
