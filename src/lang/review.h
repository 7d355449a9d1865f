/* review.h - the syntax tree of a review text. */
#ifndef KEEPCLEAR_LANG_REVIEW_H
#define KEEPCLEAR_LANG_REVIEW_H

#include "lang/tree.h"

/* A quoted text of the user, or all zero. */
struct tree_string {
    const char *at; /* NUL-ended, quotes and $-escapes resolved; NULL: none */
    struct span span;
};

/* BECAUSE '...' CONFIRMED BY '...' */
struct tree_reason {
    struct tree_string because, confirmed_by;
};

struct tree_control_file {
    struct tree_control_file *next;
    struct tree_string path;
};

/* FIXED name := value BECAUSE ... ; */
struct tree_fixed {
    struct tree_fixed *next;
    struct tree_path *path;
    struct tree_expr *value;
    struct tree_reason reason;
    struct span span;
};

/* SHARED name ; */
struct tree_shared {
    struct tree_shared *next;
    struct tree_path *path;
};

/* UNKNOWN name [BECAUSE ...]; : a block or function without a text. */
struct tree_unknown {
    struct tree_unknown *next;
    struct tree_ident *name;
    struct tree_reason reason;
};

/* A number as it is written somewhere in the texts. */
struct tree_real {
    struct tree_real *next;
    double value;
};

/* SCAN longest ; or SCAN shortest .. longest [BY by] ; */
struct tree_scan {
    struct tree_expr *shortest; /* NULL: every scan takes the same time */
    struct tree_expr *longest;  /* NULL: nothing was said */
    struct tree_expr *by;       /* or NULL */
};

/* RUNS name EVERY k SCANS ; */
struct tree_runs {
    struct tree_runs *next;
    struct tree_ident *name;
    struct tree_expr *every;
};

enum tree_power { TREE_POWER_UNSAID, TREE_POWER_MAY_FAIL, TREE_POWER_STAYS };

/* ---- CONTROLS ---- */

enum tree_signal_kind {
    TREE_BUTTON, TREE_STOP, TREE_SWITCH, TREE_SELECTOR, TREE_NUMBER,
    TREE_SENSOR,
    TREE_VALVE, TREE_MOTOR, TREE_LAMP, TREE_HORN, TREE_OUTPUT
};

enum tree_colour {
    TREE_NO_COLOUR, TREE_RED, TREE_YELLOW, TREE_GREEN, TREE_BLUE, TREE_WHITE,
    TREE_GREY, TREE_BLACK
};

enum tree_contact_kind {
    TREE_CONTACT_CLOSING, /* conducts when pressed */
    TREE_CONTACT_OPENING, /* conducts when not pressed */
    TREE_CONTACT_ON       /* conducts in one position of a selector */
};

/* One of CONTACTS a CLOSING, b OPENING, c ON Auto; name NULL for the short
 * form CONTACTS OPENING. */
struct tree_contact {
    struct tree_contact *next;
    struct tree_ident *name;
    enum tree_contact_kind kind;
    struct tree_ident *position; /* TREE_CONTACT_ON */
};

struct tree_signal {
    struct tree_signal *next;
    struct tree_ident *name;
    enum tree_signal_kind kind;
    TREE_LIST(tree_enum_item) positions; /* SELECTOR (A, B), may be empty */
    struct tree_expr *low, *high;        /* NUMBER (0 .. 9), or NULL */
    struct tree_string title, place, sees;
    enum tree_colour colour; /* of a LAMP, BUTTON, STOP */
    bool latching, spring; /* LATCHING, RETURNS BY SPRING */
    TREE_LIST(tree_contact) contacts;
    struct tree_expr *on_when; /* SENSOR */
    struct span span;
};

/* ---- WIRING, MECHANISM, RECORDER ---- */

/* MOVES v FROM a TO b [IN t .. [t]] [WHILE c]; */
struct tree_movement {
    struct tree_movement *next;
    struct tree_path *variable;
    struct tree_expr *from, *to;
    struct tree_expr *lower, *upper; /* or NULL */
    struct tree_expr *condition;     /* or NULL: always */
    struct span span;
};

enum tree_body_kind {
    TREE_WIRING_IN, TREE_WIRING_OUT, TREE_MECHANISM, TREE_RECORDER
};

struct tree_body {
    struct tree_body *next;
    enum tree_body_kind kind;
    struct tree_ident *name; /* NULL for wiring */
    TREE_LIST(tree_var_block) blocks;
    TREE_LIST(tree_movement) movements;
    TREE_LIST(tree_stmt) body;
    struct span span;
};

/* ---- ASSUMPTIONS, FAULTS, HAZARDS, REQUIREMENTS ---- */

struct tree_assumption {
    struct tree_assumption *next;
    struct tree_ident *name;
    struct tree_string title;
    struct tree_expr *condition;
    struct tree_reason reason;
    struct span span;
};

