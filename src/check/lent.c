#include "check/lent.h"

#include "check/alias.h"
#include "check/target.h"

void lent_report(struct draft *draft)
{
    for (size_t i = 0; i < draft->lent.n; i++) {
        const struct lent *lent = &draft->lent.at[i];

        if (alias_writes(draft, lent->unit, lent->in_out))
            target_kept(draft, lent->kept, lent->span, lent->name);
    }
}
