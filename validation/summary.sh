#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# The table of published data in README.md is what the results say now.
#   sh validation/summary.sh VALIDATION_RUN           compare
#   sh validation/summary.sh VALIDATION_RUN --write   put it there
set -eu
here=$(cd "$(dirname "$0")" && pwd)
readme=$here/../README.md
new=$(mktemp)
trap 'rm -f "$new"' EXIT
table=$("$1" --report "$here/results.csv" --points "$here/published/points.csv" --part summary)
# The table begins with the first line of the summary and ends with the first empty line.
printf '%s\n' "$table" | awk '
    FNR == NR { line[++count] = $0; next }
    $0 == line[1] && !seen { for (i = 1; i <= count; i++) print line[i]; inside = seen = 1; next }
    inside && $0 != "" { next }
    { inside = 0; print }
    END { if (!seen) { print "README.md has no table of published data" >"/dev/stderr"; exit 1 } }
' - "$readme" >"$new"
if [ "${2-}" = --write ]; then
    cat "$new" >"$readme"
else
    diff -u "$readme" "$new"
fi
