#include "present/causes.h"

#include "base/text.h"
#include "check/model.h"
#include "present/amount.h"
#include "present/caption.h"
#include "present/naming.h"
#include "present/say.h"
#include "source/source.h"
#include "study/why.h"

enum { COLUMNS = 96, HANGING = 14, FACTS_MOST = 5 };

struct chain {
    struct text *out;
    const struct trace *trace;
    const struct model *model; /* of the trace */
    const struct sources *sources;
};

static void at_time(const struct chain *chain, uint32_t scan)
{
    amount_seconds(chain->out, trace_time(chain->trace, scan));
}

/* ---- names ---- */

static void line_name(const struct chain *chain, uint32_t line)
{
    const struct model *model = chain->model;
    uint32_t n = model->n_contacts;

    text_add(chain->out, line < n ? model->contacts[line].name->spelling
                                  : model->sensors[line - n].name->spelling);
}

static void name(const struct chain *chain, const struct fact *fact)
{
    switch (fact->thing) {
    case THING_SLOT:
        naming_slot(chain->out, chain->model, fact->index);
        break;
    case THING_HAND:
        text_add(chain->out, chain->model->controls[fact->index].title);
        break;
    case THING_LINE: line_name(chain, fact->index); break;
    case THING_FAULT:
        text_add(chain->out,
                 chain->model->faults[fact->index].name->spelling);
        break;
    case THING_OPEN:
        text_add(chain->out, chain->model->choices[fact->index].name);
        break;
    default: text_add(chain->out, "power"); break;
    }
}

/* ---- facts ---- */

static const struct type *type_of(const struct chain *chain,
                                  const struct fact *fact)
{
    if (fact->thing == THING_SLOT)
        return chain->model->slots[fact->index].type;
    if (fact->thing == THING_HAND)
        return chain->model->controls[fact->index].type;
    return NULL;
}

static const char *hand_verb(const struct control *control, bool on,
                             bool fresh)
{
    if (control->kind == SIGNAL_SWITCH)
        return on ? (fresh ? "was switched on" : "was on")
                  : (fresh ? "was switched off" : "was off");
    if (on)
        return fresh ? "was pressed" : "was held";
    return fresh ? "was let go" : "was not pressed";
}

static const char *on_verb(bool on, bool fresh)
{
    if (fresh)
        return on ? "came on" : "went off";
    return on ? "was on" : "was off";
}

/* What it is or became, as a cause of something. */
static void say_fact(const struct chain *chain, const struct fact *fact,
                     bool fresh)
{
    const struct type *type = type_of(chain, fact);
    bool on = fact->value != 0;

    name(chain, fact);
    text_add(chain->out, " ");
    if (fact->thing == THING_OPEN) {
        say_outcome(chain->out, chain->model, fact->index, fact->value);
        return;
    }
    if (type != NULL && type->kind != TYPE_BOOL) {
        text_add(chain->out, fresh ? "became " : "was ");
        say_value(chain->out, type, fact->value);
    } else if (fact->thing == THING_HAND) {
        text_add(chain->out,
                 hand_verb(&chain->model->controls[fact->index], on, fresh));
    } else if (fact->thing == THING_FAULT) {
        text_add(chain->out, on ? (fresh ? "appeared" : "was there")
                                : "was not there");
    } else if (fact->thing == THING_POWER) {
        text_add(chain->out, on ? (fresh ? "came" : "was there")
                                : (fresh ? "went" : "was off"));
    } else {
        text_add(chain->out, on_verb(on, fresh));
    }
    if (fact->held >= 0) {
        text_add(chain->out, " for ");
        amount_seconds(chain->out, fact->held);
    }
}

/* The verb alone. */
static void say_became(const struct chain *chain, const struct fact *fact)
{
    const struct type *type = type_of(chain, fact);
    bool fresh = fact->since > 0;

    if (type != NULL && type->kind == TYPE_BOOL) {
        text_add(chain->out, on_verb(fact->value != 0, fresh));
        return;
    }
    text_add(chain->out, fresh ? "became " : "was ");
    if (type != NULL)
        say_value(chain->out, type, fact->value);
}

/* Since when, where no number leads there. */
static void say_moment(const struct chain *chain, const struct fact *fact,
                       uint32_t scan, uint32_t number)
{
    if (fact->since == scan && fact->scan == scan) {
        /* it is the moment of the sentence */
    } else if (fact->since == fact->scan && fact->scan != scan) {
        text_add(chain->out, " at ");
        at_time(chain, fact->since);
    } else if (fact->since > 1 && number == 0) {
        text_add(chain->out, " since ");
        at_time(chain, fact->since);
    }
    if (number > 0)
        text_printf(chain->out, " (%u)", (unsigned)number);
}

/* ---- rules of blocks ---- */

