/* options.h - options that several verbs share. */
#ifndef KEEPCLEAR_CLI_OPTIONS_H
#define KEEPCLEAR_CLI_OPTIONS_H

#include <stdbool.h>
#include <stdint.h>

#include "engine/engines.h"

/* What the command line said; all zero to begin with. */
struct options {
    const char *path;       /* the one file, or the first */
    char *const *more;      /* the others */
    int n_more;
    const char *control;    /* --control FILE */
    const char *only;       /* --only R1,R2 */
    const char *output;     /* -o FILE */
    const char *by;         /* --by NAME,NAME */
    const char *as;         /* --as FORM */
    const char *of;         /* --of NAME */
    const char *at;         /* --at SECONDS */
    const char *scenario;   /* --scenario NAME */
    const char *broken;     /* --broken R3 */
    const char *sequence;   /* --sequence R3 */
    const char *tested;     /* --tested FILE.csv */
    const char *map;        /* --map OLD=NEW, COLUMN=NAME, ... */
    const char *time;       /* --time COLUMN */
    const char *signal;     /* --signal NAME */
    const char *route;      /* --path R3 */
    const char *with;       /* --with faults,unguarded */
    const char *before;     /* --signed FILE */
    const char *folder;     /* --folder DIR */
    const char *loaded;     /* --loaded WORDS */
    const char *text;       /* --text FILE */
    const char *language;   /* --language de */
    const char *words;      /* --words FILE */
    const char *names;      /* --names FILE */
    uint64_t jitter;        /* --jitter MS */
    uint64_t together;      /* --together N */
    uint64_t one_in;        /* --one-in N, 0: every one */
    uint64_t despite;       /* --despite N */
    uint64_t situations;    /* --situations N */
    uint64_t memory;        /* --memory SIZE, in bytes */
    uint64_t threads;       /* --threads N, 0: as many as there are cores */
    enum engine engine;     /* --engine sets|tiles|both */
    const char *without;    /* --without sharing,untimed,... */
    bool figures;           /* --figures */
    bool examples;          /* --examples */
    bool advice;            /* --advice */
    bool quick;             /* --quick */
    bool faults;            /* --faults */
    bool every;             /* --every */
    bool spelling;          /* --spelling */
    bool strict;            /* --strict */
    bool reading;           /* --reading */
    bool sentences;         /* --sentences */
    bool stops;             /* --stops */
    bool changes;           /* --changes */
    bool anywhere;          /* --anywhere */
    bool help;              /* --help */
};

/* Reads the arguments of a verb.  allowed: the long names it takes, blank
 * separated, each between blanks; "files" when it takes several files.  0,
 * or CLI_INPUT with a message. */
int options_read(struct options *options, const char *allowed, int argc,
                 char **argv);

/* Does the path end so, in whatever case? */
bool options_ending(const char *path, const char *ending);

/* How many threads to use. */
uint32_t options_threads(const struct options *options);

#endif
