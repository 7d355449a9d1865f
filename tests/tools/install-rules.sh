#!/bin/sh
# Fetches the rules for accessibility that tests of pages ask (axe-core, MPL-2.0,
# from the registry that npm knows) into a folder of the build; nothing of it
# becomes part of the program.  Without npm or network it says so, and those
# tests are skipped.
#
#     install-rules.sh FOLDER
set -u
folder=$1
[ -f "$folder/node_modules/axe-core/axe.min.js" ] && exit 0
if ! command -v npm >/dev/null 2>&1; then
    echo "no npm: tests of accessibility will be skipped" >&2
    exit 0
fi
mkdir -p "$folder"
npm install --prefix "$folder" --no-save --no-package-lock --ignore-scripts \
    --no-audit --no-fund --silent axe-core@4 >/dev/null 2>&1 ||
    echo "axe-core could not be fetched: tests of accessibility will be" \
        "skipped" >&2
exit 0
