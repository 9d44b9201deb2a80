#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Measure speed and write validation/bench/results.csv, docs/performance.md and its figures. By hand,
# on a quiet machine, some five minutes. Needs beside the project's packages: python3-scipy,
# libsuitesparse-dev, gnuplot-nox.
#
#   sh validation/bench/run.sh
#   sh validation/bench/run.sh --optimised FOLDER   and the stock solvers once more with the shared
#                                                   libraries in FOLDER (SUNDIALS built at -O3)
#   sh validation/bench/run.sh --page               the page anew from results.csv
set -eu
top=$(cd "$(dirname "$0")/../.." && pwd)
here=$top/validation/bench
optimised=
measure=yes
case "${1-}" in
'') ;;
--optimised)
    optimised=$2
    ;;
--page)
    measure=
    ;;
*)
    echo "validation/bench/run.sh: no option \"$1\"; the options are: --optimised --page" >&2
    exit 2
    ;;
esac
python=
for candidate in python3 /usr/bin/python3; do
    if "$candidate" -c 'import scipy' 2>/dev/null; then
        python=$candidate
        break
    fi
done
if [ -n "$measure" ]; then
    . "$top/cases/setup.sh"
    build_in "$top/build" brinefront
    build_in "$top/build" bench
    bench=$top/build/validation/bench
    [ -n "$python" ] || {
        echo "the comparison with SciPy needs python3-scipy" >&2
        exit 1
    }
    rows=$(mktemp)
    trap 'rm -f "$rows"' EXIT
    {
        echo "table,way,library,cells,shells,ions,at,error_capacity,error_leakage,error_curve,seconds,steps"
        "$python" "$here/curves.py" "$top/build/brinefront" "$top/cases"
        "$bench" precision installed 60 3 1e-2 3e-3 1e-3 3e-4 1e-4 3e-5 1e-5
        "$bench" precision installed 120 3 1e-3 1e-4
        if [ -n "$optimised" ]; then
            LD_LIBRARY_PATH=$optimised "$bench" precision O3 60 3 1e-2 3e-3 1e-3 3e-4 1e-4 3e-5 1e-5
            LD_LIBRARY_PATH=$optimised "$bench" precision O3 120 3 1e-3 1e-4
        fi
        "$bench" precision installed 60 4 1e-3 1e-4 1e-5
        "$python" "$here/scipy_cycle.py" 5 1e-3 1e-4 1e-5
        "$bench" scaling
        "$bench" steady
        "$bench" memory
    } >"$rows"
    cp "$rows" "$here/results.csv"
fi
"${python:-python3}" "$here/page.py" "$here/results.csv" "$top/docs"
