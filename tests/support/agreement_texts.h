/* agreement_texts.h - hand-written texts that between them hold every
 * construct, for comparing the two implementations. */
#ifndef KEEPCLEAR_TESTS_SUPPORT_AGREEMENT_TEXTS_H
#define KEEPCLEAR_TESTS_SUPPORT_AGREEMENT_TEXTS_H

#include <stddef.h>

struct agreement_text {
    const char *name, *control, *review; /* review NULL: none */
};

/* The n-th text, or NULL behind the last. */
const struct agreement_text *agreement_text(size_t n);

#endif
