#include "cli/cli.h"

#include <stdio.h>
#include <string.h>

#include "base/ensure.h"
#include "base/os.h"
#include "base/text.h"
#include "cli/exit.h"
#include "cli/out.h"
#include "cli/verbs.h"
#include "cli/version.h"

/* What each verb does, for --help. */
struct verb {
    const char *name;
    int (*run)(int argc, char **argv);
    const char *what;
};

static const struct verb verbs[] = {
    {"begin", verb_begin, "write a first review text of a control text"},
    {"check", verb_check, "judge every requirement of a review text"},
    {"compare", verb_compare, "show what a change of a text does"},
    {"draw", verb_draw, "draw the situations that can be reached"},
    {"effects", verb_effects,
     "tell what each input alone does to each output"},
    {"faults", verb_faults, "put faults in, one by one and several together"},
    {"format", verb_format, "lay out a text evenly"},
    {"lesson", verb_lesson, "write a page on which a crew runs the machine"},
    {"match", verb_match, "see whether a recorded log fits the model"},
    {"report", verb_report, "write the record of a check, to be signed"},
    {"run", verb_run, "play a scenario, or run the machine by hand"},
    {"testsheet", verb_testsheet,
     "write a commissioning test, step by step, for the real machine"},
    {"unguarded", verb_unguarded,
     "tell what of the control text no requirement protects"},
    {"why", verb_why, "tell why a requirement breaks, or what stops it"},
};

enum { VERBS = sizeof verbs / sizeof verbs[0] };

static _Noreturn void failed(enum base_failure kind, const char *what,
                             const char *file, int line)
{
    if (kind == BASE_OUT_OF_MEMORY)
        out_complain("out of memory: use --memory or --situations to end a "
                     "run in time");
    else
        out_complain("internal error, nothing was shown: %s (%s:%d)", what,
                     file, line);
    os_exit(CLI_INTERNAL);
}

static int help(void)
{
    struct text text = {0};
    int code;

    text_add(&text,
             "keepclear shows whether the safety interlock logic of a machine "
             "keeps its requirements\nin every reachable situation, or the "
             "shortest way to break them.\n\n"
             "  keepclear begin -o tailgate.review tailgate.st\n"
             "  keepclear check models/tailgate/tailgate.review\n"
             "  keepclear check --control changed.st tailgate.review\n"
             "  keepclear check tailgate.st\n"
             "  keepclear compare --control changed.st tailgate.review\n"
             "  keepclear draw --by gap -o gap.svg tailgate.review\n"
             "  keepclear effects tailgate.review\n"
             "  keepclear faults tailgate.review\n"
             "  keepclear lesson -o lesson.html tailgate.review\n"
             "  keepclear match tailgate.review log.csv\n"
             "  keepclear report -o tailgate.html tailgate.review\n"
             "  keepclear run tailgate.review\n"
             "  keepclear testsheet -o sheet.txt tailgate.review\n"
             "  keepclear unguarded tailgate.review\n"
             "  keepclear why --control changed.st tailgate.review\n\n");
    for (size_t i = 0; i < VERBS; i++)
        text_printf(&text, "  %-9s %s\n", verbs[i].name, verbs[i].what);
    text_add(&text,
             "\n`keepclear VERB --help` tells more.\n\n"
             "exit codes: 0 every requirement kept and put to the test; "
             "1 something broken or not\nput to the test; 2 the input is "
             "wrong; 3 not finished or not decided; 4 internal error,\n"
             "or the result could not be written\n");
    code = out_write(&text);
    text_release(&text);
    return code;
}

static int show_version(void)
{
    struct text text = {0};
    int code;

    text_printf(&text, "%s\n", version_words());
    code = out_write(&text);
    text_release(&text);
    return code;
}

static int unknown(const char *word)
{
    out_complain("'%s' is not a verb; there are begin, check, compare, draw, "
                 "effects, faults, format, lesson, match, report, run, "
                 "testsheet, unguarded and why, and `keepclear --help` tells "
                 "what they do", word);
    return CLI_INPUT;
}

int cli_main(int argc, char **argv)
{
    base_on_failure(failed);
    if (argc < 2 || strcmp(argv[1], "--help") == 0 ||
        strcmp(argv[1], "-h") == 0 || strcmp(argv[1], "help") == 0) {
        int code = help();

        return argc < 2 && code == 0 ? CLI_INPUT : code;
    }
    if (strcmp(argv[1], "--version") == 0)
        return show_version();
    for (size_t i = 0; i < VERBS; i++)
        if (strcmp(argv[1], verbs[i].name) == 0)
            return verbs[i].run(argc - 1, argv + 1);
    return unknown(argv[1]);
}
