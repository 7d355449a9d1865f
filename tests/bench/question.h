/* question.h - one requirement of a review text as the slice that answers
 * it. */
#ifndef KEEPCLEAR_BENCH_QUESTION_H
#define KEEPCLEAR_BENCH_QUESTION_H

struct slice;
struct question_texts;

struct question {
    struct question_texts *texts;
    const struct slice *slice;
};

/* Reads a review and builds the slice of the requirement of that name; a
 * failure ends the bench with a message. */
struct question question_open(const char *path, const char *requirement);
void question_close(struct question *question);

/* Bits of a situation, choices that are read, and the product of their
 * numbers of values. */
unsigned question_bits(const struct slice *slice);
unsigned question_inputs(const struct slice *slice);
double question_vectors(const struct slice *slice);

#endif
