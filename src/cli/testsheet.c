#include "study/testsheet.h"

#include <string.h>

#include "base/os.h"
#include "base/text.h"
#include "check/model.h"
#include "cli/asked.h"
#include "cli/exit.h"
#include "cli/options.h"
#include "cli/out.h"
#include "cli/verbs.h"
#include "cli/wording.h"
#include "present/byhandwords.h"
#include "present/sheetphrases.h"
#include "present/testsheetwords.h"

static const char help[] =
    "keepclear testsheet [options] FILE\n\n"
    "Writes a commissioning test for the real machine: what must be true "
    "before step 1, then\nsteps that somebody does by hand and what must be "
    "seen after each, first with movement\nmade impossible, then with "
    "movement.  What a step expects is so however the machine\nanswers.  What "
    "cannot be tested by hand is listed with the reason.\n\n"
    "  --as page         one page of HTML, for paper of A4; also what -o "
    "FILE.html gives\n"
    "  --as csv          a line for each step, to be filled in and read back "
    "(`check --tested`)\n"
    "  --as scenario     the sequences as SCENARIO texts for `run`\n"
    "  --language de     German words; without it English ones\n"
    "  --words FILE      words of the sheet that take the place of the "
    "shipped ones\n"
    "  --as words        write the table of words, to be changed, and no "
    "sheet\n"
    "  --names FILE      titles of controls, requirements and the like in "
    "another language\n"
    "  --as names        write the titles that are there, to be changed, and "
    "no sheet\n"
    "  --control FILE    this control text instead of the first one the "
    "review names\n"
    "  --situations N    look at no more situations per question\n"
    "  --memory SIZE     end the run beyond this, such as 512MiB or 4GiB "
    "(without it 2GiB)\n"
    "  -o FILE           write the sheet there, whole or not at all\n\n"
    "exit codes: 0 a sheet was written; 2 the input is wrong; 3 not "
    "finished; 4 internal error\n";

/* Is a page of HTML asked for, by name or by where it goes? */
static bool is_page(const struct options *options)
{
    return options->as != NULL
               ? strcmp(options->as, "page") == 0
               : options->output != NULL &&
                     options_ending(options->output, ".html");
}

/* Why there is no sheet; 0: there is one. */
static int complain(const struct testsheet *sheet)
{
    if (sheet->internal_error != NULL) {
        out_complain("internal error, nothing is shown: %s",
                     sheet->internal_error);
        return CLI_INTERNAL;
    }
    if (sheet->end == EXPLORE_COMPLETE)
        return 0;
    out_complain("not finished: a limit was reached or a signal came "
                 "before the sheet was made, or it cannot be said "
                 "from where steps begin: that takes in all situations "
                 "of the whole machine, unless power MAY FAIL; use a "
                 "larger --memory or --situations, or a review text with "
                 "less in it");
    return CLI_NOT_FINISHED;
}

static int show(const struct options *options, const struct byhand_view *view)
{
    const char *as = options->as;
    struct text text = {0};
    int code;

    if (is_page(options) || as == NULL)
        testsheetwords_add(&text, view, is_page(options));
    else if (strcmp(as, "csv") == 0)
        testsheetwords_csv(&text, view);
    else
        testsheetwords_scenarios(&text, view);
    code = out_result(options->output, &text);
    text_release(&text);
    return code;
}

static int make(const struct options *options, struct loaded *loaded)
{
    struct testsheet_setting setting = {0};
    struct byhand_view view = {.sources = loaded->sources};
    struct words *words;
    int code = wording_read(loaded->arena, options, sheetphrases_table(),
                            &words);

    if (code != 0)
        return code;
    if (options->as != NULL && strcmp(options->as, "words") == 0)
        return wording_write(options, words);
    if (options->as != NULL && strcmp(options->as, "names") == 0)
        return wording_write_names(options, loaded->model);
    code = wording_names(loaded->arena, options, &loaded->model);
    if (code != 0)
        return code;
    if (loaded->model->n_controls == 0) {
        out_complain("%s names no control that a hand could move: say under "
                     "CONTROLS what there is", options->path);
        return CLI_INPUT;
    }
    if (!asked_setting(options, loaded, &setting.study))
        return CLI_INPUT;
    os_watch_signals();
    view.words = words;
    view.sheet = testsheet_study(loaded->arena, loaded->model, &setting,
                                 loaded->diags);
    if (view.sheet == NULL)
        return out_diagnostics(loaded) | CLI_INPUT;
    code = complain(view.sheet);
    return code != 0 ? code : show(options, &view);
}

static bool is_form(const char *as)
{
    static const char *const forms[] = {"csv", "page", "scenario", "words",
                                        "names"};

    for (size_t i = 0; i < sizeof forms / sizeof *forms; i++)
        if (strcmp(as, forms[i]) == 0)
            return true;
    return false;
}

int verb_testsheet(int argc, char **argv)
{
    struct options options = {0};
    int code = options_read(&options,
                            " control as language words names output "
                            "situations memory spelling strict ", argc, argv);

    if (code != 0)
        return code;
    if (options.help)
        return asked_help(help);
    if (options.as != NULL && !is_form(options.as)) {
        out_complain("--as takes page, csv, scenario, words or names, not '%s'",
                     options.as);
        return CLI_INPUT;
    }
    return asked_load(&options, make);
}
