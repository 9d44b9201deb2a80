#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Run every comparison anew and write validation/results.csv, validation/published/points.csv, the tables of
# effects/ and sensitivity/, docs/validation.md, its band, the table in README.md and that of docs/iron.md's
# parameters from them.
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
build_in "$top/build" validation_effects
for part in sensitivity limits band; do
    build_in "$top/build" "validation_$part"
done
run=$top/build/validation/validation_run
effects=$top/build/validation/validation_effects
published=$top/validation/published
curves=$(mktemp -d)
trap 'rm -rf "$curves"' EXIT
status=0
"$run" --full --results "$top/validation/results.csv" --points "$published/points.csv" --curves "$curves" ||
    status=$?
[ "$status" -lt 2 ] || exit "$status"
"$effects" --write "$published/effects/effects.csv"
for part in sensitivity limits band; do
    "$top/build/validation/validation_$part" --write "$published/sensitivity/$part.csv"
done
"$top/build/validation/validation_band" --draw "$published/sensitivity/band.csv" >"$top/docs/figures/band.svg"
sh "$top/validation/page.sh" "$run" "$effects" >"$top/docs/validation.md"
sh "$top/validation/summary.sh" "$run" --write
sh "$top/validation/iron/parameters.sh" "$run" --write
if [ -n "$figures" ]; then
    sh "$top/validation/figures.sh" "$curves" "$top/docs/figures"
fi
exit "$status"
