#include "check/advice/timers.h"

#include "check/advice/course.h"
#include "check/advice/say.h"

/* Timers and edges lie alike: their first input starts them. */
static bool is_timer(enum code_standard standard)
{
    return standard == STANDARD_TON || standard == STANDARD_TOF ||
           standard == STANDARD_TP;
}

static bool is_edge(enum code_standard standard)
{
    return standard == STANDARD_R_TRIG || standard == STANDARD_F_TRIG;
}

static bool is_call_of(const struct trail_event *event,
                       const struct code_frame_var *row)
{
    return event->kind == TRAIL_CALL &&
           trail_same(event->variable,
                      (struct code_variable){.base = CODE_LOCAL,
                                             .index = row->offset});
}

static const struct trail_event *call_after(const struct trail *trail,
                                            const struct code_frame_var *row,
                                            size_t *at)
{
    for (; *at < trail->events.n; ++*at)
        if (is_call_of(&trail->events.at[*at], row))
            return &trail->events.at[(*at)++];
    return NULL;
}

/* A call with the input FALSE: how a timer is put back on purpose. */
static bool puts_back(const struct code_stmt *call)
{
    for (uint32_t i = 0; i < call->n_args; i++)
        if (call->args[i].kind == ARG_INPUT &&
            call->args[i].parameter == TIMER_IN)
            return call->args[i].value->op == CODE_CONST &&
                   !call->args[i].value->value;
    return false;
}

static void called_twice(const struct subject *subject,
                         const struct code_frame_var *row,
                         const struct trail_event *first,
                         const struct trail_event *second)
{
    bool edge = is_edge(row->pou->standard);
    const char *name =
        draft_spelling(subject->draft, row->name, row->span);

    say(subject->draft,
        &(struct remark){
            .kind = edge ? REMARK_EDGE_CALLED_TWICE
                         : REMARK_TIMER_CALLED_TWICE,
            .subject = say_declared(subject->draft, subject->unit, row),
            .span = second->span,
            .also = first->span,
            .hint = edge ? "give each place an instance of its own"
                         : "call it once, or give each place a timer of "
                           "its own"},
        first == second
            ? "'%s' is called in a loop on %s: every pass calls it again, "
              "and what it says is about the last one"
        : edge ? "the edge '%s' is called on %s, too, and both can run "
               "in one scan: the second call compares with the first, not "
               "with the scan before"
             : "the timer '%s' is called on %s, too, and both can run "
               "in one scan: what it times is what the last call gave it, "
               "started and put back by the other",
        name, say_line(subject->draft, second->span, first->span));
}

/* A call in a loop runs in each pass. */
static bool in_loop(const struct subject *subject,
                    const struct code_frame_var *row,
                    const struct trail_event *call)
{
    if (!subject->trail.nodes.at[call->node].loop)
        return false;
    called_twice(subject, row, call, call);
    return true;
}

static void twice(const struct subject *subject,
                  const struct code_frame_var *row)
{
    const struct trail *trail = &subject->trail;
    const struct trail_event *first, *second;
    size_t a = 0, b;

    while ((first = call_after(trail, row, &a))) {
        b = a;
        if (in_loop(subject, row, first))
            return;
        while ((second = call_after(trail, row, &b))) {
            if (trail_exclusive(trail, first->node, second->node) ||
                puts_back(first->stmt) || puts_back(second->stmt))
                continue;
            called_twice(subject, row, first, second);
            return;
        }
    }
}

static void not_always(const struct subject *subject,
                       const struct code_frame_var *row,
                       const struct trail_event *call)
{
    struct course course = {.offset = row->offset, .call = true};
    bool edge = is_edge(row->pou->standard);

    if (course_always(&course, subject->unit->pou))
        return;
    say(subject->draft,
        &(struct remark){
            .kind = edge ? REMARK_EDGE_NOT_ALWAYS_CALLED
                         : REMARK_TIMER_NOT_ALWAYS_CALLED,
            .subject = say_declared(subject->draft, subject->unit, row),
            .span = call->span,
            .hint = "call it in every scan, outside of IF and CASE, and put "
                    "the condition into its input"},
        edge ? "the edge '%s' is called only in some scans: without a call "
               "Q stays as it was, and the next call compares with the "
               "scan in which it was last called"
             : "the timer '%s' is called only in some scans: without a call "
               "its outputs stay as they were, and at the next call its "
               "time has jumped",
        draft_spelling(subject->draft, row->name, row->span));
}

/* Outputs of a block that is never called are read. */
static void never(const struct subject *subject,
                  const struct code_frame_var *row)
{
    const struct trail *trail = &subject->trail;

    for (size_t i = 0; i < trail->events.n; i++) {
        const struct trail_event *event = &trail->events.at[i];

        if (event->kind == TRAIL_CALL ||
            !trail_touches(event,
                           (struct code_variable){.base = CODE_LOCAL,
                                                  .index = row->offset},
                           row->pou->size))
            continue;
        say(subject->draft,
            &(struct remark){.kind = REMARK_BLOCK_NEVER_CALLED,
                             .subject = say_declared(subject->draft,
                                                     subject->unit, row),
                             .span = event->span,
                             .hint = "call it once in every scan, or take "
                                     "it out"},
            "'%s' is used here but never called: its outputs keep their "
            "first values for ever",
            draft_spelling(subject->draft, row->name, row->span));
        return;
    }
}

void timers_advise(const struct subject *subject)
{
    const struct code_pou *pou = subject->unit->pou;

    for (uint32_t i = 0; i < pou->n_vars; i++) {
        const struct code_frame_var *row = &pou->vars[i];
        const struct trail_event *first;
        size_t at = 0;

        if (!row->pou)
            continue;
        first = call_after(&subject->trail, row, &at);
        if (!first) {
            never(subject, row);
        } else if (is_timer(row->pou->standard) ||
                   is_edge(row->pou->standard)) {
            not_always(subject, row, first);
            twice(subject, row);
        }
    }
}
