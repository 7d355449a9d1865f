/* The grammar of control text and review text, see docs/language.md.
 *
 * The caller pushes START_CONTROL, START_REVIEW or START_TEMPLATE first, then the tokens of
 * lang/feed.h, which sees to it that blocks are closed in order: what is
 * missing is reported and put in there, not here.  Actions are one call of a
 * constructor.
 *
 * Recovery: `semicolon: error` and the like take the place of a missing
 * word without dropping what stands there; `error ";"` skips the rest of a
 * statement or declaration.
 */
%define api.pure full
%define api.push-pull push
%define api.prefix {lang_}
%define api.token.prefix {LANG_}
%define api.location.type {struct span}
%define parse.error custom
%locations
%parse-param {struct reading *reading}
%expect 0

%code requires {
#include "lang/chain.h"
#include "lang/build_parts.h"
#include "lang/review.h"

struct reading;
}

%code provides {
/* Did the parser meet a mistake, and has it taken no token since? */
int lang_recovering(const lang_pstate *parser);
}

%code {
#include "lang/build_configuration.h"
#include "lang/build_chained.h"
#include "lang/build_chunk.h"
#include "lang/build_data.h"
#include "lang/build_decl.h"
#include "lang/build_edge.h"
#include "lang/build_expr.h"
#include "lang/build_loop.h"
#include "lang/build_path.h"
#include "lang/build_elsewhere.h"
#include "lang/build_pou.h"
#include "lang/build_controller.h"
#include "lang/build_intended.h"
#include "lang/build_noticing.h"
#include "lang/build_fault.h"
#include "lang/build_review.h"
#include "lang/build_accepted.h"
#include "lang/build_scenario.h"
#include "lang/build_signal.h"
#include "lang/build_spelled.h"
#include "lang/build_stmt.h"
#include "lang/build_template.h"
#include "lang/build_type.h"
#include "lang/complain.h"
#include "lang/place.h"
#include "lang/real.h"
#include "lang/reading.h"

#define YYINITDEPTH 200
#define YYMAXDEPTH 20000
#define YYLLOC_DEFAULT(current, rhs, n)                                    \
    ((current) = (n) ? span_join(YYRHSLOC(rhs, 1), YYRHSLOC(rhs, n))       \
                     : YYRHSLOC(rhs, 0))

static void lang_error(const struct span *where, struct reading *reading,
                       const char *message)
{
    (void)message;
    complain_depth(reading, *where);
}
}

%union {
    struct tree_ident *ident;
    struct tree_path *path;
    struct tree_expr *expr;
    struct tree_arg *arg;
    struct tree_type *type;
    struct tree_type_decl *type_decl;
    struct tree_enum_item *enum_item;
    struct tree_dim *dim;
    struct tree_var_block *block;
    struct tree_label *label;
    struct tree_branch *branch;
    struct tree_stmt *stmt;
    struct tree_movement *movement;
    struct tree_signal *signal;
    struct tree_contact *contact;
    struct tree_fault *fault;
    struct tree_requirement *requirement;
    struct tree_step *step;
    struct tree_given *given;
    struct build_limits limits;
    struct tree_string string;
    struct tree_reason reason;
    struct chain chain;
    struct build_bounds bounds;
    struct build_data data;
    struct build_references references;
    struct build_despite despite;
    struct tree_scan scan;
    int number;
}

%token END 0 "the end of the text"
%token START_CONTROL START_REVIEW START_TEMPLATE
%token <ident> WORD "a word" /* the scanner's; never reaches the parser */
%token <ident> IDENT "a name"
%token <expr> NUMBER "a number"
%token <expr> DURATION "a time such as T#100ms"
%token <expr> TYPED "a value with its type"
%token <expr> BIT "a bit such as %X3"
%token <string> STRING "a text in '...'"
%token <string> LOCATION "a place such as %IX0.0"
%token TRUE "TRUE" FALSE "FALSE"

%token SEMICOLON ";" COLON ":" COMMA "," DOT "." RANGE ".."
%token LEFT "(" RIGHT ")" LEFT_SQUARE "[" RIGHT_SQUARE "]" CARET "^"
%token <number> COUNTS "+="
%token BECOMES ":=" GIVES "=>"
%token EQ "=" NE "<>" LT "<" LE "<=" GT ">" GE ">="
%token ADD "+" SUB "-" MUL "*" DIV "/" POWER_OF "**" AND "AND"
%token OR "OR" XOR "XOR" NOT "NOT" MOD "MOD"
%token AND_THEN "AND_THEN" OR_ELSE "OR_ELSE" SETS "S=" RESETS "R="

%token PROGRAM "PROGRAM" END_PROGRAM "END_PROGRAM"
%token FUNCTION "FUNCTION" END_FUNCTION "END_FUNCTION"
%token FUNCTION_BLOCK "FUNCTION_BLOCK" END_FUNCTION_BLOCK "END_FUNCTION_BLOCK"
%token DATA_BLOCK "DATA_BLOCK" END_DATA_BLOCK "END_DATA_BLOCK"
%token TYPE "TYPE" END_TYPE "END_TYPE"
%token <number> VAR "VAR"
%token END_VAR "END_VAR" CONSTANT "CONSTANT" RETAIN "RETAIN"
%token NON_RETAIN "NON_RETAIN" AT "AT"
%token IF "IF" THEN "THEN" ELSIF "ELSIF" ELSE "ELSE" END_IF "END_IF"
%token CASE "CASE" OF "OF" END_CASE "END_CASE"
%token FOR "FOR" TO "TO" BY "BY" DO "DO" END_FOR "END_FOR"
%token WHILE "WHILE" END_WHILE "END_WHILE"
%token REPEAT "REPEAT" UNTIL "UNTIL" END_REPEAT "END_REPEAT"
%token EXIT "EXIT" RETURN "RETURN" CONTINUE "CONTINUE" JMP "JMP"
%token CONFIGURATION "CONFIGURATION" END_CONFIGURATION "END_CONFIGURATION"
%token RESOURCE "RESOURCE" END_RESOURCE "END_RESOURCE"
%token TASK "TASK" WITH "WITH"
%token ARRAY "ARRAY" STRUCT "STRUCT" END_STRUCT "END_STRUCT"
%token EXTENDS "EXTENDS" ACTION "ACTION" END_ACTION "END_ACTION"
%token POINTER "POINTER" EDGE "R_EDGE"

