#include "present/faultcsv.h"

#include "base/text.h"
#include "check/model.h"
#include "present/csv.h"
#include "present/faultwords.h"
#include "present/quote.h"
#include "reference/replay.h"
#include "study/faultclass.h"
#include "study/noticed.h"

/* Headings; those behind `class` are filled in by people. */
static const char heading[] =
    "faults,item,where it stands,failure mode,when it is there,what fails,"
    "faults at once,requirement,what it asks,effect,scans,milliseconds,"
    "detection means,noticed,unnoticed at a demand after scans,"
    "second fault after unnoticed,class,function,cause,local effect,"
    "existing provisions,severity,occurrence,detection rating,"
    "\"action, owner, date\",remark\r\n";
static const char blank[] = ",,,,,,,,,\r\n";

/* What a file is made from. */
struct sheet {
    struct text *out;
    const struct fault_findings *found;
    const struct model *model;
    const struct sources *sources;
};

/* ---- the faults ---- */

typedef void say(struct text *out, const struct model *model,
                 const struct cause *cause);

static void say_name(struct text *out, const struct model *model,
                     const struct cause *cause)
{
    (void)model;
    text_add(out, cause->name->spelling);
}

static void say_title(struct text *out, const struct model *model,
                      const struct cause *cause)
{
    text_printf(out, "%s%s", cause->title, cause->group ? "; " : "");
    faultwords_members(out, model, cause);
}

static void say_timing(struct text *out, const struct model *model,
                       const struct cause *cause)
{
    text_add(out, faultwords_timing(model, cause));
}

/* Of each fault of a set, in one cell. */
static void add_each(const struct sheet *sheet, const uint32_t *causes,
                     uint32_t n, const char *between, say *what)
{
    struct text cell = {0};

    for (uint32_t i = 0; i < n; i++) {
        if (i > 0)
            text_add(&cell, between);
        what(&cell, sheet->model, &sheet->model->causes[causes[i]]);
    }
    csv_quoted(sheet->out, text_str(&cell));
    text_add_char(sheet->out, ',');
    text_release(&cell);
}

static void add_set(const struct sheet *sheet, const uint32_t *causes,
                    uint32_t n)
{
    add_each(sheet, causes, n, " + ", say_name);
    add_each(sheet, causes, n, " + ", faultwords_item);
    add_each(sheet, causes, n, " + ", faultwords_where);
    add_each(sheet, causes, n, " + ", faultwords_mode);
    add_each(sheet, causes, n, " + ", say_timing);
    add_each(sheet, causes, n, "; ", say_title);
    text_printf(sheet->out, "%u,", n);
}

static void add_requirement(const struct sheet *sheet, uint32_t number)
{
    const struct requirement *requirement =
        &sheet->model->requirements[number];

    csv_quoted(sheet->out, requirement->name->spelling);
    text_add_char(sheet->out, ',');
    csv_quoted(sheet->out, requirement->title);
    text_add_char(sheet->out, ',');
}

/* ---- detection and class ---- */

/* Those of several that alone are not always noticed in time. */
static void add_second(const struct sheet *sheet, const uint32_t *causes,
                       uint32_t n)
{
    struct text names = {0};

    for (uint32_t i = 0; n > 1 && i < n; i++)
        if (sheet->found->noticed[causes[i]]->noticed !=
            NOTICED_BEFORE_DEMAND)
            text_printf(&names, "%s%s", names.n > 0 ? ", " : "",
                        sheet->model->causes[causes[i]].name->spelling);
    csv_quoted(sheet->out, text_str(&names));
    text_release(&names);
}

static void add_noticed(const struct sheet *sheet, const uint32_t *causes,
                        uint32_t n)
{
    const struct noticed_finding *noticed =
        fault_notice(sheet->found, causes, n);
    struct text means = {0};

    if (noticed == NULL) {
        text_add(sheet->out, ",no NOTICING declared,,");
        return;
    }
    quote_span(&means, sheet->sources,
               sheet->model->noticing.diagnostic->span);
    csv_quoted(sheet->out, text_str(&means));
    text_printf(sheet->out, ",%s,", noticed_words(noticed->noticed));
    if (noticed->sequence != NULL)
        text_printf(sheet->out, "%u", noticed->sequence->n_scans);
    text_add_char(sheet->out, ',');
    add_second(sheet, causes, n);
    text_release(&means);
}

