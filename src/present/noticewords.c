#include "present/noticewords.h"

#include "base/text.h"
#include "check/model.h"
#include "present/amount.h"
#include "reference/replay.h"
#include "study/despite.h"
#include "study/noticed.h"

void noticewords_condition(struct text *out,
                           const struct requirement *requirement)
{
    const struct limit *within = &requirement->within;

    if (requirement->another)
        text_add(out, ", and another after one that is not always noticed");
    if (requirement->noticed != NULL)
        text_add(out, " · except until it is noticed");
    if (within->wanted == 0)
        return;
    text_add(out, " · except within ");
    amount_seconds(out, within->wanted);
    text_add(out, " of a fault");
    if (within->sampled)
        text_add(out, " as sampled");
    if (within->judged != within->wanted) {
        text_add(out, " judged as ");
        amount_seconds(out, within->judged);
    }
}

static void add_one(struct text *out, const struct cause *cause,
                    const struct noticed_finding *noticed)
{
    text_printf(out, "%s: %s", cause->name->spelling,
                noticed_words(noticed->noticed));
    if (noticed->sequence == NULL)
        return;
    text_add(out, ", unnoticed at a demand after ");
    amount_of(out, noticed->sequence->n_scans, "scan");
}

static bool comes_and_goes(const struct model *model,
                           const struct cause *cause)
{
    for (uint32_t i = 0; i < cause->n_members; i++)
        if (model->faults[cause->members[i]].timing == TIMING_INTERMITTENT)
            return true;
    return false;
}

void noticewords_lines(struct text *out, const struct model *model,
                       const struct requirement_finding *finding,
                       uint32_t indent)
{
    const struct despite *despite = finding->despite;
    uint32_t in_time = 0, late = 0;
    bool goes = false;

    if (despite == NULL || despite->noticed == NULL)
        return;
    for (uint32_t c = 0; c < model->n_causes; c++) {
        if (!despite->allowed[c])
            continue;
        goes = goes || comes_and_goes(model, &model->causes[c]);
        if (despite->noticed[c].noticed == NOTICED_BEFORE_DEMAND) {
            in_time++;
            continue;
        }
        late++;
        text_pad(out, ' ', indent);
        text_add(out, "another after ");
        add_one(out, &model->causes[c], &despite->noticed[c]);
        text_add(out, "\n");
    }
    if (in_time > 0) {
        text_pad(out, ' ', indent);
        text_add(out, late == 0
                          ? "each of these faults is always noticed before "
                            "the next demand\n"
                          : "the others are always noticed before the next "
                            "demand\n");
    }
    if (!goes)
        return;
    text_pad(out, ' ', indent);
    text_add(out, "faults that come and go are taken as staying where it is "
                  "asked whether they are noticed\n");
}

const char *noticewords_way(const struct requirement_finding *finding)
{
    return finding->perhaps_shorter
               ? "a way to break it (faults that are perhaps not noticed "
                 "may do so sooner)"
               : "the shortest way to break it";
}
