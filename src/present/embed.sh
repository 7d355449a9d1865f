#!/bin/sh
# Writes a C file whose one function gives back the text of a file:
#
#     embed.sh src/present/lesson.js >lesson.js.c
#
# The function is declared in src/present/embedded.h.
set -eu

name=$(basename "$1" | tr . _)
printf '/* Made from %s. */\n#include "present/embedded.h"\n\n' "$1"
printf 'static const unsigned char text[] = {\n'
od -An -v -tu1 "$1" | awk '{ for (i = 1; i <= NF; i++) printf "%s,", $i;
                             print "" }'
printf '0};\n\nconst char *embedded_%s(void)\n{\n    return (const char *)text;\n}\n' "$name"
