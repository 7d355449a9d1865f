#include "study/findings.h"

#include <stddef.h>

#include "check/model.h"

static bool open_verdict(enum verdict verdict)
{
    return verdict == VERDICT_NOT_DECIDED || verdict == VERDICT_NOT_FINISHED;
}

static bool bad_verdict(enum verdict verdict)
{
    return verdict == VERDICT_BROKEN || verdict == VERDICT_NOT_TESTED;
}

int findings_exit_code(const struct findings *findings)
{
    bool bad = false, open = false;

    if (findings->internal_error != NULL)
        return 4;
    for (uint32_t i = 0; i < findings->n_requirements; i++) {
        bad = bad || bad_verdict(findings->requirements[i].verdict);
        open = open || open_verdict(findings->requirements[i].verdict);
    }
    for (uint32_t i = 0; i < findings->n_dead_ends; i++) {
        bad = bad || !findings->dead_ends[i].leans;
        open = true;
    }
    for (uint32_t i = 0; i < findings->n_errors; i++) {
        bad = bad || bad_verdict(findings->errors[i].verdict);
        open = open || open_verdict(findings->errors[i].verdict);
    }
    for (uint32_t i = 0; i < findings->model->n_used; i++)
        bad = bad || findings->model->used[i].n_unexplained > 0;
    return bad ? 1 : open ? 3 : 0;
}

uint32_t findings_nearest_away(const struct findings *findings)
{
    uint32_t nearest = findings->n_errors;

    for (uint32_t i = 0; i < findings->n_errors; i++)
        if (findings->errors[i].stop == STOP_AWAY &&
            (nearest == findings->n_errors ||
             findings->errors[i].away < findings->errors[nearest].away))
            nearest = i;
    return nearest;
}

const char *verdict_words(enum verdict verdict)
{
    static const char *const words[] = {
        [VERDICT_KEPT] = "kept",
        [VERDICT_BROKEN] = "broken",
        [VERDICT_NOT_TESTED] = "not put to the test",
        [VERDICT_NOT_DECIDED] = "not decided",
        [VERDICT_NOT_FINISHED] = "not finished",
    };

    return words[verdict];
}
