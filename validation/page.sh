#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Print docs/validation.md: published data, the effect of what they leave out, of uncertain constants and of
# physics left out, verification, the independent solution, the mutations. The programs that print the middle
# part stand beside VALIDATION_RUN.
#   sh validation/page.sh VALIDATION_RUN VALIDATION_EFFECTS
set -eu
here=$(cd "$(dirname "$0")" && pwd)
report() { "$run" --report "$here/results.csv" --points "$here/published/points.csv" --part "$1"; }
run=$1
report published
printf '\n'
"$2" --print "$here/published/effects/effects.csv"
for part in sensitivity band limits; do
    printf '\n'
    "$(dirname "$run")/validation_$part" --print "$here/published/sensitivity/$part.csv"
done
printf '\n'
cat "$here/published/sensitivity/physics.md"
printf '\n## Not compared\n\n'
cat "$here/published/not_compared.md"
printf '\n## Looked for and not found\n\n'
cat "$here/published/not_found.md"
printf '\n'
report verification
cat <<'TEXT'

## A second, independent solution

`validation/independent/cycle.py` solves a whole cycle of `cases/bulletin_500.yaml` in SciPy (VODE's banded BDF, once
more with `solve_ivp`). It was written from the equations, not from the C, and agreed at its first run. On equal grids
(60 cells, 4 equal shells; `validation/independent/bulletin_60x4.yaml`), 5 and 10 lb/ft3:

```
TEXT
cat "$here/independent/comparison.txt"
cat <<'TEXT'
```

Its gradient at the first cell is chosen differently; what both share is the statement of the equations and the
constants, and a mistake in those would be in both. The test `validation.independent` repeats the comparison.

TEXT
sed 's/^# /## /' "$here/mutations.md"
