#include "present/testedwords.h"

#include "base/text.h"
#include "study/tested.h"

static void add_steps(struct text *out, uint32_t n)
{
    text_printf(out, "%u step%s", n, n == 1 ? "" : "s");
}

void testedwords_requirement(struct text *out, const struct tested *tested,
                             uint32_t requirement)
{
    const struct tested_requirement *r = &tested->requirements[requirement];

    if (r->n == 0) {
        text_printf(out, "the test sheet of %s by %s has no step for it",
                    tested->date, tested->by);
        return;
    }
    text_printf(out, "tested on the machine on %s by %s: ", tested->date,
                tested->by);
    if (r->n_not > 0)
        text_printf(out, "not as expected, in %u of ", r->n_not);
    else if (r->n_open > 0)
        text_printf(out, "not finished, open are %u of ", r->n_open);
    else if (r->n_not_possible > 0)
        text_printf(out, "not possible here, in %u of ", r->n_not_possible);
    else
        text_add(out, "as expected, ");
    add_steps(out, r->n);
}

void testedwords_sheet(struct text *out, const struct tested *tested)
{
    text_printf(out, "Test sheet filled in on %s by %s: ", tested->date,
                tested->by);
    add_steps(out, tested->n);
    text_printf(out, ", %u not filled in, %u not as expected.\n",
                tested->n_open, tested->n_wrong);
    for (uint32_t i = 0; i < tested->n_wrong; i++)
        text_printf(out, "  step %s.%s was not as expected%s%s\n",
                    tested->wrong[i].sequence, tested->wrong[i].step,
                    tested->wrong[i].remark[0] != '\0' ? ": " : "",
                    tested->wrong[i].remark);
    text_add(out, "What was tested by hand says nothing about what was not on "
                  "the sheet.\n");
}
