/* keep.h - what was filled for earlier requests, for those that come.
 *
 * What a request has in common with an earlier one is compared as a whole,
 * nodes of the logic included, never by a hash or an address: two requests
 * share it only where it would come out the same.
 */
#ifndef KEEPCLEAR_LOGIC_KEEP_H
#define KEEPCLEAR_LOGIC_KEEP_H

#include "logic/flat.h"
#include "logic/request.h"

struct flat_builder;
struct filled;
struct keep;

struct keep *keep_new(void);
void keep_free(struct keep *keep);

/* As filled_new (logic/filled.h), kept in the keep: it is valid until the
 * next call.  Old ones go when there are many, or they are large. */
const struct filled *keep_filled(struct keep *keep,
                                 const struct flat_builder *builder,
                                 const struct flat *flat,
                                 const struct slice_request *request,
                                 const bool *read);

#endif
