#include "cli/only.h"

#include <string.h>
#include <strings.h>

#include "check/model.h"
#include "cli/out.h"

static bool is_name(const struct name *name, const char *list, size_t n)
{
    return name->length == n && strncasecmp(name->spelling, list, n) == 0;
}

/* The name of a USE stands for all that it asks for. */
static bool is_use(const struct model *model,
                   const struct requirement *requirement, const char *list,
                   size_t n)
{
    return requirement->used != MODEL_NONE &&
           is_name(model->used[requirement->used].name, list, n);
}

bool only_mark(const struct model *model, const char *list, bool *only)
{
    while (*list != '\0') {
        size_t n = strcspn(list, ",");
        bool found = false;

        for (uint32_t r = 0; r < model->n_requirements; r++) {
            const struct name *name = model->requirements[r].name;

            if (is_name(name, list, n) ||
                is_use(model, &model->requirements[r], list, n))
                only[r] = found = true;
        }
        if (!found) {
            out_complain("there is no requirement '%.*s' in this review",
                         (int)n, list);
            return false;
        }
        list += n + (list[n] == ',');
    }
    return true;
}
