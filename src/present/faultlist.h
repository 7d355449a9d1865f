/* faultlist.h - the usual faults as a section FAULTS, to be gone through. */
#ifndef KEEPCLEAR_PRESENT_FAULTLIST_H
#define KEEPCLEAR_PRESENT_FAULTLIST_H

struct model;
struct text;
struct usual_list;

/* The section is read as it stands where it is put into the review text of
 * the model. */
void faultlist_add(struct text *out, const struct model *model,
                const struct usual_list *list);

#endif
