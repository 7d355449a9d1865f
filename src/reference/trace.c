#include "reference/trace.h"

#include "base/ensure.h"

const struct trace_scan *trace_at(const struct trace *trace, uint32_t scan)
{
    ENSURE(scan >= trace->first && scan - trace->first < trace->n_scans);
    return &trace->scans[scan - trace->first];
}

int64_t trace_time(const struct trace *trace, uint32_t scan)
{
    return scan < trace->first ? 0 : trace_at(trace, scan)->time;
}

const struct trace_event *trace_last(const struct trace *trace,
                                     enum trace_thing thing, uint32_t index,
                                     uint64_t below)
{
    const struct trace_event *event;

    ENSURE(thing > THING_NONE && thing < THING_KINDS);
    event = trace->latest[thing][index];
    while (event != NULL && event->serial >= below)
        event = event->last;
    return event;
}

int64_t trace_value(const struct trace *trace, enum trace_thing thing,
                    uint32_t index, uint64_t below)
{
    const struct trace_event *event =
        trace_last(trace, thing, index, below);

    return event != NULL ? event->value : trace->start[thing][index];
}

uint32_t trace_since(const struct trace *trace, enum trace_thing thing,
                     uint32_t index, uint64_t below)
{
    const struct trace_event *event =
        trace_last(trace, thing, index, below);
    const struct trace_event *earlier = event;
    int64_t value;

    if (event == NULL)
        return 0;
    value = event->value;
    while (earlier != NULL && earlier->value == value) {
        event = earlier;
        earlier = trace_last(trace, thing, index,
                             trace_at(trace, event->scan)->begin);
    }
    if (earlier == NULL && trace->start[thing][index] == value)
        return 0;
    return event->scan;
}