static void say_time_rule(const struct chain *chain, const char *before,
                          const char *after, const struct account *account)
{
    text_add(chain->out, before);
    amount_seconds(chain->out, account->time);
    text_add(chain->out, after);
    if (account->start > 0) {
        text_add(chain->out, ", counted from ");
        at_time(chain, account->start);
    }
}

static void say_rule(const struct chain *chain, const struct account *account)
{
    switch (account->rule) {
    case RULE_NONE: return;
    case RULE_TIME_OVER:
        say_time_rule(chain, "its IN had been on for ", "", account);
        break;
    case RULE_TIME_RUNS:
        say_time_rule(chain, "its IN had not yet been on for ", "", account);
        break;
    case RULE_TAIL_RUNS:
        say_time_rule(chain, "it stays on for ", " after its IN went off",
                      account);
        break;
    case RULE_TAIL_OVER:
        say_time_rule(chain, "its IN had been off for ", "", account);
        break;
    case RULE_PULSE_RUNS:
        say_time_rule(chain, "its pulse lasts ", "", account);
        break;
    case RULE_PULSE_OVER:
        say_time_rule(chain, "its pulse of ", " was over", account);
        break;
    case RULE_EDGE: text_add(chain->out, "its CLK changed"); break;
    case RULE_FIRST_CALL:
        text_add(chain->out, "at its first call after power came its CLK "
                             "counts as changed");
        break;
    case RULE_NO_EDGE:
        text_add(chain->out, "its CLK did not change");
        break;
    case RULE_KEPT: text_add(chain->out, "it keeps its value"); break;
    }
    if (account->n > 0)
        text_add(chain->out, ": ");
}

/* ---- causes ---- */

static void say_causes(const struct chain *chain, const struct why_step *step,
                       uint32_t scan, uint32_t n)
{
    for (uint32_t i = 0; i < n; i++) {
        const struct fact *fact = &step->account.at[i];

        if (i > 0)
            text_add(chain->out, i + 1 < n ? ", " : " and ");
        say_fact(chain, fact, fact->since == fact->scan && fact->since > 0);
        say_moment(chain, fact, scan, step->number[i]);
    }
    if (n < step->account.n || step->account.more)
        text_add(chain->out, ", among others");
}

static void say_because(const struct chain *chain,
                        const struct why_step *step, uint32_t scan)
{
    uint32_t n = step->account.n < FACTS_MOST ? step->account.n : FACTS_MOST;

    if (n == 0 && step->account.rule == RULE_NONE)
        return;
    text_add(chain->out, ", because ");
    say_rule(chain, &step->account);
    say_causes(chain, step, scan, n);
}

/* It stayed as it was: what would have changed it did not come about; the
 * last cause is what set it. */
static void say_stayed(const struct chain *chain, const struct why_step *step)
{
    const struct account *account = &step->account;
    uint32_t last = account->n > 0 ? account->n - 1 : 0;
    bool origin = account->n > 0 &&
                  account->at[last].thing == step->fact.thing &&
                  account->at[last].index == step->fact.index;
    struct why_step rest = *step;

    rest.account.n = origin ? last : account->n;
    say_because(chain, &rest, step->scan);
    if (!origin && step->fact.since == 0)
        text_add(chain->out, "; it was so from the beginning");
    if (!origin || step->number[last] == 0)
        return;
    text_add(chain->out, "; it ");
    say_became(chain, &account->at[last]);
    if (account->at[last].since > 0) {
        text_add(chain->out, " at ");
        at_time(chain, account->at[last].since);
    }
    text_printf(chain->out, " (%u)", (unsigned)step->number[last]);
}

/* ---- places ---- */

static uint32_t line_of(const struct chain *chain, struct span span)
{
    return sources_place(chain->sources, span).line;
}

static uint32_t last_line(const struct chain *chain, struct span span)
{
    if (span.to > span.from)
        span.from = span.to - 1;
    return line_of(chain, span);
}

static bool said_before(const struct chain *chain,
                        const struct account *account, uint32_t number)
{
    for (uint32_t i = 0; i < number; i++)
        if (account->places[i].file == account->places[number].file &&
            line_of(chain, account->places[i]) ==
                line_of(chain, account->places[number]))
            return true;
    return false;
}

static uint32_t lines_in(const struct chain *chain,
                         const struct account *account, uint32_t file)
{
    uint32_t n = 0;

    for (uint32_t i = 0; i < account->n_places; i++)
        n += account->places[i].file == file &&
             !said_before(chain, account, i);
    return n;
}

