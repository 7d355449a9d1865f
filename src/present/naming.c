#include "present/naming.h"

#include <string.h>

#include "base/name.h"
#include "base/text.h"
#include "check/model.h"

void naming_slot(struct text *out, const struct model *model, uint32_t slot)
{
    const char *path = model->slots[slot].path;
    const char *dot = name_point(path);
    bool inside = model->slots[slot].home == SLOT_MACHINE ||
                  model->slots[slot].home == SLOT_RECORDER ||
                  (model->slots[slot].home == SLOT_PROGRAM &&
                   model->n_programs + model->n_called == 1);

    for (uint32_t i = 0; i < model->n_actuators; i++)
        if (model->actuators[i].command == slot)
            text_add(out, "COMMANDED ");
    text_add(out, dot != NULL && inside ? dot + 1 : path);
}

const char *naming_file(const struct sources *sources, uint32_t file)
{
    const char *path = sources_path(sources, file);
    const char *slash = strrchr(path, '/');

    return slash != NULL ? slash + 1 : path;
}

void naming_place(struct text *out, const struct sources *sources,
                  struct span span)
{
    text_printf(out, "%s, line %u", naming_file(sources, span.file),
                (unsigned)sources_place(sources, span).line);
}

const char *naming_operated(enum signal_kind kind)
{
    return kind == SIGNAL_STOP     ? "pressed"
           : kind == SIGNAL_SWITCH ? "on"
                                   : "held";
}
