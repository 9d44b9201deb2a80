#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Feed the reader of case files with mutations of its corpus, under the address and undefined-behaviour
# sanitizers. Fails when an input makes it crash, hang, leak, or break what fuzz_case.c demands; the
# input is then in build-fuzz/.
#
#   sh tests/fuzz/run.sh [SECONDS]     default: 60
set -eu
seconds=${1:-60}
top=$(cd "$(dirname "$0")/../.." && pwd)
folder=$top/build-fuzz
mkdir -p "$folder/found"

# The whole model: a case is read into what the layers below it define. omp.h and its library are
# gcc's, as clang's are a package of their own; nothing runs in parallel here.
if [ ! -x "$folder/fuzz_case" ] ||
    [ -n "$(find "$top/model" "$top/include" "$top/tests/fuzz" -name '*.[chd]*' \
        -newer "$folder/fuzz_case" | head -n 1)" ]; then
    # shellcheck disable=SC2046 # names of ours and flags, meant to be split
    clang -std=c17 -O2 -g -fno-omit-frame-pointer -fsanitize=fuzzer,address,undefined \
        -fno-sanitize-recover=all -fno-sanitize-coverage=trace-cmp -Wno-unknown-pragmas -D_POSIX_C_SOURCE=200809L \
        -DBF_VERSION='"fuzz"' -I"$top/include" -I"$top/model" \
        "$top/tests/fuzz/fuzz_case.c" \
        $(find "$top/model" -name '*.c' ! -path '*/cli/*' | sort) \
        -idirafter "$(gcc -print-file-name=include)" "$(gcc -print-file-name=libgomp.so)" \
        $(pkg-config --cflags --libs yaml-0.1 jansson zlib gsl) -lsundials_cvode -lsundials_generic -lm -o "$folder/fuzz_case"
fi

# What one run finds, the next starts from; corpus/ and cases/ themselves stay as they are.
cd "$folder"
"$folder/fuzz_case" -max_total_time="$seconds" -max_len=4096 -timeout=10 -rss_limit_mb=2048 \
    -dict="$top/tests/fuzz/words.dict" -print_final_stats=1 -artifact_prefix="$folder/" \
    "$folder/found" "$top/tests/fuzz/corpus" "$top/cases" >"$folder/log" 2>&1 || {
    tail -n 60 "$folder/log" >&2
    exit 1
}
grep -aE '^(stat::number_of_executed_units|stat::new_units_added)|DONE' "$folder/log"
