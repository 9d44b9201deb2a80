#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# The search for circles must find those of two and of three files, pass what has none or is known,
# and refuse to look at nothing.
#   sh tests/layers/circles_can_fail.sh CIRCLES_SCRIPT COMPILER
set -eu
script=$1
compiler=$2
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
mkdir -p "$folder/model/water" "$folder/model/bed"

file() { # file PATH DEFINES CALLS...
    path=$folder/model/$1
    {
        for called in $3; do echo "void $called(void);"; done
        echo "void $2(void);"
        echo "void $2(void) {"
        for called in $3; do echo "$called();"; done
        echo "}"
    } >"$path"
    "$compiler" -c "$path" -o "$path.o"
}

looks() { # looks EXPECTED EXCEPTION OBJECT...
    expected=$1
    printf '# known\n%s\n' "$2" | sed '/^$/d' >"$folder/exceptions"
    shift 2
    result=0
    sh "$script" "$folder/exceptions" "$@" >"$folder/out" || result=$?
    [ "$result" -eq "$expected" ] || { cat "$folder/out"; echo "exit $result, not $expected"; exit 1; }
}

file bed/a.c from_a 'from_b'
file bed/b.c from_b 'from_c abort'
file water/c.c from_c ''
a=$folder/model/bed/a.c.o
b=$folder/model/bed/b.c.o
c=$folder/model/water/c.c.o
looks 0 '' "$a" "$b" "$c"
looks 1 '' "$c" # nothing calls anything
looks 0 'bed/a.c bed/b.c' "$a" "$b" "$c"
grep -q 'closes no circle any more.*: bed/a.c bed/b.c' "$folder/out"

file water/c.c from_c 'from_b' # b and c
looks 1 '' "$a" "$b" "$c"
grep -q 'bed/b.c' "$folder/out"
grep -q 'water/c.c' "$folder/out"
looks 0 'water/c.c bed/b.c' "$a" "$b" "$c"

file water/c.c from_c 'from_a' # all three
looks 1 '' "$a" "$b" "$c"
looks 1 'bed/b.c bed/a.c' "$a" "$b" "$c" # not the call that closes it
looks 0 'water/c.c bed/a.c' "$a" "$b" "$c"
echo "circles of two and of three files refused"
