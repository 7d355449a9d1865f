/* model.h - the checked tree: one review, names resolved, everything
 * numbered.
 *
 * This is the one table of names that both implementations share.  All
 * arrays lie in the arena given to check_run; nothing changes afterwards.
 */
#ifndef KEEPCLEAR_CHECK_MODEL_H
#define KEEPCLEAR_CHECK_MODEL_H

#include <stdbool.h>
#include <stdint.h>

#include "check/code.h"
#include "check/remark.h"
#include "check/setting.h"

#define MODEL_NONE UINT32_MAX

/* ---- variables ---- */

enum slot_home {
    SLOT_PROGRAM,     /* variable of a program or of an instance in it */
    SLOT_GLOBAL,      /* VAR_GLOBAL of the control text */
    SLOT_FUNCTION,    /* static frame of a function: never remembered */
    SLOT_WIRING_IN,   /* relay, and instances in WIRING IN */
    SLOT_WIRING_OUT,
    SLOT_MACHINE,
    SLOT_RECORDER,
    SLOT_ACTUATOR,    /* the actuator as it stands */
    SLOT_SETTING      /* what the controller does, where nobody knows: read
                         by no text, changed by nothing */
};

/* Who gives a control variable its value in step 5. */
enum slot_driver {
    DRIVER_NONE,    /* the text itself */
    DRIVER_CONTACT, /* contact `driver_index` */
    DRIVER_SENSOR,  /* sensor `driver_index` */
    DRIVER_FIXED,   /* always `initial` */
    DRIVER_CHOICE,  /* choice row `driver_index`: free or SHARED */
    DRIVER_WIRING   /* assigned in WIRING IN; keeps its value until then */
};

/* One variable of the whole review, instances unfolded. */
struct slot {
    const char *path; /* "Main.two_hand.lag", as declared */
    const struct type *type;
    enum slot_home home;
    int64_t initial;
    bool retain;      /* kept when power goes */
    bool temp;        /* VAR_TEMP or of a function: never remembered */
    bool clock;       /* hidden age of a timer, TIMER_AGE */
    int64_t told;     /* clock, where ET goes beyond PT: a longer ET tells
                         no more */
    uint32_t start;   /* choice row of kind CHOICE_START, or MODEL_NONE */
    enum slot_driver driver;
    uint32_t driver_index;
    bool input;       /* a program input (READ may name it) */
    bool output;      /* of a program or global: what the text gives away by
                         its declaration, VAR_OUTPUT or located at %Q */
    struct span span;
};

/* ---- choices, in canonical order (docs/notes/step.md, section 2) ---- */

enum choice_kind {
    CHOICE_TIME, CHOICE_POWER, CHOICE_FAULT, CHOICE_START, CHOICE_PAST,
    CHOICE_MACHINE, CHOICE_OPERATOR, CHOICE_INPUT, CHOICE_SHARED,
    CHOICE_UNCOMMANDED, /* what an actuator does by itself, with a fault */
    CHOICE_ANY /* how an open place comes out */
};

struct choice {
    enum choice_kind kind;
    const char *name; /* "close_left", "F1", "MAY on line 40" */
    uint32_t count;   /* at least 1 */
    const int64_t *values;
    const int64_t *cell_high; /* inputs cut into cells: last value of the
                                 cell that values[i] stands for and
                                 cell_low[i] the first; else both NULL */
    const int64_t *cell_low;
    int64_t bits;     /* inputs of which single bits are read: those that
                         count, the others being 0 in values; else 0 */
    uint32_t rest;    /* index */
    uint32_t of;      /* TIME, POWER: none; FAULT: the cause that occurs, or
                         n_causes + the fault that appears or goes while
                         a cause of it is there; START: slot; PAST:
                         contact, or n_contacts + sensor; MACHINE: variable
                         slot of the movements, or MODEL_NONE for a MAY;
                         OPERATOR: control; INPUT, SHARED: slot;
                         UNCOMMANDED: actuator; ANY: open place */
    const struct type *type;
    struct span span;
};

