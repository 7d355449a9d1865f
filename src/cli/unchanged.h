/* unchanged.h - whether the files of a run are still what they were.
 *
 * A long run reads some of them again: a record that was made of two versions
 * of a text would be signed for one that never was.
 */
#ifndef KEEPCLEAR_CLI_UNCHANGED_H
#define KEEPCLEAR_CLI_UNCHANGED_H

struct arena;
struct sources;

struct unchanged; /* lies in the arena */

/* What each file that was read holds now. */
const struct unchanged *unchanged_note(struct arena *arena,
                                       const struct sources *sources);

/* The first of them that holds something else, or is gone; NULL: none. */
const char *unchanged_first(const struct unchanged *noted);

#endif
