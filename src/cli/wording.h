/* wording.h - the words that --language and --words choose for a page. */
#ifndef KEEPCLEAR_CLI_WORDING_H
#define KEEPCLEAR_CLI_WORDING_H

struct arena;
struct model;
struct options;
struct text;
struct words;
struct wordtable;

/* An exit code of the program; 0: *words are there, and lie in the arena. */
int wording_read(struct arena *arena, const struct options *options,
                 const struct wordtable *table, struct words **words);

/* Writes the table (--as words); an exit code of the program. */
int wording_write(const struct options *options, const struct words *words);

/* *model becomes one with the titles of --names, if there is that option; an
 * exit code of the program.  The arena is that of the model. */
int wording_names(struct arena *arena, const struct options *options,
                  const struct model **model);

/* Writes the titles (--as names); an exit code of the program. */
int wording_write_names(const struct options *options,
                        const struct model *model);

/* The whole of a text of the user, at most 1 MiB; the same. */
int wording_file(const char *path, struct text *content);

#endif
