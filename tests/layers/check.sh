#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Walk the includes of model/ and prove that they go only leftward along
#     base water resin bed cycle iron rating schedule diagnosis case report answer sweep cli
# A public header counts as the layer it belongs to; the command line sees public headers only.
#   sh tests/layers/check.sh PROJECT_FOLDER
set -eu
cd "$1"
order='base water resin bed cycle iron rating schedule diagnosis case report answer sweep cli'

rank() {
    i=0
    for layer in $order; do
        i=$((i + 1))
        [ "$layer" = "$1" ] && { echo $i; return; }
    done
    echo 0
}

# Layer of a public header.
layer_of_public() {
    case $1 in
    status | version | convert | unit_system | files) echo base ;;
    ions | water | salt | fluid | brine | activity) echo water ;;
    resin | selectivity | film | hydraulics) echo resin ;;
    bed) echo bed ;;
    cycle | trace) echo cycle ;;
    iron | oxidation | fouling | cleaning | iron_source | campaign) echo iron ;;
    dose_curve | stagnation | first_minutes | cycle_study | practice | fouling_study | fouling_effects | tank | tank_study | criteria | band | sizing | parallel_beds | comparison) echo rating ;;
    units | case | observations | overlay) echo case ;;
    report | libraries) echo report ;;
    answer) echo answer ;;
    brinefront) echo answer ;; # includes them all
    *) echo unknown ;;
    esac
}

wrong=0
looked=0
for file in $(find model include -name '*.[ch]' -o -name '*.def'); do
    [ -f "$file" ] || continue
    case $file in
    include/*) own=$(layer_of_public "$(basename "$file" .h)") ;;
    *) own=$(echo "$file" | cut -d/ -f2) ;;
    esac
    own_rank=$(rank "$own")
    if [ "$own_rank" -eq 0 ]; then
        echo "$file belongs to no layer: add it to tests/layers/check.sh"
        wrong=1
        continue
    fi
    for included in $(sed -n 's/^ *# *include "\(.*\)"/\1/p' "$file"); do
        looked=$((looked + 1))
        case $included in
        brinefront/*) layer=$(layer_of_public "$(basename "$included" .h)") ;;
        */*) layer=${included%%/*} ;;
        *) layer=$own ;;
        esac
        layer_rank=$(rank "$layer")
        if [ "$layer_rank" -eq 0 ] || [ "$layer_rank" -gt "$own_rank" ]; then
            echo "$file ($own) includes \"$included\" ($layer)"
            wrong=1
        fi
        case $own/$included in
        cli/brinefront/*) ;;
        cli/*/*)
            echo "$file: the command line sees public headers only, not \"$included\""
            wrong=1
            ;;
        esac
    done
done
if [ "$looked" -eq 0 ]; then
    echo "no include was found: is $1 the project?"
    exit 1
fi
echo "$looked includes looked at"
exit $wrong
