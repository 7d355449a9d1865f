#include "study/despite.h"

#include "check/model.h"

struct despite despite_of(const struct study *study, uint32_t requirement)
{
    const struct requirement *asked =
        &study->model->requirements[requirement];

    if (study->instead != NULL)
        return *study->instead;
    return (struct despite){.faults = asked->despite,
                            .allowed = asked->despite_of};
}
