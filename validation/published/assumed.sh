#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Every condition of every published source is stated by it, or assumed as for all the others:
#   sh validation/published/assumed.sh PROJECT_FOLDER
# Each value in a case.yaml ends in "# stated", "# assumed" or, for doses, "# chosen". What is assumed
# stands word for word in assumed.yaml (or, where marked so, in assumed_counter_current.yaml), no key
# is left out, and cases/bulletin_500.yaml keeps to the same list.
set -eu
cd "$1"
here=validation/published
wrong=0
looked=0
say() {
    echo "$1"
    wrong=1
}
# Section and key of every value, "water.hardness: 400 mg/L as CaCO3  # assumed".
values() {
    awk '/^[a-z_]+:/ { section = $1; sub(/:.*/, "", section) }
         /^  [a-z_]+:/ { sub(/^  /, ""); gsub(/ +#/, " #"); print section "." $0 }' "$1"
}
list=$(values $here/assumed.yaml)
counter=$(values $here/assumed_counter_current.yaml)
has() { printf '%s\n' "$1" | grep -Fqx -- "$2"; }

for case in $here/*/case.yaml; do
    looked=$((looked + 1))
    [ -f "${case%case.yaml}source.md" ] || say "$case: no source.md beside it"
    [ -f "${case%case.yaml}data.csv" ] || say "$case: no data.csv beside it"
    found=$(values "$case")
    for key in $(printf '%s\n' "$list" | sed 's/:.*//'); do
        printf '%s\n' "$found" | grep -q "^$key:" || say "$case: $key is left out"
    done
    while read -r line; do
        case $line in
        *'# stated' | *'# stated: '* | *'.doses: '*'# chosen: '*) ;;
        *'# assumed, counter-current')
            has "$counter" "$line" || say "$case: not as assumed everywhere: $line"
            ;;
        *'# assumed') has "$list" "$line" || say "$case: not as assumed everywhere: $line" ;;
        *) say "$case: neither stated nor assumed: $line" ;;
        esac
    done <<END
$found
END
done
[ "$looked" -gt 0 ] || say "no case was found: is $1 the project?"

# The case that the bulletin's readers run.
bulletin=$(values cases/bulletin_500.yaml | sed 's/ #.*//')
while read -r line; do
    case $line in
    water.hardness:* | regeneration.doses:*) ;; # stated by that source
    *) has "$bulletin" "${line% \#*}" || say "cases/bulletin_500.yaml: not as assumed everywhere: $line" ;;
    esac
done <<END
$list
END
[ "$wrong" -eq 0 ] && echo "$looked cases keep to one list of assumptions"
exit "$wrong"
