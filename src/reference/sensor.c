#include "reference/sensor.h"

#include "reference/eval.h"
#include "reference/tracing.h"

static bool is_displaced(const struct scan *scan, uint32_t sensor)
{
    for (uint32_t i = 0; i < scan->model->n_effects; i++) {
        const struct effect *effect = &scan->model->effects[i];

        if (effect->kind == FAULT_DISPLACED && effect->first == sensor &&
            scan_fault(scan, effect->fault))
            return true;
    }
    return false;
}

/* Another text is looked at only while a fault displaces the sensor. */
void sensor_look(struct scan *scan, uint32_t sensor)
{
    const struct sensor *of = &scan->model->sensors[sensor];
    uint32_t depth;

    scan->sensor[sensor] = eval_review(scan, of->on_when);
    tracing_held(scan, CODE_SENSOR, sensor);
    scan->seen[sensor] = scan->sensor[sensor];
    if (scan->setting->held != 0 && (scan->setting->held - 1) / 2 == sensor)
        scan->seen[sensor] = (scan->setting->held - 1) % 2;
    if (!of->displaced || !is_displaced(scan, sensor))
        return;
    depth = tracing_depth(scan);
    scan->seen[sensor] = eval_review(scan, of->displaced);
    tracing_cut(scan, depth);
}
