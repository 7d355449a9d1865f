#include "check/advice/loops.h"

#include "check/advice/say.h"

/* Does the event belong to the loop, its heading included? */
static bool is_inside(const struct trail *trail,
                      const struct trail_event *event,
                      const struct code_stmt *loop)
{
    return event->stmt == loop || trail_below(trail, event->node, loop);
}

static void read_behind(const struct subject *subject,
                        const struct trail_event *count,
                        const struct trail_event *read)
{
    struct draft *draft = subject->draft;
    const char *name =
        say_variable(draft, subject->unit, count->variable);

    say(draft,
        &(struct remark){.kind = REMARK_LOOP_VARIABLE_AFTER_LOOP,
                         .subject = name,
                         .span = read->span,
                         .also = count->stmt->loop->head,
                         .hint = "keep what is wanted in a variable of its "
                                 "own, inside the loop"},
        "behind the FOR on %s its variable holds the last value or one step "
        "more: controllers do not agree",
        say_line(draft, read->span, count->stmt->loop->head));
}

static void behind(const struct subject *subject, size_t at)
{
    const struct trail *trail = &subject->trail;
    const struct trail_event *count = &trail->events.at[at];

    while (++at < trail->events.n) {
        const struct trail_event *event = &trail->events.at[at];

        if (is_inside(trail, event, count->stmt) ||
            !trail_same(event->variable, count->variable) ||
            trail_exclusive(trail, event->node, count->node))
            continue;
        if (event->kind == TRAIL_READ)
            read_behind(subject, count, event);
        return;
    }
}

void loops_advise(const struct subject *subject)
{
    const struct trail *trail = &subject->trail;

    for (size_t i = 0; i < trail->events.n; i++)
        if (trail->events.at[i].kind == TRAIL_WRITE &&
            trail->events.at[i].stmt->kind == CODE_FOR)
            behind(subject, i);
}
