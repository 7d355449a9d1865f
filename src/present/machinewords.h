/* machinewords.h - what the machine does, and what lies in the wiring, as
 * plain sentences. */
#ifndef KEEPCLEAR_PRESENT_MACHINEWORDS_H
#define KEEPCLEAR_PRESENT_MACHINEWORDS_H

#include <stdbool.h>
#include <stdint.h>

struct body;
struct code_stmt;
struct movement;
struct plainly;

/* Where the variable stands at power-up; false, and nothing is said: it is
 * none of the machine's. */
bool machinewords_begins(const struct plainly *plainly, uint32_t slot);

/* "gap goes from Wide to Narrow while tailgate lowers is on; it takes 4.0 s to
 * 20.0 s." */
void machinewords_movement(const struct plainly *plainly,
                           const struct movement *movement);

/* A statement as it is written. */
void machinewords_statement(const struct plainly *plainly,
                            const struct code_stmt *stmt);

/* Statement number i of a wiring: "... is on exactly while ..." where that is
 * the whole truth, else as it is written. */
void machinewords_wiring(const struct plainly *plainly,
                         const struct body *wiring, uint32_t i);

#endif
