#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# The check of the mutations notices a place that is gone and a file that is gone.
#   sh validation/mutations_can_fail.sh PROJECT_FOLDER
set -eu
top=$1
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
cp -R "$top/model" "$folder/"
mkdir "$folder/validation"
cp "$top/validation/mutations.csv" "$folder/validation/"
first=$(sed -n '2s/^\([^,]*\),\([^,]*\),.*/\1 \2/p' "$top/validation/mutations.csv")
id=${first% *}
file=${first#* }

must_tell() { # must_tell TEXT
    if FROM=$folder sh "$top/validation/mutations.sh" --check >"$folder/out" 2>&1; then
        echo "lets pass: $1"
        exit 1
    fi
    grep -q "$1" "$folder/out" || { echo "does not say: $1"; cat "$folder/out"; exit 1; }
}

FROM=$folder sh "$top/validation/mutations.sh" --check >/dev/null || { echo "refuses a sound tree"; exit 1; }
: >"$folder/$file"
must_tell "$id no longer changes $file"
rm "$folder/$file"
must_tell "$id: $file is not there"
echo "a place and a file that are gone are noticed"
