/* namespace.h - NAMESPACE and USING: names are taken without the namespace
 * before them, so two POUs of one name are told as such.
 */
#ifndef KEEPCLEAR_LANG_NAMESPACE_H
#define KEEPCLEAR_LANG_NAMESPACE_H

#include <stdbool.h>

#include "lang/aside.h"

struct feed;
struct feed_token;

void namespace_release(struct namespaces *namespaces);

/* The token begins a NAMESPACE, a USING, or a name of a namespace before a
 * point, or ends a NAMESPACE: used up.  False: none of these. */
bool namespace_skip(struct feed *feed, const struct feed_token *token);

#endif
