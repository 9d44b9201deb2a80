#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# A dose curve is computed with SUNDIALS alone, to the same bits as with all of the model.
#   sh tests/curve_alone/check.sh CURVE_WITH_SUNDIALS_ALONE CURVE_WITH_ALL
set -eu
alone=$1
whole=$2

# What a program needs of the libraries that the curve is to do without.
foreign() {
    nm -u "$1" | grep -E ' (gsl_|yaml_|json_|omp_|GOMP_)' || true
    ldd "$1" | grep -E 'lib(gsl|gslcblas|yaml|jansson|gomp|omp)[-.]' || true
}

if [ -z "$(foreign "$whole")" ]; then
    echo "nothing foreign is found in $whole either: this test looks at nothing"
    exit 1
fi
if [ -n "$(foreign "$alone")" ]; then
    echo "a curve alone needs more than SUNDIALS:"
    foreign "$alone"
    exit 1
fi
if ! ldd "$alone" | grep -q libsundials_cvode; then
    echo "$alone does not look like a curve: no SUNDIALS"
    exit 1
fi
if [ "$("$alone" | grep -c ': rated,')" -ne 3 ]; then
    echo "three doses were to be rated:"
    "$alone"
    exit 1
fi
if [ "$("$alone")" != "$("$whole")" ]; then
    echo "a curve alone is another curve"
    exit 1
fi
