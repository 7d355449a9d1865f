#include "study/vocabulary.h"

#include <ctype.h>
#include <string.h>

#include "base/arena.h"

/* Common practice, no source. */
static const char *const known[MEANINGS] = {
    [MEANING_STOP] =
        " stop stopp halt arret arresto emergency estop emstop notaus nothalt "
        "notstop notstopp emergenza urgence stopptaster stoptaster ",
    [MEANING_HEALTHY] = " ok nc healthy oeffner opener io gesund ",
    [MEANING_START] = " start go run marche avvio depart einschalten ein ",
    [MEANING_RESET] =
        " reset ack acknowledge quit quittieren quittung rearm rearmement "
        "acquit acquittement ripristino ",
    [MEANING_BUTTON] =
        " button btn push pushbutton pb press pressed taste taster knopf "
        "bouton poussoir pulsante tasto jog tippen pedal ",
    [MEANING_SWITCH] =
        " switch selector mode key auto automatic manual setup schalter "
        "schluessel wahlschalter betriebsart automatik "
        "commutateur selecteur cle chiave selettore ",
    [MEANING_SENSOR] =
        " sensor limit end endschalter ls prox proximity detector is at pos "
        "position reached initiator lage endlage finecorsa capteur "
        "sensore fc level niveau livello druck pressure pressostat barrier "
        "curtain lichtgitter schutztuer guard door fehler present ",
    [MEANING_VALVE] =
        " valve ventil vanne valvola solenoid sol coil electrovanne "
        "elettrovalvola magnetventil yv ",
    [MEANING_MOTOR] =
        " motor pump drive conveyor fan belt moteur pompe motore pompa "
        "antrieb pumpe band foerderband contactor schuetz spindle ",
    [MEANING_LAMP] =
        " lamp light led lampe leuchte voyant spia indicator beacon "
        "meldeleuchte lampada ",
    [MEANING_HORN] =
        " horn buzzer siren hupe klaxon avertisseur sirena summer cicalino ",
    [MEANING_FILLER] =
        " is at in to b x i q di do bi y e a out input output cmd command "
        "the ausgang eingang sortie entree uscita ingresso signal ",
};

/* Compounds of two words that mean a stop together. */
static const char *const stops[][2] = {
    {"not", "aus"}, {"not", "halt"}, {"e", "stop"}, {"em", "stop"},
    {"emergency", "off"}, {"arret", "urgence"},
};

struct opposite {
    const char *one, *other; /* sign 1, sign -1 */
    enum axis axis;
    bool place;
};

