#include "cli/only.h"

#include <string.h>
#include <strings.h>

#include "check/model.h"
#include "cli/out.h"

bool only_mark(const struct model *model, const char *list, bool *only)
{
    while (*list != '\0') {
        size_t n = strcspn(list, ",");
        bool found = false;

        for (uint32_t r = 0; r < model->n_requirements; r++) {
            const struct name *name = model->requirements[r].name;

            if (name->length == n &&
                strncasecmp(name->spelling, list, n) == 0)
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
