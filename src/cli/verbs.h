/* verbs.h - one file per verb.
 *
 * Each gets the arguments that follow `keepclear`, its own name first, and
 * gives back an exit code.
 */
#ifndef KEEPCLEAR_CLI_VERBS_H
#define KEEPCLEAR_CLI_VERBS_H

int verb_begin(int argc, char **argv);
int verb_check(int argc, char **argv);
int verb_compare(int argc, char **argv);
int verb_draw(int argc, char **argv);
int verb_effects(int argc, char **argv);
int verb_faults(int argc, char **argv);
int verb_format(int argc, char **argv);
int verb_lesson(int argc, char **argv);
int verb_match(int argc, char **argv);
int verb_report(int argc, char **argv);
int verb_run(int argc, char **argv);
int verb_testsheet(int argc, char **argv);
int verb_unguarded(int argc, char **argv);
int verb_why(int argc, char **argv);

#endif
