#include "check/elapsed.h"

static bool is_spoilt(const struct flow *flow, uint32_t class)
{
    for (size_t i = 0; i < flow->spoilt.n; i++)
        if (flow_class(flow, flow->spoilt.at[i].node) == class)
            return true;
    for (size_t i = 0; i < flow->bits.n; i++)
        if (flow_class(flow, flow->bits.at[i].node) == class)
            return true;
    return false;
}

static int64_t last_cut(const struct flow *flow, uint32_t class)
{
    int64_t last = 0;

    for (size_t i = 0; i < flow->cuts.n; i++)
        if (flow_class(flow, flow->cuts.at[i].node) == class &&
            flow->cuts.at[i].cut > last)
            last = flow->cuts.at[i].cut;
    return last;
}

void elapsed_limit(struct draft *draft, const struct flow *flow)
{
    const struct setting *setting = &draft->model->settings[SETTING_ELAPSED];

    if (!setting->any && setting->value == ELAPSED_PRESET)
        return;
    for (uint32_t i = 0; i < draft->slots.n; i++) {
        struct slot *slot = &draft->slots.at[i];
        uint32_t class;
        int64_t last;

        if (!slot->clock)
            continue;
        class = flow_class(flow, i - TIMER_AGE + TIMER_ET);
        last = last_cut(flow, class);
        slot->told = is_spoilt(flow, class) || last > slot->type->high
                         ? slot->type->high : last;
    }
}