/* Ends of ways first: where a pair is both, an input names an end. */
static const struct opposite opposites[] = {
    {"open", "closed", AXIS_OPENING, true},
    {"opened", "closed", AXIS_OPENING, true},
    {"open", "shut", AXIS_OPENING, true},
    {"offen", "geschlossen", AXIS_OPENING, true},
    {"offen", "zu", AXIS_OPENING, true},
    {"ouvert", "ferme", AXIS_OPENING, true},
    {"ouverte", "fermee", AXIS_OPENING, true},
    {"aperto", "chiuso", AXIS_OPENING, true},
    {"aperta", "chiusa", AXIS_OPENING, true},
    {"unlocked", "locked", AXIS_OPENING, true},
    {"top", "bottom", AXIS_HEIGHT, true},
    {"upper", "lower", AXIS_HEIGHT, true},
    {"raised", "lowered", AXIS_HEIGHT, true},
    {"high", "low", AXIS_HEIGHT, true},
    {"up", "low", AXIS_HEIGHT, true},
    {"oben", "unten", AXIS_HEIGHT, true},
    {"haut", "bas", AXIS_HEIGHT, true},
    {"alto", "basso", AXIS_HEIGHT, true},
    {"end", "home", AXIS_REACH, true},
    {"work", "home", AXIS_REACH, true},
    {"extended", "retracted", AXIS_REACH, true},
    {"ausgefahren", "eingefahren", AXIS_REACH, true},
    {"vorne", "hinten", AXIS_REACH, true},
    {"sorti", "rentre", AXIS_REACH, true},
    {"fuori", "dentro", AXIS_REACH, true},
    {"clamped", "unclamped", AXIS_GRIP, true},
    {"clamped", "released", AXIS_GRIP, true},
    {"gespannt", "geloest", AXIS_GRIP, true},
    {"open", "close", AXIS_OPENING, false},
    {"opening", "closing", AXIS_OPENING, false},
    {"auf", "zu", AXIS_OPENING, false},
    {"oeffnen", "schliessen", AXIS_OPENING, false},
    {"ouvrir", "fermer", AXIS_OPENING, false},
    {"ouverture", "fermeture", AXIS_OPENING, false},
    {"apri", "chiudi", AXIS_OPENING, false},
    {"apertura", "chiusura", AXIS_OPENING, false},
    {"unlock", "lock", AXIS_OPENING, false},
    {"up", "down", AXIS_HEIGHT, false},
    {"raise", "lower", AXIS_HEIGHT, false},
    {"lift", "lower", AXIS_HEIGHT, false},
    {"rise", "sink", AXIS_HEIGHT, false},
    {"auf", "ab", AXIS_HEIGHT, false},
    {"hoch", "runter", AXIS_HEIGHT, false},
    {"heben", "senken", AXIS_HEIGHT, false},
    {"monter", "descendre", AXIS_HEIGHT, false},
    {"montee", "descente", AXIS_HEIGHT, false},
    {"sali", "scendi", AXIS_HEIGHT, false},
    {"salita", "discesa", AXIS_HEIGHT, false},
    {"su", "giu", AXIS_HEIGHT, false},
    {"extend", "retract", AXIS_REACH, false},
    {"press", "retract", AXIS_REACH, false},
    {"pack", "retract", AXIS_REACH, false},
    {"push", "pull", AXIS_REACH, false},
    {"out", "in", AXIS_REACH, false},
    {"forward", "backward", AXIS_REACH, false},
    {"forward", "back", AXIS_REACH, false},
    {"forward", "reverse", AXIS_REACH, false},
    {"fwd", "rev", AXIS_REACH, false},
    {"fwd", "bwd", AXIS_REACH, false},
    {"advance", "return", AXIS_REACH, false},
    {"vor", "zurueck", AXIS_REACH, false},
    {"ausfahren", "einfahren", AXIS_REACH, false},
    {"avance", "recul", AXIS_REACH, false},
    {"avancer", "reculer", AXIS_REACH, false},
    {"sortir", "rentrer", AXIS_REACH, false},
    {"avanti", "indietro", AXIS_REACH, false},
    {"clamp", "unclamp", AXIS_GRIP, false},
    {"grip", "release", AXIS_GRIP, false},
    {"spannen", "loesen", AXIS_GRIP, false},
    {"serrer", "desserrer", AXIS_GRIP, false},
    {"cw", "ccw", AXIS_TURN, false},
};

enum { OPPOSITES = sizeof opposites / sizeof *opposites };

/* ---- cutting ---- */

/* Does a new word begin at `at`: after _, at aB, at ABc, at digits? */
static bool cuts(const char *name, size_t at)
{
    unsigned char before = (unsigned char)name[at - 1];
    unsigned char here = (unsigned char)name[at];
    unsigned char next = (unsigned char)name[at + 1];

    if (isdigit(here) != 0)
        return isdigit(before) == 0;
    if (isdigit(before))
        return true;
    return isupper(here) &&
           (islower(before) || (isupper(before) && islower(next)));
}

static const char *folded(struct arena *arena, const char *at, size_t n)
{
    char *word = arena_copy(arena, at, n < MOST_WORD ? n : MOST_WORD);

    for (char *c = word; *c; c++)
        *c = (char)tolower((unsigned char)*c);
    return word;
}

struct words words_of(struct arena *arena, const char *name)
{
    struct words words = {0};
    size_t from = 0, n = strlen(name);

