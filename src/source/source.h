/* source.h - the texts of a run and places in them. */
#ifndef KEEPCLEAR_SOURCE_SOURCE_H
#define KEEPCLEAR_SOURCE_SOURCE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct arena;

/* Half-open range of bytes in one text; file counts from 1, 0 means "no
 * place". */
struct span {
    uint32_t file;
    uint32_t from, to;
};

/* Line and column count from 1; column in terminal columns, tabs to the
 * next multiple of 8. */
struct place {
    const char *path;
    uint32_t line, column;
};

struct sources;

/* What a file was taken for. */
enum source_form { SOURCE_UTF8, SOURCE_WINDOWS, SOURCE_UTF16 };

struct sources *sources_new(struct arena *arena);
void sources_free(struct sources *sources);

/* Adds a text (copied; a byte order mark is dropped, CR LF is kept, what is
 * not UTF-8 but can be Windows-1252 becomes UTF-8) under the path shown to
 * people, and gives back its number. */
uint32_t sources_add(struct sources *sources, const char *path,
                     const char *bytes, size_t n);

uint32_t sources_count(const struct sources *sources);
const char *sources_path(const struct sources *sources, uint32_t file);

enum source_form sources_form(const struct sources *sources, uint32_t file);

/* The whole text, NUL-ended; *n gets its length. */
const char *sources_text(const struct sources *sources, uint32_t file,
                         size_t *n);

/* Where a span begins; path "" and line 0 for no place. */
struct place sources_place(const struct sources *sources, struct span span);

/* The line (counted from 1) without its line end; *n gets its length. */
const char *sources_line(const struct sources *sources, uint32_t file,
                         uint32_t line, size_t *n);

/* The smallest span that holds both; a span without place is ignored. */
struct span span_join(struct span a, struct span b);

#endif
