#include "present/colourwords.h"

/* Ink and fill differ by a contrast of 7 : 1 at least. */
static const struct {
    const char *name, *fill, *ink;
} colours[] = {
    [COLOUR_NONE] = {"", 0, "#000000"},
    [COLOUR_RED] = {"red", "#a80000", "#ffffff"},
    [COLOUR_YELLOW] = {"yellow", "#ffd400", "#000000"},
    [COLOUR_GREEN] = {"green", "#005c22", "#ffffff"},
    [COLOUR_BLUE] = {"blue", "#003f8f", "#ffffff"},
    [COLOUR_WHITE] = {"white", "#ffffff", "#000000"},
    [COLOUR_GREY] = {"grey", "#c8c8c8", "#000000"},
    [COLOUR_BLACK] = {"black", "#000000", "#ffffff"}};

const char *colourwords_name(enum colour colour)
{
    return colours[colour].name;
}

const char *colourwords_fill(enum colour colour)
{
    return colours[colour].fill;
}

const char *colourwords_ink(enum colour colour)
{
    return colours[colour].ink;
}
