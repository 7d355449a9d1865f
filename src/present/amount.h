/* amount.h - numbers and times as people read them. */
#ifndef KEEPCLEAR_PRESENT_AMOUNT_H
#define KEEPCLEAR_PRESENT_AMOUNT_H

#include <stdint.h>

struct text;

/* 4642400 as "4,642,400". */
void amount_add(struct text *out, uint64_t number);

/* Milliseconds as seconds: "0.2 s", "14.3 s", "0.25 s", "12 s" gets one
 * decimal too: "12.0 s". */
void amount_seconds(struct text *out, int64_t milliseconds);

/* "8 s to 13 s"; one figure where both are the same. */
void amount_span(struct text *out, int64_t least, int64_t most);

/* The same with as many decimals as multiples of `step` milliseconds need,
 * for columns: at a step of 50 ms 0.1 s is "0.10 s". */
void amount_seconds_in(struct text *out, int64_t milliseconds, int64_t step);

/* Milliseconds in the largest unit that is reached, cut to one decimal
 * below a hundred, and never above a million years: "6.8 years", "12.5
 * hours". */
void amount_long(struct text *out, uint64_t milliseconds);

/* "1 scan", "3 scans": number, noun, plural s. */
void amount_of(struct text *out, uint64_t number, const char *noun);

#endif
