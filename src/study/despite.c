#include "study/despite.h"

#include "check/model.h"
#include "study/question.h"

struct despite despite_of(const struct study *study, uint32_t requirement)
{
    const struct requirement *asked =
        &study->model->requirements[requirement];

    if (study->instead != NULL)
        return *study->instead;
    return (struct despite){.faults = asked->despite,
                            .allowed = asked->despite_of};
}

void despite_ask(const struct study *study, uint32_t requirement,
                 struct question *question)
{
    const struct despite despite = despite_of(study, requirement);

    question->faults = despite.faults;
    question->allowed = despite.allowed;
    question->forbidden = despite.forbidden;
    question->n_forbidden = despite.n_forbidden;
}
