#include "cli/out.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/os.h"
#include "base/text.h"
#include "cli/exit.h"
#include "present/amount.h"
#include "source/diag.h"
#include "source/render.h"
#include "study/load.h"

int out_result(const char *path, const struct text *text)
{
    return path != NULL ? out_file(path, text) : out_write(text);
}

void out_complain(const char *format, ...)
{
    char line[1024];
    struct text text = {0};
    va_list args;

    va_start(args, format);
    vsnprintf(line, sizeof line, format, args);
    va_end(args);
    text_printf(&text, "keepclear: %s\n", line);
    os_write_err(text_str(&text), text.n);
    text_release(&text);
}

int out_write(const struct text *text)
{
    enum os_status status = os_write_out(text_str(text), text->n);

    if (status == OS_OK)
        return 0;
    out_complain("the result could not be written: %s",
                 os_explain(status));
    return CLI_INTERNAL;
}

int out_file(const char *path, const struct text *text)
{
    enum os_status status = os_write_file(path, text_str(text), text->n);

    if (status == OS_OK)
        return 0;
    out_complain("'%s' could not be written: %s; nothing was left behind",
                 path, os_explain(status));
    return CLI_INTERNAL;
}

int out_diagnostics(const struct loaded *loaded)
{
    struct text text = {0};

    if (loaded->failure != NULL)
        out_complain("%s", loaded->failure);
    render_diags(&text, loaded->sources, loaded->diags);
    os_write_err(text_str(&text), text.n);
    text_release(&text);
    return loaded->failure != NULL || diags_errors(loaded->diags) > 0
               ? CLI_INPUT : 0;
}

int out_diagnostics_once(const struct loaded *loaded, struct text *told)
{
    struct text text = {0};

    for (size_t i = 0; i < diags_count(loaded->diags); i++) {
        text_clear(&text);
        render_diag(&text, loaded->sources, diags_at(loaded->diags, i));
        if (strstr(text_str(told), text_str(&text)) != NULL)
            continue;
        os_write_err(text_str(&text), text.n);
        text_add(told, text_str(&text));
    }
    text_release(&text);
    return diags_errors(loaded->diags) > 0 ? CLI_INPUT : 0;
}

/* Ten times a second is often enough. */
static const double SHOW_EVERY = 0.1;

/* Situations in a second since then; 0 when a run has begun anew. */
static uint64_t rate_since(const struct out_shown *shown,
                           uint64_t situations, double now)
{
    if (shown->at == 0 || situations < shown->situations || now <= shown->at)
        return 0;
    return (uint64_t)((double)(situations - shown->situations) /
                      (now - shown->at));
}

void out_progress(void *context, uint32_t level, uint64_t situations)
{
    struct out_shown *shown = context;
    struct os_moment now;
    struct text text = {0};

    if (!os_is_terminal(OS_ERR))
        return;
    now = os_moment();
    if (now.seconds - shown->at < SHOW_EVERY)
        return;
    text_add(&text, "\r");
    amount_of(&text, situations, "situation");
    text_add(&text, ", ");
    amount_of(&text, level, "scan");
    text_add(&text, " deep, ");
    amount_add(&text, rate_since(shown, situations, now.seconds));
    shown->situations = situations;
    shown->at = now.seconds;
    text_add(&text, " a second, ");
    amount_add(&text, now.bytes >> 20);
    text_add(&text, " MiB   ");
    os_write_err(text_str(&text), text.n);
    text_release(&text);
}

void out_part(uint32_t done, uint32_t all, const char *parts)
{
    struct text text = {0};

    if (!os_is_terminal(OS_ERR))
        return;
    text_printf(&text, "\r%u of %u %s   ", done, all, parts);
    os_write_err(text_str(&text), text.n);
    text_release(&text);
}

void out_progress_end(void)
{
    static const char blank[] = "\r                                        "
                                "                                      "
                                "\r";

    if (os_is_terminal(OS_ERR))
        os_write_err(blank, sizeof blank - 1);
}
