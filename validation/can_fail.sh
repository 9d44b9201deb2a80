#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# The runner fails where it must: sh validation/can_fail.sh RUNNER
set -eu
run=$1
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
head='id,kind,case,result,reference,metric,tolerance,basis,speed'

# expect STATUS WHAT ROW [OPTION...]
expect() {
    wanted=$1
    what=$2
    printf '%s\n%s\n' "$head" "$3" >"$folder/manifest.csv"
    shift 3
    status=0
    "$run" --manifest "$folder/manifest.csv" "$@" >"$folder/out" 2>&1 || status=$?
    if [ "$status" -ne "$wanted" ]; then
        echo "$what: status $status instead of $wanted" >&2
        cat "$folder/out" >&2
        exit 1
    fi
}

row() {
    echo "tracer.row,$1,ogata_banks_pe_40,result,reference,$2,$3,basis,fast"
}

expect 0 "a row that passes" "$(row verification apart 0.003)" --results "$folder/results.csv"
expect 0 "what it was before" "$(row verification apart 0.003)" --compare "$folder/results.csv"
sed 's/\(tracer.row,\)[^,]*/\10.5/' "$folder/results.csv" >"$folder/moved.csv"
expect 1 "a value that moved" "$(row verification apart 0.003)" --compare "$folder/moved.csv"
sed 2d "$folder/results.csv" >"$folder/none.csv"
expect 1 "a row without a committed value" "$(row verification apart 0.003)" --compare "$folder/none.csv"
expect 1 "a row that misses" "$(row verification max_abs 0.003)"
expect 0 "a known miss" "$(row 'known miss' max_abs 0.003)"
expect 1 "a known miss that passes" "$(row 'known miss' apart 0.003)"
expect 1 "a metric that has nothing to go by" "$(row verification order 0)"
expect 1 "a comparison that does not exist" "tracer.row,verification,nothing,r,r,rms,1,b,fast"
expect 2 "a metric that does not exist" "$(row verification best 1)"
expect 2 "a tolerance that is no number" "$(row verification rms small)"
expect 2 "a kind that does not exist" "$(row validated rms 1)"
expect 0 "a predicted row that passes" "$(row 'published: predicted' apart 0.003)"
expect 1 "a predicted row that misses" "$(row 'published: predicted' max_abs 0.003)"
expect 0 "a predicted known miss" "$(row 'published: predicted; known miss' max_abs 0.003)"
expect 1 "a predicted known miss that passes" "$(row 'published: predicted; known miss' apart 0.003)"
expect 1 "a row of practice that misses" "$(row 'published: practice' max_abs 0.003)"
expect 0 "an exact row that passes" "$(row 'verification: exact' apart 0.003)"
expect 1 "an exact row that misses" "$(row 'verification: exact' max_abs 0.003)"
expect 1 "a law marked a miss that passes" "$(row 'verification: law; known miss' apart 0.003)"
expect 0 "a rule of the trade marked a miss" "$(row 'published: practice; trade; known miss' max_abs 0.003)"
expect 1 "a direction that misses" "$(row 'published: practice; direction' max_abs 0.003)"
expect 2 "an exact rule of the trade" "$(row 'published: practice; exact' apart 0.003)"
expect 2 "a kind of published data that does not exist" "$(row 'published: fitted' apart 0.003)"
expect 2 "a row with a field missing" "tracer.row,verification,brenner_pe_4,r,r,rms,1,fast"
expect 2 "no row at all" "$(row verification apart 0.003)" --only bead
expect 2 "a report on a row without result" "$(row verification apart 0.003)" --report "$folder/none.csv"
expect 2 "a results file that is not there" "$(row verification apart 0.003)" --compare "$folder/absent"
expect 2 "an unknown option" "$(row verification apart 0.003)" --quick

# Published points: one that moved, one that is gone; and calibrated rows never count as predicted.
points="hydraulics.row,published: predicted; known miss,pressure,result,reference,max_rel,0.05,basis,fast"
expect 0 "published points" "$points" --results "$folder/results.csv" --points "$folder/points.csv"
expect 0 "published points as they were" "$points" --compare "$folder/results.csv" --points "$folder/points.csv"
sed '2s/[^,]*$/9/' "$folder/points.csv" >"$folder/moved.csv"
expect 1 "a point that moved" "$points" --compare "$folder/results.csv" --points "$folder/moved.csv"
sed 2d "$folder/points.csv" >"$folder/gone.csv"
expect 1 "a point that is gone" "$points" --compare "$folder/results.csv" --points "$folder/gone.csv"
expect 2 "a points file that is not there" "$points" --compare "$folder/results.csv" --points "$folder/absent"
expect 2 "an unknown part" "$points" --report "$folder/results.csv" --points "$folder/points.csv" --part best
said() {
    expect 0 "a report" "$1" --report "$folder/results.csv" --points "$folder/points.csv" --part published
    tr '\n' ' ' <"$folder/out" | grep -Fq -- "$2" || {
        echo "the report does not say \"$2\"" >&2
        exit 1
    }
}
said "$points" "1 predicted comparisons, 0 calibrated"
said "$(echo "$points" | sed 's/predicted/calibrated/')" "0 predicted comparisons, 1 calibrated"
said "$(echo "$points" | sed 's/predicted/practice; trade/')" "0 predicted comparisons, 0 calibrated"
