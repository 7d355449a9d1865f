/* testedwords.h - what a filled test sheet says, in words. */
#ifndef KEEPCLEAR_PRESENT_TESTEDWORDS_H
#define KEEPCLEAR_PRESENT_TESTEDWORDS_H

#include <stdint.h>

struct tested;
struct text;

/* "tested on the machine on … by …: as expected (3 steps)", without a line
 * end. */
void testedwords_requirement(struct text *out, const struct tested *tested,
                             uint32_t requirement);

/* The whole sheet: lines, the first with how many steps, then each that was
 * not as expected. */
void testedwords_sheet(struct text *out, const struct tested *tested);

#endif
