#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Install what is missing, build, and print the capacity of a bed against its salt dose.
set -eu
top=$(cd "$(dirname "$0")/.." && pwd)
. "$top/cases/setup.sh"
install_missing "$top/cases/debian-packages.txt"
build_in "$top/build" brinefront -DBF_TESTS=OFF
exec "$top/build/brinefront" rate "$top/cases/hostel_well.yaml"
