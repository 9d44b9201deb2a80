#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# The checks beside the runner fail where they must:
#   sh validation/published/can_fail.sh PROJECT_FOLDER VALIDATION_EFFECTS
set -eu
top=$(cd "$1" && pwd)
effects=$2
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

# Assumptions: a fresh copy, one line of it changed.
fresh() {
    rm -rf "$room/validation" "$room/cases"
    mkdir -p "$room/validation/published" "$room/cases"
    cp -r "$top"/validation/published/assumed*.yaml "$top/validation/published/davis_2010" "$room/validation/published/"
    cp "$top/cases/bulletin_500.yaml" "$room/cases/"
}
assumed() { sh "$top/validation/published/assumed.sh" "$room"; }
fresh
assumed >/dev/null
case=$room/validation/published/davis_2010/case.yaml
sed -i 's/sodium: 2 meq/sodium: 1 meq/' "$case"
fails "an assumption of its own" assumed
fresh
sed -i '/fast_rinse_flow/d' "$case"
fails "a key left out" assumed
fresh
sed -i '/fast_rinse_flow/s/#.*//' "$case"
fails "a value without a mark" assumed
fresh
sed -i '/fast_rinse_flow/s/# .*/# chosen: because/' "$case"
fails "a chosen value that is no dose" assumed
fresh
rm "$room/validation/published/davis_2010/source.md"
fails "a source without its citation" assumed
fresh
sed -i 's/flow: 20 BV/flow: 10 BV/' "$room/cases/bulletin_500.yaml"
fails "a bulletin case that differs" assumed

# Effects: a line that moved, a table of something else.
table=$top/validation/published/effects/effects.csv
lines=$(($(wc -l <"$table") - 2)) # only the last one is computed
awk -F, -v OFS=, '{ last[NR] = $0 } END { for (i = 1; i < NR; i++) print last[i]
    $0 = last[NR]; $3 += 1; print }' "$table" >"$room/moved.csv"
fails "an effect that moved" "$effects" --compare "$room/moved.csv" --every "$lines"
"$effects" --compare "$table" --every "$lines" >/dev/null
sed 5d "$table" >"$room/short.csv"
fails "a table with a line missing" "$effects" --print "$room/short.csv"
fails "a table that is not there" "$effects" --print "$room/absent"
