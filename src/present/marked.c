#include "present/marked.h"

#include <stdio.h>
#include <string.h>

#include "base/name.h"
#include "base/text.h"
#include "check/model.h"
#include "present/causewords.h"
#include "reference/replay.h"
#include "study/why.h"

/* The step that tells how this thing changed in this scan; 0: none. */
static uint32_t number_of(const struct why *why, enum trace_thing thing,
                          uint32_t index, uint32_t scan)
{
    for (uint32_t i = 0; i < why->n_steps; i++) {
        const struct fact *fact = &why->steps[i].fact;

        if (fact->thing == thing && fact->index == index &&
            fact->since == scan + 1 && why->steps[i].scan == scan + 1)
            return i + 1;
    }
    return 0;
}

static uint32_t number_of_row(const struct why *why, uint32_t row,
                              uint32_t scan)
{
    const struct choice *choice = &why->trace->model->choices[row];

    return number_of(why, choice->kind == CHOICE_OPERATOR ? THING_HAND
                                                          : THING_SLOT,
                     choice->of, scan);
}

/* Copies one line and adds the number. */
static const char *copy_line(struct text *out, const char *at,
                             uint32_t number)
{
    size_t n = strcspn(at, "\n");

    text_add_bytes(out, at, n);
    if (number > 0)
        text_printf(out, " (%u)", (unsigned)number);
    text_add(out, "\n");
    return at + n + (at[n] == '\n');
}

static void replace(struct text *cell, struct text *with)
{
    text_release(cell);
    *cell = *with;
}

/* One line for each row that changed, in the order of the rows. */
void marked_operator(struct text *cell, const struct why *why,
                     const struct replay *replay, uint32_t scan)
{
    const struct model *model = why->trace->model;
    struct text out = {0};
    const char *at = text_str(cell);

    for (uint32_t i = 0; i < model->n_choices && *at != '\0'; i++) {
        uint32_t was = scan == 0 ? model->choices[i].rest
                                 : replay->scans[scan - 1].choices[i];

        if (model->choices[i].kind >= CHOICE_OPERATOR &&
            model->choices[i].kind < CHOICE_UNCOMMANDED &&
            replay->scans[scan].choices[i] != was)
            at = copy_line(&out, at, number_of_row(why, i, scan));
    }
    text_add(&out, at);
    replace(cell, &out);
}

static uint32_t number_of_line(const struct why *why, const char *line,
                               uint32_t scan)
{
    const struct model *model = why->trace->model;

    for (uint32_t f = 0; f < 2 * model->n_faults; f++) {
        struct text words = {0};
        bool same;

        causewords_change(&words, model, f / 2, f % 2 == 0);
        same = strncmp(line, text_str(&words),
                       strcspn(text_str(&words), ":") + 1) == 0;
        text_release(&words);
        if (same)
            return number_of(why, THING_FAULT, f / 2, scan);
    }
    if (strncmp(line, "power ", 6) == 0)
        return number_of(why, THING_POWER, 0, scan);
    for (uint32_t s = 0; s < model->n_slots; s++) {
        const char *path = model->slots[s].path, *dot = name_point(path);
        const char *name = dot != NULL ? dot + 1 : path;
        size_t n = strlen(name);

        if (model->slots[s].home == SLOT_MACHINE &&
            strncmp(line, name, n) == 0 && line[n] == ' ')
            return number_of(why, THING_SLOT, s, scan);
    }
    return 0;
}

void marked_machine(struct text *cell, const struct why *why, uint32_t scan)
{
    struct text out = {0};
    const char *at = text_str(cell);

    while (*at != '\0')
        at = copy_line(&out, at, number_of_line(why, at, scan));
    replace(cell, &out);
}
