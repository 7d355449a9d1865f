#!/bin/sh
# Runs cmocka programs and adds up what they report.
#
#     run-tests.sh LOGS JOBS BEFORE PROGRAM...
#
# Each program's output goes to a file in the folder LOGS; its closing lines
# are shown, and everything when it failed.  BEFORE is the number of checks
# that failed already.  The last line is "N passed, N failed", the one before it
# "N skipped", if any were.
#
# A program that ends without closing lines, that ends badly although no test
# failed, or that ran no test counts as one failed test.
set -u

if [ "$1" = --one ]; then # LOGS PROGRAM: one run, in the background of xargs
    log=$2/$(echo "$3" | tr / _)
    timeout --kill-after=10 "${TEST_SECONDS:-600}" "$3" >"$log.log" 2>&1 \
        </dev/null
    echo $? >"$log.status"
    exit 0
fi

logs=$1 jobs=$2 failed=$3 passed=0 skipped=0
shift 3
mkdir -p "$logs"
rm -f "$logs"/*.log "$logs"/*.status
CMOCKA_MESSAGE_OUTPUT=STDOUT
export CMOCKA_MESSAGE_OUTPUT
if [ $# -gt 0 ]; then
    printf '%s\n' "$@" | xargs -P "$jobs" -n 1 sh "$0" --one "$logs"
fi

# Sum of the numbers in closing lines with this mark.
sum() {
    awk -v mark="[  $1 ] " '
        index($0, mark) == 1 && / test\(s\)/ { n += $4 }
        END { print n + 0 }' "$2"
}

for program; do
    log=$logs/$(echo "$program" | tr / _)
    status=$(cat "$log.status" 2>/dev/null || echo lost)
    good=$(sum "PASSED " "$log.log")
    bad=$(sum "FAILED " "$log.log")
    left=$(sum SKIPPED "$log.log")
    why=
    if [ "$status" = 124 ]; then
        why="ran longer than ${TEST_SECONDS:-600} seconds"
    elif [ "$status" != 0 ] && [ "$bad" -eq 0 ]; then
        why="ended with status $status"
    elif [ $((good + bad + left)) -eq 0 ]; then
        why="ran no test"
    fi
    [ -z "$why" ] || bad=$((bad + 1))
    passed=$((passed + good))
    failed=$((failed + bad))
    skipped=$((skipped + left))
    echo "$program"
    if [ "$bad" -gt 0 ]; then
        cat "$log.log"
        [ -z "$why" ] || echo "$program $why"
    else
        grep -E '^\[(=+\] .* run|  (PASSED|SKIPPED) )' "$log.log"
    fi
done
[ "$skipped" -eq 0 ] || echo "$skipped skipped"
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ] && [ "$passed" -gt 0 ]
