/* made_drive.h - a hand-built model on its way, scan after scan. */
#ifndef KEEPCLEAR_TESTS_MADE_DRIVE_H
#define KEEPCLEAR_TESTS_MADE_DRIVE_H

#include "reference/machine.h"
#include "tests/support/made_model.h"

struct drive {
    struct hand *hand;
    struct machine *machine;
    struct step_setting setting;
    uint32_t choices[MADE_MOST]; /* of the next scan */
    int64_t *state;
    const struct step_result *last;
};

/* At power-up, no fault allowed; lives in the hand's arena. */
struct drive drive_begin(struct hand *hand);

/* One scan with the choices as they stand. */
void drive_scan(struct drive *drive);

/* What is remembered now. */
int64_t drive_value(const struct drive *drive, enum place_kind kind,
                    uint32_t index);

#endif
