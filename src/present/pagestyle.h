/* pagestyle.h - the style sheet of pages: black on white, for paper of A4 and
 * for screens from 360 pixels on. */
#ifndef KEEPCLEAR_PRESENT_PAGESTYLE_H
#define KEEPCLEAR_PRESENT_PAGESTYLE_H

const char *pagestyle(void);

#endif
