#include "present/faultasked.h"

#include "base/text.h"
#include "check/model.h"
#include "present/amount.h"
#include "present/caption.h"
#include "present/columns.h"
#include "study/faults.h"

enum { COLUMNS = 100 };

/* ---- totals ---- */

enum answer { BREAKS, HOLDS, OPEN, ALREADY, ANSWERS };

static enum answer answer_of(const struct requirement_faults *asked,
                             uint32_t cause)
{
    for (uint32_t i = 0; i < asked->n_sets; i++)
        if (asked->sets[i].n == 1 && asked->sets[i].causes[0] == cause)
            return asked->sets[i].found.verdict == VERDICT_BROKEN ? BREAKS
                                                                  : OPEN;
    if (asked->n_sizes == 0)
        return asked->sound.verdict == VERDICT_BROKEN ? ALREADY : OPEN;
    switch (asked->sizes[0].verdict) {
    case VERDICT_KEPT: case VERDICT_NOT_TESTED: return HOLDS;
    default: return OPEN;
    }
}

static uint32_t count(const struct fault_findings *found,
                      uint32_t counts[ANSWERS])
{
    uint32_t n_causes = found->findings->model->n_causes, n = 0;

    for (uint32_t c = 0; c < n_causes; c++) {
        if (!found->of[c])
            continue;
        n++;
        for (uint32_t r = 0; r < found->n_requirements; r++)
            counts[answer_of(&found->requirements[r], c)]++;
    }
    return n;
}

static void add_answers(struct text *out, const uint32_t counts[ANSWERS])
{
    static const char *const words[ANSWERS] = {
        [BREAKS] = "the fault breaks the requirement",
        [HOLDS] = "it does not",
        [OPEN] = "that is not finished or not decided",
        [ALREADY] = "the requirement is broken without any fault"};
    bool any = false;

    for (int i = 0; i < ANSWERS; i++) {
        if (counts[i] == 0 && i != BREAKS)
            continue;
        text_add(out, any ? ", in " : "in ");
        amount_add(out, counts[i]);
        text_printf(out, " %s", words[i]);
        any = true;
    }
    text_add(out, ". How to read the tables stands below them.\n");
}

void faultasked_totals(struct text *out, const struct fault_findings *found)
{
    uint32_t counts[ANSWERS] = {0}, n = count(found, counts);
    struct text line = {0};

    amount_of(&line, n, "fault");
    text_printf(&line, ", each put in alone at every moment%s, and ",
                found->together > 1 ? " (sets of several are told further "
                                      "down)" : "");
    amount_of(&line, found->n_requirements, "requirement");
    text_add(&line, " asked of each. Of ");
    amount_of(&line, (uint64_t)n * found->n_requirements, "answer");
    text_add(&line, ": ");
    add_answers(&line, counts);
    caption_wrap(out, text_str(&line), COLUMNS, 0);
    text_add(out, "\n");
    text_release(&line);
}

/* ---- how to read it ---- */

struct entry {
    const char *word, *meaning;
    bool notices; /* only where there is NOTICING */
};

static const struct entry entries[] = {
    {"once there", "the fault stays from then on, comes and goes, or is there "
                   "from power-up on or never", false},
    {"breaks", "the requirements that do not hold with this fault, and how "
               "long after power-up the shortest sequence breaks it; "
               "--examples writes that down. No way left: what should be "
               "possible is not, with this fault there", false},
    {"noticed", "does the machine itself show the fault (DIAGNOSTIC of the "
                "review text) by the time the function is needed again "
                "(DEMAND)? A time behind it: so long after power-up, at the "
                "earliest, a demand can pass unnoticed", true},
    {"no demand", "no demand comes after it: with this fault the function "
                  "cannot be asked for any more", true},
    {"not put to the test", "without a fault nothing ever happens that the "
                            "requirement speaks of, or the program has no "
                            "part in keeping it", false},
    {"dangerous", "a requirement breaks that stands against a hazard or says "
                  "more than that something must be possible", false},
    {"no effect", "no requirement that was asked breaks; with a second fault "
                  "it may be otherwise (--together 2)", false},
};

void faultasked_legend(struct text *out, const struct fault_findings *found)
{
    static const unsigned width[] = {19, 77};

    text_add(out, "How to read this\n\n");
    for (size_t i = 0; i < sizeof entries / sizeof *entries; i++) {
        if (entries[i].notices && found->noticed == NULL)
            continue;
        columns_row(out, (const char *const[]){entries[i].word,
                                               entries[i].meaning},
                    width, 2);
    }
    text_add(out, "\n");
    caption_wrap(out,
                 "--as csv writes a row for each fault and requirement. "
                 "Function, cause, local effect, existing provisions, "
                 "severity, occurrence, detection rating, action and remark "
                 "stay blank there: people fill them in.\n", COLUMNS, 0);
    text_add(out, "\n");
}
