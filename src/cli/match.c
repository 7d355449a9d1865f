#include "base/arena.h"
#include "base/os.h"
#include "base/text.h"
#include "check/model.h"
#include "cli/asked.h"
#include "cli/exit.h"
#include "cli/options.h"
#include "cli/out.h"
#include "cli/verbs.h"
#include "present/matchwords.h"
#include "study/load.h"
#include "study/match.h"

static const char help[] =
    "keepclear match [options] FILE LOG.csv\n\n"
    "Tells whether a log recorded on the machine fits the model, and if not, "
    "the first line that\nno run of the model reaches, what was possible there "
    "and what would explain it.\n\n"
    "The first line of the log names its columns; commas, semicolons or tabs "
    "stand between them.\nAn input's name means READ, an actuator's COMMANDED; "
    "a column that means nothing is left\nout, an empty field is any value.\n\n"
    "  --map A=b,C=d     column A means b, column C means d\n"
    "  --time COLUMN     the column of moments: seconds, milliseconds where "
    "its name ends in\n"
    "                    ms, or local times; without it a column such as "
    "time or t, and\n"
    "                    without such a column each row is one scan\n"
    "  --jitter MS       the time between two rows may be wrong by so many "
    "milliseconds\n"
    "  --changes         there is a row only where something changes; an "
    "empty field is as\n"
    "                    in the row before\n"
    "  --anywhere        it begins in any reachable situation, not with the "
    "first scan after\n"
    "                    power-up\n"
    "  --together N      up to N declared faults may be there (without it "
    "none)\n"
    "  --control FILE    this control text instead of the first one the "
    "review names\n"
    "  --memory SIZE     end the run beyond this, such as 512MiB or 4GiB "
    "(without it 1GiB)\n"
    "  -o FILE           write the result there, whole or not at all\n\n"
    "exit codes: 0 it fits, 1 it does not, 2 the input is wrong, 3 not "
    "finished\n";

enum { MOST_JITTER = 86400000, MOST_FAULTS = 3 };

static int exit_code(const struct match_findings *found)
{
    switch (found->end) {
    case MATCH_FITS: return CLI_KEPT;
    case MATCH_DIFFERS: return CLI_BROKEN;
    case MATCH_WRONG: return CLI_INPUT;
    default: return CLI_NOT_FINISHED;
    }
}

static int show(const struct options *options,
                const struct match_findings *found)
{
    struct text text = {0};
    int code;

    if (found->end == MATCH_WRONG) {
        out_complain("%s", found->recording->failure);
        return CLI_INPUT;
    }
    matchwords_add(&text, found);
    code = out_result(options->output, &text);
    text_release(&text);
    return code != 0 ? code : exit_code(found);
}

static int read_limits(const struct options *options,
                       struct match_setting *setting)
{
    if (options->jitter > MOST_JITTER) {
        out_complain("--jitter takes milliseconds, a day at most");
        return CLI_INPUT;
    }
    if (options->together > MOST_FAULTS) {
        out_complain("--together takes 1 to %d: more faults at once are not "
                     "studied", MOST_FAULTS);
        return CLI_INPUT;
    }
    setting->jitter = (int64_t)options->jitter;
    setting->faults = (uint32_t)options->together;
    return 0;
}

static int match(const struct options *options, struct loaded *loaded,
                 const char *log)
{
    struct match_setting setting = {
        .recording = {.path = log, .map = options->map,
                      .time = options->time, .changes = options->changes},
        .anywhere = options->anywhere,
        .study = {.most_bytes = options->memory,
                  .interrupted = os_interrupted},
    };
    const struct match_findings *found;
    int code = read_limits(options, &setting);

    if (code != 0)
        return code;
    os_watch_signals();
    found = match_study(loaded->arena, loaded->model, &setting,
                        loaded->diags);
    if (found == NULL)
        return out_diagnostics(loaded) | CLI_INPUT;
    return show(options, found);
}

int verb_match(int argc, char **argv)
{
    struct options options = {0};
    struct load_request request;
    struct loaded *loaded;
    int code = options_read(&options,
                            " files map time jitter changes anywhere together "
                            "control memory output spelling strict ",
                            argc, argv);

    if (code != 0)
        return code;
    if (options.help)
        return asked_help(help);
    if (options.n_more != 1) {
        out_complain("'match' takes two files, the review text and the log");
        return CLI_INPUT;
    }
    request = asked_request(&options);
    request.n_more = 0;
    loaded = load_run(&request);
    code = out_diagnostics(loaded);
    if (code == 0)
        code = match(&options, loaded, options.more[0]);
    loaded_free(loaded);
    return code;
}
