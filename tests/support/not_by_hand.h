/* not_by_hand.h - the file NOT_BY_HAND in a folder of changed control texts:
 * those that no step of a test sheet tells from the right one, each with the
 * reason.
 */
#ifndef KEEPCLEAR_TESTS_SUPPORT_NOT_BY_HAND_H
#define KEEPCLEAR_TESTS_SUPPORT_NOT_BY_HAND_H

#include <stdbool.h>

enum { NOT_BY_HAND_MOST = 100 };

struct not_by_hand {
    char names[NOT_BY_HAND_MOST][80]; /* "lag_too_long.st" */
    unsigned n;
};

/* The folder's name ends in '/'.  Each line names a text that is there, none
 * twice, and says why; anything else fails the test. */
void not_by_hand_read(const char *folder, struct not_by_hand *list);

/* path: of the text, in that folder. */
bool not_by_hand_has(const struct not_by_hand *list, const char *path);

#endif
