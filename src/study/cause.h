/* cause.h - why one thing has one value at one moment: the smallest set of
 * facts that decided it, from the record of a sequence.
 *
 * Where several facts would each do (a side of an AND that is FALSE, of an
 * OR that is TRUE), the one that changed most recently is taken.
 */
#ifndef KEEPCLEAR_STUDY_CAUSE_H
#define KEEPCLEAR_STUDY_CAUSE_H

#include <stdbool.h>
#include <stdint.h>

#include "reference/trace.h"

enum { CAUSES_MOST = 8, PLACES_MOST = 8 };

/* A thing with its value, seen in a scan. */
struct fact {
    enum trace_thing thing;
    uint32_t index;
    int64_t value;
    uint64_t below;  /* it sees the events with smaller serials */
    uint32_t scan;   /* in which it is seen, from 1 */
    uint32_t since;  /* scan that gave the value; 0: it always had it */
    int64_t held;    /* TRUE FOR: so long, ms; else -1 */
};

enum account_kind {
    ACCOUNT_INITIAL, /* always so: an initial value, or the start */
    ACCOUNT_RESTART, /* power came back, it begins at its initial value */
    ACCOUNT_SET,     /* a statement set it */
    ACCOUNT_STAYED,  /* no statement changed it, and why none did */
    ACCOUNT_BLOCK,   /* a standard block, `rule` */
    ACCOUNT_MOVED,   /* a movement of the machine */
    ACCOUNT_FORCED,  /* a fault of an actuator */
    ACCOUNT_LINE,    /* a line does not conduct what it should */
    ACCOUNT_OPERATOR,/* a hand, or an input that nobody describes */
    ACCOUNT_FAULT,   /* a fault appeared */
    ACCOUNT_POWER,   /* power went or came back */
    ACCOUNT_OPEN,    /* an open place came out like this */
    ACCOUNT_JUDGED,  /* a requirement was judged broken */
    ACCOUNT_ERROR    /* a run-time error ended the scan */
};

/* What a standard block did. */
enum account_rule {
    RULE_NONE,
    RULE_TIME_OVER,     /* TON on: its IN has been on for PT */
    RULE_TIME_RUNS,     /* TON off: PT is not over since `start` */
    RULE_TAIL_RUNS,     /* TOF on: IN went off at `start`, PT not over */
    RULE_TAIL_OVER,     /* TOF off: IN has been off for PT */
    RULE_PULSE_RUNS,    /* TP on: since `start` */
    RULE_PULSE_OVER,    /* TP off, its IN being on */
    RULE_EDGE,          /* an edge since the call before */
    RULE_FIRST_CALL,    /* the same: there was no call before */
    RULE_NO_EDGE,       /* as at the call before */
    RULE_KEPT           /* a latch keeps its value */
};

struct account {
    enum account_kind kind;
    enum account_rule rule;
    uint32_t start;     /* scan, see rule */
    int64_t time;       /* PT, ms */
    struct fact at[CAUSES_MOST]; /* the most recent first */
    uint32_t n;
    bool more;          /* there were more than fit */
    uint32_t pass;      /* of the innermost loop around the statement that
                           set it, from 1; 0: there is none */
    struct span places[PLACES_MOST];
    uint32_t n_places;
};

/* Follows what only hands a value on (arguments, inputs that read a sound
 * line, the command of an actuator) to the fact behind it; the places passed
 * are added to the account. */
struct fact cause_behind(const struct trace *trace, struct fact fact,
                         struct account *passed);

/* The fact of a thing as seen with a serial in a scan. */
struct fact cause_fact(const struct trace *trace, enum trace_thing thing,
                       uint32_t index, uint64_t below, uint32_t scan);

/* Adds one fact, or what is behind it; a fact that is there already, or that
 * only says that another one is new, is left out. */
void cause_add(const struct trace *trace, struct account *account,
               struct fact fact);

/* Adds a place that has a text; each once, as far as there is room. */
void cause_place(struct account *account, struct span span);

/* Adds what decided the value of an expression. */
void cause_decide(const struct trace *trace, const struct trace_node *node,
                  struct account *account);

/* The guard around this one.  Of the earlier passes of a loop the first alone
 * is left in, for a FOR: it holds the bounds. */
const struct trace_guard *cause_outer(const struct trace_guard *guard);

/* The pass of the innermost loop in which something under this guard ran,
 * from 1; 0: in no loop. */
uint32_t cause_pass(const struct trace_guard *guard);

/* Was it always so, and is that how an idle machine stands: a control at
 * rest, an input that reads one. */
bool cause_idle(const struct trace *trace, const struct fact *fact);

#endif
