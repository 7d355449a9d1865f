#include "source/delimited.h"

#include <string.h>

char delimited_separator(const char *heading)
{
    if (strchr(heading, ';') != NULL)
        return ';';
    return strchr(heading, '\t') != NULL ? '\t' : ',';
}

static bool is_blank(char c, char separator)
{
    return c == ' ' || (c == '\t' && separator != '\t');
}

/* The field in quotes at *at, which gets to what stands behind it. */
static char *quoted(char **at)
{
    char *from = *at + 1, *to = from, *begin = from;

    for (; *from != '\0'; from++) {
        if (*from == '"' && from[1] != '"')
            break;
        if (*from == '"')
            from++;
        *to++ = *from;
    }
    if (*from == '\0')
        return NULL;
    *at = from + 1;
    *to = '\0';
    return begin;
}

/* The field at *at, which gets to what stands behind it; *end gets to where
 * the field ends. */
static char *plain(char **at, char separator, char **end)
{
    char *begin = *at;

    while (**at != '\0' && **at != separator)
        ++*at;
    *end = *at;
    while (*end > begin && is_blank((*end)[-1], separator))
        --*end;
    return begin;
}

bool delimited_cut(char *line, char separator, char **fields, uint32_t most,
                   uint32_t *n)
{
    char *at = line;

    for (*n = 0;; at++) {
        char *field, *end = NULL;
        bool last;

        while (is_blank(*at, separator))
            at++;
        field = *at == '"' ? quoted(&at) : plain(&at, separator, &end);
        if (field == NULL)
            return false;
        while (is_blank(*at, separator))
            at++;
        if (*at != '\0' && *at != separator)
            return false;
        last = *at == '\0';
        if (end != NULL)
            *end = '\0';
        if (*n < most)
            fields[*n] = field;
        ++*n;
        if (last)
            return true;
    }
}
