/* checked.h - texts in a test, parsed and checked. */
#ifndef KEEPCLEAR_TESTS_SUPPORT_CHECKED_H
#define KEEPCLEAR_TESTS_SUPPORT_CHECKED_H

#include <stdbool.h>

#include "check/model.h"

struct checked {
    struct arena *arena;
    struct names *names;
    struct sources *sources;
    struct diags *diags;
    const struct model *model; /* NULL when something is wrong */
};

/* Parses and checks; review may be NULL. */
void checked_init(struct checked *checked, const char *control,
                  const char *review);
void checked_release(struct checked *checked);

/* Is this message among the diagnostics, word for word? */
bool checked_says(const struct checked *checked, const char *message);

/* The slot of that path, the choice and the requirement of that name; the
 * test fails when there is none. */
const struct slot *checked_slot(const struct checked *checked,
                                const char *path);
const struct choice *checked_choice(const struct checked *checked,
                                    enum choice_kind kind, const char *name);
const struct requirement *checked_requirement(const struct checked *checked,
                                              const char *name);

#endif
