#include "cli/signal.h"

#include "base/arena.h"
#include "base/os.h"
#include "base/text.h"
#include "check/model.h"
#include "cli/exit.h"
#include "cli/options.h"
#include "cli/out.h"
#include "present/graphviz.h"
#include "present/signaldiagram.h"
#include "study/load.h"
#include "study/signalway.h"
#include "study/study.h"

/* A layout within the limits takes a few seconds. */
static const double LAYOUT_SECONDS = 60;

static int make_svg(struct text *out, const struct signal_way *way)
{
    struct text dot = {0};
    enum os_status status;

    signaldiagram_dot(&dot, way);
    status = graphviz_svg(text_str(&dot), LAYOUT_SECONDS, out);
    text_release(&dot);
    if (status == OS_OK)
        return 0;
    out_complain("the picture could not be laid out: %s\n   what to do: use "
                 "--as text or --as dot", os_explain(status));
    return status == OS_TIMED_OUT ? CLI_INPUT : CLI_INTERNAL;
}

static int refuse(const struct signal_way *way)
{
    if (way->failure != NULL) {
        out_complain("%s", way->failure);
        return CLI_INPUT;
    }
    if (way->n_points == 0) {
        out_complain("no way leads from %s to %s", way->from,
                     way->to != NULL ? way->to : "an actuator");
        return CLI_INPUT;
    }
    return 0;
}

static int too_much(const struct signal_way *way)
{
    out_complain("%u points, drawn as coarse as can be, are too much for a "
                 "picture (%d can be read)\n   what to do: name one end, too: "
                 "--signal %s,NAME; or all of it as text: --as text",
                 (unsigned)way->n_points, SIGNALDIAGRAM_MOST, way->from);
    return CLI_INPUT;
}

static int show(const struct options *options, const struct loaded *loaded,
                const struct signal_way *way, enum signal_form form)
{
    struct text text = {0};
    int code = refuse(way);

    if (code != 0)
        return code;
    if (form != SIGNAL_AS_TEXT && !signaldiagram_fits(way))
        return too_much(way);
    if (form == SIGNAL_AS_SVG)
        code = make_svg(&text, way);
    else if (form == SIGNAL_AS_DOT)
        signaldiagram_dot(&text, way);
    else
        signaldiagram_text(&text, way, loaded->sources);
    if (code == 0)
        code = out_result(options->output, &text);
    text_release(&text);
    return code;
}

int signal_draw(const struct options *options, struct loaded *loaded,
                enum signal_form form)
{
    const struct study_setting setting = {0};
    const struct signal_way *way;
    struct study study;
    int code;

    if (!study_open(&study, loaded->arena, loaded->model, &setting,
                    loaded->diags))
        return out_diagnostics(loaded) | CLI_INPUT;
    way = signalway_find(loaded->arena, loaded->model, study.lowered,
                         options->signal,
                         form == SIGNAL_AS_TEXT ? UINT32_MAX
                                                : SIGNALDIAGRAM_CLEAR);
    code = show(options, loaded, way, form);
    study_close(&study);
    return code;
}
