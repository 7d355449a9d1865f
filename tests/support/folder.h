/* folder.h - a folder of models/ as its README promises it. */
#ifndef KEEPCLEAR_TESTS_SUPPORT_FOLDER_H
#define KEEPCLEAR_TESTS_SUPPORT_FOLDER_H

/* Every requirement of the review text is kept and put to the test, and
 * nothing else is found. */
void folder_kept(const char *review);

/* Each line of EXPECTED in the folder (whose name ends in /), or one in so
 * many: that control text in the place of the first breaks that requirement,
 * by a sequence of that length (0: a POSSIBLE).  Not with none. */
void folder_changes_break(const char *review, const char *folder,
                          unsigned one_in);

/* The lines of EXPECTED for a text, in that folder, are all that it breaks; of
 * each text or one in so many.  Every control text of the folder has lines. */
void folder_changes_break_just(const char *review, const char *folder,
                               unsigned one_in);

/* Hands each text of a table, a file in the folder whose lines begin with the
 * name of a text, to `each`, or one in so many: its path, and its lines.  How
 * many texts the table has; they are all control texts of the folder, or the
 * test fails. */
unsigned folder_table(const char *folder, const char *table, unsigned one_in,
                      void (*each)(void *context, const char *path,
                                   const char *lines), void *context);

/* Hands each line of EXPECTED in the folder to `each`, or one in so many: the
 * path of its text, its requirement, its length.  Not with none. */
void folder_expected(const char *folder, unsigned one_in,
                     void (*each)(void *context, const char *path,
                                  const char *requirement,
                                  unsigned long length),
                     void *context);

/* Every SCENARIO goes as expected; how many there are. */
unsigned folder_plays(const char *review);

#endif
