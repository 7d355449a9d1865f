/* stamp.h - moments as recorders write them. */
#ifndef KEEPCLEAR_SOURCE_STAMP_H
#define KEEPCLEAR_SOURCE_STAMP_H

#include <stdbool.h>
#include <stdint.h>

enum stamp_unit { STAMP_SECONDS, STAMP_MILLISECONDS };

/* How numbers are to be read, from the name of their column: milliseconds
 * where it ends in ms, by itself or in brackets ("time_ms", "t [ms]"); else
 * seconds. */
enum stamp_unit stamp_unit_of(const char *heading);

/* Is this a usual name of a column of moments? */
bool stamp_is_heading(const char *heading);

/* Reads a number ("12.35", "12,35") or a local time: 2026-05-01 or 01.05.2026,
 * then a blank or T, then hh:mm:ss with or without a fraction; or the time of
 * day alone.  *ms gets milliseconds from some fixed moment on, fractions of
 * one being cut off, *day_only whether there was no date. */
bool stamp_read(const char *field, enum stamp_unit unit, int64_t *ms,
                bool *day_only);

#endif
