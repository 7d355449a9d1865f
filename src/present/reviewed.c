#include "present/reviewed.h"

#include "base/text.h"
#include "present/quote.h"
#include "study/reviews.h"

static const char *change_words(const struct review_difference *found)
{
    switch (found->change) {
    case REVIEW_ADDED: return "added";
    case REVIEW_REMOVED: return "removed";
    case REVIEW_EXCLUDED: return "never appears now";
    case REVIEW_FEWER_FAULTS: return "is to survive fewer faults";
    case REVIEW_CHANGED: break;
    }
    switch (found->asks) {
    case ASKS_SAME:
        return "other words; by proof it asks the same, whatever the "
               "programs do";
    case ASKS_LESS:
        return "weaker, by proof: whatever breaks it has broken the old one "
               "by then, and not\n      the reverse";
    case ASKS_MORE:
        return "stronger, by proof: whatever broke the old one has broken it "
               "by then, and not\n      the reverse";
    case ASKS_OTHER:
        return "neither weaker nor stronger, by proof: either can be broken "
               "while\n      the other one still holds";
    case ASKS_NOT_KNOWN: break;
    }
    return found->shows_less ? "changed; it was not shown to ask as much"
                             : "changed";
}

static void add_words(struct text *out, const char *head,
                      const struct sources *sources, struct span span)
{
    if (span.file == 0)
        return;
    text_printf(out, "      %s ", head);
    quote_place(out, sources, span);
    text_add(out, "\n          ");
    quote_span(out, sources, span);
    text_add(out, "\n");
}

static void add_part(struct text *out,
                     const struct review_differences *found, bool less,
                     const struct sources *was, const struct sources *is)
{
    for (uint32_t i = 0; i < found->n; i++) {
        const struct review_difference *one = &found->at[i];

        if (one->shows_less != less)
            continue;
        text_printf(out, "  %s %s: %s\n", one->kind, one->name,
                    change_words(one));
        add_words(out, "old", was, one->was);
        add_words(out, "new", is, one->is);
    }
}

void reviewed_add(struct text *out, const struct review_differences *found,
                  const struct sources *was, const struct sources *is)
{
    if (found->n == 0) {
        text_add(out, "The review texts ask and assume the same.\n\n");
        return;
    }
    if (found->n_less > 0) {
        text_add(out, "Shown less than before, or perhaps less\n");
        add_part(out, found, true, was, is);
        text_add(out, "\n");
    }
    if (found->n > found->n_less) {
        text_add(out, "Otherwise changed in the review text\n");
        add_part(out, found, false, was, is);
        text_add(out, "\n");
    }
}