%token REVIEW "REVIEW" END_REVIEW "END_REVIEW"
%token CONTROL "CONTROL" SCAN "SCAN" POWER "POWER" MAY "MAY" FAIL "FAIL"
%token STAYS "STAYS" BECAUSE "BECAUSE" CONFIRMED "CONFIRMED" ANY "ANY"
%token FIXED "FIXED" SHARED "SHARED" UNKNOWN "UNKNOWN"
%token RUNS "RUNS" EVERY "EVERY" SCANS "SCANS"
%token CONTROLLER "CONTROLLER" END_CONTROLLER "END_CONTROLLER"
%token OBSERVED "OBSERVED"
%token CONTROLS "CONTROLS" END_CONTROLS "END_CONTROLS"
%token WIRING "WIRING" IN "IN" OUT "OUT" END_WIRING "END_WIRING"
%token MECHANISM "MECHANISM" END_MECHANISM "END_MECHANISM"
%token RECORDER "RECORDER" END_RECORDER "END_RECORDER"
%token ACCEPTED "ACCEPTED" END_ACCEPTED "END_ACCEPTED"
%token ASSUMPTIONS "ASSUMPTIONS" END_ASSUMPTIONS "END_ASSUMPTIONS"
%token INTENDED "INTENDED" END_INTENDED "END_INTENDED" DIFFER "DIFFER"
%token FAULTS "FAULTS" END_FAULTS "END_FAULTS"
%token NOTICING "NOTICING" END_NOTICING "END_NOTICING"
%token DIAGNOSTIC "DIAGNOSTIC" DEMAND "DEMAND" REPAIR "REPAIR"
%token HAZARDS "HAZARDS" END_HAZARDS "END_HAZARDS"
%token REQUIREMENTS "REQUIREMENTS" END_REQUIREMENTS "END_REQUIREMENTS"
%token BUTTON "BUTTON" STOP "STOP" SWITCH "SWITCH" SELECTOR "SELECTOR"
%token NUMBER_WORD "NUMBER" SENSOR "SENSOR" VALVE "VALVE" MOTOR "MOTOR"
%token LAMP "LAMP" HORN "HORN" OUTPUT "OUTPUT"
%token <number> COLOUR "a colour such as RED"
%token SEES "SEES" LATCHING "LATCHING" CONTACTS "CONTACTS"
%token OPENING "OPENING" CLOSING "CLOSING" ON "ON" WHEN "WHEN"
%token RETURNS "RETURNS" SPRING "SPRING"
%token MOVES "MOVES" FROM "FROM" END_MAY "END_MAY"
%token DOES "DOES" OPEN "OPEN" CLOSE "CLOSE" WIRE "WIRE" OFF "OFF"
%token SHORT "SHORT" SUPPLY "SUPPLY" WITHOUT "WITHOUT" COMMAND "COMMAND"
%token DISPLACED "DISPLACED" ALONG "ALONG" STOPS "STOPS"
%token AGAINST "AGAINST" REFERS "REFERS" READ "READ"
%token NEVER "NEVER" ALWAYS "ALWAYS" ONLY "ONLY" AFTER "AFTER" NO "NO"
%token WITHIN "WITHIN" SAMPLED "SAMPLED" UNLESS "UNLESS"
%token LONGER "LONGER" THAN "THAN" LEAST "LEAST"
%token ITSELF "ITSELF" STARTED "STARTED" CYCLE "CYCLE"
%token CANCELLED "CANCELLED" POSSIBLE "POSSIBLE" AGAIN "AGAIN"
%token ONE "ONE" CAUSE "CAUSE" FOLLOWS "FOLLOWS"
%token INTERMITTENT "INTERMITTENT" PRESENT "PRESENT"
%token POWER_UP "POWER_UP" EXCLUDED "EXCLUDED"
%token DESPITE "DESPITE" FAULT "FAULT" ANOTHER "ANOTHER" AN "AN"
%token UNNOTICED "UNNOTICED" EXCEPT "EXCEPT" NOTICED "NOTICED"
%token SCENARIO "SCENARIO" END_SCENARIO "END_SCENARIO"
%token HOLD "HOLD" RELEASE "RELEASE" TURN "TURN" SET "SET" WAIT "WAIT"
%token MOVE "MOVE" START "START" EXPECT "EXPECT" BROKEN "BROKEN"
%token TEMPLATE "TEMPLATE" END_TEMPLATE "END_TEMPLATE"
%token TEMPLATES "TEMPLATES" SOURCE "SOURCE" USE "USE"
%token PARAMETERS "PARAMETERS" END_PARAMETERS "END_PARAMETERS"
%token STRICT "STRICT" BELOW "BELOW" ABOVE "ABOVE"
%token PRESSED "PRESSED" COMMANDED "COMMANDED" PREVIOUS "PREVIOUS"
%token RISING "RISING" FALLING "FALLING"

%type <ident> name argument_name with direction
%type <path> path dotted accessed
%type <expr> expression exclusive conjunction equality comparison sum
%type <expr> product power unary postfix primary past condition initial
%type <expr> duration while label_value unless step initializer element shift
%type <arg> argument
%type <type> type plain_type result
%type <enum_item> enum_item
%type <dim> dim
%type <type_decl> type_decl
%type <block> var_block
%type <label> label
%type <branch> branch_if elsif else may_branch
%type <stmt> statement refused
%type <movement> movement
%type <signal> signal_kind signal_words
%type <contact> contact
%type <fault> fault_kind fault_said
%type <requirement> form by_itself
%type <step> scenario_step
%type <given> given
%type <string> title quoted observed at
%type <reason> reason reason_or_none
%type <chain> names located_names items arguments argument_list
%type <chain> type_decls type_block vars var_blocks statements branches
%type <chain> labels case_items expressions movements contacts may_branches
%type <chain> steps against by bare_names
%type <chain> givens actions
%type <chain> chained linked
%type <chain> dims enum_items elements element_list fields
%type <data> data
%type <references> references
%type <despite> despite excepted except exception
%type <number> another another_said
%type <limits> strict
%type <bounds> bounds times
%type <scan> scan_times
%type <number> not_kept section qualifiers qualifier equal compare additive
%type <number> multiplicative signal_word sampled contact_kind signal_term
%type <number> past_term wiring_side fault_phrase

%%

input
    : START_CONTROL control
    | START_REVIEW review
    | START_TEMPLATE template
    ;

/* ---- control text ---- */

/* yyerrok: a mistake in one part must not hide one in the next. */
control
    : %empty
    | control type_block        { build_types_global(reading, $2); yyerrok; }
    | control var_block         { build_globals(reading, $2); yyerrok; }
    | control pou               { yyerrok; }
    | control data_block        { yyerrok; }
    | control configuration     { yyerrok; }
    | control ";"               { build_idle(reading, @2); }
    | control error
    ;

/* What is wrong at the end of a body does not take the END_ word with it. */
pou
    : "PROGRAM" name var_blocks statements "END_PROGRAM"
        { build_pou(reading, TREE_PROGRAM, $2,
                    (struct build_parts){.blocks = $3, .body = $4}, @$); }
    | "PROGRAM" name var_blocks statements error "END_PROGRAM"
        { build_pou(reading, TREE_PROGRAM, $2,
                    (struct build_parts){.blocks = $3, .body = $4}, @$); }
    | "FUNCTION_BLOCK" name var_blocks statements actions
      "END_FUNCTION_BLOCK"
        { build_pou(reading, TREE_FUNCTION_BLOCK, $2,
                    (struct build_parts){.blocks = $3, .body = $4,
                                         .actions = $5}, @$); }
    | "FUNCTION_BLOCK" name var_blocks statements error "END_FUNCTION_BLOCK"
        { build_pou(reading, TREE_FUNCTION_BLOCK, $2,
                    (struct build_parts){.blocks = $3, .body = $4}, @$); }
    | "FUNCTION" name result var_blocks statements "END_FUNCTION"
        { build_pou(reading, TREE_FUNCTION, $2,
                    (struct build_parts){.blocks = $4, .body = $5,
                                         .result = $3}, @$); }
    | "FUNCTION" name result var_blocks statements error "END_FUNCTION"
        { build_pou(reading, TREE_FUNCTION, $2,
                    (struct build_parts){.blocks = $4, .body = $5,
                                         .result = $3}, @$); }
    ;

