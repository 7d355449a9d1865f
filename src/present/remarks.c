#include "present/remarks.h"

#include "base/text.h"
#include "check/model.h"
#include "present/quote.h"

static bool is_open(const struct remark *remark)
{
    return remark->accepted == MODEL_NONE;
}

/* In the quotes of the language. */
static void add_quoted(struct text *out, const char *words)
{
    text_add(out, "'");
    for (; *words != '\0'; words++) {
        if (*words == '\'' || *words == '$')
            text_add(out, "$");
        text_add_char(out, *words);
    }
    text_add(out, "'");
}

/* As it is written in ACCEPTED, up to BECAUSE; words may be NULL. */
static void add_heading(struct text *out, enum remark_kind kind,
                        const char *subject, const char *words)
{
    text_printf(out, "  %s ON %s", remark_name(kind), subject);
    if (words == NULL)
        return;
    text_add(out, " AT ");
    add_quoted(out, words);
}

static void add_remark(struct text *out, const struct remark *remark,
                       const struct sources *sources)
{
    add_heading(out, remark->kind, remark->subject,
                remark->told_apart ? remark->words : NULL);
    text_add(out, "\n      ");
    quote_place(out, sources, remark->span);
    text_printf(out, ": %s\n", remark->words);
    text_printf(out, "      %s\n", remark->message);
    text_printf(out, "      what to do: %s\n", remark->hint);
}

static void add_all(struct text *out, const struct model *model,
                    const struct sources *sources)
{
    text_add(out, "Remarks of a careful reader; no verdict depends on "
                  "them\n");
    for (uint32_t i = 0; i < model->n_remarks; i++)
        if (is_open(&model->remarks[i]))
            add_remark(out, &model->remarks[i], sources);
}

static void add_acceptance(struct text *out,
                           const struct acceptance *acceptance)
{
    add_heading(out, acceptance->kind, acceptance->subject,
                acceptance->words);
    text_printf(out, ", because %s", acceptance->because);
    if (acceptance->confirmed_by != NULL)
        text_printf(out, ", confirmed by %s", acceptance->confirmed_by);
    text_add(out, "\n");
}

uint32_t remarks_add(struct text *out, const struct model *model,
                     const struct sources *sources, bool full)
{
    uint32_t open = 0;

    for (uint32_t i = 0; i < model->n_remarks; i++)
        open += is_open(&model->remarks[i]);
    if (open > 0 && full)
        add_all(out, model, sources);
    else if (open > 0)
        text_printf(out, "%u remark%s of a careful reader: --advice shows "
                         "%s\n", open, open == 1 ? "" : "s",
                    open == 1 ? "it" : "them");
    if (model->n_acceptances > 0)
        text_add(out, "Accepted remarks\n");
    for (uint32_t i = 0; i < model->n_acceptances; i++)
        add_acceptance(out, &model->acceptances[i]);
    return open + model->n_acceptances;
}
