#include "study/faultclass.h"

#include <string.h>

#include "base/ensure.h"
#include "check/model.h"
#include "study/noticed.h"

const char *fault_class_words(enum fault_class class)
{
    switch (class) {
    case FAULT_NO_EFFECT: return "no effect on what was asked";
    case FAULT_SAFE: return "safe as far as was asked";
    case FAULT_NOTICED: return "dangerous, noticed";
    case FAULT_UNNOTICED: return "dangerous, not always noticed";
    case FAULT_NOTICE_OPEN: return "dangerous, noticing not known";
    case FAULT_OPEN: return "not known";
    }
    ENSURE(!"a class");
    return "";
}

static bool is_set(const struct fault_set *set, const uint32_t *causes,
                   uint32_t n)
{
    return set->n == n &&
           memcmp(set->causes, causes, n * sizeof *causes) == 0;
}

/* Does it break this requirement?  NULL: it was not found to. */
static const struct fault_set *breaks(const struct requirement_faults *asked,
                                      const uint32_t *causes, uint32_t n)
{
    for (uint32_t i = 0; i < asked->n_sets; i++)
        if (is_set(&asked->sets[i], causes, n))
            return &asked->sets[i];
    return NULL;
}

const struct noticed_finding *
fault_notice(const struct fault_findings *found, const uint32_t *causes,
             uint32_t n)
{
    if (n == 1)
        return found->noticed == NULL ? NULL : found->noticed[*causes];
    for (uint32_t r = 0; r < found->n_requirements; r++) {
        const struct fault_set *set = breaks(&found->requirements[r], causes,
                                             n);

        if (set != NULL)
            return set->noticed;
    }
    return NULL;
}

static bool is_open(enum verdict verdict)
{
    return verdict == VERDICT_NOT_DECIDED || verdict == VERDICT_NOT_FINISHED;
}

/* Where nothing was found: was all of it looked at?  What is broken without
 * any fault says nothing of faults. */
static bool is_known(const struct requirement_faults *asked, uint32_t n)
{
    for (uint32_t size = 1; size <= n && size <= asked->n_sizes; size++)
        if (is_open(asked->sizes[size - 1].verdict))
            return false;
    return asked->n_sizes >= n;
}

/* The way to something is lost, and no hazard lies in that. */
static bool is_harmless(const struct requirement *requirement)
{
    return (requirement->form == FORM_POSSIBLE ||
            requirement->form == FORM_POSSIBLE_AGAIN) &&
           requirement->n_hazards == 0;
}

static enum fault_class dangerous(const struct noticed_finding *noticed)
{
    if (noticed == NULL)
        return FAULT_NOTICE_OPEN;
    switch (noticed->noticed) {
    case NOTICED_BEFORE_DEMAND: case NOTICED_IN_CYCLE: return FAULT_NOTICED;
    case NOTICED_SOMETIMES: case NOTICED_NEVER: case NOTICED_NO_DEMAND:
        return FAULT_UNNOTICED;
    default:
        /* A way past a demand was found, whatever is not known besides. */
        return noticed->sequence != NULL ? FAULT_UNNOTICED
                                         : FAULT_NOTICE_OPEN;
    }
}

enum fault_class fault_class_of(const struct fault_findings *found,
                                const uint32_t *causes, uint32_t n)
{
    const struct model *model = found->findings->model;
    bool harmless = false, known = true;

    for (uint32_t r = 0; r < found->n_requirements; r++) {
        const struct requirement_faults *asked = &found->requirements[r];
        const struct fault_set *set = breaks(asked, causes, n);

        if (set == NULL)
            known = known && is_known(asked, n);
        else if (set->found.verdict != VERDICT_BROKEN)
            known = false;
        else if (is_harmless(&model->requirements[asked->requirement]))
            harmless = true;
        else
            return dangerous(fault_notice(found, causes, n));
    }
    if (!known)
        return FAULT_OPEN;
    return harmless ? FAULT_SAFE : FAULT_NO_EFFECT;
}