/* The feed puts them here, wherever they stand (lang/action.h). */
actions
    : %empty                    { $$ = (struct chain){0}; }
    | actions "ACTION" IDENT ":" statements "END_ACTION"
        { $$ = chain_add($1, build_action(reading, $3, $5)); }
    ;

data_block
    : "DATA_BLOCK" name not_kept data statements "END_DATA_BLOCK"
        { build_data_block(reading, $2, (struct build_data){
                               $4.type, $4.sections, $3}, $5, @$); }
    ;

not_kept
    : %empty                    { $$ = 0; }
    | "NON_RETAIN"              { $$ = BUILD_NON_RETAIN; }
    ;

data
    : var_block
        { $$ = (struct build_data){
              .sections = chain_add((struct chain){0}, $1)}; }
    | data var_block
        { $1.sections = chain_add($1.sections, $2); $$ = $1; }
    | "STRUCT" vars "END_STRUCT" semicolon
        { $$ = (struct build_data){
              .type = build_structure(reading, $2, @$)}; }
    | IDENT
        { $$ = (struct build_data){.type = build_type_name(reading, $1)}; }
    ;

configuration
    : configuration_head configuration_items "END_CONFIGURATION"
    ;

configuration_head
    : "CONFIGURATION" name
        { build_configuration(reading, $2, @$); }
    ;

configuration_items
    : %empty
    | configuration_items configuration_item
    | configuration_items error ";"     { yyerrok; }
    ;

configuration_item
    : var_block                 { build_globals(reading, $1); }
    | "TASK" IDENT "(" arguments ")" semicolon
        { build_task(reading, $2, $4); }
    | "PROGRAM" IDENT with ":" IDENT semicolon
        { build_instance(reading, $2, $3, $5); }
    | "PROGRAM" IDENT with ":" IDENT "(" arguments ")" semicolon
        { build_instance(reading, $2, $3, $5);
          build_instance_args(reading, $7, @6); }
    | "RESOURCE" resource_name configuration_items "END_RESOURCE"
        { build_resource(reading); }
    ;

resource_name
    : IDENT
    | IDENT IDENT IDENT         /* ON the kind of the controller */
    ;

with
    : %empty                    { $$ = NULL; }
    | "WITH" IDENT              { $$ = $2; }
    ;

name
    : IDENT                     { $$ = build_heading(reading, $1); }
    | error                     { $$ = build_nameless(reading, @$); }
    ;

result
    : %empty                    { $$ = NULL; }
    | ":" plain_type            { $$ = build_result(reading, $2); }
    ;

semicolon
    : ";"
    | error
    ;

/* ---- types and variables ---- */

type_block
    : "TYPE" type_decls "END_TYPE"      { $$ = $2; }
    ;

type_decls
    : %empty                    { $$ = (struct chain){0}; }
    | type_decls type_decl      { $$ = chain_add($1, $2); }
    | type_decls error ";"      { $$ = $1; yyerrok; }
    ;

type_decl
    : IDENT ":" type initial semicolon
        { $$ = build_type_decl(reading, $1, $3, $4, @$); }
    | IDENT "EXTENDS" IDENT ":" type initial semicolon
        { $$ = build_type_decl(reading, $1, build_heir(reading, $3, $5),
                               $6, @$); }
    ;

type
    : plain_type
    | "(" enum_items last_comma ")" IDENT
        { $$ = build_enum(reading, $2, $5, @$); }
    ;

/* Behind this one a name may stand. */
plain_type
    : IDENT                     { $$ = build_type_name(reading, $1); }
    | IDENT "(" bounds ")"
        { $$ = build_subrange(reading, $1, $3, @$); }
    | "(" enum_items last_comma ")"
        { $$ = build_enum(reading, $2, NULL, @$); }
    | IDENT "(" enum_items last_comma ")"
        { $$ = build_enum(reading, $3, $1, @$); }
    | IDENT "[" expression "]"
        { $$ = build_type_length(reading, $1, @3); }
    | IDENT "(" NUMBER ")"
        { $$ = build_round_length(reading, $1, @3); }
    | "ARRAY" "[" dims "]" "OF" plain_type
        { $$ = build_array(reading, $3, $6, @$); }
    | "POINTER" "TO" plain_type
        { $$ = build_refused_type(reading, "POINTER", @1); }
    | "STRUCT" vars "END_STRUCT"
        { $$ = build_structure(reading, $2, @$); }
    | "STRUCT" "EXTENDS" IDENT vars "END_STRUCT"
        { $$ = build_heir(reading, $3, build_structure(reading, $4, @$)); }
    ;

bounds
    : expression ".." expression
        { $$ = (struct build_bounds){$1, $3}; }
    ;

dims
    : dim                       { $$ = chain_add((struct chain){0}, $1); }
    | dims "," dim              { $$ = chain_add($1, $3); }
    ;

dim
    : bounds                    { $$ = build_dim(reading, $1, @$); }
    | "*"
        { $$ = build_dim(reading, (struct build_bounds){0}, @$); }
    ;

enum_items
    : enum_item                 { $$ = chain_add((struct chain){0}, $1); }
    | enum_items "," enum_item  { $$ = chain_add($1, $3); }
    | enum_items "," error      { $$ = $1; }
    ;

/* The comma of an item that was taken out. */
last_comma
    : %empty
    | ","                       { build_comma(reading, @1); }
    ;

enum_item
    : IDENT                     { $$ = build_item(reading, $1, NULL); }
    | IDENT ":=" expression     { $$ = build_item(reading, $1, $3); }
    ;

items
    : IDENT
        { $$ = chain_add((struct chain){0}, build_item(reading, $1, NULL)); }
    | items "," IDENT
        { $$ = chain_add($1, build_item(reading, $3, NULL)); }
    | items "," error           { $$ = $1; }
    ;

var_blocks
    : %empty                    { $$ = (struct chain){0}; }
    | var_blocks var_block      { $$ = chain_add($1, $2); }
    ;

var_block
    : section qualifiers vars "END_VAR"
        { $$ = build_var_block(reading, $1 | $2, $3, @1, @$); }
    ;

section
    : VAR
    ;

qualifiers
    : %empty                    { $$ = 0; }
    | qualifiers qualifier      { $$ = $1 | $2; }
    ;

qualifier
    : "CONSTANT"                { $$ = BUILD_CONSTANT; }
    | "RETAIN"                  { $$ = BUILD_RETAIN; }
    | "NON_RETAIN"              { $$ = BUILD_NON_RETAIN; }
    ;

vars
    : %empty                    { $$ = (struct chain){0}; }
    | vars located_names ":" type initial semicolon
        { $$ = chain_join($1, build_vars($2, $4, $5)); }
    | vars located_names ":" type "R_EDGE" semicolon
        { $$ = chain_join($1, build_edges(reading, $2, $4, @5)); }
    | vars located_names ":" type "=" expression semicolon
        { $$ = build_vars_with_equals(reading, $1, @5); }
    | vars dotted at ":" plain_type initial semicolon
        { $$ = chain_add($1, build_configured(reading, $2, $3,
              (struct build_value){$5, $6})); }
    | vars located_names ":" accessed ":" plain_type direction semicolon
        { $$ = chain_join($1, build_accessed(reading, $2, $4, $6, $7)); }
    | vars error ";"            { $$ = $1; yyerrok; }
    ;

