/* build_template.h - constructors of templates and of their use. */
#ifndef KEEPCLEAR_LANG_BUILD_TEMPLATE_H
#define KEEPCLEAR_LANG_BUILD_TEMPLATE_H

#include "lang/build_parts.h"

struct reading;

/* TEMPLATES 'file'; of a review text. */
void build_template_file(struct reading *reading, struct tree_string path);

/* Names the template of the text; a second one is reported. */
void build_template(struct reading *reading, struct tree_ident *name,
                    struct tree_string title, struct span span);
void build_source(struct reading *reading, struct tree_string source,
                  struct span span);
void build_parameter(struct reading *reading, struct tree_ident *name,
                     struct tree_ident *kind, struct tree_string title,
                     struct build_limits limits);

/* parameter := value BECAUSE ...; claim.condition is the value. */
struct tree_given *build_given(struct reading *reading,
                               struct tree_ident *name,
                               struct build_claim claim, struct span span);

/* USE name (...) in the place of a form. */
struct tree_requirement *build_use(struct reading *reading,
                                   struct tree_ident *name,
                                   struct chain given, struct span span);

#endif
