#include "tests/support/made_drive.h"

struct drive drive_begin(struct hand *hand)
{
    struct drive drive = {.hand = hand};

    drive.machine = machine_new(hand->arena, &hand->model);
    drive.state = arena_array(hand->arena, machine_words(drive.machine),
                              sizeof(int64_t));
    drive.setting.first = true;
    return drive;
}

void drive_scan(struct drive *drive)
{
    if (drive->setting.first)
        machine_start(drive->machine, drive->choices, drive->state);
    drive->last = machine_step(drive->machine, &drive->setting,
                               drive->choices, drive->state);
    drive->setting.first = false;
}

int64_t drive_value(const struct drive *drive, enum place_kind kind,
                    uint32_t index)
{
    struct place_id place = {kind, index};

    return machine_place(drive->machine, drive->state, place, INT64_MAX);
}