/* A variable that is declared elsewhere. */
dotted
    : IDENT "." IDENT
        { $$ = build_path_more(reading, build_path(reading, $1), $3); }
    | dotted "." IDENT          { $$ = build_path_more(reading, $1, $3); }
    | dotted "[" expressions "]"
        { $$ = build_path_index(reading, $1, $3, span_join(@2, @4)); }
    ;

at
    : %empty                    { $$ = (struct tree_string){0}; }
    | "AT" LOCATION             { $$ = $2; }
    ;

accessed
    : IDENT                     { $$ = build_path(reading, $1); }
    | dotted
    | dotted "." NUMBER         { $$ = build_path_bit(reading, $1, $3); }
    | LOCATION
        { $$ = build_path(reading, place_ident(reading, $1)); }
    ;

direction
    : %empty                    { $$ = NULL; }
    | IDENT
    ;

located_names
    : names
        { $$ = build_located(reading, $1, (struct tree_string){0}); }
    | names "AT" LOCATION
        { $$ = build_located(reading, $1, $3); }
    ;

names
    : IDENT                     { $$ = chain_add((struct chain){0}, $1); }
    | names "," IDENT           { $$ = chain_add($1, $3); }
    ;

initial
    : %empty                    { $$ = NULL; }
    | ":=" element_list
        { $$ = build_bare_values(reading, $2, @2); }
    ;

initializer
    : expression
    | "[" elements "]"
        { $$ = build_values(reading, TREE_ELEMENTS, NULL, $2, @$); }
    | "(" fields ")"
        { $$ = build_values(reading, TREE_FIELDS, NULL, $2, @$); }
    ;

elements
    : %empty                    { $$ = (struct chain){0}; }
    | element_list
    ;

element_list
    : element
        { $$ = chain_add((struct chain){0},
                         build_arg(reading, NULL, $1, false, @$)); }
    | element_list "," element
        { $$ = chain_add($1, build_arg(reading, NULL, $3, false, @3)); }
    ;

element
    : initializer
    | NUMBER "(" elements ")"
        { $$ = build_values(reading, TREE_REPEATED, $1, $3, @$); }
    ;

fields
    : argument_name ":=" initializer
        { $$ = chain_add((struct chain){0},
                         build_arg(reading, $1, $3, false, @$)); }
    | fields "," argument_name ":=" initializer
        { $$ = chain_add($1, build_arg(reading, $3, $5, false,
                                       span_join(@3, @5))); }
    ;

/* ---- statements ---- */

statements
    : %empty                    { $$ = (struct chain){0}; }
    | statements statement      { $$ = chain_add($1, $2); }
    | statements chained        { $$ = chain_join($1, $2); }
    | statements error ";"      { $$ = $1; yyerrok; }
    ;

chained
    : path ":=" linked          { $$ = build_chained(reading, $1, $3, @2); }
    ;

linked
    : path ":=" expression semicolon
        { $$ = chain_add((struct chain){0},
                         build_assign(reading, $1, $3, @$)); }
    | path ":=" linked          { $$ = build_linked(reading, $1, $3); }
    ;

statement
    : ";"                       { $$ = build_empty(reading, @$); }
    | path ":=" expression semicolon
        { $$ = build_assign(reading, $1, $3, @$); }
    | path "." LOCATION ":=" expression semicolon
        { $$ = build_assign_chunk(reading, $1, @3, $5); }
    | path "+=" expression semicolon
        { $$ = build_counting(reading, $1, (enum tree_op)$2, $3, @2); }
    | path "=" expression semicolon
        { $$ = build_assign_with_equals(reading, $1, $3, @2); }
    | path "(" arguments ")" semicolon
        { $$ = build_invoke(reading, $1, $3, @$); }
    | path "S=" expression semicolon
        { $$ = build_assign_when(reading, $1, $3, true, @2); }
    | path "R=" expression semicolon
        { $$ = build_assign_when(reading, $1, $3, false, @2); }
    | "IF" branch_if branches else "END_IF" semicolon
        { $$ = build_if(reading, $2, $3, $4, @$); }
    | "CASE" condition of case_items else "END_CASE" semicolon
        { $$ = build_case(reading, $2, $4, $5, @$); }
    | "MAY" may_branches "END_MAY" semicolon
        { $$ = build_may(reading, $2, @$); }
    | "FOR" path ":=" expression "TO" expression step do statements
      "END_FOR" semicolon
        { $$ = build_for(reading, $2,
                         (struct build_count){$4, $6, $7}, $9, @$); }
    | "WHILE" condition do statements "END_WHILE" semicolon
        { $$ = build_loop(reading, TREE_WHILE, $2, $4, @$); }
    | "REPEAT" statements "UNTIL" condition idle "END_REPEAT" semicolon
        { $$ = build_loop(reading, TREE_REPEAT, $4, $2, @$); }
    | "EXIT" semicolon          { $$ = build_leave(reading, TREE_EXIT, @1); }
    | "CONTINUE" semicolon
        { $$ = build_leave(reading, TREE_CONTINUE, @1); }
    | "RETURN" semicolon
        { $$ = build_leave(reading, TREE_RETURN, @1); }
    | refused
    ;

idle
    : %empty
    | ";"                       { build_idle(reading, @1); }
    ;

branch_if
    : condition then statements
        { $$ = build_branch(reading, $1, $3, @1); }
    ;

condition
    : expression
    | error                     { $$ = build_bool(reading, false, @$); }
    ;

then
    : "THEN"
    | error
    | error "THEN"
    ;

branches
    : %empty                    { $$ = (struct chain){0}; }
    | branches elsif            { $$ = chain_add($1, $2); }
    ;

elsif
    : "ELSIF" branch_if         { $$ = $2; }
    ;

else
    : %empty                    { $$ = NULL; }
    | "ELSE" statements         { $$ = build_branch(reading, NULL, $2, @1); }
    | "ELSE" ":" statements
        { build_else_colon(reading, @2);
          $$ = build_branch(reading, NULL, $3, @1); }
    ;

of
    : "OF"
    | error
    | error "OF"
    ;

case_items
    : %empty                    { $$ = (struct chain){0}; }
    | case_items labels ":"
        { $$ = chain_add($1, build_case_branch(reading, $2, @2)); }
    | case_items statement
        { $$ = build_case_statement(reading, $1, $2); }
    | case_items chained
        { $$ = build_case_chained(reading, $1, $2); }
    | case_items error ";"      { $$ = $1; yyerrok; }
    ;

labels
    : label                     { $$ = chain_add((struct chain){0}, $1); }
    | labels "," label          { $$ = chain_add($1, $3); }
    ;

label
    : label_value               { $$ = build_label(reading, $1, NULL, @$); }
    | label_value ".." label_value
        { $$ = build_label(reading, $1, $3, @$); }
    ;

