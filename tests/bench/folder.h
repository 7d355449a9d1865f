/* folder.h - the folder for what a run of the bench makes: texts, compiled
 * explorers, the table. */
#ifndef KEEPCLEAR_BENCH_FOLDER_H
#define KEEPCLEAR_BENCH_FOLDER_H

struct text;

/* Appends FOLDER/name.end; the folder is made when missing. */
void folder_path(struct text *out, const char *name, const char *end);

/* Writes a file there; a failure ends the bench with a message. */
void folder_write(const char *name, const char *end,
                  const struct text *content);

#endif