static void say_lines(const struct chain *chain,
                      const struct account *account, uint32_t file)
{
    uint32_t n = lines_in(chain, account, file), said = 0;

    text_printf(chain->out, "%s, %s ", naming_file(chain->sources, file),
                n == 1 ? "line" : "lines");
    for (uint32_t i = 0; i < account->n_places; i++) {
        struct span span = account->places[i];

        if (span.file != file || said_before(chain, account, i))
            continue;
        if (said++ > 0)
            text_add(chain->out, said < n ? ", " : " and ");
        text_printf(chain->out, "%u", (unsigned)line_of(chain, span));
        if (last_line(chain, span) == line_of(chain, span) + 1)
            text_printf(chain->out, "-%u", (unsigned)last_line(chain, span));
    }
}

static void say_places(const struct chain *chain,
                       const struct account *account)
{
    bool any = false;

    for (uint32_t i = 0; i < account->n_places; i++) {
        uint32_t file = account->places[i].file;
        bool first = true;

        for (uint32_t k = 0; k < i; k++)
            first = first && account->places[k].file != file;
        if (!first)
            continue;
        text_add(chain->out, any ? "; " : " [");
        say_lines(chain, account, file);
        any = true;
    }
    if (any && account->pass > 0)
        text_printf(chain->out, ", pass %u", (unsigned)account->pass);
    if (any)
        text_add(chain->out, "]");
}

/* ---- sentences ---- */

static bool any_fault(const struct trace *trace)
{
    uint64_t end = trace->scans[trace->n_scans - 1].end;

    for (uint32_t i = 0; i < trace->model->n_faults; i++)
        if (trace_value(trace, THING_FAULT, i, end) != 0)
            return true;
    return false;
}

/* Why EXCEPT did not count, where a fault had appeared. */
static void say_exception(const struct chain *chain,
                          const struct requirement *asked)
{
    if (asked->noticed != NULL)
        text_add(chain->out, "; the fault was noticed then");
    if (asked->within.wanted == 0)
        return;
    text_add(chain->out, "; the fault was there for ");
    amount_seconds(chain->out, asked->within.judged);
    text_add(chain->out, " or longer");
}

static void say_judged(const struct chain *chain, const struct why *why,
                       const struct why_step *step)
{
    const struct requirement *asked =
        &chain->model->requirements[why->trace->requirement];

    text_printf(chain->out, "%s breaks", asked->name->spelling);
    say_because(chain, step, step->scan);
    if (asked->form == FORM_BY_ITSELF)
        text_add(chain->out, step->account.start > 0
                                 ? "; after that nothing started it"
                                 : "; nothing had started it");
    if (any_fault(why->trace))
        say_exception(chain, asked);
}

static void say_error(const struct chain *chain, const struct why_step *step)
{
    text_add(chain->out, "the run-time error occurs");
    say_because(chain, step, step->scan);
}

static void say_fault(const struct chain *chain, const struct why_step *step)
{
    const struct fault *fault = &chain->model->faults[step->fact.index];

    text_printf(chain->out, "%s %s: %s",
                step->fact.value != 0 ? "fault" : "no longer fault",
                fault->name->spelling, fault->title);
}

/* The fact as it became, or as it stayed. */
static void say_subject(const struct chain *chain,
                        const struct why_step *step)
{
    const struct type *type = type_of(chain, &step->fact);
    struct fact fact = step->fact;
    bool fresh = fact.since == fact.scan && fact.since > 0;

    fact.held = -1;
    if (fresh || step->account.kind == ACCOUNT_INITIAL) {
        say_fact(chain, &fact, fresh);
        return;
    }
    name(chain, &fact);
    text_add(chain->out, " stayed ");
    if (type != NULL && type->kind != TYPE_BOOL)
        say_value(chain->out, type, fact.value);
    else
        text_add(chain->out, fact.value != 0 ? "on" : "off");
}

static void say_outside(const struct chain *chain,
                        const struct why_step *step)
{
    struct fact fact = step->fact;

    if (fact.thing == THING_FAULT) {
        say_fault(chain, step);
        return;
    }
    fact.held = -1;
    say_fact(chain, &fact, fact.since > 0);
    if (fact.thing == THING_SLOT)
        text_add(chain->out, ", an input that no text writes");
    if (fact.thing == THING_HAND && fact.since == 1)
        text_add(chain->out, ", already at power-up");
}

static void say_step(const struct chain *chain, const struct why *why,
                     const struct why_step *step)
{
    switch (step->account.kind) {
    case ACCOUNT_JUDGED: say_judged(chain, why, step); break;
    case ACCOUNT_ERROR: say_error(chain, step); break;
    case ACCOUNT_OPERATOR: case ACCOUNT_FAULT: case ACCOUNT_POWER:
    case ACCOUNT_OPEN:
        say_outside(chain, step);
        break;
    case ACCOUNT_INITIAL:
        say_subject(chain, step);
        text_add(chain->out, " from the beginning");
        break;
    case ACCOUNT_STAYED:
        say_subject(chain, step);
        say_stayed(chain, step);
        break;
    case ACCOUNT_RESTART:
        say_subject(chain, step);
        say_because(chain, step, step->scan);
        text_add(chain->out, ": it begins anew");
        break;
    default:
        say_subject(chain, step);
        say_because(chain, step, step->scan);
        break;
    }
    say_places(chain, &step->account);
}