label_value
    : path                      { $$ = build_ref(reading, $1); }
    | NUMBER
    | "-" NUMBER
        { $$ = build_unary(reading, TREE_NEGATE, @1, $2); }
    | TYPED
    | STRING                    { $$ = real_text(reading, @$); }
    | "TRUE"                    { $$ = build_bool(reading, true, @$); }
    | "FALSE"                   { $$ = build_bool(reading, false, @$); }
    ;

may_branches
    : may_branch                { $$ = chain_add((struct chain){0}, $1); }
    | may_branches "OR" may_branch      { $$ = chain_add($1, $3); }
    ;

may_branch
    : statements                { $$ = build_branch(reading, NULL, $1, @$); }
    ;

/* Read, so that what stands in it is read too, and refused. */
refused
    : "JMP" IDENT semicolon     { $$ = build_refused(reading, "JMP", @1); }
    ;

step
    : %empty                    { $$ = NULL; }
    | "BY" expression           { $$ = $2; }
    ;

do
    : "DO"
    | error
    | error "DO"
    ;

/* ---- expressions ---- */

expression
    : exclusive
    | expression "OR" exclusive
        { $$ = build_binary(reading, TREE_OR, @2, $1, $3); }
    | expression "OR_ELSE" exclusive
        { $$ = build_binary(reading, TREE_OR_ELSE, @2, $1, $3); }
    ;

exclusive
    : conjunction
    | exclusive "XOR" conjunction
        { $$ = build_binary(reading, TREE_XOR, @2, $1, $3); }
    ;

conjunction
    : equality
    | conjunction "AND" equality
        { $$ = build_binary(reading, TREE_AND, @2, $1, $3); }
    | conjunction "AND_THEN" equality
        { $$ = build_binary(reading, TREE_AND_THEN, @2, $1, $3); }
    ;

equality
    : comparison
    | equality equal comparison
        { $$ = build_binary(reading, (enum tree_op)$2, @2, $1, $3); }
    ;

equal
    : "="                       { $$ = TREE_EQ; }
    | "<>"                      { $$ = TREE_NE; }
    ;

comparison
    : sum
    | comparison compare sum
        { $$ = build_binary(reading, (enum tree_op)$2, @2, $1, $3); }
    ;

compare
    : "<"                       { $$ = TREE_LT; }
    | "<="                      { $$ = TREE_LE; }
    | ">"                       { $$ = TREE_GT; }
    | ">="                      { $$ = TREE_GE; }
    ;

sum
    : product
    | sum additive product
        { $$ = build_binary(reading, (enum tree_op)$2, @2, $1, $3); }
    ;

additive
    : "+"                       { $$ = TREE_ADD; }
    | "-"                       { $$ = TREE_SUB; }
    ;

product
    : power
    | product multiplicative power
        { $$ = build_binary(reading, (enum tree_op)$2, @2, $1, $3); }
    ;

multiplicative
    : "*"                       { $$ = TREE_MUL; }
    | "/"                       { $$ = TREE_DIV; }
    | "MOD"                     { $$ = TREE_MOD; }
    ;

power
    : unary
    | power "**" unary
        { $$ = build_power_of(reading, @2, $1, $3); }
    ;

unary
    : postfix
    | "NOT" unary
        { $$ = build_unary(reading, TREE_NOT, @1, $2); }
    | "-" unary
        { $$ = build_unary(reading, TREE_NEGATE, @1, $2); }
    | "+" unary
        { $$ = build_unary(reading, TREE_PLUS, @1, $2); }
    ;

postfix
    : primary
    | primary "TRUE" "FOR" duration sampled
        { $$ = build_true_for(reading, $1, $4, $5, @$); }
    ;

primary
    : path                      { $$ = build_ref(reading, $1); }
    | path "." LOCATION         { $$ = build_chunk(reading, $1, @3); }
    | path "(" arguments ")"    { $$ = build_call(reading, $1, $3, @$); }
    | NUMBER
    | DURATION
    | TYPED
    | STRING                    { $$ = real_text(reading, @$); }
    | "TRUE"                    { $$ = build_bool(reading, true, @$); }
    | "FALSE"                   { $$ = build_bool(reading, false, @$); }
    | "(" expression ")"        { $$ = build_paren(reading, $2, @$); }
    | signal_term path
        { $$ = build_signal_term(reading, $1, $2, @$); }
    | signal_term "(" path ")"
        { $$ = build_signal_term(reading, $1, $3, @$); }
    | past_term past            { $$ = build_past(reading, $1, $2, @$); }
    ;

signal_term
    : "PRESSED"                 { $$ = TREE_PRESSED; }
    | "READ"                    { $$ = TREE_READ; }
    | "COMMANDED"               { $$ = TREE_COMMANDED; }
    ;

past_term
    : "PREVIOUS"                { $$ = TREE_PREVIOUS; }
    | "RISING"                  { $$ = TREE_RISING; }
    | "FALLING"                 { $$ = TREE_FALLING; }
    ;

past
    : path                      { $$ = build_ref(reading, $1); }
    | "(" expression ")"        { $$ = build_paren(reading, $2, @$); }
    | signal_term path
        { $$ = build_signal_term(reading, $1, $2, @$); }
    ;

path
    : IDENT                     { $$ = build_edge_path(reading, $1); }
    | LOCATION
        { $$ = build_path(reading, place_ident(reading, $1)); }
    | path "." IDENT            { $$ = build_path_more(reading, $1, $3); }
    | path "." NUMBER           { $$ = build_path_bit(reading, $1, $3); }
    | path "." BIT              { $$ = build_path_bit(reading, $1, $3); }
    | path "[" expressions "]"
        { $$ = build_path_index(reading, $1, $3, span_join(@2, @4)); }
    | path "^"
        { $$ = build_refused_path(reading, "POINTER", $1, @2); }
    ;

expressions
    : expression                { $$ = chain_add((struct chain){0}, $1); }
    | expressions "," expression        { $$ = chain_add($1, $3); }
    ;

arguments
    : %empty                    { $$ = (struct chain){0}; }
    | argument_list last_comma
    ;

argument_list
    : argument                  { $$ = chain_add((struct chain){0}, $1); }
    | argument_list "," argument        { $$ = chain_add($1, $3); }
    ;

argument
    : expression
        { $$ = build_bare_arg(reading, $1, @$); }
    | argument_name ":=" expression
        { $$ = build_arg(reading, $1, $3, false, @$); }
    | argument_name ":="        { $$ = build_no_arg(reading, @$); }
    | argument_name "=>"        { $$ = build_no_arg(reading, @$); }
    | argument_name "=>" path
        { $$ = build_arg(reading, $1, build_ref(reading, $3), true, @$); }
    ;

argument_name
    : IDENT
    | "IN"                      { $$ = build_ident(reading, @$); }
    ;

/* ---- review text ---- */

review
    : %empty
    | review "REVIEW" name title review_items "END_REVIEW"
        { build_review(reading, $3, $4, @$); }
    | review error
    ;

review_items
    : %empty
    | review_items review_item
    | review_items error
    ;