/* ---- controls, contacts, sensors, actuators ---- */

enum signal_kind {
    SIGNAL_BUTTON, SIGNAL_STOP, SIGNAL_SWITCH, SIGNAL_SELECTOR, SIGNAL_NUMBER,
    SIGNAL_SENSOR, SIGNAL_VALVE, SIGNAL_MOTOR, SIGNAL_LAMP, SIGNAL_HORN,
    SIGNAL_OUTPUT
};

/* Of lamps and buttons, in the words of IEC 60204-1. */
enum colour {
    COLOUR_NONE, /* nothing is said of it */
    COLOUR_RED, COLOUR_YELLOW, COLOUR_GREEN, COLOUR_BLUE, COLOUR_WHITE,
    COLOUR_GREY, COLOUR_BLACK
};

struct control {
    const struct name *name;
    enum signal_kind kind;
    const char *title, *place, *sees; /* title is never NULL */
    enum colour colour;
    bool latching;
    const struct type *type; /* of the position; BOOL for buttons */
    uint32_t choice;
    struct span span;
};

/* Sound value: opening ? NOT hand : hand for BUTTON, STOP, SWITCH; hand =
 * position for ON; the position itself for a SELECTOR or NUMBER without
 * CONTACTS. */
struct contact {
    const struct name *name;
    uint32_t control;
    enum { CONTACT_CLOSING, CONTACT_OPENING, CONTACT_ON, CONTACT_VALUE } kind;
    int64_t position; /* CONTACT_ON */
    const struct type *type;
    uint32_t past;    /* choice row CHOICE_PAST or MODEL_NONE */
    struct span span;
};

struct sensor {
    const struct name *name;
    const char *title, *place;
    const struct code_expr *on_when;
    const struct code_expr *on_when_previous;
    const struct code_expr *displaced; /* on_when with CODE_DISPLACED in the
                                          place of the variables along which
                                          a fault displaces it, or NULL */
    uint32_t past;
    struct span span;
};

struct actuator {
    const struct name *name;
    enum signal_kind kind;
    const char *title, *place;
    enum colour colour; /* of a lamp */
    bool spring;
    const struct type *type;
    uint32_t slot;    /* SLOT_ACTUATOR */
    uint32_t command; /* program output or global slot, or MODEL_NONE: then
                         COMMANDED is off */
    bool wired;       /* assigned in WIRING OUT */
    uint32_t uncommanded; /* choice row, or MODEL_NONE: no fault makes it
                             move without command */
    struct span span;
};

/* ---- machine ---- */

struct movement {
    uint32_t slot;
    int64_t from, to;
    int64_t lower, upper;         /* ms; upper -1: never forced; lower 0 */
    bool timed;                   /* IN was written */
    const struct code_expr *condition; /* NULL: always */
    uint32_t choice, number;      /* happens when choice has value number */
    struct span span;
};

/* A text that runs as a whole: wiring, mechanism, recorder. */
struct body {
    const struct name *name; /* NULL for wiring */
    const struct code_stmt *stmts;
    uint32_t n_stmts;
    struct span span;
};

struct program {
    const struct code_pou *pou;
    uint32_t frame; /* slot at which its frame begins */
    uint32_t any;   /* choice row at which its open places begin */
    uint32_t every; /* runs in the 1st, (every + 1)th ... scan after power
                       came; 0 and 1: in all */
    bool stops;     /* a fault can stop it */
    const struct name *name; /* of the program, or of this instance of it */
};

/* ---- faults ---- */

enum fault_kind {
    FAULT_DOES_NOT_OPEN, FAULT_DOES_NOT_CLOSE, FAULT_STAYS, FAULT_WIRE_OFF,
    FAULT_SHORT_TO_SUPPLY, FAULT_SHORT_TO, FAULT_UNCOMMANDED,
    FAULT_DISPLACED, FAULT_STOPS, FAULT_IN_MECHANISM
};

/* Where a fault acts.  A control's own name stands for all its contacts. */
enum fault_target {
    AT_CONTACTS, AT_SENSOR, AT_ACTUATOR, AT_RELAY, AT_PROGRAM
};

