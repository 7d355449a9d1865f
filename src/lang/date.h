/* date.h - are dates and times of day as the calendar and the clock know
 * them? */
#ifndef KEEPCLEAR_LANG_DATE_H
#define KEEPCLEAR_LANG_DATE_H

#include <stddef.h>

enum date_fault { DATE_GOOD, DATE_NO_DATE, DATE_NO_TIME, DATE_NEITHER };

/* Looks at a literal such as D#2024-02-29, TOD#6:30:00 or
 * LDATE_AND_TIME#2024-02-29-6:30:00.25, n bytes. */
enum date_fault date_of(const char *text, size_t n);

#endif
