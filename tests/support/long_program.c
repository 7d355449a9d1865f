#include "tests/support/long_program.h"

#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"

enum { STATIONS = 12 };

/* Appends a piece; ? stands for the number of the station, in two digits, ~
 * for a time of its own. */
static void add(struct text *out, const char *piece, int station)
{
    char number[24];

    for (; *piece; piece++) {
        if (*piece == '?')
            snprintf(number, sizeof number, "%02d", station);
        else if (*piece == '~')
            snprintf(number, sizeof number, "T#%d00ms", 2 + station % 4);
        else
            snprintf(number, sizeof number, "%c", *piece);
        text_add(out, number);
    }
}

static const char head[] =
    "(* Indexing table with twelve stations (invented).\n"
    "   One text, as the programming system exports it. *)\n"
    "TYPE\n"
    "    OperatingMode : (ModeOff, ModeSetup, ModeAutomatic);\n"
    "    StationState : (Idle, Clamping, Advancing, Working, Returning,\n"
    "                    Releasing, Done, Disturbed);\n"
    "    TableState : (TableLocked, TableUnlocking, TableTurning,\n"
    "                  TableLocking);\n"
    "END_TYPE\n\n"
    "VAR_GLOBAL CONSTANT\n"
    "    STATIONS : INT := 12;\n"
    "    LONGEST_STROKE : TIME := T#3s;\n"
    "END_VAR\n\n"
    "(* Set is weaker than reset. *)\n"
    "FUNCTION_BLOCK Latch\n"
    "VAR_INPUT\n    set   : BOOL;\n    reset : BOOL;\nEND_VAR\n"
    "VAR_OUTPUT\n    on : BOOL;\nEND_VAR\n"
    "    on := (set OR on) AND NOT reset;\n"
    "END_FUNCTION_BLOCK\n\n"
    "(* A stroke that takes too long, or two ends at once. *)\n"
    "FUNCTION_BLOCK StrokeWatch\n"
    "VAR_INPUT\n"
    "    moving  : BOOL;\n    at_home : BOOL;\n    at_end  : BOOL;\n"
    "    limit   : TIME;\n    reset   : BOOL;\n"
    "END_VAR\n"
    "VAR_OUTPUT\n    disturbed : BOOL;\nEND_VAR\n"
    "VAR\n    too_long : TON;\n    kept     : Latch;\nEND_VAR\n"
    "    too_long(IN := moving AND NOT (at_home AND NOT moving),\n"
    "             PT := limit);\n"
    "    kept(set := too_long.Q OR (at_home AND at_end), reset := reset);\n"
    "    disturbed := kept.on;\n"
    "END_FUNCTION_BLOCK\n\n";

