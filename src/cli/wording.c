#include "cli/wording.h"

#include <stddef.h>

#include "base/os.h"
#include "base/text.h"
#include "cli/exit.h"
#include "cli/options.h"
#include "cli/out.h"
#include "present/titles.h"
#include "present/wordtable.h"

int wording_file(const char *path, struct text *content)
{
    enum { MOST = 1 << 20 };
    enum os_status status = os_read_file(path, MOST, content);

    if (status == OS_OK)
        return 0;
    out_complain("cannot read '%s': %s\n   what to do: check the path and "
                 "the rights to read it", path, os_explain(status));
    return CLI_INPUT;
}

static int read_own(struct arena *arena, const char *path,
                    struct words *words)
{
    struct text content = {0};
    int code = wording_file(path, &content);
    const char *wrong = NULL;

    if (code == 0)
        wrong = wordtable_read(arena, words, text_str(&content), content.n);
    if (wrong != NULL) {
        out_complain("%s: %s", path, wrong);
        code = CLI_INPUT;
    }
    text_release(&content);
    return code;
}

int wording_read(struct arena *arena, const struct options *options,
                 const struct wordtable *table, struct words **words)
{
    const char *language = options->language;

    *words = wordtable_language(arena, table,
                                language == NULL ? "en" : language);
    if (*words == NULL) {
        out_complain("there are words in en and de, not in '%s'\n   what to "
                     "do: write a table of your own and name it behind "
                     "--words; --as words writes one to begin with",
                     language);
        return CLI_INPUT;
    }
    return options->words != NULL ? read_own(arena, options->words, *words)
                                  : 0;
}

int wording_write(const struct options *options, const struct words *words)
{
    struct text lines = {0};
    int code;

    wordtable_lines(&lines, words);
    code = out_result(options->output, &lines);
    text_release(&lines);
    return code;
}

int wording_names(struct arena *arena, const struct options *options,
                  const struct model **model)
{
    struct text content = {0};
    const char *wrong = NULL;
    int code;

    if (options->names == NULL)
        return 0;
    code = wording_file(options->names, &content);
    if (code == 0)
        wrong = titles_read(arena, model, text_str(&content), content.n);
    if (wrong != NULL) {
        out_complain("%s: %s", options->names, wrong);
        code = CLI_INPUT;
    }
    text_release(&content);
    return code;
}

int wording_write_names(const struct options *options,
                        const struct model *model)
{
    struct text lines = {0};
    int code;

    titles_lines(&lines, model);
    code = out_result(options->output, &lines);
    text_release(&lines);
    return code;
}
