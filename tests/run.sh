#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Install what is missing, build, and run every test; fails when one fails or none ran.
#
#   sh tests/run.sh              every test, Release, and a minute of fuzzing the case reader
#   sh tests/run.sh --sanitize   every test under the address and undefined-behaviour sanitizers
#   sh tests/run.sh --no-fuzz    without that minute
#   sh tests/run.sh --full       and every comparison of validation/, not only the fast ones
set -eu
top=$(cd "$(dirname "$0")/.." && pwd)
. "$top/cases/setup.sh"
folder=$top/build
options=
fuzz_s=60
full=
for option in "$@"; do
    case $option in
    --sanitize)
        folder=$top/build-sanitize
        options="-DCMAKE_BUILD_TYPE=Debug -DBF_SANITIZE=ON"
        fuzz_s=0
        ;;
    --no-fuzz)
        fuzz_s=0
        ;;
    --full)
        full=yes
        ;;
    *)
        echo "tests/run.sh: no option \"$option\"; the options are: --sanitize --no-fuzz --full" >&2
        exit 2
        ;;
    esac
done
install_missing
# shellcheck disable=SC2086 # options are meant to be split
build_in "$folder" all $options
if [ "$fuzz_s" -gt 0 ]; then
    sh "$top/tests/fuzz/run.sh" "$fuzz_s"
fi
if [ -n "$full" ]; then
    published=$top/validation/published
    "$folder/validation/validation_run" --full --compare "$top/validation/results.csv" --points "$published/points.csv"
    "$folder/validation/validation_effects" --compare "$published/effects/effects.csv"
    for part in sensitivity limits band; do
        "$folder/validation/validation_$part" --compare "$published/sensitivity/$part.csv"
    done
fi
cd "$folder"
exec ctest --output-on-failure --no-tests=error -j "$(nproc)"
