/* scan.h - text to tokens; implemented by grammar/scanner.l. */
#ifndef KEEPCLEAR_LANG_SCAN_H
#define KEEPCLEAR_LANG_SCAN_H

#include "source/source.h"

struct reading;
struct scanner;
union LANG_STYPE;

/* A scanner at the start of the text; reading must outlive it. */
struct scanner *scan_open(struct reading *reading);
/* The same of a part of it; reading->at moves there. */
struct scanner *scan_open_part(struct reading *reading, size_t from,
                               size_t to);
void scan_close(struct scanner *scanner);

/* The next token (a kind of parser.tab.h, 0 at the end), its value and its
 * place.  Comments and blanks are skipped, bytes that start nothing are
 * reported and skipped.  Words come as LANG_WORD: what they are depends on
 * their neighbours, see lang/word.h. */
int scan_next(struct scanner *scanner, union LANG_STYPE *value,
              struct span *where);

#endif
