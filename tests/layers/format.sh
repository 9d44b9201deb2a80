#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Every source file is as clang-format 14 leaves it by .clang-format.
#   sh tests/layers/format.sh PROJECT_FOLDER [--fix]
set -eu
cd "$1"
looked=$(find model include tests validation -name '*.[ch]' | wc -l)
if [ "$looked" -eq 0 ]; then
    echo "no source file was found: is $1 the project?"
    exit 1
fi
if [ "${2:-}" = --fix ]; then
    find model include tests validation -name '*.[ch]' -exec clang-format-14 -style=file -i {} +
else
    find model include tests validation -name '*.[ch]' -exec \
        clang-format-14 -style=file --dry-run -Werror {} +
fi
echo "$looked files looked at"