enum fault_timing {
    TIMING_PERMANENT,    /* appears at any moment and stays */
    TIMING_INTERMITTENT, /* comes and goes */
    TIMING_FROM_POWER_UP /* present from the first scan on, or never */
};

/* What counts: a fault that stands in no group, or a group.  One that has
 * occurred has done so for good. */
struct cause {
    const struct name *name;
    const char *title; /* never NULL */
    const uint32_t *members; /* faults; one if it is no group */
    uint32_t n_members;
    bool group;
    bool first_only;   /* it occurs in the first scan or never */
    uint32_t choice;
    struct span span;
};

struct fault {
    const struct name *name;
    const char *title; /* never NULL: a sentence is made when none is given */
    enum fault_kind kind;
    enum fault_timing timing;
    bool excluded;            /* never appears */
    const char *because, *confirmed_by; /* why, and who says so; or NULL */
    uint32_t cause;           /* that it belongs to, excluded: MODEL_NONE */
    const uint32_t *causes;   /* it may be present once one of them has */
    uint32_t n_causes;        /* occurred: its own, and those of what it
                                 FOLLOWS FROM; excluded: none */
    bool own;                 /* its moments are its own; else it is present
                                 from the moment its cause occurs */
    uint32_t choice;          /* its row; not own: of its cause; excluded:
                                 MODEL_NONE */
    struct span span;
};

/* What a fault does at one of its places; none of a fault IN MECHANISM.  The
 * effects of a fault stand side by side, faults in declared order. */
struct effect {
    uint32_t fault;
    enum fault_kind kind;
    enum fault_target target;
    uint32_t first, count;    /* AT_CONTACTS: range of contacts; else first:
                                 sensor, actuator, slot of the relay, program;
                                 count 1 */
    enum fault_target other_target; /* SHORT TO: AT_CONTACTS or AT_SENSOR */
    uint32_t other;
    int64_t by;               /* DISPLACED: so many positions further */
    uint32_t along;           /* DISPLACED: slot of the machine variable */
};

/* ---- what is left open ---- */

enum open_kind {
    OPEN_COMPARISON, /* of texts, dates: FALSE or TRUE */
    OPEN_ORDER,      /* of two REALs: -1, 0 or 1 (code.h) */
    OPEN_VALUE,      /* any value of its type */
    OPEN_PICK        /* MIN, MAX, LIMIT of REALs, one not-a-number: which
                        operand, less one (3rd for 1, if there is one) */
};

/* A place in the texts whose value is not followed. */
struct open_place {
    enum open_kind kind;
    const char *what; /* "<", "+", "SQRT", or the UNKNOWN block's name */
    const struct code_pou *unknown; /* the block or function, or NULL */
    const struct type *type;        /* of its choice rows */
    bool apart; /* independent of every other place, whatever it says */
    struct span span;
};

/* UNKNOWN name: a block or function without a text. */
struct unknown {
    const struct name *name;
    const char *because, *confirmed_by; /* or NULL */
};

/* ---- what is asked ---- */

struct assumption {
    const struct name *name; /* NULL for the constraint that a range of
                                values makes; never printed as a name */
    const char *title;
    const struct code_expr *condition;
    const char *because, *confirmed_by; /* or NULL */
    struct span span;
};

/* NOTICING: how the machine shows a fault, and by when it must.  Evaluated in
 * this order at every judging, behind the requirements. */
struct noticing {
    const struct code_expr *diagnostic, *demand; /* NULL: there is no such
                                                    section */
    const struct code_expr *cycle, *repair;      /* or NULL */
};

/* What is remembered for it, while faults are studied. */
enum notice_memory {
    NOTICE_DEMANDED, /* a demand came after them */
    NOTICE_CYCLES,   /* work cycles ended or begun after them, at most 2 */
    NOTICE_REPAIRED, /* noticed, and put right */
    NOTICE_SHOWN,    /* the diagnostic was on at the previous judging */
    NOTICE_MEMORIES
};

