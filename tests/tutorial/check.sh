#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# The commands of a page do what the page shows.
#   sh tests/tutorial/check.sh PROGRAM FOLDER_OF_CASES PAGE
#
# Inside ```console, a line "$ brinefront ...", "$ build/brinefront ..." or "$ sed ..." is run in a
# fresh folder that holds cases/; the lines up to the next "$" are what it must print, errors included. A line "..." stands
# for lines left out, and goes on at the first line that agrees with the one after it.
#
# Lines agree where each word does. A word that is a number, apart from brackets and punctuation
# around it, agrees within 1 % or within one of its last digit, whichever is more: another compiler's
# rounding moves leakage by 0.3 %, capacity by 0.01 % (tests/cases/test_cases.c). All else agrees
# exactly, so "gel_8" is a word; the width of blanks does not count. How many cycles it takes until
# a bed repeats itself is not compared (the last number of a row of `rate`, the one ahead of
# "cycles"): it is decided at the edge of a tolerance, and rounding alone has moved it from 6 to 18.
#
# With --write ahead of the rest, numbers may be 20 % away and the page takes what was printed; read
# the words around them again.
#
# Where tests/run.sh runs a sample (BF_SEED in the environment, BF_SAMPLE=N), every Nth command of
# brinefront runs, and all others: they prepare files.
set -eu
write=0
share=1
[ -z "${BF_SEED:-}" ] || share=${BF_SAMPLE:-1}
if [ "$1" = --write ]; then
    write=1
    share=1
    shift
fi
program=$(realpath "$1")
cases=$(realpath "$2")
page=$(realpath "$3")
room=$(mktemp -d)
trap 'rm -rf "$room"' EXIT
mkdir "$room/run" "$room/run/build"
ln -s "$program" "$room/run/build/brinefront"
ln -s "$cases" "$room/run/cases"
: >"$room/page"
: >"$room/all"

brinefront() { "$program" "$@"; }

# N.command and N.wanted, from 1 on. Console text ahead of any command is an error of the page.
awk -v room="$room" '
    /^```console$/ { inside = 1; file = ""; next }
    /^```/ { inside = 0; next }
    !inside { next }
    /^\$ / {
        count++
        file = room "/" count ".wanted"
        printf "" >file
        print substr($0, 3) >(room "/" count ".command")
        print NR >(room "/" count ".line")
        next
    }
    file == "" && NF == 0 { next }
    file == "" { print "line " NR ": output without a command"; bad = 1; exit }
    { print >file }
    END { print count + 0 >(room "/count"); exit bad }' "$page"

count=$(cat "$room/count")
if [ "$count" -eq 0 ]; then
    echo "$page: no command found"
    exit 1
fi

failed=0
ran=0
n=0
of_brinefront=0
while [ "$n" -lt "$count" ]; do
    n=$((n + 1))
    command=$(cat "$room/$n.command")
    case $command in
    "sed "*) ;;
    "brinefront "* | "build/brinefront "*)
        of_brinefront=$((of_brinefront + 1))
        [ $(((of_brinefront + ${BF_SEED:-0}) % share)) -eq 0 ] || continue
        ;;
    *)
        echo "line $(cat "$room/$n.line"): not a command this runs: $command"
        exit 1
        ;;
    esac
    ran=$((ran + 1))
    (cd "$room/run" && eval "$command") >"$room/got" 2>&1 </dev/null || true
    awk -v at="$(cat "$room/$n.line")" -v write="$write" -v page="$room/page" '
        function core(word) {
            sub(/^[(]/, "", word)
            sub(/[),;:.]+$/, "", word)
            return word
        }
        function is_number(text) { return text ~ /^[-+]?[0-9]+([.][0-9]+)?(e[-+]?[0-9]+)?$/ }
        # The part of a word around its number; what a number may be away.
        function around(word,   text) {
            text = core(word)
            return substr(word, 1, index(word, text) - 1) "#" substr(word, index(word, text) + length(text))
        }
        function allowed(text,   mantissa, power, last) {
            mantissa = text
            power = 0
            if (match(text, /e/)) {
                mantissa = substr(text, 1, RSTART - 1)
                power = substr(text, RSTART + 1) + 0
            }
            last = index(mantissa, ".") ? length(mantissa) - index(mantissa, ".") : 0
            last = 1.001 * 10 ^ (power - last)
            text = (write ? 0.2 : 0.01) * (text < 0 ? -text : text)
            return text > last ? text : last
        }
        function same_word(a, b,   x, y, away) {
            x = core(a)
            y = core(b)
            if (!is_number(x) || !is_number(y)) {
                return a == b
            }
            away = x - y
            return around(a) == around(b) && away <= allowed(x) && -away <= allowed(x)
        }
        function is_row_of_rate(words, n,   i) {
            for (i = 1; i <= n && is_number(words[i]); i++) {
            }
            return n == 10 && i > n
        }
        function same(a, b,   n, i, left, right) {
            n = split(a, left)
            if (split(b, right) != n) {
                return 0
            }
            if (is_row_of_rate(left, n)) {
                n--
            }
            for (i = 1; i <= n; i++) {
                if (left[i + 1] ~ /^cycles:?$/ && is_number(left[i]) && is_number(right[i])) {
                    continue
                }
                if (!same_word(left[i], right[i])) {
                    return 0
                }
            }
            return 1
        }
        function refuse(wanted, found) {
            print "line " at + wanted_line ": wanted: " wanted
            print "    found:  " found
            bad = 1
            exit 1
        }
        NR == FNR && FILENAME ~ /wanted$/ { wanted[++wanted_count] = $0; next }
        { got[++got_count] = $0 }
        END {
            if (bad) {
                exit 1
            }
            next_got = 1
            for (w = 1; w <= wanted_count; w++) {
                wanted_line = w
                if (wanted[w] == "...") {
                    print wanted[w] >page
                    skipping = 1
                    continue
                }
                from = next_got
                while (skipping && next_got <= got_count && !same(wanted[w], got[next_got])) {
                    next_got++
                }
                if (next_got > got_count) {
                    refuse(wanted[w], "no such line from its line " from " on")
                }
                if (!same(wanted[w], got[next_got])) {
                    refuse(wanted[w], got[next_got])
                }
                print got[next_got] >page
                next_got++
                skipping = 0
            }
            if (!skipping && next_got <= got_count) {
                refuse("nothing more", got[next_got])
            }
        }' "$room/$n.wanted" "$room/got" || failed=$((failed + 1))
    cat "$room/page" >>"$room/all"
    : >"$room/page"
done

if [ "$write" -eq 1 ] && [ "$failed" -eq 0 ]; then
    awk -v printed="$room/all" '
        /^```console$/ { inside = 1; file = 0 }
        /^```$/ { inside = 0 }
        inside && /^\$ / { file = 1; print; next }
        inside && file { getline <printed }
        { print }' "$page" >"$room/whole"
    cat "$room/whole" >"$page"
fi
if [ "$failed" -ne 0 ]; then
    echo "$page: $failed of $ran commands do otherwise"
    exit 1
fi
echo "$page: $ran of $count commands run, and do what it shows"
