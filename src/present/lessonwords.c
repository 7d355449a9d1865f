#include "present/lessonwords.h"

#include <stdbool.h>
#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "base/text.h"
#include "present/json.h"

static const struct row {
    const char *key, *en, *de;
} table[] = {
    /* the page */
    {"language", "en", "de"},
    {"point", ".", ","},
    {"notice",
     "A model of the control of {}; not an operating manual; times and "
     "movements are simplified.",
     "Ein Modell der Steuerung von {}; keine Betriebsanleitung; Zeiten und "
     "Bewegungen sind vereinfacht."},
    {"version", "{}, version {}", "{}, Fassung {}"},
    {"first",
     "The vehicle's own instructions and the rescue service go first. What "
     "this page shows is permission for nothing.",
     "Zuerst gelten die Betriebsanleitung des Fahrzeugs und die Anweisungen "
     "der Rettungskräfte. Was diese Seite zeigt, ist keine Erlaubnis."},
    {"machine", "The machine", "Die Maschine"},
    {"no_script",
     "Scripts are switched off here: the machine cannot be operated, the "
     "stories below can be read.",
     "Skripte sind hier ausgeschaltet: Die Maschine lässt sich nicht "
     "bedienen, die Abläufe unten lassen sich lesen."},
    {"stories", "Stories", "Abläufe"},
    {"no_stories", "There is none.", "Es gibt keinen."},
    {"on_control", "Control text: {}", "Steuerungstext: {}"},
    {"changed", "changed: {}", "geändert: {}"},
    {"requirements", "What is required", "Was verlangt ist"},
    {"made_by", "Made by {}.", "Erzeugt von {}."},
    /* strips */
    {"time", "time", "Zeit"},
    {"hands", "operator", "Bediener"},
    {"moving", "machine", "Maschine"},
    {"switched", "outputs", "Ausgänge"},
    {"no_change", "(no change for {})", "({} lang keine Änderung)"},
    {"hold_on", "hold {}", "{} drücken und halten"},
    {"hold_off", "release {}", "{} loslassen"},
    {"press_on", "press {}", "{} drücken"},
    {"press_off", "let go {}", "{} lösen"},
    {"switch_on", "switch on {}", "{} einschalten"},
    {"switch_off", "switch off {}", "{} ausschalten"},
    {"set_to", "{} to {}", "{} auf {}"},
    {"power_comes", "power comes", "Spannung kommt"},
    {"power_goes", "power goes", "Spannung fällt aus"},
    {"power_returns", "power returns", "Spannung kehrt wieder"},
    {"fault_comes", "from now on: {}", "von jetzt an: {}"},
    {"fault_goes", "no longer: {}", "nicht mehr: {}"},
    {"stands_at", "{} is {}", "{} ist {}"},
    {"becomes", "{} becomes {}", "{} wird {}"},
    {"comes_on", "on: {}", "ein: {}"},
    {"goes_off", "off: {}", "aus: {}"},
    {"value_now", "{}: {}", "{}: {}"},
    {"as_expected", "as expected: {}", "wie erwartet: {}"},
    {"not_expected", "not as expected: {}", "nicht wie erwartet: {}"},
    {"breaks_here", "{} is broken here: {}", "{} ist hier verletzt: {}"},
    {"not_moved", "the machine could not make this movement",
     "die Maschine konnte diese Bewegung nicht ausführen"},
    {"ends_here", "the story ends here: {}", "der Ablauf endet hier: {}"},
    {"shortest_way", "the shortest way to break {}: {}",
     "der kürzeste Weg, {} zu verletzen: {}"},
    {"example_of", "an example of {}: {}", "ein Beispiel für {}: {}"},
    {"no_way_out", "after this {} can never be brought about: {}",
     "danach ist {} nie mehr zu erreichen: {}"},
    /* the machine at work */
    {"run", "run", "laufen lassen"},
    {"pause", "pause", "anhalten"},
    {"step", "one scan on", "einen Zyklus weiter"},
    {"back", "one scan back", "einen Zyklus zurück"},
    {"power_up", "from power-up", "neu ab Einschalten"},
    {"speed", "speed of the clock", "Gang der Uhr"},
    {"times", "{} ×", "{} ×"},
    {"clock", "{} s, scan {}", "{} s, Zyklus {}"},
    {"before_power", "before power comes", "vor dem Einschalten"},
    {"step_first", "Nothing was run yet: take one scan on.",
     "Noch ist nichts gelaufen: einen Zyklus weiter."},
    {"not_yet", "not yet", "noch nicht"},
    {"positions", "Where the machine stands", "Wo die Maschine steht"},
    {"no_machine", "No movements are described.",
     "Es sind keine Bewegungen beschrieben."},
    {"start", "at power-up:", "beim Einschalten:"},
    {"start_of", "{} at power-up", "{} beim Einschalten"},
    {"no_place", "place not declared", "Ort nicht angegeben"},
    {"sees", "in sight from here: {}", "von hier zu sehen: {}"},
    {"outputs", "What the control switches", "Was die Steuerung schaltet"},
    {"supply", "Supply", "Versorgung"},
    {"power_off", "switch the supply off", "Versorgung ausschalten"},
    {"power_on", "switch the supply on", "Versorgung einschalten"},
    {"moves", "What the machine does by itself",
     "Was die Maschine von selbst tut"},
    {"moves_itself", "as soon as it may", "sobald sie darf"},
    {"stands_still", "never", "nie"},
    {"inputs", "Inputs without a control", "Eingänge ohne Bedienteil"},
    {"faults", "Faults", "Fehler"},
    {"faults_note",
     "Switched on here, a fault is there from the next scan on. Go back, or "
     "begin from power-up, to be without it.",
     "Hier eingeschaltet, ist ein Fehler vom nächsten Zyklus an da. Zurück "
     "oder neu ab Einschalten, und er ist fort."},
    {"fault_stays", "This fault stays: go back, or begin from power-up.",
     "Dieser Fehler bleibt: zurück, oder neu ab Einschalten."},
    {"fault_from_start",
     "This fault is there from power-up or never: begin from power-up.",
     "Dieser Fehler ist von Anfang an da oder nie: neu ab Einschalten."},
    {"next_scan", "with the next scan", "mit dem nächsten Zyklus"},
    {"there", "present", "vorhanden"},
    {"held", "held", "gedrückt"},
    {"released", "released", "losgelassen"},
    {"latched", "pressed, latched", "gedrückt, verrastet"},
    {"pulled", "not pressed", "nicht gedrückt"},
    {"tie", "tie down", "festbinden"},
    {"tied", "tied down (misuse)", "festgebunden (Missbrauch)"},
    {"on", "on", "ein"},
    {"off", "off", "aus"},
    {"lit", "lit", "leuchtet"},
    {"dark", "dark", "dunkel"},
    {"let_go", "All that was held is released: the page was left.",
     "Alles Gehaltene ist losgelassen: Die Seite wurde verlassen."},
    {"refused", "This cannot be, says an assumption: {}. Change the hands.",
     "Das kann nicht sein, sagt eine Annahme: {}. Andere Bedienung wählen."},
    {"error", "Run-time error, the model ends here: {}.",
     "Laufzeitfehler, das Modell endet hier: {}."},
    {"broken", "{} is broken: {}.", "{} ist verletzt: {}."},
    {"broken_despite",
     "{} does not hold: {}. With these faults nobody asked for it.",
     "{} gilt nicht: {}. Bei diesen Fehlern ist es auch nicht verlangt."},
    /* stories at work */
    {"walk", "walk through it", "durchgehen"},
    {"loaded", "Loaded: {}. One scan on begins it.",
     "Geladen: {}. Einen Zyklus weiter beginnt ihn."},
    {"end_of_story", "This is the end of the story.",
     "Hier endet der Ablauf."},
    {"left_story", "From here on you operate the machine yourself.",
     "Von hier an wird die Maschine von Hand bedient."},
    /* reasons */
    {"why", "why?", "warum?"},
    {"true", "TRUE", "TRUE"},
    {"false", "FALSE", "FALSE"},
    {"is", "{} is {}", "{} ist {}"},
    {"is_not", "{} is not {}", "{} ist nicht {}"},
    {"is_below", "{} is below {}", "{} ist kleiner als {}"},
    {"is_at_least", "{} is at least {}", "{} ist mindestens {}"},
    {"is_at_most", "{} is at most {}", "{} ist höchstens {}"},
    {"is_above", "{} is above {}", "{} ist größer als {}"},
    {"is_held", "{} is held", "{} ist gedrückt"},
    {"is_not_held", "{} is not held", "{} ist nicht gedrückt"},
    {"is_pressed", "{} is pressed", "{} ist gedrückt"},
    {"is_not_pressed", "{} is not pressed", "{} ist nicht gedrückt"},
    {"is_on", "{} is on", "{} ist ein"},
    {"is_off", "{} is off", "{} ist aus"},
    {"is_true", "{} is TRUE", "{} ist TRUE"},
    {"is_false", "{} is FALSE", "{} ist FALSE"},
    {"with_power", "there is power", "die Spannung ist da"},
    {"no_power", "there is no power", "die Spannung fehlt"},
    {"before", "{} (one scan before)", "{} (einen Zyklus davor)"},
    {"was_before", "one scan before: {}", "einen Zyklus davor: {}"},
    {"real", "a REAL number, not shown", "eine REAL-Zahl, nicht gezeigt"},
    {"given", "{} (as others left it)", "{} (wie andere es hinterließen)"},
    {"was_given", "as others left it: {}", "wie andere es hinterließen: {}"},
    {"reckoned", "a reckoned value", "ein errechneter Wert"},
    {"is_so", "true", "trifft zu"},
    {"is_not_so", "not true", "trifft nicht zu"},
    {"all_of", "All of these together:", "Alles dies zusammen:"},
    {"one_of", "One of these is enough:", "Eines davon genügt:"},
    {"and", "and", "und"},
    {"or", "or", "oder"},
    {"on_because", "{} is on, as this holds ({}):",
     "{} ist ein, denn dies gilt ({}):"},
    {"off_because", "{} is off, as this does not hold ({}):",
     "{} ist aus, denn dies gilt nicht ({}):"},
    {"on_apart",
     "{} is on although what is written does not ask for it: a fault, or a "
     "program that rests in this scan.",
     "{} ist ein, obwohl das Geschriebene es nicht verlangt: ein Fehler, "
     "oder ein Programm, das in diesem Zyklus ruht."},
    {"off_apart",
     "{} is off although what is written asks for it: a fault, no supply, or "
     "a program that rests in this scan.",
     "{} ist aus, obwohl das Geschriebene es verlangt: ein Fehler, keine "
     "Versorgung, oder ein Programm, das in diesem Zyklus ruht."},
    {"not_followed", "something that is not followed here",
     "etwas, dem hier nicht gefolgt wird"},
    {"reckoned_from", "something reckoned from {}",
     "etwas, errechnet aus {}"},
    {"reckoned_more", "something reckoned from {} and more",
     "etwas, errechnet aus {} und weiterem"},
    {"and_more", "… and from more.", "… und aus weiterem."},
    {"left_open", "something that the model leaves open",
     "etwas, das das Modell offen lässt"},
    {"depends_on",
     "{}: {}. How it comes about ({}) is not followed here; it is reckoned "
     "from:",
     "{}: {}. Wie es zustande kommt ({}), wird hier nicht verfolgt; es wird "
     "errechnet aus:"},
    {"bit_of", "bit {} of {}", "Bit {} von {}"},
    {"with_now", "{} (now {})", "{} (jetzt {})"},
    {"with_was", "{} (it was {})", "{} (es war {})"},
    {"a_count", "a count", "eine Zählung"},
    {"the_count", "the count", "die Zählung"},
    {"count_reached", "a count: {} of {} reached",
     "eine Zählung: {} von {} erreicht"},
    {"count_below", "a count below its end: {} of {}",
     "eine Zählung vor ihrem Ende: {} von {}"},
    {"count_none_left", "a count down to 0: {} left",
     "eine Zählung herunter bis 0: noch {}"},
    {"count_left", "a count that has not come down to 0: {} left",
     "eine Zählung, die noch nicht bei 0 ist: noch {}"},
    {"count_ended", "a count has come to its end",
     "eine Zählung ist am Ende"},
    {"count_goes_on", "a count has not come to its end",
     "eine Zählung ist noch nicht am Ende"},
    {"counted_by", "{}; counted is each time this comes true: {}",
     "{}; gezählt wird jedes Mal, wenn dies wahr wird: {}"},
    {"counted_back", "{}; set back by: {}", "{}; zurückgesetzt durch: {}"},
    {"counts_if", "counts {} if:", "zählt {}, wenn:"},
    {"time_of", "{} ({} of {})", "{} ({} von {})"},
    {"time_over", "its set time has run", "seine Zeit ist abgelaufen"},
    {"time_runs", "its set time has not run yet",
     "seine Zeit ist noch nicht abgelaufen"},
    {"hold_over", "what holds it on afterwards has run out, or never began",
     "die Nachlaufzeit ist vorbei oder hat nie begonnen"},
    {"hold_runs", "it is held on afterwards", "die Nachlaufzeit läuft"},
    {"pulse_runs",
     "its pulse runs; one begins when this comes true: {}",
     "sein Impuls läuft; einer beginnt, wenn dies wahr wird: {}"},
    {"pulse_none",
     "no pulse of it runs; one begins when this comes true: {}",
     "kein Impuls läuft; einer beginnt, wenn dies wahr wird: {}"},
    {"other_ways", "other ways: {}", "andere Möglichkeiten: {}"},
    {"not_known", "not known", "nicht bekannt"},
    {"as_read", "{} (as the control reads it)",
     "{} (wie die Steuerung es liest)"},
    {"to_go_off", "{} would not be on if this were so:",
     "{} wäre nicht ein, wenn dies gälte:"},
    {"to_come_on", "{} would be on if this were so:",
     "{} wäre ein, wenn dies gälte:"},
    {"value_because", "{} is {}, as this holds ({}):",
     "{} ist {}, denn dies gilt ({}):"},
    {"value_apart",
     "{} is {} although what is written does not lead to it: a fault, no "
     "supply, or a program that rests in this scan.",
     "{} ist {}, obwohl das Geschriebene nicht dazu führt: ein Fehler, keine "
     "Versorgung, oder ein Programm, das in diesem Zyklus ruht."},
    {"value_always", "{} is always {}.", "{} ist immer {}."},
    {"so_because", "True: {}. It comes from this ({}):",
     "Es trifft zu: {}. Es kommt hiervon ({}):"},
    {"not_so_because", "Not true: {}. It would come from this ({}):",
     "Es trifft nicht zu: {}. Es käme hiervon ({}):"},
    {"to_be_so", "“{}” would be true if this were so:",
     "„{}“ träfe zu, wenn dies gälte:"},
    {"to_be_not_so", "“{}” would not be true if this were so:",
     "„{}“ träfe nicht zu, wenn dies gälte:"},
    {"always_so", "Always true: {}.", "Trifft immer zu: {}."},
    {"never_so", "Never true: {}.", "Trifft nie zu: {}."},
    {"always", "{} is always on.", "{} ist immer ein."},
    {"never", "{} is never on.", "{} ist nie ein."},
    {"too_much",
     "The condition is too long to be shown whole. It depends on these:",
     "Die Bedingung ist zu lang, um ganz gezeigt zu werden. Sie hängt hiervon "
     "ab:"},
    {"no_reason", "No statement is shown for this.",
     "Hierfür wird keine Anweisung gezeigt."},
    {"tried", "Tried out on the model, with the next scan:",
     "Am Modell ausprobiert, mit dem nächsten Zyklus:"},
    {"by_itself", "It changes by itself, whatever the hands do.",
     "Es ändert sich von selbst, was auch die Hände tun."},
    {"no_hand",
     "No change of one or two controls switches it with the next scan.",
     "Kein Griff an einem oder zwei Bedienteilen schaltet es im nächsten "
     "Zyklus."},
};