static const char station_block[] =
    "(* ------------------------------------------------------------\n"
    "   Station ?\n"
    "   ------------------------------------------------------------ *)\n"
    "FUNCTION_BLOCK Station?Control\n"
    "VAR_INPUT\n"
    "    enable       : BOOL; (* stop circuit and guards are closed *)\n"
    "    automatic    : BOOL;\n"
    "    setup        : BOOL;\n"
    "    go           : BOOL; (* the table stands and is locked *)\n"
    "    part_there   : BOOL;\n"
    "    at_home      : BOOL;\n"
    "    at_end       : BOOL;\n"
    "    clamp_closed : BOOL;\n"
    "    jog_forward  : BOOL;\n"
    "    jog_back     : BOOL;\n"
    "    reset        : BOOL;\n"
    "END_VAR\n"
    "VAR_OUTPUT\n"
    "    advance   : BOOL;\n"
    "    return_   : BOOL;\n"
    "    clamp     : BOOL;\n"
    "    done      : BOOL;\n"
    "    disturbed : BOOL;\n"
    "    busy      : BOOL;\n"
    "END_VAR\n"
    "VAR\n"
    "    state   : StationState;\n"
    "    working : TON;\n"
    "    settled : TON;\n"
    "    watch   : StrokeWatch;\n"
    "    retries : INT (0 .. 3);\n"
    "END_VAR\n"
    "    (* Without enable everything stands; what was begun is begun anew. *)\n"
    "    IF NOT enable THEN\n"
    "        IF state <> Idle AND state <> Done THEN\n"
    "            state := Disturbed;\n"
    "        END_IF;\n"
    "    ELSIF automatic THEN\n"
    "        CASE state OF\n"
    "            Idle:\n"
    "                retries := 0;\n"
    "                IF go THEN\n"
    "                    IF part_there THEN\n"
    "                        state := Clamping;\n"
    "                    ELSE\n"
    "                        state := Done;\n"
    "                    END_IF;\n"
    "                END_IF;\n"
    "            Clamping:\n"
    "                IF clamp_closed AND settled.Q THEN\n"
    "                    state := Advancing;\n"
    "                END_IF;\n"
    "            Advancing:\n"
    "                IF watch.disturbed THEN\n"
    "                    state := Disturbed;\n"
    "                ELSIF at_end THEN\n"
    "                    state := Working;\n"
    "                END_IF;\n"
    "            Working:\n"
    "                IF working.Q THEN\n"
    "                    state := Returning;\n"
    "                ELSIF NOT clamp_closed THEN\n"
    "                    IF retries < 3 THEN\n"
    "                        retries := retries + 1;\n"
    "                        state := Clamping;\n"
    "                    ELSE\n"
    "                        state := Disturbed;\n"
    "                    END_IF;\n"
    "                END_IF;\n"
    "            Returning:\n"
    "                IF watch.disturbed THEN\n"
    "                    state := Disturbed;\n"
    "                ELSIF at_home THEN\n"
    "                    state := Releasing;\n"
    "                END_IF;\n"
    "            Releasing:\n"
    "                IF NOT clamp_closed THEN\n"
    "                    state := Done;\n"
    "                END_IF;\n"
    "            Done:\n"
    "                IF NOT go THEN\n"
    "                    state := Idle;\n"
    "                END_IF;\n"
    "            Disturbed:\n"
    "                IF reset AND at_home AND NOT watch.disturbed THEN\n"
    "                    state := Idle;\n"
    "                END_IF;\n"
    "        END_CASE;\n"
    "    ELSE\n"
    "        state := Idle;\n"
    "    END_IF;\n\n"
    "    settled(IN := state = Clamping AND clamp_closed, PT := T#100ms);\n"
    "    working(IN := state = Working AND enable, PT := ~);\n\n"
    "    (* Setup: jogging, one direction at a time. *)\n"
    "    advance := enable AND NOT at_end\n"
    "        AND (state = Advancing\n"
    "             OR (setup AND jog_forward AND NOT jog_back));\n"
    "    return_ := enable AND NOT at_home AND NOT advance\n"
    "        AND (state = Returning\n"
    "             OR (setup AND jog_back AND NOT jog_forward));\n"
    "    clamp := state = Clamping OR state = Advancing OR state = Working\n"
    "        OR state = Returning OR (NOT enable AND clamp);\n"
    "    watch(moving := advance OR return_, at_home := at_home,\n"
    "          at_end := at_end, limit := LONGEST_STROKE, reset := reset);\n"
    "    done := state = Done AND at_home;\n"
    "    busy := state <> Idle AND state <> Done;\n"
    "    disturbed := state = Disturbed OR watch.disturbed;\n"
    "END_FUNCTION_BLOCK\n\n";

/* ---- the program ---- */

static const char inputs_begin[] =
    "PROGRAM IndexingTable\n"
    "VAR_INPUT\n"
    "    emergency_stop_ok  AT %IX0.0 : BOOL; // emergency stop, desk\n"
    "    stop_rear_ok       AT %IX0.1 : BOOL; // emergency stop, rear\n"
    "    guard_front_closed AT %IX0.2 : BOOL; // front guard, both contacts\n"
    "    guard_rear_closed  AT %IX0.3 : BOOL; // rear guard, both contacts\n"
    "    start_button       AT %IX0.4 : BOOL; // start of the cycle\n"
    "    cycle_stop_button  AT %IX0.5 : BOOL; // end of the cycle\n"
    "    reset_button       AT %IX0.6 : BOOL; // reset of disturbances\n"
    "    mode_switch                  : OperatingMode;\n"
    "    enabling_button    AT %IX0.7 : BOOL; // enabling device, setup\n"
    "    jog_forward_button AT %IX1.0 : BOOL;\n"
    "    jog_back_button    AT %IX1.1 : BOOL;\n"
    "    jog_station        AT %IW10  : INT;  // number of the station\n"
    "    table_locked       AT %IX1.2 : BOOL; // pin of the table is in\n"
    "    table_unlocked     AT %IX1.3 : BOOL; // pin of the table is out\n"
    "    table_in_place     AT %IX1.4 : BOOL; // cam of the table\n"
    "    air_pressure_ok    AT %IX1.5 : BOOL;\n"
    "    oil_level_low      AT %IX1.6 : BOOL;\n";

