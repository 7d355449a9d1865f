/* version.h - what this program is called. */
#ifndef KEEPCLEAR_CLI_VERSION_H
#define KEEPCLEAR_CLI_VERSION_H

/* "keepclear 0.1" */
const char *version_words(void);

#endif
