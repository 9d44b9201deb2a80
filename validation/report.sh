#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Run every comparison anew and write validation/results.csv and docs/validation.md from them.
#
#   sh validation/report.sh             results and page
#   sh validation/report.sh --figures   the figures too (needs the Debian package gnuplot-nox)
set -eu
top=$(cd "$(dirname "$0")/.." && pwd)
figures=
case "${1-}" in
'') ;;
--figures) figures=yes ;;
*)
    echo "validation/report.sh: no option \"$1\"; the options are: --figures" >&2
    exit 2
    ;;
esac
. "$top/cases/setup.sh"
build_in "$top/build" validation_run
run=$top/build/validation/validation_run
curves=$(mktemp -d)
trap 'rm -rf "$curves"' EXIT
status=0
"$run" --full --results "$top/validation/results.csv" --curves "$curves" || status=$?
[ "$status" -lt 2 ] || exit "$status"
sh "$top/validation/page.sh" "$run" >"$top/docs/validation.md"
if [ -n "$figures" ]; then
    sh "$top/validation/figures.sh" "$curves" "$top/docs/figures"
fi
exit "$status"
