#include "lang/phrase.h"

#include "lang/block.h"
#include "lang/feeding.h"
#include "lang/reading.h"
#include "lang/word.h"

bool phrase_step_begins(const struct feed *feed)
{
    if (!feeding_stands_in(feed, LANG_SCENARIO))
        return false;
    switch (feed->last) {
    case LANG_SEMICOLON: case LANG_STRING: case LANG_IDENT:
    case LANG_NUMBER: case LANG_DURATION: case LANG_TYPED: case LANG_TRUE:
    case LANG_FALSE: case LANG_RIGHT: case LANG_WAIT: case LANG_ON:
    case LANG_OFF:
        return true;
    default:
        return false;
    }
}

/* SCENARIO and a name, where a section may begin. */
static bool section_begins(struct feed *feed)
{
    return (feed->last == LANG_SEMICOLON || block_closed(feed->last) ||
            feed->opens.n == 1) && feeding_peek(feed).kind == LANG_WORD;
}

/* Directly in REVIEW, in no section of it, behind what ends there. */
static bool heading_begins(struct feed *feed)
{
    bool heading = feed->last == LANG_STRING ||
                   (feed->last == LANG_IDENT &&
                    (feed->last2 == LANG_REVIEW ||
                     feed->last2 == LANG_TEMPLATE));

    return feed->opens.n == 1 && (heading || feed->last == LANG_SEMICOLON ||
                                  block_closed(feed->last));
}

/* A word and a name there. */
static bool line_begins(struct feed *feed)
{
    return heading_begins(feed) && feeding_peek(feed).kind == LANG_WORD;
}

/* Behind the first word of a line of PARAMETERS. */
static bool goes_on(const struct feed *feed)
{
    return feeding_stands_in(feed, LANG_PARAMETERS) &&
           feed->last != LANG_SEMICOLON && feed->last != LANG_PARAMETERS;
}

/* A word and a name in the place of a form: `R1 : use ONLY IF ...` speaks of
 * a signal. */
static bool form_begins(struct feed *feed)
{
    struct feed_token next;
    const struct word *word;

    if (feed->last != LANG_COLON || !feeding_stands_in(feed, LANG_REQUIREMENTS))
        return false;
    next = feeding_peek(feed);
    if (next.kind != LANG_WORD)
        return false;
    word = word_find(next.value.ident->name, feed->reading->kind);
    return !word || word->before;
}

static bool notice_begins(const struct feed *feed)
{
    return feeding_stands_in(feed, LANG_NOTICING) &&
           (feed->last == LANG_NOTICING || feed->last == LANG_SEMICOLON);
}

/* Behind what may be said of a signal, and not the name of the next one. */
static bool colour_fits(struct feed *feed)
{
    switch (feed->last) {
    case LANG_BUTTON: case LANG_STOP: case LANG_SWITCH: case LANG_SELECTOR:
    case LANG_NUMBER_WORD: case LANG_SENSOR: case LANG_VALVE:
    case LANG_MOTOR: case LANG_LAMP: case LANG_HORN: case LANG_OUTPUT:
    case LANG_COLOUR: case LANG_RIGHT: case LANG_STRING: case LANG_LATCHING:
    case LANG_SPRING: case LANG_OPENING: case LANG_CLOSING:
        return feeding_stands_in(feed, LANG_CONTROLS) &&
               feeding_peek(feed).kind != LANG_COLON;
    default:
        return false;
    }
}

/* Words of NOTICING and of what stands behind DESPITE. */
static bool in_notice(struct feed *feed, const struct word *word)
{
    switch (word->before) {
    case WORD_NOTICE: return notice_begins(feed);
    case WORD_CYCLE: return feed->last == LANG_IN || notice_begins(feed);
    case WORD_ANOTHER:
        return feed->last == LANG_AND && feeding_next_is(feed, "after");
    default:
        return feeding_next_is(feed, "until") ||
               feeding_next_is(feed, "within");
    }
}

bool phrase_fits(struct feed *feed, const struct word *word)
{
    if (word->before == WORD_SECTION)
        return section_begins(feed);
    if (word->before == WORD_LINE)
        return line_begins(feed);
    if (word->before == WORD_HEADING)
        return heading_begins(feed);
    if (word->before == WORD_STEP)
        return phrase_step_begins(feed);
    if (word->before == WORD_MANNER)
        return feed->last == LANG_COMMA && feeding_stands_in(feed, LANG_FAULTS);
    if (word->before == WORD_TOP)
        return !feed->opens.n && feeding_peek(feed).kind == LANG_WORD;
    if (word->before == WORD_CONFIGURATION)
        return feeding_in_configuration(feed) &&
               feeding_peek(feed).kind == LANG_WORD;
    if (word->before == WORD_PARAMETER)
        return goes_on(feed);
    if (word->before == WORD_FORM)
        return form_begins(feed);
    if (word->before == WORD_KIND)
        return feed->last == LANG_COLON &&
               feeding_stands_in(feed, LANG_CONTROLS);
    if (word->before == WORD_COLOUR)
        return colour_fits(feed);
    if (word->before <= WORD_NOTICE)
        return in_notice(feed, word);
    return (!word->before || word->before == feed->last) &&
           (!word->before2 || word->before2 == feed->last2);
}
