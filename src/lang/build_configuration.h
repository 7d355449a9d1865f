/* build_configuration.h - constructors of what a CONFIGURATION holds. */
#ifndef KEEPCLEAR_LANG_BUILD_CONFIGURATION_H
#define KEEPCLEAR_LANG_BUILD_CONFIGURATION_H

#include "lang/chain.h"
#include "lang/tree.h"

struct reading;

/* A new configuration; what follows goes into it. */
void build_configuration(struct reading *reading, struct tree_ident *name,
                         struct span span);
void build_resource(struct reading *reading);

void build_task(struct reading *reading, struct tree_ident *name,
                struct chain args);
void build_instance(struct reading *reading, struct tree_ident *name,
                    struct tree_ident *task, struct tree_ident *type);

/* Values given to an instance are refused. */
void build_instance_args(struct reading *reading, struct chain args,
                         struct span where);

#endif