review_item
    : "CONTROL" STRING semicolon
        { build_control_file(reading, $2); }
    | "TEMPLATES" STRING semicolon
        { build_template_file(reading, $2); }
    | "SCAN" scan_times semicolon
        { build_scan(reading, $2, @$); }
    | "RUNS" name "EVERY" NUMBER "SCANS" semicolon
        { build_runs(reading, $2, $4); }
    | "POWER" "MAY" "FAIL" semicolon
        { build_power(reading, TREE_POWER_MAY_FAIL,
                      (struct tree_reason){0}, @$); }
    | "POWER" "STAYS" reason_or_none semicolon
        { build_power(reading, TREE_POWER_STAYS, $3, @$); }
    | "RETAIN" "ANY" semicolon
        { build_retain_any(reading); }
    | "FIXED" path ":=" expression reason_or_none semicolon
        { build_fixed(reading, $2, $4, $5, @$); }
    | "SHARED" path semicolon
        { build_shared(reading, $2); }
    | "UNKNOWN" IDENT reason_or_none semicolon
        { build_unknown(reading, $2, $3); }
    | type_block
        { build_types_review(reading, $1); }
    | "CONTROLLER" title settings "END_CONTROLLER"
        { build_controller(reading, $2, @1); }
    | "CONTROLS" signals "END_CONTROLS"
    | "WIRING" wiring_side var_blocks statements "END_WIRING"
        { build_body(reading, (enum tree_body_kind)$2, NULL,
                     (struct build_parts){.blocks = $3, .body = $4}, @$); }
    | "MECHANISM" name var_blocks movements statements "END_MECHANISM"
        { build_body(reading, TREE_MECHANISM, $2,
                     (struct build_parts){.blocks = $3, .movements = $4,
                                          .body = $5}, @$); }
    | "ASSUMPTIONS" assumptions "END_ASSUMPTIONS"
    | "INTENDED" intended "END_INTENDED"
    | "ACCEPTED" accepted "END_ACCEPTED"
    | "FAULTS" faults "END_FAULTS"
    | "NOTICING" notices "END_NOTICING"
        { build_noticing(reading, @1); }
    | claims
    | "SCENARIO" name title steps "END_SCENARIO"
        { build_scenario(reading, $2, $3, $4, @$); }
    ;

/* What a template has in common with a review text. */
claims
    : "RECORDER" name var_blocks statements "END_RECORDER"
        { build_body(reading, TREE_RECORDER, $2,
                     (struct build_parts){.blocks = $3, .body = $4}, @$); }
    | "HAZARDS" hazards "END_HAZARDS"
    | "REQUIREMENTS" requirements "END_REQUIREMENTS"
    ;

title
    : %empty                    { $$ = (struct tree_string){0}; }
    | STRING
    ;

reason_or_none
    : %empty                    { $$ = (struct tree_reason){0}; }
    | reason
    ;

reason
    : "BECAUSE" STRING
        { $$ = (struct tree_reason){.because = $2}; }
    | "BECAUSE" STRING "CONFIRMED" "BY" STRING
        { $$ = (struct tree_reason){.because = $2, .confirmed_by = $5}; }
    ;

scan_times
    : duration                  { $$ = (struct tree_scan){.longest = $1}; }
    | duration ".." duration
        { $$ = (struct tree_scan){.shortest = $1, .longest = $3}; }
    | duration ".." duration "BY" duration
        { $$ = (struct tree_scan){$1, $3, $5}; }
    ;

duration
    : DURATION
    | path                      { $$ = build_ref(reading, $1); }
    ;

sampled
    : %empty                    { $$ = 0; }
    | "SAMPLED"                 { $$ = 1; }
    ;

/* ---- what the controller does ---- */

settings
    : %empty
    | settings IDENT ":" setting_words observed reason_or_none semicolon
        { build_setting(reading, $2, (struct build_said){@4, $5, $6},
                        span_join(@2, @7)); }
    | settings error ";"        { yyerrok; }
    ;

setting_words
    : IDENT
    | setting_words IDENT
    ;

observed
    : %empty                    { $$ = (struct tree_string){0}; }
    | "OBSERVED" "BY" STRING    { $$ = $3; }
    ;

/* ---- controls ---- */

signals
    : %empty
    | signals IDENT ":" signal_words semicolon
        { build_signal(reading, $2, $4, span_join(@2, @5)); }
    | signals error ";"         { yyerrok; }
    ;

signal_words
    : signal_kind
    | signal_words STRING
        { $$ = build_signal_text(reading, $1, BUILD_TITLE, $2); }
    | signal_words "AT" STRING
        { $$ = build_signal_text(reading, $1, BUILD_PLACE, $3); }
    | signal_words "SEES" STRING
        { $$ = build_signal_text(reading, $1, BUILD_SEES, $3); }
    | signal_words COLOUR
        { $$ = build_signal_colour(reading, $1, (enum tree_colour)$2, @2); }
    | signal_words "LATCHING"
        { $$ = build_signal_latching(reading, $1, @2); }
    | signal_words "RETURNS" "BY" "SPRING"
        { $$ = build_signal_spring(reading, $1, @2); }
    | signal_words "CONTACTS" contacts
        { $$ = build_signal_contacts(reading, $1, $3, @2); }
    | signal_words "ON" "WHEN" expression
        { $$ = build_signal_on_when(reading, $1, $4, @2); }
    ;

signal_kind
    : signal_word
        { $$ = build_signal_kind(reading, (enum tree_signal_kind)$1, @$); }
    | "SELECTOR"
        { $$ = build_signal_kind(reading, TREE_SELECTOR, @$); }
    | "SELECTOR" "(" items ")"
        { $$ = build_selector(reading, $3, @$); }
    | "NUMBER"
        { $$ = build_signal_kind(reading, TREE_NUMBER, @$); }
    | "NUMBER" "(" bounds ")"
        { $$ = build_number(reading, $3, @$); }
    ;

signal_word
    : "BUTTON"                  { $$ = TREE_BUTTON; }
    | "STOP"                    { $$ = TREE_STOP; }
    | "SWITCH"                  { $$ = TREE_SWITCH; }
    | "SENSOR"                  { $$ = TREE_SENSOR; }
    | "VALVE"                   { $$ = TREE_VALVE; }
    | "MOTOR"                   { $$ = TREE_MOTOR; }
    | "LAMP"                    { $$ = TREE_LAMP; }
    | "HORN"                    { $$ = TREE_HORN; }
    | "OUTPUT"                  { $$ = TREE_OUTPUT; }
    ;

contacts
    : contact                   { $$ = chain_add((struct chain){0}, $1); }
    | contacts "," contact      { $$ = chain_add($1, $3); }
    ;

contact
    : contact_kind
        { $$ = build_contact(reading, NULL, $1, NULL); }
    | IDENT contact_kind
        { $$ = build_contact(reading, $1, $2, NULL); }
    | IDENT "ON" IDENT
        { $$ = build_contact(reading, $1, TREE_CONTACT_ON, $3); }
    ;

contact_kind
    : "CLOSING"                 { $$ = TREE_CONTACT_CLOSING; }
    | "OPENING"                 { $$ = TREE_CONTACT_OPENING; }
    ;

/* ---- wiring and machine ---- */

wiring_side
    : "IN"                      { $$ = TREE_WIRING_IN; }
    | "OUT"                     { $$ = TREE_WIRING_OUT; }
    ;

movements
    : %empty                    { $$ = (struct chain){0}; }
    | movements movement        { $$ = chain_add($1, $2); }
    ;

