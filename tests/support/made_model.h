/* made_model.h - small checked models built by hand, without any text.
 *
 * For tests of what stands on the checked tree alone.  Order matters where
 * the model's own numbers are given back: choices in canonical order.
 */
#ifndef KEEPCLEAR_TESTS_MADE_MODEL_H
#define KEEPCLEAR_TESTS_MADE_MODEL_H

#include "base/arena.h"
#include "check/model.h"

enum { MADE_MOST = 32 };

struct hand {
    struct arena *arena;
    struct model model; /* its arrays point to those below */
    struct slot slots[MADE_MOST];
    struct choice choices[MADE_MOST];
    struct control controls[MADE_MOST];
    struct contact contacts[MADE_MOST];
    struct sensor sensors[MADE_MOST];
    struct actuator actuators[MADE_MOST];
    struct program program;
    struct movement movements[MADE_MOST];
    struct fault faults[MADE_MOST];
    struct effect effects[MADE_MOST];
    struct cause causes[MADE_MOST];
    uint32_t numbers[MADE_MOST];
    struct assumption assumptions[MADE_MOST];
    struct clock clocks[MADE_MOST];
    struct requirement requirements[MADE_MOST];
    struct error_site errors[MADE_MOST];
};

const struct type *made_bool(void);
const struct type *made_int(void);
const struct type *made_time(void);

/* An empty model with a scan of 100 ms; made_end frees all of it. */
struct hand *made_begin(void);
void made_end(struct hand *hand);

/* A slot of its own type; its number. */
uint32_t made_slot(struct hand *hand, enum slot_home home,
                   const struct type *type, int64_t initial);

/* A choice among 0 .. count - 1, at rest 0; its row. */
uint32_t made_choice(struct hand *hand, enum choice_kind kind,
                     uint32_t count, uint32_t of);

/* A button with one contact, both with the same number; its row is new. */
uint32_t made_button(struct hand *hand, bool opening);

/* A program input that reads that contact. */
uint32_t made_input(struct hand *hand, uint32_t contact);

/* An actuator that follows a command slot; its slot. */
uint32_t made_actuator(struct hand *hand, uint32_t command);

/* A fault with a row of its own, and one effect of the same number. */
uint32_t made_fault(struct hand *hand, enum fault_kind kind,
                    enum fault_target target, uint32_t first);

/* Expressions. */
const struct code_expr *made_number(struct hand *hand, int64_t value);
const struct code_expr *made_var(struct hand *hand, uint32_t slot,
                                 enum code_when when);
const struct code_expr *made_leaf(struct hand *hand, enum code_op op,
                                  uint32_t index, enum code_when when);
const struct code_expr *made_op(struct hand *hand, enum code_op op,
                                const struct code_expr *left,
                                const struct code_expr *right);

/* Statements: slot := value, kept by the caller in an array. */
struct code_stmt made_assign(struct hand *hand, uint32_t slot,
                             const struct code_expr *value);

/* The one program of the model; frame base 0. */
void made_program(struct hand *hand, const struct code_stmt *stmts,
                  uint32_t n);

/* A requirement; its number. */
uint32_t made_require(struct hand *hand, enum form form,
                      const struct code_expr *a, const struct code_expr *b,
                      const struct code_expr *c);

#endif
