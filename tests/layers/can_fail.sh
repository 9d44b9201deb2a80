#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# The walk over the includes must refuse an include to the right, an unknown room, and a private
# header in the command line.
#   sh tests/layers/can_fail.sh CHECK_SCRIPT
set -eu
check=$1
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT

must_refuse() { # must_refuse FILE TEXT
    rm -rf "${folder:?}"/*
    mkdir -p "$folder/model/water" "$folder/model/cli" "$folder/model/attic" \
        "$folder/include/brinefront"
    printf '#include "brinefront/status.h"\n' >"$folder/model/water/sound.c"
    sh "$check" "$folder" >/dev/null || { echo "refuses a sound tree"; exit 1; }
    printf '%s\n' "$2" >"$folder/$1"
    if sh "$check" "$folder" >/dev/null; then
        echo "lets pass: $1 with $2"
        exit 1
    fi
}

must_refuse model/water/a.c '#include "bed/column.h"'
must_refuse model/water/b.h '#include "brinefront/cycle.h"'
must_refuse model/water/c.c '#include "nowhere/x.h"'
must_refuse model/attic/d.c '#include "brinefront/status.h"'
must_refuse model/cli/e.c '#include "bed/column.h"'
must_refuse include/brinefront/bed.h '#include "brinefront/report.h"'
echo "six wrong includes refused"