movement
    : "MOVES" path "FROM" expression "TO" expression times while semicolon
        { $$ = build_movement(reading, $2,
                              (struct build_movement){
                                  {$4, $6}, $7, $8}, @$); }
    | "MOVES" error ";"         { $$ = NULL; yyerrok; }
    ;

times
    : %empty                    { $$ = (struct build_bounds){0}; }
    | "IN" duration ".."        { $$ = (struct build_bounds){$2, NULL}; }
    | "IN" duration ".." duration
        { $$ = (struct build_bounds){$2, $4}; }
    ;

while
    : %empty                    { $$ = NULL; }
    | "WHILE" expression        { $$ = $2; }
    ;

/* ---- accepted remarks ---- */

accepted
    : %empty
    | accepted IDENT "ON" path quoted reason semicolon
        { build_accepted(reading, $2, $4, (struct build_why){$5, $6}); }
    | accepted error ";"        { yyerrok; }
    ;

quoted
    : %empty                    { $$ = (struct tree_string){0}; }
    | "AT" STRING               { $$ = $2; }
    ;

/* ---- assumptions, faults, hazards ---- */

assumptions
    : %empty
    | assumptions IDENT title ":" expression reason_or_none semicolon
        { build_assumption(reading, $2, $3,
                           (struct build_claim){$5, $6},
                           span_join(@2, @7)); }
    | assumptions error ";"     { yyerrok; }
    ;

intended
    : %empty
    | intended IDENT title ":" IDENT "MAY" "DIFFER" "WHEN" expression
      semicolon
        { build_intended(reading, $2, $3,
                         (struct build_differing){$5, $9},
                         span_join(@2, @10)); }
    | intended error ";"        { yyerrok; }
    ;

faults
    : %empty
    | faults IDENT title ":" fault_said semicolon
        { build_fault(reading, $2, $3, $5, span_join(@2, @6)); }
    | faults IDENT title ":" "ONE" "CAUSE" "OF" names semicolon
        { build_fault_group(reading, $2, $3, $8); }
    | faults error ";"          { yyerrok; }
    ;

fault_said
    : fault_kind
    | fault_said "," "INTERMITTENT"
        { $$ = build_fault_timing(reading, $1, TREE_INTERMITTENT, @3); }
    | fault_said "," "PRESENT" "FROM" "POWER_UP"
        { $$ = build_fault_timing(reading, $1, TREE_FROM_POWER_UP,
                                  span_join(@3, @5)); }
    | fault_said "," "FOLLOWS" "FROM" IDENT
        { $$ = build_fault_follows(reading, $1, $5); }
    | fault_said "," "EXCLUDED" reason
        { $$ = build_fault_excluded(reading, $1, $4, span_join(@3, @4)); }
    ;

fault_kind
    : bare_names fault_phrase
        { $$ = build_fault_kind(reading, (enum tree_fault_kind)$2, $1,
                                NULL); }
    | bare_names "SHORT" "TO" path
        { $$ = build_fault_kind(reading, TREE_SHORT_TO, $1, $4); }
    | bare_names "DISPLACED" "BY" shift "ALONG" path
        { $$ = build_fault_displaced(
              build_fault_kind(reading, TREE_DISPLACED, $1, $6), $4); }
    | "PROGRAM" bare_names "STOPS"
        { $$ = build_fault_kind(reading, TREE_STOPS, $2, NULL); }
    | "IN" "MECHANISM"
        { $$ = build_fault_kind(reading, TREE_IN_MECHANISM,
                                (struct chain){0}, NULL); }
    ;

fault_phrase
    : "DOES" "NOT" "OPEN"       { $$ = TREE_DOES_NOT_OPEN; }
    | "DOES" "NOT" "CLOSE"      { $$ = TREE_DOES_NOT_CLOSE; }
    | "STAYS"                   { $$ = TREE_STAYS; }
    | "WIRE" "OFF"              { $$ = TREE_WIRE_OFF; }
    | "SHORT" "TO" "SUPPLY"     { $$ = TREE_SHORT_TO_SUPPLY; }
    | "MOVES" "WITHOUT" "COMMAND"
        { $$ = TREE_UNCOMMANDED; }
    ;

shift
    : NUMBER
    | "-" NUMBER
        { $$ = build_unary(reading, TREE_NEGATE, @1, $2); }
    ;

notices
    : %empty
    | notices "DIAGNOSTIC" expression semicolon
        { build_notice(reading, BUILD_DIAGNOSTIC, $3, @2); }
    | notices "DEMAND" expression semicolon
        { build_notice(reading, BUILD_DEMAND, $3, @2); }
    | notices "CYCLE" expression semicolon
        { build_notice(reading, BUILD_CYCLE, $3, @2); }
    | notices "REPAIR" expression semicolon
        { build_notice(reading, BUILD_REPAIR, $3, @2); }
    | notices error ";"         { yyerrok; }
    ;

hazards
    : %empty
    | hazards IDENT STRING      { build_hazard(reading, $2, $3); }
    | hazards ";"
    | hazards error ";"         { yyerrok; }
    ;

/* ---- requirements ---- */

requirements
    : %empty
    | requirements IDENT title against references ":" form despite semicolon
        { build_requirement(reading, $7,
                            (struct build_heading){$2, $3, $4, $5, $8},
                            span_join(@7, @8)); }
    | requirements error ";"    { yyerrok; }
    ;

against
    : %empty                    { $$ = (struct chain){0}; }
    | "AGAINST" names           { $$ = $2; }
    ;

references
    : %empty                    { $$ = (struct build_references){0}; }
    | "REFERS" "TO" STRING
        { $$ = (struct build_references){.refers_to = $3}; }
    | "REFERS" "TO" STRING "READ" "BY" STRING
        { $$ = (struct build_references){$3, $6}; }
    ;

form
    : "NEVER" expression
        { $$ = build_form(reading, TREE_NEVER, $2, NULL, NULL); }
    | "ALWAYS" expression
        { $$ = build_form(reading, TREE_ALWAYS, $2, NULL, NULL); }
    | expression "ONLY" "IF" expression
        { $$ = build_form(reading, TREE_ONLY_IF, $1, $4, NULL); }
    | "AFTER" expression comma "NO" expression "UNTIL" expression
        { $$ = build_form(reading, TREE_AFTER_NO_UNTIL, $2, $5, $7); }
    | "WHEN" expression comma "THEN" expression "WITHIN" duration sampled
      unless
        { $$ = build_limit(build_form(reading, TREE_WHEN_THEN_WITHIN,
                                      $2, $5, $9), $7, $8); }
    | expression "NO" "LONGER" "THAN" duration sampled
        { $$ = build_limit(build_form(reading, TREE_NO_LONGER,
                                      $1, NULL, NULL), $5, $6); }
    | expression "AT" "LEAST" duration sampled
        { $$ = build_limit(build_form(reading, TREE_AT_LEAST,
                                      $1, NULL, NULL), $4, $5); }
    | path "MOVES" "ONLY" "WHILE" expression
        { $$ = build_form(reading, TREE_MOVES_ONLY_WHILE,
                          build_ref(reading, $1), $5, NULL); }
    | "NEVER" expression "BY" "ITSELF" comma "STARTED" "BY" by_itself
        { $$ = build_by_itself($8, $2); }
    | "POSSIBLE" expression
        { $$ = build_form(reading, TREE_POSSIBLE, $2, NULL, NULL); }
    | "ALWAYS" "POSSIBLE" "AGAIN" expression while by
        { $$ = build_again(reading, $4, $5, $6); }
    | "USE" IDENT "(" givens ")"
        { $$ = build_use(reading, $2, $4, @$); }
    ;

