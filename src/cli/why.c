#include "base/arena.h"
#include "base/text.h"
#include "check/model.h"
#include "cli/asked.h"
#include "cli/exit.h"
#include "cli/moment.h"
#include "cli/options.h"
#include "cli/out.h"
#include "cli/verbs.h"
#include "present/causes.h"
#include "present/needwords.h"
#include "present/sheet.h"
#include "present/templates.h"
#include "present/verdict.h"
#include "reference/replay.h"
#include "study/check.h"
#include "study/load.h"
#include "study/needs.h"
#include "study/why.h"

static const char help[] =
    "keepclear why [options] FILE\n\n"
    "For each broken requirement, and each run-time error, the chain of "
    "causes, back to what an\noperator did or to the fault that began it.  "
    "With --only, for "
    "one that is kept, what the text says\nit would take to break it.\n\n"
    "  --control FILE    this control text instead of the first one the "
    "review names\n"
    "  --only R1,R2      these requirements only\n"
    "  --of NAME --at S  why NAME is as it is S seconds into the sequence of "
    "the first of\n"
    "                    these requirements that has one\n"
    "  --situations N    stop a question beyond N situations: not finished\n"
    "  --memory SIZE     such as 4GiB: stop a question there: not finished\n"
    "  -o FILE           write the result there, whole or not at all\n";

static void add_heading(const struct moment *asked,
                        const struct requirement_finding *finding)
{
    const struct requirement *requirement =
        &asked->findings->model->requirements[finding->requirement];

    text_printf(asked->out, "%s %s: %s\n\n", requirement->name->spelling,
                verdict_words(finding->verdict), requirement->title);
}

static void tell(const struct moment *asked, const struct why *why,
                 const struct replay *sequence)
{
    causes_add(asked->out, why, asked->loaded->sources);
    text_add(asked->out, "\n      The sequence, with the numbers of these "
                         "sentences:\n");
    sheet_add_marked(asked->out, asked->findings, sequence, why, 6);
}

static void explain_sequence(const struct moment *asked,
                             const struct requirement_finding *finding)
{
    tell(asked, why_broken(asked->loaded->arena, asked->loaded->model,
                           finding->requirement, finding->sequence),
         finding->sequence);
}

/* What does not come about has no sequence: what it would need. */
static void explain_needs(const struct moment *asked,
                          const struct requirement_finding *finding,
                          bool possible)
{
    const struct need_list *needs = needs_of(
        asked->loaded->arena, asked->loaded->model, finding->requirement);

    if (needs->n == 0) {
        text_add(asked->out, "      No statement that it depends on was "
                             "found in the texts.\n");
        return;
    }
    text_add(asked->out, possible ? "      To come about:\n"
                                  : "      To break it would take:\n");
    needwords_add(asked->out, asked->loaded->model, needs,
                  asked->loaded->sources);
    text_add(asked->out,
             "      This is read from the texts and says where to look; the "
             "verdict comes from\n      the search over the situations.\n");
}

static void explain_error(const struct moment *asked, uint32_t number)
{
    const struct error_finding *finding = &asked->findings->errors[number];
    const struct view view = {.findings = asked->findings,
                              .sources = asked->loaded->sources};

    if (finding->sequence == NULL) {
        verdict_error(asked->out, &view, finding, number + 1);
        text_add(asked->out, "\n");
        return;
    }
    verdict_error_title(asked->out, &view, finding, number + 1);
    text_add(asked->out, "\n");
    tell(asked, why_error(asked->loaded->arena, asked->loaded->model,
                          finding->sequence), finding->sequence);
    text_add(asked->out, "\n");
}

/* Assumptions have no cause in a text: the way there must do. */
static void explain_dead_end(const struct moment *asked, uint32_t number)
{
    const struct view view = {.findings = asked->findings,
                              .sources = asked->loaded->sources};

    verdict_dead_end(asked->out, &view, &asked->findings->dead_ends[number]);
    text_add(asked->out, "\n");
}

static void explain(const struct moment *asked,
                    const struct requirement_finding *finding)
{
    bool possible = asked->findings->model
                        ->requirements[finding->requirement].form >=
                    FORM_POSSIBLE;

    add_heading(asked, finding);
    if (!possible && finding->sequence != NULL)
        explain_sequence(asked, finding);
    else
        explain_needs(asked, finding, possible);
    text_add(asked->out, "\n");
}

/* Without --only: what is not kept. */
static void explain_all(const struct moment *asked)
{
    uint32_t n = asked->findings->n_errors + asked->findings->n_dead_ends;

    for (uint32_t i = 0; i < asked->findings->n_errors; i++)
        explain_error(asked, i);
    for (uint32_t i = 0; i < asked->findings->n_dead_ends; i++)
        explain_dead_end(asked, i);
    for (uint32_t i = 0; i < asked->findings->n_requirements; i++) {
        const struct requirement_finding *finding =
            &asked->findings->requirements[i];

        if (asked->options->only == NULL &&
            finding->verdict != VERDICT_BROKEN &&
            finding->stop != STOP_LEANS)
            continue;
        explain(asked, finding);
        n++;
    }
    templates_unexplained(asked->out, asked->findings->model);
    if (n == 0)
        text_add(asked->out, "No requirement is broken; --only R1 tells what "
                             "stops R1 from being broken.\n");
}

static int show(const struct options *options, const struct loaded *loaded,
                const struct findings *findings)
{
    struct text text = {0};
    const struct moment asked = {options, loaded, findings, &text};
    int code;

    if (findings->internal_error != NULL) {
        out_complain("internal error, nothing is shown: %s",
                     findings->internal_error);
        return CLI_INTERNAL;
    }
    code = options->of != NULL ? moment_explain(&asked)
                               : (explain_all(&asked), 0);
    if (code != 0) {
        text_release(&text);
        return code;
    }
    code = out_result(options->output, &text);
    text_release(&text);
    return code != 0 ? code : findings_exit_code(findings);
}

static int judge(const struct options *options, struct loaded *loaded)
{
    int code;
    const struct findings *findings =
        asked_judge(options, loaded, true, NULL, &code);

    return findings == NULL ? code : show(options, loaded, findings);
}

int verb_why(int argc, char **argv)
{
    struct options options = {0};
    int code = options_read(&options,
                            " files control only output of at "
                            "situations memory ",
                            argc, argv);

    if (code == 0 && (options.of == NULL) != (options.at == NULL)) {
        out_complain("--of NAME and --at SECONDS belong together");
        return CLI_INPUT;
    }
    if (code != 0)
        return code;
    if (!options.help)
        return asked_load(&options, judge);
    return asked_help(help);
}
