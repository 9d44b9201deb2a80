#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# The table of parameters in docs/iron.md, between its two markers, is what the program has now.
#   sh validation/iron/parameters.sh VALIDATION_RUN           compare
#   sh validation/iron/parameters.sh VALIDATION_RUN --write   put it there
set -eu
page=$(cd "$(dirname "$0")/../.." && pwd)/docs/iron.md
new=$(mktemp)
trap 'rm -f "$new"' EXIT
table=$("$1" --iron-parameters)
printf '%s\n' "$table" | awk '
    FNR == NR { line[++count] = $0; next }
    $0 == "<!-- parameters: begin -->" && !seen {
        print; print ""; for (i = 1; i <= count; i++) print line[i]; print ""
        inside = seen = 1; next
    }
    $0 == "<!-- parameters: end -->" && inside { inside = 0; ended = 1 }
    !inside { print }
    END { if (!ended) { print "docs/iron.md lacks a marker of the parameters" >"/dev/stderr"; exit 1 } }
' - "$page" >"$new"
if [ "${2-}" = --write ]; then
    cat "$new" >"$page"
else
    diff -u "$page" "$new"
fi
