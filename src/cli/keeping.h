/* keeping.h - a folder with a record and all that is needed to repeat it. */
#ifndef KEEPCLEAR_CLI_KEEPING_H
#define KEEPCLEAR_CLI_KEEPING_H

struct loaded;
struct options;
struct report;
struct text;

/* Writes record.html (page), record.txt, README.txt and copies of the texts
 * under texts/, as they lay to one another, into the new folder of --folder,
 * whole or not at all.  0, or an exit code after a complaint. */
int keeping_write(const struct options *options, const struct loaded *loaded,
                  const struct report *report, const struct text *page);

#endif
