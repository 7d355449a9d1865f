#include "reference/maker.h"

#include "base/ensure.h"

typedef __int128 wide;

/* Where ages stand. */
static int64_t most_age(const struct scan *scan)
{
    return scan->setting->whole && scan->layout->beyond
               ? INT64_MAX : scan->layout->longest;
}

uint32_t maker_choice(const struct scan *scan, enum setting_kind kind)
{
    const struct setting *setting = &scan->model->settings[kind];

    if (!setting->any)
        return setting->value;
    return (uint32_t)scan_before(scan, PLACE_SLOT, setting->slot);
}

struct maker maker_of(const struct scan *scan, uint32_t frame)
{
    enum slot_home home = scan->model->slots[frame].home;
    uint32_t edges = maker_choice(scan, SETTING_EDGES);

    if (home != SLOT_PROGRAM && home != SLOT_GLOBAL)
        return (struct maker){.elapsed = scan->elapsed,
                              .most = most_age(scan)};
    return (struct maker){
        .swapped = maker_choice(scan, SETTING_LATCHES) != 0,
        .silent_rise = edges == EDGES_SILENT,
        .silent_fall = edges != EDGES_STANDARD,
        .up_to_preset = maker_choice(scan, SETTING_COUNTERS) != 0,
        .latched = maker_choice(scan, SETTING_PRESETS) != 0,
        .next_call = maker_choice(scan, SETTING_ZERO_TIMES) != 0,
        .called = maker_choice(scan, SETTING_TIMERS) != 0,
        .shown = maker_choice(scan, SETTING_ELAPSED),
        .elapsed = scan->elapsed,
        .most = most_age(scan),
    };
}

static wide exact(enum code_op op, wide a, wide b)
{
    switch (op) {
    case CODE_NEGATE: return -a;
    case CODE_ADD: return a + b;
    case CODE_SUB: return a - b;
    case CODE_MUL: return a * b;
    default:
        ENSURE(op == CODE_DIV && b != 0);
        return a / b;
    }
}

/* Adds or takes away whole ranges of the type. */
static int64_t around(const struct type *type, wide value)
{
    wide count = (wide)type->high - type->low + 1;
    wide far = (value - type->low) % count;

    return (int64_t)((far < 0 ? far + count : far) + type->low);
}

bool maker_turns(const struct scan *scan, const struct code_expr *expr,
                 int64_t a, int64_t b, int64_t *result)
{
    const struct type *type = type_base(expr->type);
    uint32_t choice = maker_choice(scan, SETTING_OVERFLOW);
    wide value;

    if (!expr->turns || choice == OVERFLOW_REPORTED ||
        (expr->op == CODE_DIV && b == 0))
        return false;
    value = exact(expr->op, a, b);
    *result = choice == OVERFLOW_WRAPS ? around(type, value)
              : value > type->high     ? type->high
                                       : type->low;
    return true;
}
