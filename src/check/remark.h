/* remark.h - what a careful reader would say of the texts: advice that
 * never touches a verdict or an exit code.
 */
#ifndef KEEPCLEAR_CHECK_REMARK_H
#define KEEPCLEAR_CHECK_REMARK_H

#include <stdbool.h>
#include <stdint.h>

#include "source/source.h"

/* Named as users write them in ACCEPTED; the names are part of the language
 * and stay. */
#define REMARK_LIST(X)                                                     \
    X(ORDER_OF_NOT, order_of_not)                                          \
    X(ORDER_OF_OR_AND_XOR, order_of_or_and_xor)                            \
    X(COMPARISON_OF_COMPARISON, comparison_of_comparison)                  \
    X(ORDER_OF_POWER, order_of_power)                                      \
    X(REALS_COMPARED, reals_compared)                                      \
    X(CONDITION_NEVER_CHANGES, condition_never_changes)                    \
    X(CASE_LABELS_OVERLAP, case_labels_overlap)                            \
    X(CASE_WITHOUT_ELSE, case_without_else)                                \
    X(TIMER_NOT_ALWAYS_CALLED, timer_not_always_called)                    \
    X(EDGE_NOT_ALWAYS_CALLED, edge_not_always_called)                      \
    X(TIMER_CALLED_TWICE, timer_called_twice)                              \
    X(EDGE_CALLED_TWICE, edge_called_twice)                                \
    X(BLOCK_NEVER_CALLED, block_never_called)                              \
    X(ELAPSED_EQUALS_PRESET, elapsed_equals_preset)                        \
    X(LATCH_SETS_OVER_RESET, latch_sets_over_reset)                        \
    X(OUTPUT_WRITTEN_TWICE, output_written_twice)                          \
    X(VALUE_OVERWRITTEN, value_overwritten)                                \
    X(WRITTEN_BY_TWO_PROGRAMS, written_by_two_programs)                    \
    X(TEMP_READ_BEFORE_WRITTEN, temp_read_before_written)                  \
    X(OUTPUT_READ_BEFORE_CALL, output_read_before_call)                    \
    X(RESULT_NOT_ALWAYS_ASSIGNED, result_not_always_assigned)              \
    X(LOOP_VARIABLE_AFTER_LOOP, loop_variable_after_loop)                  \
    X(INPUT_NOT_READ, input_not_read)                                      \
    X(VARIABLE_NOT_USED, variable_not_used)                                \
    X(ACCEPTANCE_WITHOUT_REMARK, acceptance_without_remark)

#define REMARK_MEMBER(member, name) REMARK_##member,
enum remark_kind { REMARK_LIST(REMARK_MEMBER) REMARK_KINDS };
#undef REMARK_MEMBER

struct remark {
    enum remark_kind kind;
    const char *subject; /* what it is about: "Main.watch", "Main" */
    struct span span;
    const char *words;   /* of the span, blanks squeezed */
    const char *message, *hint;
    struct span also;    /* second place, or none */
    uint32_t accepted;   /* number of the acceptance, or MODEL_NONE */
    bool told_apart;     /* another remark has kind and subject in common:
                            ACCEPTED needs the words, too */
};

/* A line of ACCEPTED that fits a remark. */
struct acceptance {
    enum remark_kind kind;
    const char *subject;
    const char *words; /* behind AT, or NULL */
    const char *because, *confirmed_by; /* the latter or NULL */
};

/* A line of ACCEPTED for a small change of the control text that no
 * requirement notices (study/unguarded.h), in the order of the text. */
struct harmless {
    const char *part;  /* program, block, function, or global variable */
    const char *words; /* behind AT: the change as it is shown */
    const char *because, *confirmed_by; /* the latter or NULL */
    struct span span;
};

/* "timer_not_always_called" */
const char *remark_name(enum remark_kind kind);

#endif
