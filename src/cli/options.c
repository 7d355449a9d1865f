#include "cli/options.h"

#include <errno.h>
#include <getopt.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "base/os.h"
#include "cli/exit.h"
#include "cli/out.h"

enum { OPT_CONTROL = 256, OPT_ONLY, OPT_BY, OPT_AS, OPT_OF, OPT_AT,
       OPT_SITUATIONS, OPT_MEMORY, OPT_FIGURES, OPT_EXAMPLES, OPT_QUICK,
       OPT_SCENARIO, OPT_BROKEN, OPT_SEQUENCE, OPT_ENGINE, OPT_WITHOUT,
       OPT_TESTED,
       OPT_SPELLING, OPT_STRICT, OPT_READING, OPT_THREADS,
       OPT_ADVICE, OPT_FAULTS, OPT_TOGETHER, OPT_ONE_IN, OPT_MAP, OPT_TIME,
       OPT_JITTER, OPT_CHANGES, OPT_ANYWHERE, OPT_EVERY, OPT_DESPITE,
       OPT_SENTENCES, OPT_STOPS, OPT_SIGNAL, OPT_WITH, OPT_SIGNED,
       OPT_FOLDER, OPT_LOADED, OPT_PATH, OPT_TEXT, OPT_LANGUAGE, OPT_WORDS,
       OPT_NAMES };

static const struct option table[] = {
    {"control", required_argument, NULL, OPT_CONTROL},
    {"map", required_argument, NULL, OPT_MAP},
    {"only", required_argument, NULL, OPT_ONLY},
    {"output", required_argument, NULL, 'o'},
    {"by", required_argument, NULL, OPT_BY},
    {"as", required_argument, NULL, OPT_AS},
    {"of", required_argument, NULL, OPT_OF},
    {"at", required_argument, NULL, OPT_AT},
    {"scenario", required_argument, NULL, OPT_SCENARIO},
    {"tested", required_argument, NULL, OPT_TESTED},
    {"broken", required_argument, NULL, OPT_BROKEN},
    {"sequence", required_argument, NULL, OPT_SEQUENCE},
    {"together", required_argument, NULL, OPT_TOGETHER},
    {"one-in", required_argument, NULL, OPT_ONE_IN},
    {"despite", required_argument, NULL, OPT_DESPITE},
    {"time", required_argument, NULL, OPT_TIME},
    {"jitter", required_argument, NULL, OPT_JITTER},
    {"changes", no_argument, NULL, OPT_CHANGES},
    {"anywhere", no_argument, NULL, OPT_ANYWHERE},
    {"situations", required_argument, NULL, OPT_SITUATIONS},
    {"memory", required_argument, NULL, OPT_MEMORY},
    {"threads", required_argument, NULL, OPT_THREADS},
    {"engine", required_argument, NULL, OPT_ENGINE},
    {"without", required_argument, NULL, OPT_WITHOUT},
    {"figures", no_argument, NULL, OPT_FIGURES},
    {"examples", no_argument, NULL, OPT_EXAMPLES},
    {"advice", no_argument, NULL, OPT_ADVICE},
    {"quick", no_argument, NULL, OPT_QUICK},
    {"faults", no_argument, NULL, OPT_FAULTS},
    {"every", no_argument, NULL, OPT_EVERY},
    {"spelling", no_argument, NULL, OPT_SPELLING},
    {"strict", no_argument, NULL, OPT_STRICT},
    {"reading", no_argument, NULL, OPT_READING},
    {"sentences", no_argument, NULL, OPT_SENTENCES},
    {"stops", no_argument, NULL, OPT_STOPS},
    {"signal", required_argument, NULL, OPT_SIGNAL},
    {"path", required_argument, NULL, OPT_PATH},
    {"with", required_argument, NULL, OPT_WITH},
    {"signed", required_argument, NULL, OPT_SIGNED},
    {"folder", required_argument, NULL, OPT_FOLDER},
    {"loaded", required_argument, NULL, OPT_LOADED},
    {"text", required_argument, NULL, OPT_TEXT},
    {"language", required_argument, NULL, OPT_LANGUAGE},
    {"words", required_argument, NULL, OPT_WORDS},
    {"names", required_argument, NULL, OPT_NAMES},
    {"help", no_argument, NULL, 'h'},
    {NULL, 0, NULL, 0},
};

static const char *option_name(int code)
{
    for (const struct option *o = table; o->name != NULL; o++)
        if (o->val == code)
            return o->name;
    return "";
}

static bool is_allowed(const char *allowed, int code)
{
    char wanted[64];

    snprintf(wanted, sizeof wanted, " %s ", option_name(code));
    return strstr(allowed, wanted) != NULL;
}

/* A whole number of at least 1. */
static int read_number(const char *name, const char *value,
                       uint64_t *number)
{
    char *end;
    unsigned long long read;

    errno = 0;
    read = strtoull(value, &end, 10);
    if (errno != 0 || *value < '0' || *value > '9' || *end != '\0' ||
        read == 0) {
        out_complain("--%s takes a whole number of at least 1, not '%s'",
                     name, value);
        return CLI_INPUT;
    }
    *number = read;
    return 0;
}

/* A size: a number of MiB, or with its unit. */
static int read_memory(const char *value, uint64_t *bytes)
{
    static const struct {
        const char *name;
        unsigned shift;
    } units[] = {{"", 20}, {"KiB", 10}, {"MiB", 20}, {"GiB", 30}};
    char *end;
    unsigned long long read;

    errno = 0;
    read = strtoull(value, &end, 10);
    for (unsigned i = 0; i < sizeof units / sizeof *units; i++)
        if (errno == 0 && *value >= '0' && *value <= '9' && read > 0 &&
            strcmp(end, units[i].name) == 0 &&
            read <= UINT64_MAX >> units[i].shift) {
            *bytes = (uint64_t)read << units[i].shift;
            return 0;
        }
    out_complain("--memory takes a size such as 512MiB or 4GiB, not '%s'",
                 value);
    return CLI_INPUT;
}

