#include "cli/only.h"

#include <string.h>
#include <strings.h>

#include "check/model.h"
#include "cli/out.h"

/* Things that a list may name. */
struct nameable {
    const char *noun;
    bool (*is_named)(const struct model *model, uint32_t i, const char *list,
                     size_t n);
    uint32_t n;
};

static bool is_name(const struct name *name, const char *list, size_t n)
{
    return name->length == n && strncasecmp(name->spelling, list, n) == 0;
}

/* The name of a USE stands for all that it asks for. */
static bool is_requirement(const struct model *model, uint32_t i,
                           const char *list, size_t n)
{
    const struct requirement *requirement = &model->requirements[i];

    return is_name(requirement->name, list, n) ||
           (requirement->used != MODEL_NONE &&
            is_name(model->used[requirement->used].name, list, n));
}

static bool is_cause(const struct model *model, uint32_t i, const char *list,
                     size_t n)
{
    return is_name(model->causes[i].name, list, n);
}

static bool mark(const struct model *model, const struct nameable *from,
                 const char *list, bool *marked)
{
    while (*list != '\0') {
        size_t n = strcspn(list, ",");
        bool found = false;

        for (uint32_t i = 0; i < from->n; i++)
            if (from->is_named(model, i, list, n))
                marked[i] = found = true;
        if (!found) {
            out_complain("there is no %s '%.*s' in this review", from->noun,
                         (int)n, list);
            return false;
        }
        list += n + (list[n] == ',');
    }
    return true;
}

bool only_mark(const struct model *model, const char *list, bool *only)
{
    const struct nameable from = {"requirement", is_requirement,
                                  model->n_requirements};

    return mark(model, &from, list, only);
}

bool only_causes(const struct model *model, const char *list, bool *of)
{
    const struct nameable from = {"fault", is_cause, model->n_causes};

    return mark(model, &from, list, of);
}
