/* replay.h - a sequence played by the reference interpreter.
 *
 * No sequence is shown to anybody that was not replayed here first; what is
 * shown is taken from the record that the replay made.
 */
#ifndef KEEPCLEAR_REFERENCE_REPLAY_H
#define KEEPCLEAR_REFERENCE_REPLAY_H

#include <stdbool.h>
#include <stdint.h>

#include "reference/machine.h"

struct arena;
struct trap;

/* One scan of a replay: copies, owned by the arena. */
struct replay_scan {
    const uint32_t *choices; /* value index per choice row */
    const bool *read;        /* per choice row: had influence in this scan */
    const int64_t *state;    /* after the judging */
    const int64_t *command;  /* per actuator */
    const bool *contact;     /* per contact, sound */
    const int64_t *sensor;   /* per sensor, sound */
    int64_t time;            /* of its judging, ms from that of scan 1 on */
    bool dark, returned;
};

enum replay_claim {
    REPLAY_BREACH,   /* requirement `index` breaks at the last judging and
                        nowhere before */
    REPLAY_POSSIBLE, /* what POSSIBLE `index` looks for is there at the end */
    REPLAY_ERROR,    /* run-time error site `index` in the last scan */
    REPLAY_DEAD_END, /* after the last scan no input fits: for the POWER,
                        FAULT, START, PAST, MACHINE rows of one more row of
                        choices */
    REPLAY_TRIGGER,  /* requirement index / 2^16, trigger index % 2^16 */
    REPLAY_NOTICE,   /* enum notice_part `index` is seen in the last scan, of
                        the faults that the setting studies */
    REPLAY_ALLOWED,  /* only that the sequence is allowed */
    REPLAY_TRAP      /* POSSIBLE AGAIN `index` is asked at the last judging,
                        and from there what it looks for can never be brought
                        about, as far as that is not too large to walk */
};

struct replay {
    bool accepted;
    const char *why_not; /* a sentence for the internal error, or NULL */
    bool sooner;         /* that is: what is claimed happens sooner */
    const struct replay_scan *scans;
    uint32_t n_scans;
    const bool *branch;      /* REPLAY_ERROR: per branch site, and */
    const bool *stretch;     /* per stretch, the last scan runs into it before
                                the error; else NULL */
    const struct trap *trap; /* REPLAY_TRAP: what was walked; else NULL */
};

/* What is to be shown. */
struct replay_asked {
    const uint32_t *choices; /* length rows of n_choices value indices; for
                                REPLAY_DEAD_END one row more, whose other
                                columns are ignored; not NULL */
    uint32_t length;         /* scans */
    enum replay_claim claim;
    uint32_t index;          /* what the claim speaks of */
};

/* Plays the sequence under the setting, of which `first` is ignored.  The
 * record goes as far as the sequence was played; all of it lies in the
 * arena. */
const struct replay *replay_run(struct arena *arena, struct machine *machine,
                                const struct step_setting *setting,
                                const struct replay_asked *asked);

/* When scan number `scan` (from 0) of a sequence was judged, in ms from the
 * judging of the first one on; of the next scan, if it was not run, when that
 * would be at the latest. */
int64_t replay_time(const struct model *model, const struct replay *replay,
                    uint32_t scan);

#endif