enum { ROWS = sizeof table / sizeof *table };

struct lesson_words {
    const char *at[ROWS];
};

struct lesson_words *lessonwords_language(struct arena *arena,
                                          const char *language)
{
    bool german = strcmp(language, "de") == 0;
    struct lesson_words *words;

    if (!german && strcmp(language, "en") != 0)
        return NULL;
    words = ARENA_NEW(arena, struct lesson_words);
    for (int i = 0; i < ROWS; i++)
        words->at[i] = german ? table[i].de : table[i].en;
    return words;
}

static int find(const char *key, size_t n)
{
    for (int i = 0; i < ROWS; i++)
        if (strlen(table[i].key) == n && memcmp(table[i].key, key, n) == 0)
            return i;
    return ROWS;
}

const char *lessonwords_of(const struct lesson_words *words, const char *key)
{
    int row = find(key, strlen(key));

    ENSURE(row < ROWS);
    return words->at[row];
}

void lessonwords_put(struct text *out, const struct lesson_words *words,
                     const char *key, const char *first, const char *second)
{
    const char *at = lessonwords_of(words, key), *gap;

    for (const char *what = first; (gap = strstr(at, "{}")) != NULL;
         what = second) {
        text_add_bytes(out, at, (size_t)(gap - at));
        text_add(out, what == NULL ? "" : what);
        at = gap + 2;
    }
    text_add(out, at);
}

