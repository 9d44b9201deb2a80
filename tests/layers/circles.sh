#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Files call each other in one direction: no circle may stand between the object files of the model.
# nm says what each defines and what it wants of the others, tsort finds the circles.
#   sh tests/layers/circles.sh FILE_OF_EXCEPTIONS OBJECT...
# A line of the exceptions, "CALLER CALLED", names a call that closes a circle and is known.
set -eu
exceptions=$1
shift
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT

# "CALLER CALLED", each as "bed/column.c" of ".../model/bed/column.c.o".
nm -A --defined-only "$@" >"$folder/defined"
nm -A -u "$@" >"$folder/wanted"
awk '
    function file(text) {
        sub(/\.o:.*/, "", text)
        sub(/.*\/model\//, "", text)
        return text
    }
    FNR == NR && $2 ~ /^[A-Z]$/ { home[$3] = file($1) }
    FNR < NR && $NF in home && home[$NF] != file($1) { print file($1), home[$NF] }
' "$folder/defined" "$folder/wanted" | sort -u >"$folder/calls"
count=$(wc -l <"$folder/calls")
if [ "$count" -eq 0 ]; then
    echo "no call from file to file was found: are these the objects of the model?"
    exit 1
fi

sed '/^#/d' "$exceptions" | sort -u >"$folder/excepted"
comm -23 "$folder/calls" "$folder/excepted" >"$folder/kept"
wrong=0
if ! tsort "$folder/kept" >/dev/null 2>"$folder/loops"; then
    echo "circles of calls between files:"
    sed 's/^tsort: .*loop:$/circle/; s/^tsort: /    /' "$folder/loops"
    wrong=1
fi
while read -r call; do
    if grep -qxF "$call" "$folder/calls" && ! { cat "$folder/kept"; echo "$call"; } | tsort >/dev/null 2>&1; then
        continue
    fi
    echo "closes no circle any more, take it off the exceptions: $call"
done <"$folder/excepted"
echo "$count calls from file to file looked at"
exit $wrong
