#include "present/faultcsv.h"

#include "base/text.h"
#include "check/model.h"
#include "reference/replay.h"
#include "study/faults.h"

/* Headings; those behind `effect` are filled in by people. */
static const char heading[] =
    "faults,what fails,faults at once,requirement,what it asks,effect,"
    "scans,milliseconds,item,function,cause,local effect,"
    "existing provisions,severity,occurrence,detection rating,"
    "\"action, owner, date\",remark\r\n";
static const char blank[] = ",,,,,,,,,,\r\n";

static void add_quoted(struct text *out, const char *string)
{
    text_add_char(out, '"');
    for (; *string != '\0'; string++) {
        if (*string == '"')
            text_add_char(out, '"');
        text_add_char(out, *string);
    }
    text_add_char(out, '"');
}

static void add_set(struct text *out, const struct model *model,
                    const uint32_t *causes, uint32_t n)
{
    struct text names = {0}, titles = {0};

    for (uint32_t i = 0; i < n; i++) {
        const struct cause *fault = &model->causes[causes[i]];

        text_printf(&names, "%s%s", i == 0 ? "" : " + ",
                    fault->name->spelling);
        text_printf(&titles, "%s%s", i == 0 ? "" : "; ", fault->title);
    }
    add_quoted(out, text_str(&names));
    text_add_char(out, ',');
    add_quoted(out, text_str(&titles));
    text_printf(out, ",%u,", n);
    text_release(&names);
    text_release(&titles);
}

static void add_requirement(struct text *out, const struct model *model,
                            uint32_t number)
{
    const struct requirement *requirement = &model->requirements[number];

    add_quoted(out, requirement->name->spelling);
    text_add_char(out, ',');
    add_quoted(out, requirement->title);
    text_add_char(out, ',');
}

static void add_breaking(struct text *out, const struct model *model,
                         const struct fault_set *set, uint32_t requirement)
{
    const struct replay *replay = set->found.sequence;

    add_set(out, model, set->causes, set->n);
    add_requirement(out, model, requirement);
    text_add(out, verdict_words(set->found.verdict));
    if (replay != NULL)
        text_printf(out, ",%u,%lld", replay->n_scans,
                    (long long)replay_time(model, replay,
                                           replay->n_scans - 1));
    else
        text_add(out, ",,");
    text_add(out, blank);
}

static bool breaks(const struct requirement_faults *asked, uint32_t cause)
{
    for (uint32_t i = 0; i < asked->n_sets; i++)
        if (asked->sets[i].n == 1 && asked->sets[i].causes[0] == cause)
            return true;
    return false;
}

/* How a requirement stands with a single fault that was not found to break
 * it. */
static const char *rest(const struct requirement_faults *asked)
{
    if (asked->n_sizes == 0)
        return asked->sound.verdict == VERDICT_BROKEN
                   ? "broken without any fault" : "not asked";
    return asked->sizes[0].verdict == VERDICT_NOT_TESTED
               ? "not put to the test" : verdict_words(asked->sizes[0].verdict);
}

static void add_singles(struct text *out, const struct fault_findings *found)
{
    const struct model *model = found->findings->model;

    for (uint32_t c = 0; c < model->n_causes; c++)
        for (uint32_t r = 0; found->of[c] && r < found->n_requirements; r++) {
            const struct requirement_faults *asked = &found->requirements[r];

            if (breaks(asked, c))
                continue;
            add_set(out, model, &c, 1);
            add_requirement(out, model, asked->requirement);
            text_printf(out, "%s,,%s", rest(asked), blank);
        }
}

void faultcsv_add(struct text *out, const struct fault_findings *found)
{
    text_add(out, heading);
    for (uint32_t r = 0; r < found->n_requirements; r++)
        for (uint32_t i = 0; i < found->requirements[r].n_sets; i++)
            add_breaking(out, found->findings->model,
                         &found->requirements[r].sets[i],
                         found->requirements[r].requirement);
    add_singles(out, found);
}
