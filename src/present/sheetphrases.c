#include "present/sheetphrases.h"

#include <stddef.h>

#include "base/text.h"
#include "present/wordtable.h"

static const struct wordrow rows[] = {
    {"language", "en", "de"},
    {"point", ".", ","},
    {"title", "TEST SHEET  {}", "PRÜFBLATT  {}"},
    {"foot", "test sheet by keepclear, for the texts with the fingerprint {}",
     "Prüfblatt von keepclear, für die Texte mit dem Fingerabdruck {}"},
    {"which_machine", "machine (maker's number)",
     "Maschine (Nummer des Herstellers)"},
    {"which_day", "date, sheet kept by", "Datum, Blatt geführt von"},
    {"made_for", "Made for the texts with the fingerprint (SHA-256) {}.",
     "Erstellt für die Texte mit dem Fingerabdruck (SHA-256) {}."},
    /* what is the same on every sheet */
    {"before", "BEFORE STEP 1", "VOR SCHRITT 1"},
    {"before_all", "Everything in this list is true, or there is no step 1.",
     "Alles in dieser Liste trifft zu, sonst gibt es keinen Schritt 1."},
    {"before_charge", "competent person in charge (name)",
     "befähigte Person, die die Prüfung leitet (Name)"},
    {"before_text", "this control text is on the controller, checked by",
     "dieser Steuerungstext ist auf der Steuerung, geprüft von"},
    {"before_read",
     "instructions of the maker, standards in force and local law read by",
     "Betriebsanleitung des Herstellers, geltende Normen und örtliches Recht "
     "gelesen von"},
    {"before_area", "area closed off by", "Bereich abgesperrt von"},
    {"before_nobody", "nobody in the danger zone, looked at by",
     "niemand im Gefahrenbereich, nachgesehen von"},
    {"before_second", "second person at a stop, who does nothing else (name)",
     "zweite Person am Not-Halt oder Halt, die nichts anderes tut (Name)"},
    {"before_stops", "every stop tried before, by",
     "jeder Not-Halt und jeder Halt vorher erprobt, von"},
    {"before_support", "parts that can fall or sink supported with",
     "Teile, die herabfallen oder absinken können, abgestützt mit"},
    {"before_vehicle", "vehicle secured against moving with",
     "Fahrzeug gegen Wegrollen gesichert mit"},
    {"before_signs", "signs agreed on for go, stop and danger",
     "Zeichen für Los, Halt und Gefahr sind vereinbart"},
    {"breaking", "BREAKING OFF", "ABBRUCH"},
    {"breaking_rule",
     "Whoever sees one of these presses the nearest stop at once; then "
     "the energy is taken away: a person comes near; something moves "
     "that no step names, or moves in round one at all; something does "
     "not stop; a step is not as expected. It goes on only when the "
     "competent person has found the reason and written it down. From "
     "a sequence that was broken off everything is put back to rest, "
     "and the sequence begins anew.",
     "Wer eines davon sieht, drückt sofort den nächsten Not-Halt oder Halt; "
     "danach wird die Energie weggenommen: Eine Person kommt näher; etwas "
     "bewegt sich, das kein Schritt nennt, oder bewegt sich überhaupt in "
     "Runde eins; etwas hält nicht an; ein Schritt ist nicht wie erwartet. "
     "Weiter geht es erst, wenn die befähigte Person die Ursache gefunden "
     "und aufgeschrieben hat. Nach einem Abbruch wird alles wieder in "
     "Ruhestellung gebracht, und die Folge beginnt von vorn."},
    {"one", "ROUND ONE: MOVEMENT MADE IMPOSSIBLE",
     "RUNDE EINS: BEWEGUNG UNMÖGLICH GEMACHT"},
    {"one_energy",
     "energy of every movement taken away, locked and tagged, by",
     "Energie jeder Bewegung weggenommen, gegen Wiedereinschalten gesichert "
     "und gekennzeichnet, von"},
    {"one_tried", "tried that nothing moves, by",
     "erprobt, dass sich nichts bewegt, von"},
    {"one_watched",
     "The machine is brought where a sequence wants it by its own "
     "controls, before that. Watched are lamps, or a meter, at the plug "
     "of each actuator: ON is what would move it.",
     "Wo die Maschine bei einer Folge stehen soll, dorthin wird sie vorher "
     "mit ihren eigenen Stellteilen gefahren. Beobachtet werden Lampen oder "
     "ein Messgerät am Stecker jedes Aktors: EIN ist, was ihn bewegen "
     "würde."},
    {"two", "ROUND TWO: WITH MOVEMENT", "RUNDE ZWEI: MIT BEWEGUNG"},
    {"two_rule",
     "Only if every step of round one is as expected. Every line of "
     "BEFORE STEP 1 is looked at once more. No safeguard is bridged, "
     "removed or held for any step: a step that cannot be done without "
     "that is not possible here.",
     "Nur wenn jeder Schritt von Runde eins wie erwartet ist. Jede Zeile von "
     "VOR SCHRITT 1 wird noch einmal nachgesehen. Für keinen Schritt wird "
     "eine Schutzeinrichtung überbrückt, entfernt oder festgehalten: Ein "
     "Schritt, der nur damit ginge, ist hier nicht möglich."},
    {"two_released", "round one passed, released by",
     "Runde eins bestanden, freigegeben von"},
    {"two_supports", "supports and locks taken away by",
     "Abstützungen und Sperren entfernt von"},
    {"after", "AFTER THE LAST STEP", "NACH DEM LETZTEN SCHRITT"},
    {"after_rest", "all controls at rest, stops let out",
     "alle Stellteile in Ruhestellung, Not-Halt und Halt entriegelt"},
    {"after_safe", "machine stands safely, energy as it was before",
     "Maschine steht sicher, Energie wie zuvor"},
    {"after_locks", "locks, tags, lamps, meters and supports taken away",
     "Sperren, Anhänger, Lampen, Messgeräte und Abstützungen entfernt"},
    {"after_area", "area given back by", "Bereich wieder freigegeben von"},
    {"after_sign", "date, name, signature", "Datum, Name, Unterschrift"},
    {"after_only",
     "This sheet tests what is written on it and nothing else. It is "
     "made from the texts, gives no performance level or category, and "
     "does not replace the review of a competent person.",
     "Dieses Blatt prüft, was darauf steht, und sonst nichts. Es ist aus den "
     "Texten erstellt, gibt weder Performance Level noch Kategorie an und "
     "ersetzt nicht die Beurteilung durch eine befähigte Person."},
    /* what it leans on */
    {"leans", "WHAT IT LEANS ON", "WORAUF ES SICH STÜTZT"},
    {"leans_on",
     "What a step expects is so, as far as the texts are right, however the "
     "machine answers and whatever inputs do that nobody operates, if "
     "nothing is broken, no run-time error occurs (see `check`) and power "
     "stays.",
     "Was ein Schritt erwartet, gilt, soweit die Texte stimmen, wie auch "
     "immer die Maschine antwortet und was auch Eingänge tun, die niemand "
     "bedient, wenn nichts defekt ist, kein Laufzeitfehler auftritt (siehe "
     "`check`) und die Versorgung bleibt."},
    {"scan", "A scan takes {} ms.", "Ein Zyklus dauert {} ms."},
    {"scan_assumed", "A scan takes {} ms (assumed).",
     "Ein Zyklus dauert {} ms (angenommen)."},
    {"unconfirmed", "{} (not confirmed by anybody)",
     "{} (von niemandem bestätigt)"},
    {"left_out", "{} has too many positions and stays at rest.",
     "{} hat zu viele Stellungen und bleibt in Ruhestellung."},
    {"watched", "WHAT IS WATCHED", "WAS BEOBACHTET WIRD"},
    {"stations", "WHO STANDS WHERE", "WER WO STEHT"},
    {"station", "{}: {}", "{}: {}"},
    /* how a step is done */
    {"how", "HOW A STEP IS DONE", "WIE EIN SCHRITT AUSGEFÜHRT WIRD"},
    {"how_rest", "Before each sequence: everything at rest for {} s, power on.",
     "Vor jeder Folge: alles {} s lang in Ruhestellung, Versorgung ein."},
    {"how_power",
     "Before each sequence: everything at rest; the supply of the "
     "controller off for 5 s and on again, then {} s.",
     "Vor jeder Folge: alles in Ruhestellung; die Versorgung der Steuerung "
     "5 s lang aus und wieder ein, dann {} s warten."},
    {"how_step",
     "Each step: do what stands there, wait at least {} s if no other wait is "
     "written, then look. A wait is kept to {} s, and may be as long as you "
     "like.",
     "Jeder Schritt: tun, was dasteht, mindestens {} s warten, wenn nichts "
     "anderes dasteht, dann hinsehen. Eine Wartezeit wird auf {} s genau "
     "eingehalten und darf beliebig länger dauern."},
    {"how_together", "Both together: the two hands differ by no more than "
     "{} s.",
     "Beide gleichzeitig (Zweihandbetätigung): Die zwei Hände unterscheiden "
     "sich um höchstens {} s."},
    {"how_seen",
     "Until something is seen: look at once, and go on within {} s.",
     "Bis etwas zu sehen ist: sofort hinsehen und innerhalb von {} s "
     "weitermachen."},
    {"how_return",
     "Supply off, then on: that of the controller. What is done in between "
     "stays so when it comes on again, and the wait begins then.",
     "Versorgung aus, dann ein: die der Steuerung. Was dazwischen getan wird, "
     "bleibt so, wenn sie wiederkommt; dann beginnt das Warten."},
    {"how_must",
     "What is named under “must be” is so when you look; everything that is "
     "not named there is OFF. Of what is not judged either may be.",
     "Was unter „Soll“ genannt ist, gilt beim Hinsehen; alles, was dort nicht "
     "genannt ist, ist AUS. Was nicht bewertet ist, darf beides sein."},
    {"how_must_rest",
     "What is named under “must be” is so when you look; everything that is "
     "not named there is as at rest: ON {}, all others OFF. Of what is not "
     "judged either may be. What is ON at rest is so between the sequences "
     "too: take the energy away before you go near.",
     "Was unter „Soll“ genannt ist, gilt beim Hinsehen; alles, was dort nicht "
     "genannt ist, ist wie in Ruhe: EIN {}, alles andere AUS. Was nicht "
     "bewertet ist, darf beides sein. Was in Ruhe EIN ist, ist es auch "
     "zwischen den Folgen: Energie wegnehmen, bevor jemand herangeht."},
    {"how_mark",
     "One box is marked for each step: as expected, not as expected, not "
     "possible here. In every other case but the first a remark is written.",
     "Bei jedem Schritt wird ein Kästchen angekreuzt: wie erwartet, nicht wie "
     "erwartet, hier nicht möglich. Außer beim ersten gehört eine Bemerkung "
     "dazu."},
    {"how_end",
     "At the end of each sequence all controls are at rest again. Where "
     "something may then still be ON a line says so.",
     "Am Ende jeder Folge sind alle Stellteile wieder in Ruhestellung. Wo dann "
     "noch etwas EIN sein kann, sagt es eine Zeile."},
    /* sequences */
    {"sequence", "Sequence {}.", "Folge {}."},
    {"movement", "Movement {}.", "Bewegung {}."},
    {"stands", "The machine stands: {}.", "Die Maschine steht: {}."},
    {"anywhere", "wherever it stands", "wo immer sie steht"},
    {"power_first", "Supply off and on.", "Versorgung aus und ein."},
    {"hands_at", "Hands at: {}.", "Bedient wird an: {}."},
    {"end_on",
     "Something may still be ON at the end of this one: take the energy away "
     "before you go near.",
     "Am Ende dieser Folge kann noch etwas EIN sein: Energie wegnehmen, bevor "
     "jemand herangeht."},
    {"no_standing", "No step was found that can be tested so.",
     "Es wurde kein Schritt gefunden, der sich so prüfen lässt."},
    {"cannot_stand",
     "A text of the mechanism changes the machine by itself, so "
     "nothing is promised of a machine that cannot move: there is "
     "no step here. Round two then needs the more care.",
     "Ein Text der Mechanik verändert die Maschine von selbst, deshalb wird "
     "von einer Maschine, die sich nicht bewegen kann, nichts zugesagt: Hier "
     "gibt es keinen Schritt. Runde zwei verlangt dann umso mehr Vorsicht."},
    {"no_moving", "No step was found that shows more than round one.",
     "Es wurde kein Schritt gefunden, der mehr zeigt als Runde eins."},
    /* columns and boxes */
    {"column_step", "no.", "Nr."},
    {"column_at", "at", "wo"},
    {"column_do", "do", "Handgriff"},
    {"column_must", "must be", "Soll"},
    {"column_result", "result", "Ergebnis"},
    {"column_remark", "remark", "Bemerkung"},
    {"column_for", "for", "für"},
    {"box_yes", "as expected", "wie erwartet"},
    {"box_no", "not as expected", "nicht wie erwartet"},
    {"box_never", "not possible here", "hier nicht möglich"},
    /* what is done */
    {"hold", "hold {}", "{} drücken und halten"},
    {"hold_latching", "hold {} (it latches)", "{} drücken (rastet ein)"},
    {"let_go", "let go of {}", "{} loslassen"},
    {"press", "press {}", "{} drücken"},
    {"press_latching", "press {} until it latches",
     "{} bis zum Einrasten drücken"},
    {"let_out", "let {} out", "{} loslassen"},
    {"unlatch", "let {} out", "{} entriegeln"},
    {"switch_on", "switch on {}", "{} einschalten"},
    {"switch_off", "switch off {}", "{} ausschalten"},
    {"turn", "turn {} to {}", "{} auf {} stellen"},
    {"set", "set {} to {}", "{} auf {} einstellen"},
    {"and", "{} and {}", "{} und {}"},
    {"together", "{}, both together", "{}, beide gleichzeitig"},
    {"together_within", "{}, together (within {} s)",
     "{}, gleichzeitig (innerhalb von {} s)"},
    {"wait", "wait at least {} s", "mindestens {} s warten"},
    {"wait_look", "wait at least {} s, then look",
     "mindestens {} s warten, dann hinsehen"},
    {"wait_seen", "wait until {} is seen", "warten, bis {} zu sehen ist"},
    {"wait_seen_look",
     "wait until {} is seen, look at once, and go on within {} s",
     "warten, bis {} zu sehen ist, sofort hinsehen und innerhalb von {} s "
     "weitermachen"},
    {"power_before", "supply off and on again before it",
     "davor Versorgung aus und wieder ein"},
    {"power_return", "supply off, {}, after {} s supply on",
     "Versorgung aus, {}, nach {} s Versorgung ein"},
    /* what is seen */
    {"on", "ON: {}", "EIN: {}"},
    {"off", "OFF: {}", "AUS: {}"},
    {"still_on", "still ON: {}", "weiter EIN: {}"},
    {"still_off", "still OFF: {}", "weiter AUS: {}"},
    {"value", "{}: {}", "{}: {}"},
    {"not_judged", "not judged: {}", "nicht bewertet: {}"},
    {"not_judged_same", "not judged: the same as before",
     "nicht bewertet: dieselben wie zuvor"},
    {"all_off", "all OFF", "alles AUS"},
    {"as_at_rest", "all as at rest", "alles wie in Ruhe"},
    {"all", "all", "alle"},
    {"all_others", "all others", "alle anderen"},
    /* what it is for */
    {"lines", "l.{}", "Z.{}"},
    {"branch", "branch: {}, line {}", "Zweig: {}, Zeile {}"},
    {"of_requirement", "{}: {}", "{}: {}"},
    {"leaving_out", "{} (leaving out {})", "{} (ohne {})"},
    {"ends", "{} ends", "{} endet"},
    {"moves", "{} moves", "{} bewegt sich"},
    {"begins", "{} begins", "{} beginnt"},
    {"without", "{} without {}", "{} ohne {}"},
    {"fault_noticed", "a fault that is noticed",
     "ein Fehler, der bemerkt wird"},
    {"after_fault", "a judging T#{}ms or more after a fault",
     "eine Beurteilung T#{}ms oder mehr nach einem Fehler"},
    /* what it reaches */
    {"reach", "WHAT IT REACHES", "WAS ES ERREICHT"},
    {"reached",
     "{} of {} parts of the requirements come to bear, {} of {} "
     "branches of the control text are taken; played and counted "
     "once more by the reference interpreter. In {} cases one "
     "control, two buttons together, or the machine where it "
     "arrives, turn something that moves on or off; in {} "
     "cases one control away from rest, or where the machine "
     "stands, alone keeps that from happening. What happens with a "
     "fault is not asked.",
     "{} von {} Teilen der Anforderungen kommen zum Tragen, {} von {} Zweigen "
     "des Steuerungstexts werden genommen; nachgespielt und noch einmal "
     "gezählt vom Referenz-Interpreter. In {} Fällen schalten ein Stellteil, "
     "zwei Taster gemeinsam oder die Maschine, wo sie ankommt, etwas ein oder "
     "aus, das sich bewegt; in {} Fällen verhindert das allein ein "
     "betätigtes Stellteil oder der Stand der Maschine. Nach dem Verhalten "
     "mit einem Fehler wird nicht gefragt."},
    {"pairs",
     "Decisions of the control text on which it depends what moves: {}, with "
     "{} conditions in all. Pairs of cases in which one condition alone makes "
     "a decision come out otherwise (unique-cause MC/DC): {}; of them {} are "
     "shown, and with them {} of the conditions. What a decision then does "
     "must be seen in the steps.",
     "Entscheidungen des Steuerungstexts, von denen abhängt, was sich bewegt: "
     "{}, mit insgesamt {} Bedingungen. Fallpaare, in denen eine Bedingung "
     "allein die Entscheidung anders ausfallen lässt (MC/DC mit eindeutiger "
     "Ursache): {}; "
     "davon werden {} gezeigt, und mit ihnen {} der Bedingungen. Was eine "
     "Entscheidung dann bewirkt, muss in den Schritten zu sehen sein."},
    {"pairs_left", "Pairs that are not shown, and why: {}.",
     "Fallpaare, die nicht gezeigt werden, und warum: {}."},
    {"pairs_timing", "closer timing than hands keep: {}",
     "engere Zeiten, als Hände sie einhalten: {}"},
    {"pairs_elsewhere", "the machine alone brings them about: {}",
     "nur die Maschine führt sie herbei: {}"},
    {"pairs_power", "power must go: {}", "die Versorgung muss ausfallen: {}"},
    {"pairs_fault", "something must break: {}", "etwas muss defekt sein: {}"},
    {"pairs_never", "in no reachable situation: {}",
     "in keiner erreichbaren Situation: {}"},
    {"pairs_not_known", "not known: {}", "nicht bekannt: {}"},
    {"pair_condition", "{}, line {}, condition {}",
     "{}, Zeile {}, Bedingung {}"},
    {"pair_some", " ({} of its {} pairs)", " ({} ihrer {} Fallpaare)"},
    {"pair_too_many", " (of too many in one decision)",
     " (eine von zu vielen in einer Entscheidung)"},
    {"reached_by",
     "Requirements, each with the step in which it first comes to bear: {}.",
     "Anforderungen, jede mit dem Schritt, in dem sie zuerst zum Tragen "
     "kommt: {}."},
    {"taken_in", "Lines of {}, each with the step in which its branch is first "
     "taken: {}.",
     "Zeilen von {}, jede mit dem Schritt, in dem ihr Zweig zuerst genommen "
     "wird: {}."},
    {"gave_up",
     "The search ended after {} steps: with more, more may be found.",
     "Die Suche endete nach {} Schritten: Mit mehr lässt sich vielleicht mehr "
     "finden."},
    {"dropped_one",
     "1 sequence could not be played to the end and is not on the sheet.",
     "1 Folge ließ sich nicht zu Ende spielen und steht nicht auf dem Blatt."},
    {"dropped",
     "{} sequences could not be played to the end and are not on the sheet.",
     "{} Folgen ließen sich nicht zu Ende spielen und stehen nicht auf dem "
     "Blatt."},
    /* what is not on it */
    {"not_tested", "NOT TESTED BY THIS SHEET",
     "VON DIESEM BLATT NICHT GEPRÜFT"},
    {"why_timing",
     "Operators can bring it about, but no sequence was found that does so "
     "for sure in steps a hand can keep; it needs a signal source, or a "
     "recorded log (match)",
     "Bediener können es herbeiführen, aber es wurde keine Folge gefunden, "
     "die es in Schritten, die eine Hand einhalten kann, sicher tut; nötig "
     "ist eine Signalquelle oder eine Aufzeichnung (`match`)"},
    {"why_elsewhere",
     "It comes from the machine, or from inputs that nobody operates, and "
     "hands do not bring it about for sure; it needs a recorded log",
     "Es kommt von der Maschine oder von Eingängen, die niemand bedient, und "
     "von Hand lässt es sich nicht sicher herbeiführen; nötig ist eine "
     "Aufzeichnung"},
    {"why_power", "Power must go for it",
     "Dazu muss die Versorgung ausfallen"},
    {"why_fault",
     "Something must break for it; nothing is broken for a "
     "test of this kind (see `faults`)",
     "Dazu muss etwas defekt sein; für eine Prüfung dieser Art wird kein "
     "Defekt herbeigeführt (siehe `faults`)"},
    {"why_never",
     "No reachable situation has it, with as many faults as the requirements "
     "name",
     "In keiner erreichbaren Situation kommt es vor, mit so vielen Fehlern, "
     "wie die Anforderungen nennen"},
    {"why_not_known",
     "Not known: a limit was met (--situations, --memory)",
     "Nicht bekannt: Eine Grenze wurde erreicht (--situations, --memory)"},
    {"from_scan", "{} (from 1 scan on)", "{} (ab 1 Zyklus)"},
    {"from_scans", "{} (from {} scans on)", "{} (ab {} Zyklen)"},
    /* to be pasted into the review text */
    {"scenario", "sequence {} of the test sheet", "Folge {} des Prüfblatts"},
};

static const struct wordtable table = {rows, sizeof rows / sizeof *rows,
                                       "testsheet"};

const struct wordtable *sheetphrases_table(void)
{
    return &table;
}

void sheetphrases_put(struct text *out, const struct words *words,
                      const char *key, const char *first, const char *second)
{
    wordtable_put(out, words, key, (const char *const[]){first, second, NULL});
}

void sheetphrases_number(struct text *out, const struct words *words,
                         const char *key, uint32_t number)
{
    struct text figure = {0};

    text_printf(&figure, "%u", number);
    sheetphrases_put(out, words, key, text_str(&figure), NULL);
    text_release(&figure);
}

void sheetphrases_seconds(struct text *out, const struct words *words,
                          uint32_t ms)
{
    text_printf(out, "%u%s%u", ms / 1000, wordtable_of(words, "point"),
                ms % 1000 / 100);
}
