#!/bin/sh
# Installs, by Debian package name, whatever is missing to build;
# `install-deps.sh test`: to test as well, `pages`: in a browser, too,
# `bench`: to measure.
# Says nothing when nothing is missing.
set -u

missing=
need() { # package, then a command that succeeds when it is there
    package=$1
    shift
    "$@" >/dev/null 2>&1 || missing="$missing $package"
}

c_works() {
    printf '#include <stdio.h>\nint main(void) { return 0; }\n' |
        "${CC:-cc}" -x c -o /dev/null -
}

has_library() {
    pkg-config --exists "$@"
}

links() { # header, library: those without a file for pkg-config
    printf '#include <stdio.h>\n#include <%s>\nint main(void) { return 0; }\n' \
        "$1" | "${CC:-cc}" -x c -o /dev/null - "$2"
}

need build-essential c_works
need build-essential command -v make
need flex command -v flex
need bison command -v bison
need pkg-config command -v pkg-config
need libbdd-dev links bdd.h -lbdd
need libgmp-dev links gmp.h -lgmp
need libexpat1-dev links expat.h -lexpat
need nettle-dev links nettle/sha2.h -lnettle
need libgraphviz-dev has_library libgvc libcgraph
need libcmocka-dev has_library cmocka
case ${1:-} in
bench) need z3 command -v z3 ;;
test | pages) need nodejs command -v node ;;
esac

as_root=
if [ "$(id -u)" -ne 0 ] && command -v sudo >/dev/null 2>&1; then
    as_root=sudo
fi

install() {
    $as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -q \
        --no-install-recommends "$@"
}

# A fresh system has no package lists yet, or old ones.
fetch() {
    apt-cache show "$@" >/dev/null 2>&1 && install "$@" && return
    $as_root apt-get update -q && install "$@"
}

if [ -n "$missing" ]; then
    echo "missing:$missing"
    if ! command -v apt-get >/dev/null 2>&1; then
        echo "this system has no apt-get: install their like by hand" >&2
        exit 1
    fi
    if [ "$(id -u)" -ne 0 ] && [ -z "$as_root" ]; then
        echo "neither root nor sudo: run  apt-get install$missing" >&2
        exit 1
    fi
    fetch $missing || exit 1
fi

# A browser is large, and not to be had everywhere: without one `make test`
# skips the tests of pages, and counts them as such.
if [ "${1:-}" = pages ] && ! command -v "${CHROMIUM:-chromium}" >/dev/null 2>&1
then
    echo "missing: chromium"
    fetch chromium || echo "no chromium: tests of pages will be skipped" >&2
fi

# Judges of pictures and paper: what is missing is skipped, and counted.
judge() { # package, command
    command -v "$2" >/dev/null 2>&1 || fetch "$1" ||
        echo "no $2: what it judges will be skipped" >&2
}
if [ "${1:-}" = pages ]; then
    judge graphviz dot
    judge libxml2-utils xmllint
    judge poppler-utils pdftotext
fi
exit 0