enum tree_fault_kind {
    TREE_DOES_NOT_OPEN, TREE_DOES_NOT_CLOSE, TREE_STAYS, TREE_WIRE_OFF,
    TREE_SHORT_TO_SUPPLY, TREE_SHORT_TO, TREE_UNCOMMANDED, TREE_DISPLACED,
    TREE_STOPS, TREE_IN_MECHANISM
};

enum tree_fault_timing {
    TREE_PERMANENT, TREE_INTERMITTENT, TREE_FROM_POWER_UP
};

struct tree_fault {
    struct tree_fault *next;
    struct tree_ident *name;
    struct tree_string title;
    enum tree_fault_kind kind;
    TREE_LIST(tree_expr) places; /* names; empty for IN MECHANISM */
    struct tree_path *other; /* SHORT TO other, ALONG other */
    struct tree_expr *by;    /* DISPLACED BY, else NULL */
    enum tree_fault_timing timing;
    struct tree_ident *follows; /* FOLLOWS FROM, or NULL */
    bool excluded;
    struct tree_reason reason;  /* EXCLUDED */
    struct span span;
};

/* NOTICING: each NULL where nothing is said. */
struct tree_noticing {
    struct tree_expr *diagnostic, *demand, *cycle, *repair;
    struct span span; /* of NOTICING; no file: there is no such section */
};

/* name 'title' : ONE CAUSE OF names; */
struct tree_fault_group {
    struct tree_fault_group *next;
    struct tree_ident *name;
    struct tree_string title;
    TREE_LIST(tree_ident) members;
};

/* name 'title' : output MAY DIFFER WHEN condition; in INTENDED */
struct tree_intended {
    struct tree_intended *next;
    struct tree_ident *name;
    struct tree_string title;
    struct tree_ident *output;
    struct tree_expr *condition;
    struct span span;
};

struct tree_hazard {
    struct tree_hazard *next;
    struct tree_ident *name;
    struct tree_string title;
};

enum tree_form {
    TREE_NEVER, TREE_ALWAYS, TREE_ONLY_IF, TREE_AFTER_NO_UNTIL,
    TREE_WHEN_THEN_WITHIN, TREE_NO_LONGER, TREE_AT_LEAST,
    TREE_MOVES_ONLY_WHILE, TREE_BY_ITSELF, TREE_POSSIBLE,
    TREE_POSSIBLE_AGAIN,
    TREE_USE /* stands for what a template makes; lang/expand.h puts that
                into its place */
};

/* ---- templates ---- */

/* What a parameter stands for. */
enum tree_parameter_kind {
    TREE_CONDITION, /* an expression of BOOL */
    TREE_VALUE,     /* a number that changes */
    TREE_SIGNAL,    /* a name */
    TREE_TIME,      /* a limit */
    TREE_AMOUNT     /* a limit: a number that is written */
};

/* On which side of a limit is it stricter? */
enum tree_side { TREE_NO_SIDE, TREE_BELOW, TREE_ABOVE };

/* name : kind 'title' := initial STRICT BELOW 'why'; */
struct tree_parameter {
    struct tree_parameter *next;
    struct tree_ident *name, *kind_word;
    enum tree_parameter_kind kind;
    struct tree_string title, why;
    struct tree_expr *initial; /* or NULL */
    enum tree_side side;
};

struct tree_template {
    struct tree_ident *name; /* NULL: none was read */
    struct tree_string title, source;
    TREE_LIST(tree_parameter) parameters;
    struct span span;
};

/* parameter := value BECAUSE ... in a USE */
struct tree_given {
    struct tree_given *next;
    struct tree_ident *name;
    struct tree_expr *value;
    struct tree_reason reason;
    struct span span;
};

/* USE name (...).  What is known once it was put into its place: */
struct tree_use {
    struct tree_use *next;
    struct tree_ident *name; /* of the template */
    TREE_LIST(tree_given) given;
    struct span span;
    uint32_t number;                          /* in uses, from 0 */
    const struct tree_ident *called;          /* before the `:` */
    const struct tree_template *template;     /* its parameters ... */
    const struct tree_given *const *by_parameter; /* ... and what each was
                                     given, NULL: what the template has */
};

struct tree_requirement {
    struct tree_requirement *next;
    struct tree_ident *name;
    struct tree_string title;
    TREE_LIST(tree_ident) hazards; /* AGAINST */
    struct tree_string refers_to, read_by;
    struct tree_use *use; /* the template that it comes from, or NULL */
    enum tree_form form;
    struct tree_expr *a, *b, *c; /* in the order they are written; for
                                    BY ITSELF a is y, b is IN CYCLE */
    TREE_LIST(tree_expr) started_by, cancelled_by;
    TREE_LIST(tree_expr) by; /* POSSIBLE AGAIN: names; empty: everybody */
    struct tree_expr *limit; /* duration */
    bool sampled;
    int64_t despite;               /* number of faults, 0 when not written */
    TREE_LIST(tree_ident) despite_of; /* empty: all */
    bool another;             /* AND ANOTHER AFTER AN UNNOTICED ONE */
    bool until_noticed;       /* EXCEPT UNTIL NOTICED */
    struct tree_expr *within; /* EXCEPT WITHIN .. OF FAULT, or NULL */
    bool within_sampled;
    struct span except; /* what stands behind EXCEPT */
    struct span span; /* what is asked: the form and DESPITE */
};

