#include "present/matchwords.h"

#include "base/text.h"
#include "check/model.h"
#include "present/amount.h"
#include "present/say.h"
#include "study/match.h"

static const struct recorded_column *
column_of(const struct match_findings *found, uint32_t i)
{
    return &found->recording->columns[found->recording->meant[i]];
}

static void add_value(struct text *out, const struct match_findings *found,
                      uint32_t i, int64_t value)
{
    say_value(out, column_of(found, i)->meaning.type, value);
}

/* "'up' (COMMANDED up)" */
static void add_column(struct text *out, const struct match_findings *found,
                       uint32_t i)
{
    const struct recorded_column *c = column_of(found, i);

    text_printf(out, "'%s' (%s)", c->heading, c->meaning.name);
}

/* ---- conditions ---- */

static void add_conditions(struct text *out,
                           const struct match_findings *found)
{
    const struct match_setting *setting = found->setting;
    const struct recording *log = found->recording;

    text_printf(out, "   begins %s \302\267 ",
                setting->anywhere ? "in any reachable situation"
                                  : "with the first scan after power-up");
    if (setting->faults == 0)
        text_add(out, "no fault");
    else
        amount_of(out, setting->faults, "fault"),
            text_add(out, " at most");
    if (!log->has_time)
        text_add(out, " \302\267 no column of moments: each row one scan");
    else if (setting->jitter != 0)
        text_printf(out, " \302\267 moments right but for %lld ms",
                    (long long)setting->jitter);
    if (setting->recording.changes)
        text_add(out, " \302\267 only changes were recorded");
    text_add(out, "\n   memory: at most ");
    amount_add(out, found->most_bytes >> 20);
    text_add(out, " MiB for situations, however many rows there are\n");
}

static void add_left_out(struct text *out,
                         const struct match_findings *found)
{
    for (uint32_t i = 0; i < found->recording->n_columns; i++) {
        const struct recorded_column *c = &found->recording->columns[i];

        if (!c->time && c->meaning.name == NULL)
            text_printf(out, "   column '%s' was left out: %s\n", c->heading,
                        c->meaning.why_not);
    }
}

/* ---- what the log could have shown ---- */

static void add_shown(struct text *out, const struct match_findings *found)
{
    uint32_t silent = 0, n = found->recording->n_meant;

    text_add(out, "What this log could have shown:\n");
    for (uint32_t i = 0; i < n; i++) {
        const struct match_column *c = &found->columns[i];

        text_add(out, "   ");
        add_column(out, found, i);
        if (c->given == 0)
            text_add(out, ": nothing was recorded");
        else if (c->shown == 0)
            text_add(out, ": any other value would have been accepted at "
                          "once, in every row");
        else
            text_printf(out, ": another value would have been rejected, at "
                             "first in line %llu",
                        (unsigned long long)c->shown);
        text_add_char(out, '\n');
        silent += c->shown == 0;
    }
    if (silent == n)
        text_add(out, "   This log says nothing about the model: no value in "
                      "it could have been wrong at once.\n");
}

/* ---- where it does not fit ---- */

static void add_possible(struct text *out,
                         const struct match_findings *found, uint32_t i)
{
    const struct match_column *c = &found->columns[i];
    const struct recording *log = found->recording;

    text_add(out, "   ");
    add_column(out, found, i);
    text_add(out, log->given[i] ? ": recorded " : ": nothing recorded");
    if (log->given[i])
        add_value(out, found, i, log->value[i]);
    if (c->n_asked == 0)
        text_add(out, "; too many values to list what was possible");
    else
        text_add(out, "; possible there ");
    for (uint32_t k = 0; k < c->n_possible; k++) {
        if (k > 0)
            text_add(out, k + 1 == c->n_possible ? " or " : ", ");
        add_value(out, found, i, c->possible[k]);
    }
    text_add_char(out, '\n');
}

static void add_alone(struct text *out, const struct match_findings *found)
{
    bool any = false;

    for (uint32_t i = 0; i < found->recording->n_meant; i++) {
        const struct match_column *c = &found->columns[i];

        if (!c->alone && !c->once)
            continue;
        text_add(out, "   if only ");
        add_column(out, found, i);
        if (c->alone)
            text_add(out, " had another value in this line, it would be "
                          "reached");
        else
            text_add(out, " had another value in one earlier line, it would "
                          "be reached");
        if (c->once)
            text_add(out, c->alone ? "; one such line is enough for the "
                                     "log to fit to its end"
                                   : ", and the log would fit to its end");
        text_add_char(out, '\n');
        any = true;
    }
    if (!any)
        text_add(out, "   no single differing signal explains it\n");
}

static void add_causes(struct text *out, const struct match_findings *found)
{
    for (uint32_t i = 0; i < found->n_causes; i++) {
        const struct cause *cause = &found->model->causes[found->causes[i]];

        text_printf(out, "   with fault %s '%s'%s the log fits to its end\n",
                    cause->name->spelling, cause->title,
                    found->setting->faults == 0 ? "" : " among them");
    }
    if (found->n_causes == 0 && found->model->n_causes == 0)
        text_add(out, "   the review declares no fault that could explain "
                      "it\n");
    else if (found->n_causes == 0 && found->fault_line != 0)
        text_printf(out, "   no %s declared fault explains it: with one the "
                    "log fits at most up to the line before %llu\n",
                    found->setting->faults == 0 ? "single" : "further",
                    (unsigned long long)found->fault_line);
}

static void add_difference(struct text *out,
                           const struct match_findings *found)
{
    text_printf(out, "Line %llu is the first that no run of the model "
                "reaches.\n", (unsigned long long)found->line);
    if (!found->goes_on)
        text_add(out, "   after the row before nothing is possible in so "
                      "short or long a time\n");
    else if (found->rows > 1) {
        text_add(out, "   from the row before to it: ");
        amount_add(out, found->least);
        if (found->most != found->least) {
            text_add(out, " to ");
            amount_add(out, found->most);
        }
        text_add(out, found->most == 1 ? " scan\n" : " scans\n");
    }
    for (uint32_t i = 0; i < found->recording->n_meant; i++)
        add_possible(out, found, i);
    text_add(out, "What would explain it:\n");
    if (!found->explained) {
        text_add(out, "   not known: the log could not be read once more, or "
                      "a limit or a signal ended the search\n");
        return;
    }
    add_alone(out, found);
    add_causes(out, found);
}

static void add_answer(struct text *out, const struct match_findings *found)
{
    switch (found->end) {
    case MATCH_FITS: text_add(out, "fits"); break;
    case MATCH_DIFFERS: text_add(out, "does not fit"); break;
    default: text_add(out, "not finished"); break;
    }
    text_printf(out, "   %s against %s \302\267 ",
                found->setting->recording.path,
                found->model->name == NULL ? "the control text alone"
                                           : found->model->name);
    amount_of(out, found->rows, "row");
    text_add_char(out, '\n');
}

void matchwords_add(struct text *out, const struct match_findings *found)
{
    add_answer(out, found);
    add_conditions(out, found);
    add_left_out(out, found);
    if (found->end == MATCH_NOT_FINISHED)
        text_printf(out, "   ended in line %llu by %s\n",
                    (unsigned long long)found->line,
                    found->explore == EXPLORE_INTERRUPTED ? "a signal"
                        : "the limit of memory: --memory raises it");
    else if (found->end == MATCH_DIFFERS)
        add_difference(out, found);
    add_shown(out, found);
    text_add(out,
             "A log that fits shows that the model allows what was recorded, "
             "and nothing about what\nwas not: it is no test of the machine, "
             "and no review by a competent person.\n");
}
