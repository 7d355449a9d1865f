#!/bin/sh
# Installs, by Debian package name, whatever is missing to build and test;
# `install-deps.sh bench`: to measure as well.  Says nothing when nothing is
# missing.
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
if [ "${1:-}" = bench ]; then
    need z3 command -v z3
fi
[ -n "$missing" ] || exit 0

echo "missing:$missing"
if ! command -v apt-get >/dev/null 2>&1; then
    echo "this system has no apt-get: install their like by hand" >&2
    exit 1
fi
if [ "$(id -u)" -eq 0 ]; then
    as_root=
elif command -v sudo >/dev/null 2>&1; then
    as_root=sudo
else
    echo "neither root nor sudo: run  apt-get install$missing" >&2
    exit 1
fi

install() {
    $as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -q \
        --no-install-recommends $missing
}

# A fresh system has no package lists yet, or old ones.
if apt-cache show $missing >/dev/null 2>&1 && install; then
    exit 0
fi
$as_root apt-get update -q && install
