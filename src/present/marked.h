/* marked.h - the numbers of a chain of causes in the log sheet. */
#ifndef KEEPCLEAR_PRESENT_MARKED_H
#define KEEPCLEAR_PRESENT_MARKED_H

#include <stdint.h>

struct replay;
struct text;
struct why;

/* Adds its number to each line of a cell that say_operator (say_machine) made
 * for that scan (from 0), where a step of the chain tells of it: lines that
 * no sentence leads back to stay as they are. */
void marked_operator(struct text *cell, const struct why *why,
                     const struct replay *replay, uint32_t scan);
void marked_machine(struct text *cell, const struct why *why, uint32_t scan);

#endif