static const char inputs_of_station[] =
    "    s?_ram_home     AT %IX1?.0 : BOOL; // station ?, ram back\n"
    "    s?_ram_end      AT %IX1?.1 : BOOL; // station ?, ram in front\n"
    "    s?_clamp_closed AT %IX1?.2 : BOOL; // station ?, clamp\n"
    "    s?_part_there   AT %IX1?.3 : BOOL; // station ?, part in the nest\n";

static const char outputs_begin[] =
    "END_VAR\nVAR_OUTPUT\n"
    "    table_motor        AT %QX0.0 : BOOL; // table turns\n"
    "    table_lock_valve   AT %QX0.1 : BOOL; // pin goes in\n"
    "    table_unlock_valve AT %QX0.2 : BOOL; // pin goes out\n"
    "    main_air_valve     AT %QX0.3 : BOOL;\n"
    "    start_lamp         AT %QX0.4 : BOOL;\n"
    "    fault_lamp         AT %QX0.5 : BOOL;\n"
    "    warning_horn       AT %QX0.6 : BOOL;\n"
    "    alarm_number       AT %QW10  : INT;\n";

static const char outputs_of_station[] =
    "    s?_ram_advance AT %QX1?.0 : BOOL; // station ?, ram to the front\n"
    "    s?_ram_return  AT %QX1?.1 : BOOL; // station ?, ram to the back\n"
    "    s?_clamp_valve AT %QX1?.2 : BOOL; // station ?, clamp closes\n"
    "    s?_busy_lamp   AT %QX1?.3 : BOOL; // station ?\n";

static const char variables_begin[] =
    "END_VAR\nVAR\n"
    "    mode          : OperatingMode;\n"
    "    table         : TableState;\n"
    "    stop_circuit  : BOOL;\n"
    "    guards        : BOOL;\n"
    "    enable        : BOOL;\n"
    "    cycle_on      : Latch;\n"
    "    start_edge    : R_TRIG;\n"
    "    warned        : TON;\n"
    "    turning_long  : TON;\n"
    "    all_done      : BOOL;\n"
    "    any_disturbed : BOOL;\n"
    "    go            : BOOL;\n"
    "    hold          : BOOL; (* from the last scan *)\n"
    "    ready         : BOOL; (* from the last scan *)\n"
    "    parts         : DINT;\n"
    "    parts_edge    : R_TRIG;\n"
    "    i             : INT;\n"
    "    done          : ARRAY [1 .. 12] OF BOOL;\n"
    "    disturbed     : ARRAY [1 .. 12] OF BOOL;\n"
    "    table_axis    : DriveAxis;   (* block of the maker of the drive *)\n"
    "    line_link     : LinkWatch;   (* link to the line *)\n"
    "    recipe        : RecipeStore;\n"
    "    eye           : ScannerEye;  (* reads the code of the nest *)\n";

static const char variables_of_station[] =
    "    station?     : Station?Control;\n"
    "    s?_blow_off  : TOF;\n"
    "    s?_scrap     : Latch;\n";

static const char body_begin[] =
    "END_VAR\n\n"
    "    (* ---- mode and stop circuit ---- *)\n"
    "    stop_circuit := emergency_stop_ok AND stop_rear_ok;\n"
    "    guards := guard_front_closed AND guard_rear_closed;\n"
    "    line_link(enable := stop_circuit, timeout := T#500ms);\n"
    "    recipe(request := start_button, number := 3);\n"
    "    eye(trigger := table = TableLocked);\n"
    "    mode := mode_switch;\n"
    "    enable := stop_circuit AND air_pressure_ok\n"
    "        AND (guards OR (mode = ModeSetup AND enabling_button));\n\n"
    "    (* ---- cycle ---- *)\n"
    "    start_edge(CLK := start_button);\n"
    "    cycle_on(set := start_edge.Q AND mode = ModeAutomatic\n"
    "                    AND line_link.ok AND recipe.loaded\n"
    "                    AND NOT hold,\n"
    "             reset := NOT enable OR cycle_stop_button\n"
    "                      OR mode <> ModeAutomatic);\n"
    "    warned(IN := cycle_on.on, PT := T#1s);\n"
    "    warning_horn := cycle_on.on AND NOT warned.Q;\n\n"
    "    (* ---- table ---- *)\n"
    "    CASE table OF\n"
    "        TableLocked:\n"
    "            IF warned.Q AND ready AND eye.good THEN\n"
    "                table := TableUnlocking;\n"
    "            END_IF;\n"
    "        TableUnlocking:\n"
    "            IF table_unlocked AND NOT table_locked THEN\n"
    "                table := TableTurning;\n"
    "            END_IF;\n"
    "        TableTurning:\n"
    "            IF table_in_place AND table_axis.standing THEN\n"
    "                table := TableLocking;\n"
    "            END_IF;\n"
    "        TableLocking:\n"
    "            IF table_locked AND NOT table_unlocked THEN\n"
    "                table := TableLocked;\n"
    "            END_IF;\n"
    "    END_CASE;\n"
    "    IF NOT enable AND table <> TableLocked THEN\n"
    "        table := TableLocking;\n"
    "    END_IF;\n"
    "    table_axis(release := enable AND table = TableTurning,\n"
    "               speed := 40);\n"
    "    table_motor := enable AND table = TableTurning\n"
    "        AND table_axis.ready AND table_unlocked;\n"
    "    table_unlock_valve := enable AND (table = TableUnlocking\n"
    "                                      OR table = TableTurning);\n"
    "    table_lock_valve := NOT table_unlock_valve AND NOT table_motor;\n"
    "    turning_long(IN := table_motor, PT := T#8s);\n"
    "    main_air_valve := enable;\n"
    "    go := table = TableLocked AND table_locked AND warned.Q;\n";

