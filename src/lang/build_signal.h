/* build_signal.h - constructors of the section CONTROLS. */
#ifndef KEEPCLEAR_LANG_BUILD_SIGNAL_H
#define KEEPCLEAR_LANG_BUILD_SIGNAL_H

#include "lang/build_parts.h"

struct reading;

enum build_signal_text { BUILD_TITLE, BUILD_PLACE, BUILD_SEES };

/* A signal of this kind, without name yet. */
struct tree_signal *build_signal_kind(struct reading *reading,
                                      enum tree_signal_kind kind,
                                      struct span span);
struct tree_signal *build_selector(struct reading *reading,
                                   struct chain items, struct span span);
struct tree_signal *build_number(struct reading *reading,
                                 struct build_bounds bounds,
                                 struct span span);

/* Each gives back signal; what does not go with its kind, or was said
 * before, is reported at where. */
struct tree_signal *build_signal_text(struct reading *reading,
                                      struct tree_signal *signal,
                                      enum build_signal_text which,
                                      struct tree_string text);
struct tree_signal *build_signal_colour(struct reading *reading,
                                        struct tree_signal *signal,
                                        enum tree_colour colour,
                                        struct span where);
struct tree_signal *build_signal_latching(struct reading *reading,
                                          struct tree_signal *signal,
                                          struct span where);
struct tree_signal *build_signal_spring(struct reading *reading,
                                        struct tree_signal *signal,
                                        struct span where);
struct tree_signal *build_signal_contacts(struct reading *reading,
                                          struct tree_signal *signal,
                                          struct chain contacts,
                                          struct span where);
struct tree_signal *build_signal_on_when(struct reading *reading,
                                         struct tree_signal *signal,
                                         struct tree_expr *on_when,
                                         struct span where);

/* name NULL: the short form; position: of TREE_CONTACT_ON. */
struct tree_contact *build_contact(struct reading *reading,
                                   struct tree_ident *name, int kind,
                                   struct tree_ident *position);

/* Names the signal and adds it to the review. */
void build_signal(struct reading *reading, struct tree_ident *name,
                  struct tree_signal *signal, struct span span);

#endif