    for (size_t i = 0; i <= n && words.n < MOST_WORDS; i++) {
        bool gap = i == n || name[i] == '_';

        if (!gap && (i == from || !cuts(name, i)))
            continue;
        if (i > from)
            words.at[words.n++] = folded(arena, name + from, i - from);
        from = gap ? i + 1 : i;
    }
    return words;
}

/* ---- meanings ---- */

/* German joins words, and what the whole is stands at its end.  A direction
 * is a word of its own: clamp is no lamp. */
enum { LEAST_ENDING = 4, LEAST_BEGINNING = 3 };

static bool ends_with(const char *word, const char *end, size_t n)
{
    struct direction direction;
    size_t length = strlen(word);

    return length >= n + LEAST_BEGINNING && n >= LEAST_ENDING &&
           strncmp(word + length - n, end, n) == 0 &&
           !words_direction(word, true, &direction);
}

static bool means(const char *word, enum meaning meaning)
{
    const char *at = known[meaning];

    for (size_t n; *(at += strspn(at, " ")) != '\0'; at += n) {
        n = strcspn(at, " ");
        if ((strlen(word) == n && strncmp(word, at, n) == 0) ||
            ends_with(word, at, n))
            return true;
    }
    return false;
}

const char *words_meaning(const struct words *words, enum meaning meaning)
{
    for (uint32_t i = 0; i < words->n; i++)
        if (means(words->at[i], meaning))
            return words->at[i];
    for (uint32_t i = 0; meaning == MEANING_STOP && i + 1 < words->n; i++)
        for (size_t k = 0; k < sizeof stops / sizeof *stops; k++)
            if (strcmp(words->at[i], stops[k][0]) == 0 &&
                strcmp(words->at[i + 1], stops[k][1]) == 0)
                return words->at[i + 1];
    return NULL;
}

static bool says_nothing(const char *word)
{
    for (int meaning = 0; meaning < MEANINGS; meaning++)
        if (means(word, (enum meaning)meaning))
            return true;
    return false;
}

struct words words_stem(const struct words *words, uint32_t without)
{
    struct words stem = {0};

    for (uint32_t i = 0; i < words->n; i++)
        if (i != without && !says_nothing(words->at[i]))
            stem.at[stem.n++] = words->at[i];
    return stem;
}

bool words_same(const struct words *a, const struct words *b)
{
    for (uint32_t i = 0; i < a->n && a->n == b->n; i++)
        if (strcmp(a->at[i], b->at[i]) != 0)
            return false;
    return a->n == b->n;
}

/* ---- opposites ---- */

static struct direction direction(const struct opposite *entry, int sign)
{
    return (struct direction){entry->axis, sign, entry->place};
}

static bool opposed(const char *a, const char *b, struct direction pair[2])
{
    for (size_t i = 0; i < OPPOSITES; i++) {
        const struct opposite *entry = &opposites[i];
        bool as_written = !strcmp(a, entry->one) && !strcmp(b, entry->other);
        bool reversed = !strcmp(b, entry->one) && !strcmp(a, entry->other);

        if (!as_written && !reversed)
            continue;
        pair[0] = direction(entry, as_written ? 1 : -1);
        pair[1] = direction(entry, as_written ? -1 : 1);
        return true;
    }
    return false;
}

bool words_opposite(const struct words *a, const struct words *b,
                    uint32_t *at, struct direction pair[2])
{
    uint32_t differ = 0;

    for (uint32_t i = 0; i < a->n && a->n == b->n; i++)
        if (strcmp(a->at[i], b->at[i]) != 0) {
            differ++;
            *at = i;
        }
    return differ == 1 && opposed(a->at[*at], b->at[*at], pair);
}

bool words_direction(const char *word, bool place, struct direction *found)
{
    for (int round = 0; round < 2; round++)
        for (size_t i = 0; i < OPPOSITES; i++) {
            const struct opposite *entry = &opposites[i];
            bool one = strcmp(word, entry->one) == 0;

            if ((entry->place == place) == (round == 1) ||
                (!one && strcmp(word, entry->other) != 0))
                continue;
            *found = direction(entry, one ? 1 : -1);
            return true;
        }
    return false;
}
