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

/* Every SCENARIO goes as expected; how many there are. */
unsigned folder_plays(const char *review);

#endif