/* What can be seen of them at a judging (docs/notes/step.md, section 13). */
enum notice_part {
    NOTICE_PASSED,   /* a demand came, and it is not noticed */
    NOTICE_ROUND,    /* a whole work cycle, and it is not noticed */
    NOTICE_SEEN,     /* it is noticed */
    NOTICE_DEMAND,   /* a demand comes after them */
    NOTICE_CYCLE,    /* a whole work cycle lies after them */
    NOTICE_PARTS
};

/* INTENDED: an output may differ between two versions. */
struct intended {
    const struct name *name;
    const char *title; /* never NULL */
    uint32_t actuator;
    const struct code_expr *condition; /* of what both versions share */
    struct span span;
};

struct hazard {
    const struct name *name;
    const char *title;
};

/* A time in a requirement: wanted as written, judged after rounding and
 * tightening, both in ms. */
struct limit {
    int64_t wanted, judged;
    bool sampled;
    uint32_t events; /* scans by which it was tightened */
};

/* A TRUE FOR term. */
struct clock {
    const struct code_expr *held;
    struct limit limit;
    struct span span;
};

enum form {
    FORM_NEVER, FORM_ALWAYS, FORM_ONLY_IF, FORM_AFTER_NO_UNTIL,
    FORM_WHEN_THEN_WITHIN, FORM_NO_LONGER, FORM_AT_LEAST,
    FORM_MOVES_ONLY_WHILE, FORM_BY_ITSELF, FORM_POSSIBLE, FORM_POSSIBLE_AGAIN
};

/* Must occur at some judging, else the requirement is not put to the test. */
struct trigger {
    const struct code_expr *condition; /* NULL: the event of the form itself:
                                          a falls, x moves, y rises */
    const char *words; /* the source text that must come to bear, and for a
                          conjunction the conjunct left out */
    bool untolerated; /* of EXCEPT: a fault has appeared, and the exception
                         does not count */
    /* POSSIBLE AGAIN has exactly one: the judgings at which it is asked,
       WHILE holds and what is looked for does not. */
};

/* A free choice named behind BY: of a control or of a free input. */
struct by_whom {
    enum choice_kind kind; /* CHOICE_OPERATOR or CHOICE_INPUT */
    uint32_t of;           /* control, slot */
};

/* How a limit stands to that of its template. */
enum used_state {
    USED_GIVEN,    /* no limit, or the template has none */
    USED_SAME,
    USED_STRICTER,
    USED_LOOSER
};

struct used_parameter {
    const char *name, *title; /* title NULL: none */
    const char *words;        /* what was given, as it is written */
    const char *own;          /* a limit: what the template has, or NULL */
    const char *why;          /* why one side of it is strict, or NULL */
    enum used_state state;
    const char *because, *confirmed_by; /* or NULL */
};

/* A template that was put into its place by USE. */
struct used_template {
    const struct name *name;     /* before the names of its requirements */
    const struct name *template;
    const char *title;           /* NULL: none */
    const char *source;
    const struct used_parameter *parameters;
    uint32_t n_parameters;
    uint32_t n_looser;           /* USED_LOOSER */
    uint32_t n_unexplained;      /* of these, without a reason */
    struct span span;            /* the template */
};