static void end_row(const struct sheet *sheet, const uint32_t *causes,
                    uint32_t n)
{
    add_noticed(sheet, causes, n);
    text_add_char(sheet->out, ',');
    csv_quoted(sheet->out, fault_class_words(
                               fault_class_of(sheet->found, causes, n)));
    text_add(sheet->out, blank);
}

/* ---- rows ---- */

static void add_breaking(const struct sheet *sheet,
                         const struct fault_set *set, uint32_t requirement)
{
    const struct replay *replay = set->found.sequence;

    add_set(sheet, set->causes, set->n);
    add_requirement(sheet, requirement);
    text_add(sheet->out, verdict_words(set->found.verdict));
    if (replay != NULL)
        text_printf(sheet->out, ",%u,%lld,", replay->n_scans,
                    (long long)replay_time(sheet->model, replay,
                                           replay->n_scans - 1));
    else
        text_add(sheet->out, ",,,");
    end_row(sheet, set->causes, set->n);
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

static void add_singles(const struct sheet *sheet)
{
    const struct fault_findings *found = sheet->found;

    for (uint32_t c = 0; c < sheet->model->n_causes; c++)
        for (uint32_t r = 0; found->of[c] && r < found->n_requirements; r++) {
            const struct requirement_faults *asked = &found->requirements[r];

            if (breaks(asked, c))
                continue;
            add_set(sheet, &c, 1);
            add_requirement(sheet, asked->requirement);
            text_printf(sheet->out, "%s,,,", rest(asked));
            end_row(sheet, &c, 1);
        }
}

/* ---- what never appears ---- */

static void add_reason(struct text *out, const struct fault *fault)
{
    text_printf(out, "excluded: %s, ",
                fault->because != NULL && *fault->because != '\0'
                    ? fault->because : "without a reason");
    if (fault->confirmed_by != NULL)
        text_printf(out, "confirmed by %s", fault->confirmed_by);
    else
        text_add(out, "not confirmed by anybody");
}

static void add_exclusion(const struct sheet *sheet, uint32_t number)
{
    const struct fault *fault = &sheet->model->faults[number];
    const struct cause alone = {.name = fault->name, .title = fault->title,
                                .members = &number, .n_members = 1};
    static say *const says[] = {say_name, faultwords_item, faultwords_where,
                                faultwords_mode};
    struct text reason = {0};

    for (size_t i = 0; i < sizeof says / sizeof *says; i++) {
        struct text cell = {0};

        says[i](&cell, sheet->model, &alone);
        csv_quoted(sheet->out, text_str(&cell));
        text_add_char(sheet->out, ',');
        text_release(&cell);
    }
    text_add(sheet->out, "never,");
    csv_quoted(sheet->out, fault->title);
    text_add(sheet->out, ",0,,,");
    add_reason(&reason, fault);
    csv_quoted(sheet->out, text_str(&reason));
    text_add(sheet->out, ",,,,,,,");
    text_add(sheet->out, blank);
    text_release(&reason);
}

void faultcsv_add(struct text *out, const struct fault_findings *found,
                  const struct sources *sources)
{
    const struct sheet sheet = {out, found, found->findings->model, sources};

    text_add(out, heading);
    for (uint32_t r = 0; r < found->n_requirements; r++)
        for (uint32_t i = 0; i < found->requirements[r].n_sets; i++)
            add_breaking(&sheet, &found->requirements[r].sets[i],
                         found->requirements[r].requirement);
    add_singles(&sheet);
    for (uint32_t f = 0; f < sheet.model->n_faults; f++)
        if (sheet.model->faults[f].excluded)
            add_exclusion(&sheet, f);
}
