/* text_model.h - from texts in a test to the flat logic, and a run of it by
 * names. */
#ifndef KEEPCLEAR_TESTS_SUPPORT_TEXT_MODEL_H
#define KEEPCLEAR_TESTS_SUPPORT_TEXT_MODEL_H

#include "check/model.h"
#include "lower/lower.h"
#include "tests/support/flat_run.h"

struct diags;
struct names;
struct sources;

struct text_model {
    struct arena *arena;
    struct names *names;
    struct sources *sources;
    struct diags *diags;
    const struct model *model; /* with its decisions */
    struct lowered *lowered; /* NULL when model is */
    struct flat_run *run;    /* NULL when lowered is */
};

/* Parses, checks and lowers; review may be NULL.  What is wrong is printed
 * to standard error, unless quiet. */
void text_model_init(struct text_model *text, const char *control,
                     const char *review, bool quiet);
void text_model_release(struct text_model *text);

/* Sets the choice of that name (as listings show it; the last one where a
 * control and its past share it) to a value index. */
void text_model_choose(struct text_model *text, const char *name,
                       uint32_t value);

/* Sets it to the index that stands for a value. */
void text_model_give(struct text_model *text, const char *name,
                     int64_t value);

/* One scan; the test fails when a cell gets what it cannot hold. */
void text_model_scan(struct text_model *text);

/* Of the last scan: a variable by its path, a requirement's breach or a
 * trigger of it. */
int64_t text_model_value(const struct text_model *text, const char *path);
bool text_model_breach(const struct text_model *text, uint32_t requirement);
bool text_model_trigger(const struct text_model *text, uint32_t requirement,
                        uint32_t part);

/* The cell that stores a place, or NULL. */
const struct flat_cell *text_model_cell(const struct text_model *text,
                                        enum place_kind kind,
                                        uint32_t index);

/* Number of the slot of that path. */
uint32_t text_model_slot(const struct text_model *text, const char *path);

#endif
