#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Install what is missing, build, and run the tests; fails when one fails or none ran.
#
#   sh tests/run.sh              Release, with a minute of fuzzing the case reader; of long tests a sample
#   sh tests/run.sh --seed 3     the sample of another day
#   sh tests/run.sh --full       every test whole, and every comparison of validation/: an hour or more
#   sh tests/run.sh --sanitize   under the address and undefined-behaviour sanitizers
#   sh tests/run.sh --no-fuzz    without that minute
#
# Long tests are rows of a list: of N tests, commands of a page or lines of a table, every Nth runs, and
# the seed says which. It is the day's number, so N days in a row run them all; the same seed runs the
# same. tests/CMakeLists.txt and validation/CMakeLists.txt say which tests are sampled (BF_SAMPLE). Nothing is left out of --full.
set -eu
top=$(cd "$(dirname "$0")/.." && pwd)
. "$top/cases/setup.sh"
folder=$top/build
options=-DBF_TESTS=ON
fuzz_s=60
full=
seed=$(($(date +%s) / 86400))
# CPU time of the tests alone. The same work costs up to a fifth more on a machine that is busy, where
# programs share caches and clock; what exceeds that has grown.
budget_s=360
margin_percent=20
while [ $# -gt 0 ]; do
    case $1 in
    --sanitize)
        folder=$top/build-sanitize
        options="$options -DCMAKE_BUILD_TYPE=Debug -DBF_SANITIZE=ON"
        fuzz_s=0
        budget_s=
        ;;
    --no-fuzz)
        fuzz_s=0
        ;;
    --full)
        full=yes
        budget_s=
        ;;
    --seed)
        [ $# -gt 1 ] || set -- --seed ""
        seed=$2
        case $seed in
        '' | *[!0-9]* | 0?*)
            echo "tests/run.sh: --seed takes a whole number, not \"$seed\"" >&2
            exit 2
            ;;
        esac
        shift
        ;;
    *)
        echo "tests/run.sh: no option \"$1\"; the options are: --seed N --full --sanitize --no-fuzz" >&2
        exit 2
        ;;
    esac
    shift
done
install_missing "$top/cases/debian-packages.txt" "$top/tests/debian-packages.txt"
# shellcheck disable=SC2086 # options are meant to be split
build_in "$folder" all $options
if [ "$fuzz_s" -gt 0 ]; then
    sh "$top/tests/fuzz/run.sh" "$fuzz_s"
fi

# Seconds of CPU that the children of this shell have used, into $children_s. Not by $(...): a subshell
# counts its own children, which are none.
count_children_s() {
    times >"$folder/times"
    children_s=$(sed -n '2s/[ms]/ /gp' "$folder/times" | awk '{ printf "%d", 60 * $1 + $2 + 60 * $3 + $4 }')
}

if [ -n "$full" ]; then
    echo "every test whole, commit $(git -C "$top" rev-parse --short HEAD 2>/dev/null || echo unknown), $(date +%F)"
    published=$top/validation/published
    "$folder/validation/validation_run" --full --compare "$top/validation/results.csv" --points "$published/points.csv"
    "$folder/validation/validation_effects" --compare "$published/effects/effects.csv"
    for part in sensitivity limits band; do
        "$folder/validation/validation_$part" --compare "$published/sensitivity/$part.csv"
    done
else
    export BF_SEED="$seed"
    echo "long tests are sampled: --seed $seed"
fi
count_children_s
before_s=$children_s
ctest --test-dir "$folder" --output-on-failure --no-tests=error -j "$(nproc)"
count_children_s
spent_s=$((children_s - before_s))
if [ "$spent_s" -le 0 ]; then
    echo "tests/run.sh: the CPU time of the tests cannot be told" >&2
    exit 1
fi
printf 'the tests took %d min %02d s of CPU' $((spent_s / 60)) $((spent_s % 60))
if [ -z "$budget_s" ]; then
    echo
    exit 0
fi
echo " of $((budget_s / 60)) min"
if [ $((100 * spent_s)) -gt $(((100 + margin_percent) * budget_s)) ]; then
    echo "that is beyond the budget: sample what has grown, or make it quicker" >&2
    exit 1
fi
