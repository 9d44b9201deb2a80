#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Does a test notice? Breaks a copy of the sources in one place at a time (mutations.csv), builds
# it, runs the tests and writes down which of them fail.
#
#   sh validation/mutations.sh          every mutation; writes validation/mutations.md
#   sh validation/mutations.sh ID ...   these only; prints their rows
#   sh validation/mutations.sh --check  only: does every mutation still change its file?
#   ALL=1 sh validation/mutations.sh ...         every test for every mutation: slow, but complete
#   FROM=FOLDER sh validation/mutations.sh ...   the sources from another folder, a clean checkout
#
# First come the quick tests of the broken file's own layer (tests/<layer>), and beside ctest
# independent/compare.py, named validation.independent here. Where none of them fails all the other
# tests run ("others:"), so "caught by" is a lower bound. A mutation that does not change its file,
# or does not build, stops nothing but is told as such and makes the script fail; so does a survivor.
# Tests that fail without any mutation are told and counted for nothing.
set -eu
top=$(cd "$(dirname "$0")/.." && pwd)
table=$top/validation/mutations.csv
jobs=${JOBS:-$(nproc)}
slow='^(cycle\.reference|cycle\.steady|bed\.no_allocation)'
skipped=${SKIP:-'^(layers|docs\.)'}
from=${FROM:-$top}
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
trap 'exit 130' INT TERM
sed 1d "$table" >"$folder/list"

unquoted() { # a field of the table without its quotation marks
    set -- "${1#\"}"
    printf '%s' "${1%\"}"
}

# The names of files and functions change, and a mutation that no longer finds its place tests nothing.
check() {
    count=0
    lost=0
    while IFS=, read -r id file what expression <&3; do
        count=$((count + 1))
        if ! sed "$(unquoted "$expression")" "$from/$file" >"$folder/changed"; then
            echo "mutations.csv: $id: $file is not there, or the expression of sed is wrong"
        elif cmp -s "$from/$file" "$folder/changed"; then
            echo "mutations.csv: $id no longer changes $file ($what): adapt its expression or its file"
        else
            continue
        fi
        lost=$((lost + 1))
    done 3<"$folder/list"
    echo "$((count - lost)) of $count mutations change their file"
    [ "$count" -gt 0 ] && [ "$lost" -eq 0 ]
}

if [ "${1:-}" = --check ]; then
    status=0
    check || status=1
    exit "$status"
fi

mkdir "$folder/src"
for part in CMakeLists.txt include model tests cases docs validation; do
    if [ -e "$from/$part" ]; then
        cp -R "$from/$part" "$folder/src/"
    fi
done
# A mutated program may run for ever: a test that takes long has failed.
sed -i 's/TIMEOUT 600/TIMEOUT 60/;s/CK_DEFAULT_TIMEOUT=300/CK_DEFAULT_TIMEOUT=40/' \
    "$folder/src/tests/CMakeLists.txt"
echo 'set_tests_properties(cycle.reference cycle.steady PROPERTIES TIMEOUT 240)' \
    >>"$folder/src/tests/CMakeLists.txt"

build() { # all, or these targets
    make -C "$folder/build" -s -j "$jobs" "$@" >"$folder/build.log" 2>&1
}

own_targets() { # of a layer: its test programs and the command line
    for test in "$folder/src/tests/$1"/test_*.c; do
        name=${test##*/test_}
        printf '%s\n' "$1.${name%.c}"
    done | grep -vE "$slow" || true
    echo brinefront
}

# Names of the ctest tests that fail: the quick ones of one layer, or of all tests.
failing() {
    case $1 in
    own) set -- -R "^$2\\." -E "$slow|$skipped" ;;
    others) set -- -E "$skipped" ;;
    esac
    ctest --test-dir "$folder/build" -j "$jobs" -LE slow "$@" 2>/dev/null |
        sed -n '/tests FAILED:/,$s/^[[:space:]]*[0-9]* - \([^ ]*\) .*/\1/p'
}

independent() {
    if ! python3 "$folder/src/validation/independent/compare.py" "$folder/build/brinefront" \
        >/dev/null 2>&1; then
        echo validation.independent
    fi
}

caught_by() { # names not in the list of those that always fail, on one line
    sort -u | grep -vxF -f "$folder/always" | tr '\n' ' ' | sed 's/ $//' || true
}

cmake -S "$folder/src" -B "$folder/build" -DCMAKE_BUILD_TYPE=Release \
    -DCMAKE_C_FLAGS_RELEASE="-O2 -DNDEBUG" >/dev/null
if ! build; then
    echo "mutations.sh: the sources do not build as they are; see below" >&2
    tail -n 20 "$folder/build.log" >&2
    exit 2
fi
{
    echo "no test has this name"
    failing others
    independent
} >"$folder/always"
sed 1d "$folder/always" >"$folder/broken"

rows=$folder/rows
: >"$rows"
trouble=0
count=0
while IFS=, read -r id file what expression <&3; do
    if [ $# -gt 0 ]; then
        case " $* " in
        *" $id "*) ;;
        *) continue ;;
        esac
    fi
    count=$((count + 1))
    expression=$(unquoted "$expression")
    source=$folder/src/$file
    layer=${file#model/}
    layer=${layer%%/*}
    cp "$source" "$folder/original"
    sed "$expression" "$folder/original" >"$source"
    if cmp -s "$folder/original" "$source"; then
        result="NOT APPLIED: the source does not contain it"
        trouble=1
    # shellcheck disable=SC2046 # target names hold no spaces
    elif ! build $(own_targets "$layer"); then
        result="DOES NOT BUILD"
        trouble=1
    else
        result=
        if [ -z "${ALL:-}" ]; then
            result=$({ failing own "$layer"; independent; } | caught_by)
        fi
        if [ -z "$result" ]; then
            build || echo "mutations.sh: $id: not all tests build" >&2
            result=$({ failing others; independent; } | caught_by)
            if [ -n "$result" ]; then
                result="others: $result"
            fi
        fi
        if [ -z "$result" ]; then
            result="SURVIVED"
            trouble=1
        fi
    fi
    cp "$folder/original" "$source"
    row="| $id | ${file#model/} | $what | $result |"
    echo "$row" >>"$rows"
    echo "$row"
done 3<"$folder/list"

if [ "$count" -eq 0 ]; then
    echo "mutations.sh: no such mutation; the ids stand in validation/mutations.csv" >&2
    exit 2
fi
if [ $# -eq 0 ]; then
    {
        echo "# Mutations"
        echo
        echo "Written by \`sh validation/mutations.sh\`: each row breaks the sources in one place"
        echo "(\`mutations.csv\`) and names the tests that fail. The tests of other layers, slow ones"
        echo "and stored figures run only where none of the file's own layer fails and the independent"
        echo "solution agrees (\"others:\"), so each list is a lower bound."
        echo
        echo "$count mutations, $(grep -c '| SURVIVED |' "$rows" || true) survived," \
            "$(grep -c -e '| NOT APPLIED' -e '| DOES NOT BUILD' "$rows" || true) not applied or not built."
        if [ -s "$folder/broken" ]; then
            echo
            echo "Failing without any mutation, counted for nothing: $(tr '\n' ' ' <"$folder/broken")"
        fi
        echo
        echo "| mutation | file | what it does | caught by |"
        echo "|---|---|---|---|"
        cat "$rows"
    } >"$top/validation/mutations.md"
fi
exit "$trouble"
