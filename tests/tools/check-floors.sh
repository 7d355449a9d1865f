#!/bin/sh
# Proves, from the text of src/ and grammar/ alone, who knows whom, and that
# nothing outgrew its cap:
#
#     check-floors.sh [ROOT]
#
# - a file includes its own floor and the ones its floor may know (`allow`);
# - the module graph (a module is a .c with its .h) has no circle;
# - only base/os.c knows the operating system, only base/thread.c threads, only
#   engine/sets/room.c the library of decision diagrams, only one file of
#   present/ the layout library, only cli/ prints or exits;
# - no code in headers, no extern variables, no variable of a file outside
#   base/ensure.c, base/os.c and engine/sets/steps.c (the library of decision
#   diagrams is one for the whole program) that can change;
# - caps on lines, columns, functions, parameters, prototypes;
# - nothing else that is visible stands at the top level.
#
# One line for each violation, with its place; the last line sums up.  Exit
# status 1 when there was a violation.
set -u
LC_ALL=C
export LC_ALL
cd "${1:-.}" || exit 2
files=$(find src grammar -name '*.[chly]' 2>/dev/null | sort)
[ -n "$files" ] || { echo "floors: no file found in src/ or grammar/"; exit 1; }

strangers=$(ls | grep -vxE 'README\.md|DEVELOPERS\.md|LICENSE|Makefile|grammar|src|models|tests|docs|build')

awk -v headers="$(find src -name '*.h' 2>/dev/null | tr '\n' ' ')" \
    -v strangers="$(echo "$strangers" | tr '\n' '\t')" '
function report(place, what) {
    print place ": " what
    violations++
}

function bad(line, what) {
    report(FILENAME ":" line, what)
}

function allow(floor, known,    i, n, list) {
    n = split(known, list, " ")
    for (i = 1; i <= n; i++)
        may[floor, list[i]] = 1
    is_floor[floor] = 1
}

function set_of(list, into,    i, n, words) {
    n = split(list, words, " ")
    for (i = 1; i <= n; i++)
        into[words[i]] = 1
}

BEGIN {
    n_strangers = split(strangers, stranger, "\t")
    for (i = 1; i < n_strangers; i++)
        if (stranger[i] != "")
            report(stranger[i], "does not belong at the top level")

    # The floors, lowest first.  Only lower, and what stands on it, knows
    # both the language and the flat logic.
    front = "base source lang grammar"
    all = front " logic check engine reference lower study present cli"
    allow("base", "base")
    allow("source", "base source")
    allow("lang", front)
    allow("grammar", front)
    allow("logic", "base source logic")
    allow("check", front " check")
    allow("engine", "base source logic engine")
    allow("reference", front " check reference")
    allow("lower", front " logic check lower")
    allow("study", front " logic check engine reference lower study")
    allow("present",
          front " logic check engine reference lower study present")
    allow("cli", all)
    allow("main", all)

    set_of("unistd.h signal.h fcntl.h time.h pthread.h poll.h dirent.h " \
           "termios.h spawn.h dlfcn.h glob.h pwd.h", os_header)
    set_of("fopen freopen fdopen popen system getenv tmpfile rename " \
           "remove fork setenv clock time", os_call)
    set_of("printf puts putchar fprintf vprintf vfprintf fputs putc fputc " \
           "fwrite perror exit _exit quick_exit _Exit abort", cli_call)
    set_of("if while for switch return sizeof defined", keyword)
    n = split(headers, list, " ")
    for (i = 1; i <= n; i++)
        has_header[module_of(list[i])] = 1
    FUNCTION = 80; FILE = 800; COLUMNS = 80; PROTOTYPES = 15; PARAMETERS = 5
}

function floor_of(path,    parts) {
    if (path == "src/main.c")
        return "main"
    split(path, parts, "/")
    return parts[1] == "grammar" ? "grammar" : parts[2]
}