by
    : %empty                    { $$ = (struct chain){0}; }
    | "BY" bare_names           { $$ = $2; }
    ;

bare_names
    : path
        { $$ = chain_add((struct chain){0}, build_ref(reading, $1)); }
    | bare_names "," path
        { $$ = chain_add($1, build_ref(reading, $3)); }
    ;

/* The commas are optional; "cycle" and "cancelled" are not rules of their
 * own because one token of lookahead must do. */
by_itself
    : expressions
        { $$ = build_events(reading, $1, NULL, (struct chain){0}); }
    | expressions comma "IN" "CYCLE" expression
        { $$ = build_events(reading, $1, $5, (struct chain){0}); }
    | expressions comma "CANCELLED" "BY" expressions
        { $$ = build_events(reading, $1, NULL, $5); }
    | expressions comma "IN" "CYCLE" expression comma "CANCELLED" "BY"
      expressions
        { $$ = build_events(reading, $1, $5, $9); }
    ;

comma
    : %empty
    | ","
    ;

unless
    : %empty                    { $$ = NULL; }
    | comma "UNLESS" expression { $$ = $3; }
    ;

/* A comma behind names may go on with a name or with EXCEPT: so that one
 * token of lookahead does, EXCEPT is spelled out there. */
despite
    : %empty                    { $$ = (struct build_despite){0}; }
    | "DESPITE" NUMBER fault_word another exception
        { $$ = build_despite($5, $2, (struct chain){0}, $4 != 0); }
    | "DESPITE" NUMBER "OF" names another_said exception
        { $$ = build_despite($6, $2, $4, true); }
    | "DESPITE" NUMBER "OF" names except
        { $$ = build_despite($5, $2, $4, false); }
    | "DESPITE" NUMBER "OF" names "," "EXCEPT" excepted
        { $$ = build_despite($7, $2, $4, false); }
    | "EXCEPT" excepted
        { $$ = build_despite($2, NULL, (struct chain){0}, false); }
    ;

fault_word
    : "FAULT"
    | "FAULTS"
    ;

another
    : %empty                    { $$ = 0; }
    | another_said
    ;

another_said
    : "AND" "ANOTHER" "AFTER" "AN" "UNNOTICED" "ONE"
        { $$ = 1; }
    ;

exception
    : except
    | "," "EXCEPT" excepted     { $$ = $3; }
    ;

except
    : %empty                    { $$ = (struct build_despite){0}; }
    | "EXCEPT" excepted         { $$ = $2; }
    ;

excepted
    : "UNTIL" "NOTICED"
        { $$ = (struct build_despite){.until_noticed = true,
                                      .except = @$}; }
    | "WITHIN" duration sampled "OF" "FAULT"
        { $$ = (struct build_despite){.within = $2, .sampled = $3,
                                      .except = @$}; }
    ;

/* ---- templates ---- */

template
    : %empty
    | template "TEMPLATE" name title template_items "END_TEMPLATE"
        { build_template(reading, $3, $4, @$); }
    | template error
    ;

template_items
    : %empty
    | template_items template_item
    | template_items error
    ;

template_item
    : "SOURCE" STRING semicolon
        { build_source(reading, $2, @2); }
    | "PARAMETERS" parameters "END_PARAMETERS"
    | claims
    ;

parameters
    : %empty
    | parameters IDENT ":" IDENT title initial strict semicolon
        { build_parameter(reading, $2, $4, $5,
                          (struct build_limits){$6, $7.side, $7.why}); }
    | parameters error ";"      { yyerrok; }
    ;

strict
    : %empty                    { $$ = (struct build_limits){0}; }
    | "STRICT" "BELOW" title
        { $$ = (struct build_limits){NULL, TREE_BELOW, $3}; }
    | "STRICT" "ABOVE" title
        { $$ = (struct build_limits){NULL, TREE_ABOVE, $3}; }
    ;

givens
    : given                     { $$ = chain_add((struct chain){0}, $1); }
    | givens "," given          { $$ = chain_add($1, $3); }
    ;

given
    : IDENT ":=" expression reason_or_none
        { $$ = build_given(reading, $1, (struct build_claim){$3, $4}, @$); }
    ;

/* ---- scenarios ---- */

steps
    : %empty                    { $$ = (struct chain){0}; }
    | steps scenario_step semicolon
        { $$ = chain_add($1, build_step_at($2, @2)); }
    | steps error ";"           { $$ = $1; yyerrok; }
    ;

scenario_step
    : "HOLD" path
        { $$ = build_step(reading, TREE_STEP_HOLD, $2, NULL); }
    | "RELEASE" path
        { $$ = build_step(reading, TREE_STEP_RELEASE, $2, NULL); }
    | "TURN" path "TO" expression
        { $$ = build_step(reading, TREE_STEP_TURN, $2, $4); }
    | "SET" path ":=" expression
        { $$ = build_step(reading, TREE_STEP_SET, $2, $4); }
    | "MOVE" path "TO" expression
        { $$ = build_step(reading, TREE_STEP_MOVE, $2, $4); }
    | "START" path "AT" expression
        { $$ = build_step(reading, TREE_STEP_START, $2, $4); }
    | "FAULT" IDENT
        { $$ = build_step_name(reading, TREE_STEP_FAULT, $2); }
    | "POWER" "OFF"
        { $$ = build_step(reading, TREE_STEP_OFF, NULL, NULL); }
    | "POWER" "ON"
        { $$ = build_step(reading, TREE_STEP_ON, NULL, NULL); }
    | "WAIT"
        { $$ = build_step(reading, TREE_STEP_WAIT, NULL, NULL); }
    | "WAIT" duration
        { $$ = build_step(reading, TREE_STEP_WAIT, NULL, $2); }
    | "SCAN" duration
        { $$ = build_step(reading, TREE_STEP_SCAN, NULL, $2); }
    | "EXPECT" expression title
        { $$ = build_step_why(build_step(reading, TREE_STEP_EXPECT,
                                         NULL, $2), $3); }
    | "EXPECT" "BROKEN" IDENT title
        { $$ = build_step_why(build_step_name(reading, TREE_STEP_BROKEN,
                                              $3), $4); }
    ;

%%

/* What the parser could take instead, as the words that people write. */
static int yyreport_syntax_error(const yypcontext_t *context,
                                 struct reading *reading)
{
    yysymbol_kind_t kinds[YYNTOKENS];
    const char *words[YYNTOKENS];
    yysymbol_kind_t found = yypcontext_token(context);
    int n = yypcontext_expected_tokens(context, kinds, YYNTOKENS);

    for (int i = 0; i < n; i++)
        words[i] = yysymbol_name(kinds[i]);
    complain_syntax(reading, *yypcontext_location(context),
                    found == YYSYMBOL_YYEMPTY ? "" : yysymbol_name(found),
                    words, n < 0 ? 0 : n);
    return 0;
}

int lang_recovering(const lang_pstate *parser)
{
    return parser->yyerrstatus == 3;
}