struct requirement {
    const struct name *name;
    const char *title; /* never NULL */
    const uint32_t *hazards;
    uint32_t n_hazards;
    const char *refers_to, *read_by; /* or NULL */
    uint32_t used; /* template that it comes from, or MODEL_NONE */
    enum form form;
    const struct code_expr *a, *b, *c; /* as in step.md section 5: p is a;
                                          x is a and PREVIOUS x is
                                          a_previous; y is a, z is b;
                                          POSSIBLE (AGAIN): c is what is
                                          looked for, b the WHILE */
    const struct code_expr *a_previous; /* MOVES ONLY WHILE, BY ITSELF */
    const struct code_expr *const *started_by; /* RISING e, ready made */
    uint32_t n_started_by;
    const struct code_expr *const *cancelled_by;
    uint32_t n_cancelled_by;
    const struct by_whom *by; /* POSSIBLE AGAIN: who is on our side */
    uint32_t n_by;            /* 0: every operator and free input */
    struct limit limit;
    bool another; /* a second one, where one of both is not always noticed
                     before the next demand */
    const struct code_expr *noticed; /* EXCEPT UNTIL NOTICED: DIAGNOSTIC of
                                        NOTICING; else NULL */
    struct limit within;         /* EXCEPT WITHIN; wanted 0: not said */
    uint32_t despite;            /* causes */
    const bool *despite_of;      /* per cause: may it occur */
    const struct trigger *triggers;
    uint32_t n_triggers;
    bool edge_of_hand; /* triggered by an edge of a hand: gets the note "not
                          triggered by what changed while power was off" */
    struct span span; /* its name */
    struct span said; /* what is asked: the form and DESPITE */
};

/* A place where a run-time error can happen. */
enum error_kind {
    ERROR_OVERFLOW, ERROR_DIVISION, ERROR_SUBRANGE, ERROR_INDEX,
    ERROR_LOOP,  /* more passes than `passes` */
    ERROR_COUNT, /* the control variable of a loop leaves its type */
    ERROR_STEP,  /* the step of a loop is 0 */
    ERROR_CONVERSION, /* a converted value does not fit */
    ERROR_SELECTOR,   /* MUX: there is no input of that number */
    ERROR_SHIFT       /* by fewer than no places */
};

struct error_site {
    enum error_kind kind;
    bool in_review; /* in a text of ours: marked as such */
    struct span span;
    uint32_t passes; /* ERROR_LOOP */
    bool cut; /* ERROR_LOOP: so few passes are followed because each leaves
                 values open; the loop may well end behind them */
};

/* A branch of control text (THEN, ELSIF, ELSE, CASE label group). */
struct branch_site {
    const char *pou; /* name of the POU */
    struct span span;
};

/* Statements of control text that stand one behind the other, so that all of
 * them run or none does: the body of a POU or a branch, anew behind a statement
 * that can lead away. */
struct stretch {
    const char *pou;
    struct span span;  /* of the first one */
    uint32_t n;        /* statements, what stands in branches of theirs not
                          among them */
    uint32_t branch;   /* it begins the body of this branch, or MODEL_NONE */
};

/* ---- scenarios: sequences that are played ---- */

enum play_kind {
    PLAY_INPUT,  /* choice `row` takes `value` from now on */
    PLAY_FAULT,  /* fault `row` appears */
    PLAY_MOVE,   /* the machine moves slot `row` to `value`, now or as soon
                    as it may */
    PLAY_START,  /* START or PAST choice `row` has `value` */
    PLAY_PACE,   /* from now on scans take the time `value`, ms */
    PLAY_POWER,  /* value 0: it goes, 1: it returns */
    PLAY_WAIT,   /* value scans are run, 1 or more */
    PLAY_EXPECT, /* `expected` holds at the last judging */
    PLAY_BROKEN  /* requirement `row` breaks there */
};

struct play_step {
    enum play_kind kind;
    uint32_t row;
    int64_t value;
    const struct code_expr *expected; /* without run-time errors and calls */
    const char *why;                  /* or NULL */
    struct span span;
};

/* A WAIT stands behind every step that it runs, and before every PLAY_EXPECT
 * and PLAY_BROKEN; PLAY_START only before the first WAIT. */
struct scenario {
    const struct name *name;
    const char *title; /* never NULL */
    const struct play_step *steps;
    uint32_t n_steps;
    struct span span;
};

struct fixed {
    uint32_t slot;
    const char *because, *confirmed_by;
    bool constant; /* a CONSTANT: not listed */
    bool held;     /* nobody says so: no text writes it, and without a review
                      text it stays as it begins */
};

struct decisions;

struct model {
    const char *name, *title; /* of the review; name NULL without one */
    int64_t scan;             /* ms; the longest (check/pace.h) */
    bool scan_assumed;
    bool power_may_fail;
    bool computes_reals; /* whether that fails is not judged */
    bool has_retain;
    bool retain_any;
    const char *power_because, *power_confirmed_by; /* when it stays */

