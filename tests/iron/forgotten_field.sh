#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# A field that is added to a struct of a campaign and left out of its fingerprint does not compile.
#   sh tests/iron/forgotten_field.sh SOURCE_FOLDER C_COMPILER
set -eu
source=$1
compiler=$2
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT

compiles() {
    "$compiler" -std=c17 -fsyntax-only -DBF_VERSION='"0"' -I"$folder/include" -I"$source/model" \
        "$source/model/iron/campaign_fingerprint.c" >"$folder/said" 2>&1
}

# Put a field behind another one of a header, and see what the compiler says.
forget() {
    rm -rf "$folder/include"
    cp -r "$source/include" "$folder/include"
    sed "s|^    \($2;.*\)|    $3; \1|" "$source/include/brinefront/$1" >"$folder/include/brinefront/$1"
    if cmp -s "$source/include/brinefront/$1" "$folder/include/brinefront/$1"; then
        echo "$1: no field \"$2\""
        exit 1
    fi
    if compiles; then
        echo "$1: \"$3\" before \"$2\" is forgotten, and it compiles"
        exit 1
    fi
}

cp -r "$source/include" "$folder/include"
compiles || { cat "$folder/said"; exit 1; }
forget campaign.h 'double draws_per_day' 'double more'
forget campaign.h 'double from_day' 'double more'
forget campaign.h 'double every_days' 'double more'
forget campaign.h 'int aged' 'int more' # fits into the hole at the end of its struct
forget bed.h 'double coat_m' 'double more'
forget bed.h 'size_t source_count' 'size_t more'
forget cycle.h 'double mix_share' 'double more'
forget resin.h 'double void_fraction' 'double more'
forget water.h 'double imbalance' 'double more'
