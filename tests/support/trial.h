/* trial.h - a text on trial: asked as a whole, judged by requirement, and run
 * by hand through both implementations at once.  Whatever is not as it should
 * be fails the test. */
#ifndef KEEPCLEAR_TESTS_SUPPORT_TRIAL_H
#define KEEPCLEAR_TESTS_SUPPORT_TRIAL_H

#include "study/answer.h"
#include "study/check.h"
#include "tests/support/text_model.h"

struct trial {
    struct text_model text;
    struct arena *arena;
    struct study study;
    struct answer answer;            /* after trial_explore */
    const struct findings *findings; /* after the first trial_judges */
    int64_t *state;                  /* of the reference interpreter */
};

/* Texts, or files that hold them; a review of one control text. */
void trial_open(struct trial *trial, const char *control, const char *review);
void trial_open_files(struct trial *trial, const char *control,
                      const char *review);
void trial_close(struct trial *trial);

/* Explores with all requirements as one question, so that the slice is all
 * they read; complete. */
void trial_explore(struct trial *trial);

/* Of the exploration: the level at which a requirement is first breached (a
 * POSSIBLE found), 0 never; the value of a variable in a situation. */
uint32_t trial_level(const struct trial *trial, const char *requirement);
int64_t trial_value(const struct trial *trial, uint64_t situation,
                    const char *path);

/* Up to where the engine tells values of a cell that holds an age, or an ET
 * that may go on beyond PT, apart: where the ages stand. */
int64_t trial_stands(const struct model *model, const struct flat *flat,
                     const struct flat_cell *cell);

/* The reference interpreter, every choice enumerated, reaches the same number
 * of situations at every level of the exploration. */
void trial_enumerated(struct trial *trial);

/* The sequence to the breach of a requirement has this length, and the
 * reference interpreter accepts it. */
void trial_replayed(struct trial *trial, const char *requirement,
                    uint32_t length);

/* The main job finds this verdict; length is that of the sequence shown, 0:
 * none is. */
void trial_judges(struct trial *trial, const char *requirement,
                  enum verdict verdict, uint32_t length);

/* One scan by hand in both implementations, with the choices set before by
 * text_model_choose(&trial->text, ..).  They agree on what is breached. */
void trial_scan(struct trial *trial);

/* A variable after that scan: both agree on it. */
int64_t trial_now(const struct trial *trial, const char *path);

#endif