# src/base/os.c and base/os.h are one module, and so are grammar/st.y,
# grammar/st.l and what is generated from them.
function module_of(path) {
    sub(/^src\//, "", path)
    sub(/\.[chly]$/, "", path)
    if (path ~ /^grammar\//)
        sub(/\.(tab|lex)$/, "", path)
    return path
}

function begin_file() {
    close_file()
    file = FILENAME
    files++
    floor = floor_of(file)
    module = module_of(file)
    header = file ~ /\.h$/
    grammar = file ~ /\.[ly]$/
    if (!(module in modules)) {
        modules[module] = 1
        module_list[++module_count] = module
    }
    if (!(floor in is_floor) && floor != "main")
        bad(1, "no floor of this name")
    comment = depth = prototypes = first_include = macro = 0
    text = ""
}

function close_file() {
    if (file == "")
        return
    # One grammar is one file: it cannot be cut where it is long.
    if (lines > FILE && file !~ /\.y$/)
        report(file ":" lines, "file of " lines " lines, cap " FILE)
    if (prototypes > PROTOTYPES)
        report(file ":1", prototypes " prototypes, cap " PROTOTYPES)
    if (depth != 0)
        report(file ":" lines, "braces do not match: not measured")
    if (comment)
        report(file ":" lines, "a comment does not end: not measured")
}

FNR == 1 { begin_file() }

{
    lines = FNR
    check_columns($0)
    code = strip($0)
    if (code ~ /^[ \t]*#/ || macro) {
        macro = code ~ /\\$/
        if (code ~ /^[ \t]*#[ \t]*include/)
            check_include($0)
        next
    }
    check_calls(code)
    if (!grammar)
        measure(code)
}

function check_columns(line,    n) {
    if (floor == "grammar")
        return
    gsub(/[\200-\277]/, "", line) # counts a character of UTF-8 once
    n = length(line)
    if (n > COLUMNS)
        bad(FNR, "line of " n " columns, cap " COLUMNS)
    if (line ~ /\t/)
        bad(FNR, "tab in a line")
}

# The line without comments, and with strings and characters emptied.
function strip(line,    out, at, what) {
    out = ""
    for (;;) {
        if (comment) {
            at = index(line, "*/")
            if (!at)
                return out
            line = substr(line, at + 2)
            comment = 0
            out = out " "
        }
        if (!match(line, /\/\*|\/\/|["\047]/))
            return out line
        what = substr(line, RSTART, RLENGTH)
        out = out substr(line, 1, RSTART - 1)
        line = substr(line, RSTART + RLENGTH)
        if (what == "//")
            return out
        if (what == "/*") {
            comment = 1
            continue
        }
        # Lone quotes are usual in the patterns of a scanner.
        if (what == "\"" ? match(line, /^([^"\\]|\\.)*"/) \
                         : match(line, /^([^\047\\]|\\.)*\047/))
            line = substr(line, RLENGTH + 1)
        out = out what what
    }
}

function check_include(line,    name, target, angle) {
    if (!match(line, /["<][^">]*[">]/)) {
        bad(FNR, "include of something else than a file")
        return
    }
    angle = substr(line, RSTART, 1) == "<"
    name = substr(line, RSTART + 1, RLENGTH - 2)
    if (angle) {
        check_system(name)
        return
    }
    target = name
    sub(/\/.*/, "", target)
    if (name !~ /\// || !(target in is_floor) || name ~ /\.\./) {
        bad(FNR, "\"" name "\" is not written from src/")
        return
    }
    if (name !~ /\.h$/)
        bad(FNR, "\"" name "\" is no header")
    check_first(module_of(name))
    if (!((floor, target) in may))
        bad(FNR, floor " may not know " target " (\"" name "\")")
    add_edge(module, module_of(name))
}

function check_first(included) {
    if (!first_include && file ~ /^src\/.*\.c$/ && included != module &&
        (module in has_header))
        bad(FNR, "the first include is not the own header")
    first_include = 1
}

function check_system(name) {
    if ((name in os_header || name ~ /^sys\//) && file != "src/base/os.c")
        bad(FNR, "<" name "> outside src/base/os.c")
    if (name == "threads.h" && file != "src/base/thread.c")
        bad(FNR, "<" name "> outside src/base/thread.c")
    if (name == "bdd.h" && file != "src/engine/sets/room.c")
        bad(FNR, "<" name "> outside src/engine/sets/room.c")
    if (name ~ /^(graphviz\/)?(gvc|cgraph|gvplugin|cdt|types)[a-z_]*\.h$/) {
        if (layout == "")
            layout = file
        if (layout != file || floor != "present")
            bad(FNR, "<" name "> outside one file of src/present/")
    }
    if (file ~ /\.c$/ && !first_include && (module in has_header)) {
        bad(FNR, "the first include is not the own header")
        first_include = 1
    }
}

function add_edge(from, to) {
    if (from == to || ((from, to) in edge))
        return
    edge[from, to] = 1
    known[from] = known[from] " " to
    if (!(to in modules)) { # generated, or a lone header
        modules[to] = 1
        module_list[++module_count] = to
    }
}

# Names followed by "(", but not members, which may be called as they like.
function check_calls(code,    name, before) {
    while (match(code, /[A-Za-z_][A-Za-z_0-9]*[ \t]*\(/)) {
        name = substr(code, RSTART, RLENGTH)
        before = substr(code, 1, RSTART - 1)
        code = substr(code, RSTART + RLENGTH)
        sub(/[ \t]*\($/, "", name)
        if (before ~ /(\.|->)[ \t]*$/)
            continue
        if (name in os_call && file != "src/base/os.c")
            bad(FNR, name "() outside src/base/os.c")
        if (name in cli_call && floor != "cli" && !leave(name))
            bad(FNR, name "() outside src/cli/")
    }
}

# Where a program ends is the one place that these two share with cli/.
function leave(name) {
    return (file == "src/base/os.c" && (name == "exit" || name == "_exit")) \
        || (file == "src/base/ensure.c" && name == "abort")
}

# Collects what stands outside braces in text, and looks at it where it ends.
function measure(code,    at, c) {
    if (depth > 0 && code ~ /^[ \t]+static[ \t]/ && code !~ /const/ && inside)
        bad(FNR, "static variable in a function")
    while (match(code, /[{};]/)) {
        at = RSTART
        c = substr(code, at, 1)
        if (depth == 0)
            collect(substr(code, 1, at - 1))
        code = substr(code, at + 1)
        if (c == "{") {
            if (depth++ == 0)
                open_brace()
        } else if (c == "}") {
            if (--depth == 0)
                close_brace()
            else if (depth < 0)
                depth = 0
        } else if (depth == 0) {
            statement()
            text = ""
        }
    }
    if (depth == 0)
        collect(code)
}

function collect(part) {
    if (text == "") {
        sub(/^[ \t]+/, "", part)
        start = FNR
    }
    if (part !~ /^[ \t]*$/)
        text = text part " "
}

function open_brace() {
    name = name_in(text)
    inside = name != "?" && text !~ /=/ && text !~ /^typedef/
    if (!inside)
        return
    begun = start
    if (header)
        bad(start, "code in a header (" name ")")
    check_parameters(start)
}

function close_brace(    n) {
    if (!inside)
        return
    inside = 0
    n = FNR - begun + 1
    functions++
    length_count[n]++
    if (n > longest) {
        longest = n
        longest_where = module ": " name
    }
    if (n > FUNCTION)
        bad(begun, name " has " n " lines, cap " FUNCTION)
    text = ""
}

function statement() {
    if (text ~ /^extern[ \t]/ && text !~ /\(/) {
        # The layout library has no other way to name its linked plug-ins.
        if (file != layout || text !~ /_LTX_library *$/)
            bad(start, "extern variable")
        return
    }
    if (text ~ /^typedef/ || text ~ /^_Static_assert/)
        return
    if (text ~ /\(/ && text !~ /=/ && text !~ /^[^(]*\( *\*/) {
        if (header)
            prototypes++
        check_parameters(start)
        return
    }
    if (text !~ /const/ && file != "src/base/os.c" && is_variable(text) &&
        file != "src/base/ensure.c" && file != "src/engine/sets/steps.c")
        bad(start, "variable of a file that can change")
}

# More words than a type without a variable has.
function is_variable(text,    words, n) {
    if (text ~ /[=\[(]/)
        return 1
    n = split(text, words, " ")
    if (words[1] == "static")
        return 1
    if (words[1] ~ /^(struct|union|enum)$/)
        return n > 2
    return n > 1
}

function name_in(text) {
    gsub(/__attribute__ *\(\(([^()]|\([^()]*\))*\)\)/, "", text)
    while (match(text, /[A-Za-z_][A-Za-z_0-9]*[ \t]*\(/)) {
        name = substr(text, RSTART, RLENGTH)
        rest = substr(text, RSTART + RLENGTH)
        sub(/[ \t]*\($/, "", name)
        if (!(name in keyword) && name !~ /^(VEC|TREE_LIST|_Alignas)$/)
            return name
        text = rest
    }
    return "?"
}

# Commas on the first level of the parameter list; "..." is none.
function check_parameters(line,    i, c, level, n, of) {
    of = name_in(text)
    if (of == "?")
        return
    level = n = 1
    sub(/, *\.\.\. *\)/, ")", rest)
    for (i = 1; i <= length(rest) && level > 0; i++) {
        c = substr(rest, i, 1)
        level += (c == "(") - (c == ")")
        n += c == "," && level == 1
    }
    if (n > PARAMETERS)
        bad(line, of " has " n " parameters, cap " PARAMETERS)
}

# Takes away modules that know only modules taken away.  Whoever is left
# knows somebody who is left: following that leads into a circle.
function find_circle(    i, j, n, list, left, again, at, next_, path, seen) {
    for (i = 1; i <= module_count; i++)
        left[module_list[i]] = 1
    do {
        again = 0
        for (i = 1; i <= module_count; i++) {
            at = module_list[i]
            if (!(at in left))
                continue
            n = split(known[at], list, " ")
            next_ = ""
            for (j = 1; j <= n; j++)
                if (list[j] in left)
                    next_ = list[j]
            follow[at] = next_
            if (next_ == "") {
                delete left[at]
                again = 1
            }
        }
    } while (again)
    for (i = 1; i <= module_count; i++)
        if (module_list[i] in left)
            break
    if (i > module_count)
        return
    for (at = module_list[i]; !(at in seen); at = follow[at])
        seen[at] = 1
    path = at
    for (next_ = follow[at]; next_ != at; next_ = follow[next_])
        path = path " -> " next_
    report("src", "circle of modules: " path " -> " at)
}

# Length that at least this share of the functions does not pass.
function share(part,    i, sum) {
    for (i = 1; i <= longest; i++) {
        sum += length_count[i]
        if (sum >= part * functions)
            return i
    }
    return 0
}

END {
    close_file()
    find_circle()
    printf "floors: %d files, %d modules, %d functions: longest %d lines" \
        " (%s), median %d, nine of ten at most %d; %d violation%s\n", \
        files, module_count, functions, longest, \
        longest_where == "" ? "-" : longest_where, share(0.5), share(0.9), \
        violations, violations == 1 ? "" : "s"
    exit violations > 0
}
' $files
