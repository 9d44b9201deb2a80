#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# What the libraries show is what tests/library/symbols.txt lists: no private function escapes, and no
# public one comes or goes unnoticed.
#   sh tests/library/symbols.sh SHARED_LIBRARY STATIC_LIBRARY LIST [--write]
set -eu
export LC_ALL=C
shared=$1
static=$2
list=$3
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
nm -D --defined-only "$shared" | sed 's/.* //' | sort >"$folder/shared"
# Locks of OpenMP (.gomp_...) are common to a whole program by design.
nm -g --defined-only "$static" | sed -n 's/^[0-9a-f]* [A-Z] //p' | grep -v '^\.gomp_' | sort >"$folder/static"

if grep -v '^bf_[a-z]' "$folder/shared" "$folder/static"; then
    echo "these are not public and must not be seen: model/package"
    exit 1
fi
if [ "${4:-}" = --write ]; then
    cp "$folder/shared" "$list"
    exit 0
fi
if ! diff "$list" "$folder/shared" || ! diff "$list" "$folder/static"; then
    echo "< is missing now, > is new. Where that is meant, write the list anew:"
    echo "    cmake --build build --target write_symbols"
    exit 1
fi
echo "$(wc -l <"$list") public symbols, as listed"
