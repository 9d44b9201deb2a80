#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# The comparison of a page with what its commands print must pass what is within its tolerance and
# refuse everything else. A small program of fixed words stands in for brinefront.
#   sh tests/tutorial/can_fail.sh CHECK_SCRIPT
set -eu
check=$1
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
mkdir "$folder/cases"
cat >"$folder/program" <<'END'
#!/bin/sh
[ "$1" = rate ] || { echo "no such command: $1" >&2; exit 1; }
echo "resin: gel_8, 2.53 eq/L (29.2 gpg), -1.7 %"
echo "row   6.00   22.07   0.04"
echo "row   8.00   25.78   0.03"
echo "  9.00 27.11 2711 2.25 2.32 1.98 932 33.5 1.24 4"
echo "steady after 18 cycles: yes"
END
chmod +x "$folder/program"

passes() { # passes BODY: the body of a console block
    printf 'Text.\n\n```console\n%s\n```\n' "$1" >"$folder/page.md"
    sh "$check" "$folder/program" "$folder/cases" "$folder/page.md" >"$folder/said" 2>&1
}

must_pass() {
    passes "$1" || { echo "refuses a sound page:"; cat "$folder/said"; exit 1; }
    passed=$((${passed:-0} + 1))
}

must_refuse() { # must_refuse BODY WORDS: and say why
    if passes "$1"; then
        echo "lets pass:"
        echo "$1"
        exit 1
    fi
    grep -q -- "$2" "$folder/said" || { echo "without saying '$2':"; cat "$folder/said"; exit 1; }
    refused=$((${refused:-0} + 1))
}

first='resin: gel_8, 2.53 eq/L (29.2 gpg), -1.7 %'
rows='row 6.00 22.07 0.04
row 8.00 25.78 0.03
9.00 27.11 2711 2.25 2.32 1.98 932 33.5 1.24 11
steady after 6 cycles: yes'

must_pass "\$ brinefront rate
$first
$rows"
must_pass "\$ brinefront rate
...
row  8.00  25.99  0.02
..." # 0.8 % and one last digit away
must_pass "\$ brinefront rate
resin: gel_8, 2.55 eq/L (29.3 gpg), -1.6 %
..."
must_pass "\$ brinefront wrong
no such command: wrong"
must_pass "\$ sed 's/a/b/' page.md >copy 2>/dev/null
\$ brinefront rate
..."

must_refuse "\$ brinefront rate
$first
row 6.00 22.40 0.04
..." 'wanted: row 6.00 22.40'                                                     # 1.5 %
must_refuse "\$ brinefront rate
...
row 8.00 25.78 0.05
..." 'no such line'                                               # two last digits
must_refuse "\$ brinefront rate
...
9.00 27.11 2711 2.25 2.32 1.98 932 33.5 1.28 4
..." 'no such line'                                                               # ahead of the cycles
must_refuse "\$ brinefront rate
...
steady after 6 cycles: no" 'no such line'
must_refuse "\$ brinefront rate
resin: gel_9, 2.53 eq/L (29.2 gpg), -1.7 %
..." 'gel_9'                                                                      # a word
must_refuse "\$ brinefront rate
resin: gel_8, 2.53 eq/L (29.2 gpg), 1.7 %
..." 'found: .*-1.7'                                                              # a sign
must_refuse "\$ brinefront rate
resin: gel_8, 2.53 eq/L 29.2 gpg, -1.7 %
..." 'found: '                                                                    # brackets
must_refuse "\$ brinefront rate
$first" 'nothing more'                                                            # a line left out
must_refuse "\$ brinefront rate
$first
$rows
row 10.00 28.55 0.02" 'no such line'                                              # a line too many
must_refuse "\$ brinefront rate
...
row 8.00 25.78 0.03
row 6.00 22.07 0.04
..." 'wanted: row 6.00 22.07' # another order
must_refuse "\$ brinefront rate" 'nothing more'                                   # no output shown
must_refuse "\$ brinefront wrong
..
$rows" 'found: .*no such command'                                                 # a failing command
must_refuse "\$ rm -f page.md" 'not a command this runs'
must_refuse "$first" 'output without a command'
must_refuse "" 'no command found'
printf 'Text.\n\n    $ brinefront rate\n' >"$folder/page.md"
if sh "$check" "$folder/program" "$folder/cases" "$folder/page.md" >/dev/null; then
    echo "lets pass a page without a console block"
    exit 1
fi

# A sample runs every Nth command, and notices what that one does wrong.
printf '```console\n$ brinefront rate\n...\n$ brinefront wrong\n..\n$ brinefront rate\n...\n```\n' >"$folder/page.md"
must_say() { # must_say STATUS SEED WORDS
    status=0
    BF_SEED=$2 BF_SAMPLE=3 sh "$check" "$folder/program" "$folder/cases" "$folder/page.md" >"$folder/said" 2>&1 || status=1
    if [ "$status" -ne "$1" ] || ! grep -q "$3" "$folder/said"; then
        echo "seed $2 of a sample:"
        cat "$folder/said"
        exit 1
    fi
}
must_say 0 2 '1 of 3 commands run'
must_say 1 1 '1 of 1 commands do otherwise'

# --write takes what was printed, and only that.
printf '```console\n$ brinefront rate\n...\nrow 8.00 24.01 0.03\n...\n```\nrow 8.00 24.01\n' \
    >"$folder/page.md"
sh "$check" --write "$folder/program" "$folder/cases" "$folder/page.md" >/dev/null
printf '```console\n$ brinefront rate\n...\nrow   8.00   25.78   0.03\n...\n```\nrow 8.00 24.01\n' |
    diff - "$folder/page.md"
sed -i.bak 's/25.78/35/' "$folder/page.md"
cp "$folder/page.md" "$folder/kept.md"
if sh "$check" --write "$folder/program" "$folder/cases" "$folder/page.md" >/dev/null; then
    echo "writes over a number that is 26 % away"
    exit 1
fi
cmp "$folder/kept.md" "$folder/page.md"
echo "$passed sound pages pass, $((refused + 1)) others are refused"