    const char *controller;   /* which one, or NULL */
    bool controller_said;     /* there is a section CONTROLLER */
    struct setting settings[SETTING_KINDS];

    const struct slot *slots;             uint32_t n_slots;
    const struct choice *choices;         uint32_t n_choices;
    const struct control *controls;       uint32_t n_controls;
    const struct contact *contacts;       uint32_t n_contacts;
    const struct sensor *sensors;         uint32_t n_sensors;
    const struct actuator *actuators;     uint32_t n_actuators;
    const struct program *programs;       uint32_t n_programs;
    uint32_t n_called; /* behind them: programs that run where another one
                          calls them, and not by themselves */
    const struct code_pou *const *functions; uint32_t n_functions;
    struct body wiring_in, wiring_out;    /* several texts joined in order */
    const struct body *mechanisms;        uint32_t n_mechanisms;
    const struct movement *movements;     uint32_t n_movements;
    const struct body *recorders;         uint32_t n_recorders;
    const struct fault *faults;           uint32_t n_faults;
    const struct effect *effects;         uint32_t n_effects;
    const struct cause *causes;           uint32_t n_causes;
    const struct assumption *assumptions; uint32_t n_assumptions;
    struct noticing noticing;
    const struct intended *intended;      uint32_t n_intended;
    const struct hazard *hazards;         uint32_t n_hazards;
    const struct clock *clocks;           uint32_t n_clocks;
    const struct requirement *requirements; uint32_t n_requirements;
    const struct scenario *scenarios;     uint32_t n_scenarios;
    const struct error_site *errors;      uint32_t n_errors;
    const struct branch_site *branches;   uint32_t n_branches;
    const struct stretch *stretches;      uint32_t n_stretches;
    const struct fixed *fixed;            uint32_t n_fixed;
    const struct remark *remarks;         uint32_t n_remarks; /* by place */
    const struct acceptance *acceptances; uint32_t n_acceptances;
    const struct harmless *harmless;      uint32_t n_harmless;
    const struct open_place *open_places; uint32_t n_open_places;
    const struct unknown *unknown;        uint32_t n_unknown;
    const struct used_template *used;     uint32_t n_used;
    const struct decisions *decisions; /* whose vectors are looked at
                                          (decision.h), or NULL: check_run
                                          leaves it so */
};

/* ---- places: what may be remembered from one judging to the next ---- */

/* Every stored value of either implementation is one of these; `index` as
 * noted, `part` where one thing remembers several values. */
enum place_kind {
    PLACE_SLOT,           /* slot */
    PLACE_HAND_LAST,      /* control */
    PLACE_CONTACT_LAST,   /* contact */
    PLACE_SENSOR_LAST,    /* sensor */
    PLACE_COMMANDED_LAST, /* actuator */
    PLACE_FAULT,          /* fault: present */
    PLACE_CAUSE,          /* cause: has occurred */
    PLACE_WAS_DARK,       /* 0 */
    PLACE_MOVE_TOTAL,     /* movement, ms, saturates at lower */
    PLACE_MOVE_UNBROKEN,  /* movement, ms, saturates at upper */
    PLACE_CLOCK_WAS,      /* clock */
    PLACE_CLOCK_AGE,      /* clock, ms, saturates at the judged limit */
    PLACE_MONITOR_FLAG,   /* requirement: open, was, armed, last_c */
    PLACE_MONITOR_AGE,    /* requirement, ms, saturates at the judged limit */
    PLACE_PHASE,          /* program: scans until it runs, 0: in the next */
    PLACE_NOTICE,         /* enum notice_memory */
    PLACE_EXCEPT_AGE,     /* requirement, EXCEPT WITHIN: ms since the last
                             fault appeared, saturates at the judged limit */
    PLACE_KINDS
};

struct place_id {
    enum place_kind kind;
    uint32_t index;
};

#endif