/* ---- a user's table ---- */

static int gaps(const char *words)
{
    int n = 0;

    for (; (words = strstr(words, "{}")) != NULL; words += 2)
        n++;
    return n;
}

static size_t trimmed(const char **at, size_t n)
{
    while (n > 0 && (**at == ' ' || **at == '\t')) {
        (*at)++;
        n--;
    }
    while (n > 0 && strchr(" \t\r", (*at)[n - 1]) != NULL)
        n--;
    return n;
}

static const char *read_line(struct arena *arena, struct lesson_words *words,
                             const char *line, size_t n)
{
    const char *equals = memchr(line, '=', n), *key = line, *said;
    size_t n_key, n_said;
    int row;

    if (equals == NULL)
        return "write `key = words`, or # before a remark";
    n_key = trimmed(&key, (size_t)(equals - line));
    said = equals + 1;
    n_said = trimmed(&said, n - (size_t)(equals - line) - 1);
    row = find(key, n_key);
    if (row == ROWS)
        return arena_printf(arena, "there is no key '%.*s'; `keepclear "
                            "lesson --as words FILE` lists them",
                            (int)n_key, key);
    said = arena_copy(arena, said, n_said);
    if (gaps(said) != gaps(table[row].en))
        return arena_printf(arena, "'%s' needs {} as often as in '%s'",
                            table[row].key, table[row].en);
    words->at[row] = said;
    return NULL;
}

const char *lessonwords_read(struct arena *arena, struct lesson_words *words,
                             const char *text, size_t n)
{
    unsigned number = 1;

    for (size_t at = 0; at < n; number++) {
        const char *end = memchr(text + at, '\n', n - at), *line = text + at;
        size_t length = end == NULL ? n - at : (size_t)(end - line);
        const char *wrong = NULL;

        at += length + 1;
        length = trimmed(&line, length);
        if (length > 0 && *line != '#')
            wrong = read_line(arena, words, line, length);
        if (wrong != NULL)
            return arena_printf(arena, "line %u of the words: %s", number,
                                wrong);
    }
    return NULL;
}

void lessonwords_data(struct text *out, const struct lesson_words *words)
{
    for (int i = 0; i < ROWS; i++) {
        text_printf(out, "%s\"%s\":", i == 0 ? "{" : ",\n", table[i].key);
        json_string(out, words->at[i]);
    }
    text_add(out, "}");
}

void lessonwords_lines(struct text *out, const struct lesson_words *words)
{
    for (int i = 0; i < ROWS; i++)
        text_printf(out, "%s = %s\n", table[i].key, words->at[i]);
}