static const char body_of_station[] =
    "\n    (* ---- station ? ---- *)\n"
    "    station?(enable := enable, automatic := mode = ModeAutomatic,\n"
    "              setup := mode = ModeSetup AND jog_station = ?,\n"
    "              go := go AND s?_scrap.on = FALSE,\n"
    "              part_there := s?_part_there,\n"
    "              at_home := s?_ram_home, at_end := s?_ram_end,\n"
    "              clamp_closed := s?_clamp_closed,\n"
    "              jog_forward := jog_forward_button AND table_locked,\n"
    "              jog_back := jog_back_button, reset := reset_button);\n"
    "    s?_scrap(set := station?.disturbed AND NOT s?_part_there,\n"
    "             reset := reset_button);\n"
    "    s?_blow_off(IN := station?.advance, PT := T#300ms);\n"
    "    s?_ram_advance := station?.advance AND NOT station?.return_;\n"
    "    s?_ram_return := station?.return_;\n"
    "    s?_clamp_valve := station?.clamp;\n"
    "    s?_busy_lamp := station?.busy OR s?_blow_off.Q;\n"
    "    done[?] := station?.done OR s?_scrap.on;\n"
    "    disturbed[?] := station?.disturbed;\n";

static const char body_end[] =
    "\n    (* ---- all stations ---- *)\n"
    "    all_done := TRUE;\n"
    "    any_disturbed := FALSE;\n"
    "    alarm_number := 0;\n"
    "    FOR i := 1 TO STATIONS DO\n"
    "        all_done := all_done AND done[i];\n"
    "        IF disturbed[i] THEN\n"
    "            any_disturbed := TRUE;\n"
    "            alarm_number := 100 + i;\n"
    "        END_IF;\n"
    "    END_FOR;\n"
    "    IF turning_long.Q THEN\n"
    "        alarm_number := 200;\n"
    "    ELSIF oil_level_low THEN\n"
    "        alarm_number := 201;\n"
    "    END_IF;\n"
    "    parts_edge(CLK := table = TableLocking);\n"
    "    IF parts_edge.Q THEN\n"
    "        IF parts < 9999 THEN\n"
    "            parts := parts + 1;\n"
    "        ELSE\n"
    "            parts := 0;\n"
    "        END_IF;\n"
    "    END_IF;\n"
    "    start_lamp := cycle_on.on OR (start_button AND any_disturbed);\n"
    "    fault_lamp := any_disturbed OR NOT enable;\n";

static const char linked_end[] =
    "    hold := any_disturbed;\n"
    "    ready := all_done;\n"
    "END_PROGRAM\n";

/* Each station is on its own: the table turns by its cam. */
static const char loose_end[] =
    "    hold := turning_long.Q;\n"
    "    ready := table_in_place;\n"
    "END_PROGRAM\n";

static void add_each(struct text *out, const char *piece)
{
    for (int station = 1; station <= STATIONS; station++)
        add(out, piece, station);
}

void long_program_write(struct text *out, bool linked)
{
    text_add(out, head);
    add_each(out, station_block);
    text_add(out, inputs_begin);
    add_each(out, inputs_of_station);
    text_add(out, outputs_begin);
    add_each(out, outputs_of_station);
    text_add(out, variables_begin);
    add_each(out, variables_of_station);
    text_add(out, body_begin);
    add_each(out, body_of_station);
    text_add(out, body_end);
    text_add(out, linked ? linked_end : loose_end);
}
