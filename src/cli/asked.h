/* asked.h - what the verbs that read a text and judge it have in common. */
#ifndef KEEPCLEAR_CLI_ASKED_H
#define KEEPCLEAR_CLI_ASKED_H

#include <stdbool.h>

#include "cli/options.h"
#include "study/load.h"

struct findings;
struct model;
struct study_setting;

/* What a verb does once its text was read without a mistake; gives the exit
 * code. */
typedef int asked_job(const struct options *options, struct loaded *loaded);

/* What the options say about the files to read. */
struct load_request asked_request(const struct options *options);

/* Reads the text that the options name, shows its diagnostics, and does the
 * job when there was no mistake.  Gives the exit code. */
int asked_load(const struct options *options, asked_job *job);

/* What the options say about a study: requirements, limits, engine.  False
 * after a complaint.  Lies in the arena of `loaded`. */
bool asked_setting(const struct options *options, struct loaded *loaded,
                   struct study_setting *setting);

/* How many faults --despite lets appear: none without it; more than are
 * declared is as good as all of them.  0, or CLI_INPUT after a complaint. */
int asked_faults(const struct options *options, const struct model *model,
                 uint32_t *faults);

/* Who is told of findings while they are made (study/study.h). */
struct asked_listener {
    void (*found)(void *context, const struct findings *so_far);
    void *context;
};

/* Judges the requirements that the options ask for.  NULL after a
 * complaint: *code then holds the exit code.  The findings lie in the arena
 * of `loaded`.  listener: NULL, nobody. */
const struct findings *asked_judge(const struct options *options,
                                   struct loaded *loaded, bool quick,
                                   const struct asked_listener *listener,
                                   int *code);

/* Writes the help of a verb; gives the exit code. */
int asked_help(const char *help);

#endif
