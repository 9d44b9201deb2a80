#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Three programs of somebody else, built against an installed brinefront, through pkg-config and through
# CMake, from C and C++, run; and what README.md shows of them is what stands here.
#   sh tests/consumer/check.sh PROJECT_FOLDER BUILD_FOLDER C_COMPILER
set -eu
top=$1
build=$2
cc=$3
here=$top/tests/consumer
room=$(mktemp -d)
trap 'rm -rf "$room"' EXIT
cmake --install "$build" --prefix "$room/installed" >"$room/log" 2>&1 || { cat "$room/log"; exit 1; }
installed=$room/installed
libraries=$(dirname "$(find "$installed" -name libbrinefront.so)")
export LD_LIBRARY_PATH="$libraries"
export PKG_CONFIG_PATH="$libraries/pkgconfig"

wrong() {
    echo "$*"
    exit 1
}

# Through pkg-config.
mkdir "$room/pc"
flags=$(pkg-config --cflags --libs brinefront)
warnings="-Wall -Wextra -Wpedantic -Werror"
# shellcheck disable=SC2086 # flags are meant to be split
{
    $cc -std=c17 $warnings "$here/rate_bed.c" $flags -o "$room/pc/rate_bed"
    $cc -std=c17 $warnings "$here/own_source.c" $flags -o "$room/pc/own_source"
    g++ -std=c++17 $warnings "$here/elution.cpp" $flags -o "$room/pc/elution"
    static=$(pkg-config --cflags --libs --static brinefront | sed 's/-lbrinefront/-l:libbrinefront.a/')
    $cc -std=c17 $warnings "$here/rate_bed.c" $static -o "$room/pc/rate_bed_static"
}

# Through CMake.
if ! { cmake -S "$here" -B "$room/cmake" -DCMAKE_PREFIX_PATH="$installed" -DCMAKE_C_COMPILER="$cc" \
    -DCMAKE_C_FLAGS="$warnings" -DCMAKE_CXX_FLAGS="$warnings" &&
    cmake --build "$room/cmake"; } >"$room/log" 2>&1; then
    cat "$room/log"
    exit 1
fi

# Headers of another version: refused before anything is written past its room.
cp -R "$installed/include" "$room/other"
sed -i 's/^} bf_cycle_result;/    double one_more;\n&/' "$room/other/brinefront/cycle.h"
# shellcheck disable=SC2086 # flags are meant to be split
$cc -std=c17 -I"$room/other" "$here/rate_bed.c" $flags -o "$room/stale"
if "$room/stale" >"$room/out" 2>&1 || ! grep -q "headers of another version" "$room/out"; then
    wrong "a program compiled with other headers runs: $(cat "$room/out")"
fi

programs="rate_bed rate_bed_static elution own_source"
for program in $programs; do
    "$room/pc/$program" >"$room/$program"
    "$room/cmake/$program" | diff "$room/$program" - || wrong "$program: CMake's prints something else"
done
case $(ldd "$room/pc/rate_bed") in
*"libbrinefront.so."*"$libraries"*) ;;
*) wrong "rate_bed does not run on the installed library" ;;
esac
case $(ldd "$room/pc/rate_bed_static") in *libbrinefront*) wrong "the static program wants a shared library" ;; esac
diff "$room/rate_bed" "$room/rate_bed_static" || wrong "the static library computes something else"

# The same bed by the installed program, from its own case.
printf 'water: {hardness: 18 gpg}\nbed: {resin_volume: 1.5 ft3}\n' |
    "$installed/bin/brinefront" rate - --doses "60, 100, 150 g/L" --format csv >"$room/csv"
grep -v '^#' "$room/csv" | awk -F, '
    NR == 1 { for (i = 1; i <= NF; i++) column[$i] = i; next }
    { printf "%.1f\n", 1000 * $column["capacity_eq_per_L"] }' >"$room/expected"
sed 's/.*: \([0-9.]*\) eq.*/\1/' "$room/rate_bed" | diff "$room/expected" - || wrong "rate_bed: not what the program says"

# The brine brings out much more hardness than the feed holds, 6.2 eq/m3.
awk 'NF == 3 && $2 > most { most = $2 } END { exit !(most > 100) }' "$room/elution" || wrong "elution: no peak"

# What the bed misses is what the source laid down; and without it there is none.
awk '{ scale[NR] = $(NF - 5); missing[NR] = $(NF - 1) }
    END { exit !(NR == 2 && scale[1] == 0 && scale[2] > 1 &&
                 (missing[2] - scale[2]) ^ 2 < (0.01 * scale[2]) ^ 2) }' "$room/own_source" || {
    cat "$room/own_source"
    wrong "own_source: the scale is not what is missing"
}

# Each block of C in README.md is one run of lines of a program here.
cat "$here"/*.c "$here"/*.cpp >"$room/all"
awk 'NR == FNR { all = all "\n" $0; next }
    /^```(c|cpp)$/ { inside = 1; block = ""; start = FNR; next }
    /^```$/ && inside { inside = 0; blocks++; if (!index(all "\n", block "\n")) { print "README.md:" start ": this stands in no program of tests/consumer/"; bad = 1 } }
    inside { block = block "\n" $0 }
    END { if (blocks < 3) { print "README.md shows " blocks + 0 " programs, not 3"; bad = 1 } exit bad }' "$room/all" "$top/README.md"
echo "four programs through pkg-config and CMake; README.md shows them as they are"