static int read_engine(const char *value, enum engine *engine)
{
    static const struct {
        const char *name;
        enum engine engine;
    } names[] = {{"sets", ENGINE_SETS}, {"tiles", ENGINE_TILES},
                 {"both", ENGINE_BOTH}};

    for (unsigned i = 0; i < sizeof names / sizeof *names; i++)
        if (strcmp(value, names[i].name) == 0) {
            *engine = names[i].engine;
            return 0;
        }
    out_complain("--engine takes sets, tiles or both, not '%s'; without it "
                 "the first exact answer counts", value);
    return CLI_INPUT;
}

static int take(struct options *options, int code, const char *value)
{
    switch (code) {
    case OPT_CONTROL: options->control = value; return 0;
    case OPT_MAP: options->map = value; return 0;
    case OPT_ONLY: options->only = value; return 0;
    case 'o': options->output = value; return 0;
    case OPT_BY: options->by = value; return 0;
    case OPT_AS: options->as = value; return 0;
    case OPT_OF: options->of = value; return 0;
    case OPT_AT: options->at = value; return 0;
    case OPT_SCENARIO: options->scenario = value; return 0;
    case OPT_TESTED: options->tested = value; return 0;
    case OPT_BROKEN: options->broken = value; return 0;
    case OPT_SEQUENCE: options->sequence = value; return 0;
    case OPT_TOGETHER:
        return read_number("together", value, &options->together);
    case OPT_ONE_IN: return read_number("one-in", value, &options->one_in);
    case OPT_DESPITE:
        return read_number("despite", value, &options->despite);
    case OPT_TIME: options->time = value; return 0;
    case OPT_JITTER: return read_number("jitter", value, &options->jitter);
    case OPT_SITUATIONS:
        return read_number("situations", value, &options->situations);
    case OPT_MEMORY:
        return read_memory(value, &options->memory);
    case OPT_THREADS:
        return read_number("threads", value, &options->threads);
    case OPT_ENGINE: return read_engine(value, &options->engine);
    case OPT_WITHOUT: options->without = value; return 0;
    case OPT_TEXT: options->text = value; return 0;
    case OPT_LANGUAGE: options->language = value; return 0;
    case OPT_WORDS: options->words = value; return 0;
    case OPT_NAMES: options->names = value; return 0;
    case OPT_FIGURES: options->figures = true; return 0;
    case OPT_EXAMPLES: options->examples = true; return 0;
    case OPT_ADVICE: options->advice = true; return 0;
    case OPT_SPELLING: options->spelling = true; return 0;
    case OPT_STRICT: options->strict = true; return 0;
    case OPT_READING: options->reading = true; return 0;
    case OPT_SENTENCES: options->sentences = true; return 0;
    case OPT_STOPS: options->stops = true; return 0;
    case OPT_SIGNAL: options->signal = value; return 0;
    case OPT_PATH: options->route = value; return 0;
    case OPT_WITH: options->with = value; return 0;
    case OPT_SIGNED: options->before = value; return 0;
    case OPT_FOLDER: options->folder = value; return 0;
    case OPT_LOADED: options->loaded = value; return 0;
    case OPT_QUICK: options->quick = true; return 0;
    case OPT_EVERY: options->every = true; return 0;
    case OPT_FAULTS: options->faults = true; return 0;
    case OPT_CHANGES: options->changes = true; return 0;
    case OPT_ANYWHERE: options->anywhere = true; return 0;
    default: options->help = true; return 0;
    }
}

/* Complains about an option that getopt or the verb refuses. */
static int refuse(const char *verb, const char *written)
{
    out_complain("'%s' is not an option of '%s', or its value is missing; "
                 "`keepclear %s --help` lists them", written, verb, verb);
    return CLI_INPUT;
}

static int read_files(struct options *options, const char *allowed,
                      int argc, char **argv)
{
    if (options->help)
        return 0;
    if (optind == argc) {
        out_complain("'%s' needs a file; `keepclear %s --help` tells more",
                     argv[0], argv[0]);
        return CLI_INPUT;
    }
    if (optind + 1 < argc && strstr(allowed, " files ") == NULL) {
        out_complain("'%s' takes one file, and '%s' is a second one",
                     argv[0], argv[optind + 1]);
        return CLI_INPUT;
    }
    options->path = argv[optind];
    options->more = argv + optind + 1;
    options->n_more = argc - optind - 1;
    return 0;
}

int options_read(struct options *options, const char *allowed, int argc,
                 char **argv)
{
    int code;

    opterr = 0;
    optind = 0;
    while ((code = getopt_long(argc, argv, "o:h", table, NULL)) != -1) {
        if (code == '?' || !(code == 'h' || is_allowed(allowed, code)))
            return refuse(argv[0], argv[optind - 1]);
        code = take(options, code, optarg);
        if (code != 0)
            return code;
    }
    return read_files(options, allowed, argc, argv);
}

bool options_ending(const char *path, const char *ending)
{
    size_t n = strlen(path), m = strlen(ending);

    return n >= m && strcasecmp(path + n - m, ending) == 0;
}

uint32_t options_threads(const struct options *options)
{
    if (options->threads == 0)
        return os_moment().cores;
    return options->threads < UINT32_MAX ? (uint32_t)options->threads
                                         : UINT32_MAX;
}
