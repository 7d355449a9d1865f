#include "cli/only.h"

#include <string.h>
#include <strings.h>

#include "check/model.h"
#include "cli/out.h"

/* Names that a list may hold. */
struct choice_of_names {
    const char *noun;
    const struct name *(*name)(const struct model *model, uint32_t i);
    uint32_t n;
};

static bool mark(const struct model *model,
                 const struct choice_of_names *from, const char *list,
                 bool *marked)
{
    while (*list != '\0') {
        size_t n = strcspn(list, ",");
        bool found = false;

        for (uint32_t i = 0; i < from->n; i++) {
            const struct name *name = from->name(model, i);

            if (name->length == n &&
                strncasecmp(name->spelling, list, n) == 0)
                marked[i] = found = true;
        }
        if (!found) {
            out_complain("there is no %s '%.*s' in this review", from->noun,
                         (int)n, list);
            return false;
        }
        list += n + (list[n] == ',');
    }
    return true;
}

static const struct name *requirement_name(const struct model *model,
                                           uint32_t i)
{
    return model->requirements[i].name;
}

static const struct name *fault_name(const struct model *model, uint32_t i)
{
    return model->causes[i].name;
}

bool only_mark(const struct model *model, const char *list, bool *only)
{
    const struct choice_of_names from = {"requirement", requirement_name,
                                         model->n_requirements};

    return mark(model, &from, list, only);
}

bool only_faults(const struct model *model, const char *list, bool *of)
{
    const struct choice_of_names from = {"fault", fault_name,
                                         model->n_causes};

    return mark(model, &from, list, of);
}
