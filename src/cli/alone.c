#include "cli/alone.h"

#include "base/os.h"
#include "base/text.h"
#include "cli/asked.h"
#include "cli/exit.h"
#include "cli/options.h"
#include "cli/out.h"
#include "present/amount.h"
#include "present/quote.h"
#include "present/result.h"
#include "study/alone.h"
#include "study/check.h"
#include "study/load.h"

/* How many came to which end. */
struct tally {
    uint32_t n, safe, broken, open, unread;
    struct text told; /* messages so far */
    int code; /* of the whole so far */
};

/* The precedence of exit codes. */
static void raise_to(struct tally *tally, int code)
{
    static const int order[] = {CLI_KEPT, CLI_NOT_FINISHED, CLI_BROKEN,
                                CLI_INPUT, CLI_INTERNAL};
    int was = 0, is = 0;

    for (int i = 0; i < 5; i++) {
        was = order[i] == tally->code ? i : was;
        is = order[i] == code ? i : is;
    }
    if (is > was)
        tally->code = code;
}

static void count(struct tally *tally, int code)
{
    raise_to(tally, code);
    tally->n++;
    tally->safe += code == CLI_KEPT;
    tally->broken += code == CLI_BROKEN;
    tally->open += code == CLI_NOT_FINISHED;
    tally->unread += code == CLI_INPUT;
}

/* "FUNCTION Scale (a.st, line 3), called once in every scan with any
 * inputs" */
static void add_heading(struct text *out, const struct loaded *loaded,
                        const struct alone_pou *pou)
{
    text_printf(out, "%s %s (", pou->kind, pou->name);
    quote_place(out, loaded->sources, pou->span);
    if (pou->program == NULL)
        text_add(out, "), run by itself\n\n");
    else
        text_printf(out, "), called once in every scan with any inputs%s\n\n",
                pou->open_arrays ? ", its open arrays with indices 0 to 7"
                                 : "");
}

/* What is found of one that was read. */
static int judge(const struct options *options, struct loaded *loaded,
                 struct text *out)
{
    int code;
    const struct findings *findings =
        asked_judge(options, loaded, true, NULL, &code);
    const struct view view = {.findings = findings,
                              .sources = loaded->sources,
                              .figures = options->figures,
                              .advice = options->advice,
                              .part = true};

    if (findings == NULL)
        return code;
    if (findings->internal_error != NULL) {
        out_complain("internal error, nothing is shown: %s",
                     findings->internal_error);
        return CLI_INTERNAL;
    }
    result_add(out, &view);
    return findings_exit_code(findings);
}

static int check_one(const struct options *options,
                     const struct loaded *whole, const struct alone_pou *pou,
                     struct text *told, struct text *out)
{
    struct load_request request = asked_request(options);
    struct loaded *loaded;
    int code;

    request.declared = pou->program;
    request.alone = pou->runs;
    loaded = load_run(&request);
    add_heading(out, whole, pou);
    code = out_diagnostics_once(loaded, told);
    if (code == 0)
        code = judge(options, loaded, out);
    else
        text_add(out, "Not judged: see the messages.\n");
    text_add(out, "\n");
    loaded_free(loaded);
    return code;
}

static const char *judged_words(bool programs, bool one)
{
    if (programs)
        return one ? " program, function or block"
                   : " programs, functions and blocks";
    return one ? " function or block" : " functions and blocks";
}

static void add_end(struct text *out, const struct tally *tally,
                    const struct alone *alone)
{
    uint32_t left = alone->n - tally->n;

    if (left > 0) {
        text_add(out, "Interrupted: of ");
        amount_add(out, left);
        text_add(out, " more nothing was judged.\n");
    }
    amount_add(out, tally->n);
    text_printf(out, "%s judged, each by itself: in %u no run-time error can "
                     "occur, in %u one can be reached,\nof %u it is not "
                     "decided or not finished, %u could not be read.\n",
                judged_words(alone->unread, tally->n == 1),
                tally->safe, tally->broken, tally->open, tally->unread);
    result_cautions(out);
}

/* Shown at once, but in a file, which is there whole or not at all. */
static int pass_on(const struct options *options, struct text *text)
{
    int code = options->output != NULL ? 0 : out_write(text);

    if (options->output == NULL)
        text_clear(text);
    return code;
}

int alone_check(const struct options *options, const struct loaded *loaded,
                const struct alone *alone)
{
    struct tally tally = {.code = CLI_KEPT};
    struct text text = {0};
    int code = 0;

    text_add(&text,
             alone->unread
                 ? "Without knowledge of the machine.  Something that the "
                   "programs need is not read: each\nprogram, function and "
                   "block is judged by itself, for run-time errors and "
                   "branches nothing\ncan reach\n\n"
                 : "Without knowledge of the machine, and without a PROGRAM: "
                   "each function and block is judged\nby itself, for "
                   "run-time errors and branches nothing can reach\n\n");
    os_watch_signals();
    while (tally.n < alone->n && code == 0 && !os_interrupted()) {
        count(&tally, check_one(options, loaded, &alone->at[tally.n],
                                &tally.told, &text));
        code = pass_on(options, &text);
    }
    if (tally.n < alone->n)
        raise_to(&tally, CLI_NOT_FINISHED);
    if (code == 0) {
        add_end(&text, &tally, alone);
        code = out_result(options->output, &text);
    }
    text_release(&text);
    text_release(&tally.told);
    return code != 0 ? code : tally.code;
}
