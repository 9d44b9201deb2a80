#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# The tables of uncertain constants and of physics left out, and the band, are refused where they are wrong:
#   sh validation/published/sensitivity/can_fail.sh PROJECT_FOLDER SENSITIVITY LIMITS BAND
set -eu
tables=$1/validation/published/sensitivity
room=$(mktemp -d)
trap 'rm -rf "$room"' EXIT
fails() {
    what=$1
    shift
    if "$@" >"$room/out" 2>&1; then
        echo "$what: not found" >&2
        cat "$room/out" >&2
        exit 1
    fi
}
n=0
for program in "$2" "$3" "$4"; do
    # tests/run.sh samples: one of the three (BF_SEED and BF_SAMPLE=3 in the environment).
    n=$((n + 1))
    [ -z "${BF_SEED:-}" ] || [ $(((n + BF_SEED) % ${BF_SAMPLE:-1})) -eq 0 ] || continue
    part=${program##*validation_}
    # Only the first line is computed; its first number is changed.
    awk -F, -v OFS=, 'NR == 2 { $2 += 1 } { print }' "$tables/$part.csv" >"$room/moved.csv"
    "$program" --compare "$tables/$part.csv" --every 1000 >/dev/null
    fails "$part: a line that moved" "$program" --compare "$room/moved.csv" --every 1000
    sed 4d "$tables/$part.csv" >"$room/short.csv"
    fails "$part: a table with a line missing" "$program" --print "$room/short.csv"
    fails "$part: a table that is not there" "$program" --print "$room/absent"
done
