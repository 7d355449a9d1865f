#include "study/findings.h"

#include <stddef.h>

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
    return bad ? 1 : open ? 3 : 0;
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
