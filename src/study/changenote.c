#include "study/changenote.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

#include "base/arena.h"
#include "base/text.h"

/* Numbers in the first line, a letter for each requirement in the second,
 * then strings in a line each, empty where there is none. */

static void add_line(struct text *out, const char *words)
{
    text_printf(out, "%s\n", words == NULL ? "" : words);
}

void changenote_write(struct text *out, const struct change_finding *finding,
                      uint32_t n_requirements, const char *internal)
{
    text_printf(out, "%u %u %u %u %" PRIu32 "\n", (unsigned)finding->state,
                finding->error, finding->more, finding->boolean,
                finding->level);
    for (uint32_t r = 0; r < n_requirements; r++)
        text_add_char(out, finding->noticed[r] ? 'n' : '-');
    text_add(out, "\n");
    add_line(out, finding->output);
    add_line(out, finding->reason);
    add_line(out, internal);
}

/* The next line, without its end; NULL: there is none. */
static const char *take_line(const char **at, struct arena *arena)
{
    const char *end = strchr(*at, '\n'), *line;

    if (end == NULL)
        return NULL;
    line = arena_copy(arena, *at, (size_t)(end - *at));
    *at = end + 1;
    return line;
}

static const char *or_none(const char *line)
{
    return line[0] == '\0' ? NULL : line;
}

bool changenote_read(const struct text *note, struct arena *arena,
                     uint32_t n_requirements, struct change_finding *finding,
                     const char **internal)
{
    const char *at = text_str(note), *line[5];
    unsigned state, error, more, boolean;

    for (int i = 0; i < 5; i++) {
        line[i] = take_line(&at, arena);
        if (line[i] == NULL)
            return false;
    }
    if (sscanf(line[0], "%u %u %u %u %" SCNu32, &state, &error, &more,
               &boolean, &finding->level) != 5 ||
        state >= CHANGE_STATES || strlen(line[1]) != n_requirements)
        return false;
    finding->state = (enum change_state)state;
    finding->error = error != 0;
    finding->more = more != 0;
    finding->boolean = boolean != 0;
    for (uint32_t r = 0; r < n_requirements; r++)
        finding->noticed[r] = line[1][r] == 'n';
    finding->output = or_none(line[2]);
    finding->reason = or_none(line[3]);
    *internal = or_none(line[4]);
    return true;
}