/* ---- CONTROLLER ---- */

/* overflow : wraps OBSERVED BY '...' BECAUSE '...'; */
struct tree_setting {
    struct tree_setting *next;
    struct tree_ident *name;
    struct span words; /* what it does */
    struct tree_string observed_by;
    struct tree_reason reason;
    struct span span;
};

/* ---- SCENARIO ---- */

enum tree_step_kind {
    TREE_STEP_HOLD, TREE_STEP_RELEASE, TREE_STEP_TURN, TREE_STEP_SET,
    TREE_STEP_WAIT, TREE_STEP_FAULT, TREE_STEP_MOVE, TREE_STEP_START,
    TREE_STEP_OFF, TREE_STEP_ON, TREE_STEP_SCAN, TREE_STEP_EXPECT,
    TREE_STEP_BROKEN
};

struct tree_step {
    struct tree_step *next;
    enum tree_step_kind kind;
    struct tree_path *path;  /* HOLD RELEASE TURN SET MOVE START */
    struct tree_ident *name; /* FAULT, EXPECT BROKEN */
    struct tree_expr *value; /* TURN SET MOVE START SCAN, EXPECT; WAIT or
                                NULL */
    struct tree_string why;  /* EXPECT */
    struct span span;
};

struct tree_scenario {
    struct tree_scenario *next;
    struct tree_ident *name;
    struct tree_string title;
    TREE_LIST(tree_step) steps;
    struct span span;
};

/* kind ON path [AT 'words'] BECAUSE ... ; in ACCEPTED */
struct tree_accepted {
    struct tree_accepted *next;
    struct tree_ident *kind;
    struct tree_path *path;
    struct tree_string words; /* or all zero */
    struct tree_reason reason;
};

struct tree_review {
    struct tree_ident *name; /* NULL: no review text was given */
    struct tree_string title;
    TREE_LIST(tree_control_file) controls_in;
    TREE_LIST(tree_control_file) templates_in;
    TREE_LIST(tree_use) uses; /* those put into their place */
    struct tree_scan scan;
    TREE_LIST(tree_runs) runs;
    enum tree_power power;
    struct tree_reason power_reason;
    bool retain_any;
    struct span power_span;
    TREE_LIST(tree_fixed) fixed;
    TREE_LIST(tree_shared) shared;
    struct tree_string controller;
    struct span controller_span; /* no file: nothing is said of it */
    TREE_LIST(tree_setting) settings;
    TREE_LIST(tree_unknown) unknown;
    TREE_LIST(tree_type_decl) types;
    TREE_LIST(tree_signal) signals;
    TREE_LIST(tree_body) bodies;
    TREE_LIST(tree_assumption) assumptions;
    TREE_LIST(tree_intended) intended;
    TREE_LIST(tree_accepted) accepted;
    TREE_LIST(tree_fault) faults;
    struct tree_noticing noticing;
    TREE_LIST(tree_fault_group) fault_groups;
    TREE_LIST(tree_hazard) hazards;
    TREE_LIST(tree_requirement) requirements;
    TREE_LIST(tree_scenario) scenarios;
    struct span span;
};

/* What is said of spellings beyond the standard that are read all the
 * same: nothing, a note, or an error. */
enum tree_spelling { TREE_ANY_SPELLING, TREE_TELL_SPELLING, TREE_STRICT };

/* All texts of a run. */
struct tree_run {
    TREE_LIST(tree_type_decl) types;
    TREE_LIST(tree_var_block) globals; /* VAR_GLOBAL outside any POU */
    TREE_LIST(tree_var_block) elsewhere; /* VAR_CONFIG, VAR_ACCESS */
    TREE_LIST(tree_var) places; /* that statements name, as often as they
                                   do */
    TREE_LIST(tree_pou) pous;
    TREE_LIST(tree_configuration) configurations;
    const struct name *alone; /* of the one PROGRAM that runs, whatever else
                                 is there; NULL: all */
    struct tree_review review;
    struct tree_template template; /* of a template text; its requirements
                                      stand in review */
    enum tree_spelling spelling;  /* set before the texts are parsed */
    struct tree_part review_part; /* names that the review text mentions */
    int64_t even; /* ms: the longest time of which every time written in any
                     of the texts is a whole multiple; 0: none but T#0s */
    TREE_LIST(tree_real) reals; /* every number without a type of whole
                                   numbers, as often as it is written */
    bool rounds; /* a text calls what may make a whole number of a REAL */
};

#endif
