#include "check/advice/advice.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "check/advice/accept.h"
#include "check/advice/cases.h"
#include "check/advice/latches.h"
#include "check/advice/loops.h"
#include "check/advice/order.h"
#include "check/advice/plain.h"
#include "check/advice/subject.h"
#include "check/advice/timers.h"
#include "check/advice/unused.h"
#include "check/advice/writes.h"

static void advise(struct draft *draft, struct unit *unit)
{
    struct subject subject = {.draft = draft, .unit = unit};

    trail_make(&subject.trail, unit->pou->body, unit->pou->n_body);
    cases_advise(&subject);
    timers_advise(&subject);
    plain_advise(&subject);
    writes_advise(&subject);
    order_advise(&subject);
    loops_advise(&subject);
    unused_advise(&subject);
    trail_release(&subject.trail);
}

static int by_place(const void *a, const void *b)
{
    const struct remark *left = a, *right = b;

    if (left->span.file != right->span.file)
        return left->span.file < right->span.file ? -1 : 1;
    if (left->span.from != right->span.from)
        return left->span.from < right->span.from ? -1 : 1;
    if (left->kind != right->kind)
        return left->kind < right->kind ? -1 : 1;
    return strcmp(left->subject, right->subject);
}

/* By place; the same place is told once, however often it was looked at. */
static void sort(struct draft *draft)
{
    size_t n = 0;

    if (!draft->remarks.n)
        return;
    qsort(draft->remarks.at, draft->remarks.n, sizeof *draft->remarks.at,
          by_place);
    for (size_t i = 0; i < draft->remarks.n; i++)
        if (!n || by_place(&draft->remarks.at[n - 1],
                           &draft->remarks.at[i]) != 0)
            draft->remarks.at[n++] = draft->remarks.at[i];
    draft->remarks.n = n;
}

static int by_subject(const void *a, const void *b)
{
    const struct remark *left = a, *right = b;

    return left->kind != right->kind
               ? (left->kind < right->kind ? -1 : 1)
               : strcasecmp(left->subject, right->subject);
}

/* Several about the same: ACCEPTED has to say which. */
static void tell_apart(struct draft *draft)
{
    if (draft->remarks.n)
        qsort(draft->remarks.at, draft->remarks.n,
              sizeof *draft->remarks.at, by_subject);
    for (size_t i = 1; i < draft->remarks.n; i++) {
        struct remark *before = &draft->remarks.at[i - 1];
        struct remark *remark = &draft->remarks.at[i];

        if (by_subject(before, remark) == 0)
            before->told_apart = remark->told_apart = true;
    }
    sort(draft);
}

void advice_collect(struct draft *draft)
{
    for (size_t i = 0; i < draft->units.n; i++) {
        struct unit *unit = draft->units.at[i];

        if (unit->tree && unit->state == SYMBOL_DONE &&
            !unit->pou->unknown && !unit->variant && !unit->action)
            advise(draft, unit);
    }
    writes_advise_programs(draft);
    latches_advise(draft);
    unused_advise_globals(draft);
    sort(draft);
    tell_apart(draft);
    accept_all(draft);
    sort(draft);
}