/* ---- what is only named ---- */

struct further {
    const struct chain *chain;
    const struct why *why;
    uint32_t file;
};

/* The line is named by one of these steps. */
static bool names_line(const struct further *further,
                       const struct why_step *step, uint32_t line)
{
    for (uint32_t i = 0; i < step->account.n_places; i++) {
        struct span span = step->account.places[i];

        if (span.file == further->file &&
            line_of(further->chain, span) == line)
            return true;
    }
    return false;
}

static bool named_before(const struct further *further, uint32_t rest,
                         uint32_t line)
{
    const struct why *why = further->why;

    for (uint32_t i = 0; i < why->n_steps; i++)
        if (names_line(further, &why->steps[i], line))
            return true;
    for (uint32_t i = 0; i < rest; i++)
        if (names_line(further, &why->rest[i], line))
            return true;
    return false;
}

/* Its name, where one of its lines is new, with those lines. */
static uint32_t say_further(const struct further *further, uint32_t rest,
                            uint32_t said)
{
    const struct chain *chain = further->chain;
    const struct why_step *step = &further->why->rest[rest];
    uint32_t lines = 0;

    for (uint32_t i = 0; i < step->account.n_places; i++) {
        struct span span = step->account.places[i];
        uint32_t line = line_of(chain, span);

        if (span.file != further->file ||
            said_before(chain, &step->account, i) ||
            named_before(further, rest, line))
            continue;
        if (lines == 0) {
            text_add(chain->out, said > 0 ? "; " : " ");
            name(chain, &step->fact);
        }
        text_printf(chain->out, lines == 0 ? " %u" : ", %u", (unsigned)line);
        if (last_line(chain, span) == line + 1)
            text_printf(chain->out, "-%u", (unsigned)line + 1);
        lines++;
    }
    return lines > 0 ? said + 1 : said;
}

static void say_further_lines(const struct chain *chain,
                              const struct why *why, struct text *out)
{
    struct further further = {chain, why, 0};

    for (further.file = 1; further.file <= sources_count(chain->sources);
         further.file++) {
        uint32_t said = 0;

        text_clear(chain->out);
        text_printf(chain->out, "       Took part too, by lines of %s:",
                    naming_file(chain->sources, further.file));
        for (uint32_t i = 0; i < why->n_rest; i++)
            said = say_further(&further, i, said);
        text_add(chain->out, ".\n");
        if (said > 0)
            caption_wrap(out, text_str(chain->out), COLUMNS, HANGING);
    }
}

/* What people did and faults that have no sentence of their own. */
static void say_further_events(const struct chain *chain,
                               const struct why *why, struct text *out)
{
    uint32_t said = 0;

    text_clear(chain->out);
    text_add(chain->out, "       Took part too:");
    for (uint32_t i = 0; i < why->n_rest; i++) {
        const struct why_step *step = &why->rest[i];

        if (step->account.kind != ACCOUNT_OPERATOR &&
            step->account.kind != ACCOUNT_FAULT &&
            step->account.kind != ACCOUNT_POWER)
            continue;
        text_add(chain->out, said++ > 0 ? "; " : " ");
        at_time(chain, step->scan);
        text_add(chain->out, " ");
        say_outside(chain, step);
    }
    text_add(chain->out, ".\n");
    if (said > 0)
        caption_wrap(out, text_str(chain->out), COLUMNS, HANGING);
}

static void add_rest(struct text *out, const struct chain *chain,
                     const struct why *why)
{
    say_further_events(chain, why, out);
    say_further_lines(chain, why, out);
    text_add(out, why->more ? "       Further causes are left out.\n"
                            : "       Before that nothing changed.\n");
}

void causes_add(struct text *out, const struct why *why,
               const struct sources *sources)
{
    struct text one = {0};
    const struct chain chain = {&one, why->trace, why->trace->model, sources};

    for (uint32_t i = 0; i < why->n_steps; i++) {
        struct text time = {0};
        const struct chain clock = {&time, why->trace, chain.model, sources};

        at_time(&clock, why->steps[i].scan);
        text_clear(&one);
        text_printf(&one, "%4u.  %5s  ", (unsigned)i + 1, text_str(&time));
        say_step(&chain, why, &why->steps[i]);
        text_add(&one, "\n");
        caption_wrap(out, text_str(&one), COLUMNS, HANGING);
        text_release(&time);
    }
    add_rest(out, &chain, why);
    text_release(&one);
}
