/* sensor.h - what sensors see. */
#ifndef KEEPCLEAR_REFERENCE_SENSOR_H
#define KEEPCLEAR_REFERENCE_SENSOR_H

#include "reference/scan.h"

/* ON WHEN of a sensor, and what it sees if faults displace it; between the
 * machine and the inputs, once. */
void sensor_look(struct scan *scan, uint32_t sensor);

#endif
