#!/bin/sh
# Holds the example in DEVELOPERS.md to the code: a copy of the tree takes docs/adding-a-kind.diff, builds, and passes
# the tests that hold dictionary, tables and API together.  Usage: check-adding.sh [SOURCE FOLDER]
set -eu

source=${1:-$(cd "$(dirname "$0")/.." && pwd)}
copy=$(mktemp -d)
trap 'rm -rf "$copy"' EXIT

(cd "$source" && git ls-files -z | xargs -0 tar cf -) | tar xf - -C "$copy"
cd "$copy"
# The lines that DEVELOPERS.md shows are those of the diff.
sed -n '/^```diff$/,/^```$/p' DEVELOPERS.md | grep -E '^[+-]([^-]|$)' | while IFS= read -r line; do
	grep -Fxq -- "$line" docs/adding-a-kind.diff || { echo "DEVELOPERS.md shows what the diff has not: $line"; exit 1; }
done
patch -s -p1 --no-backup-if-mismatch <docs/adding-a-kind.diff
autoreconf -fi >autoreconf.log 2>&1 || { cat autoreconf.log; exit 1; }
mkdir build
cd build
../configure -q CFLAGS=-O0
make -s -j 2 >make.log 2>&1 || { tail -n 30 make.log; exit 1; }
make -s -j 2 check TESTS="tests/agreement/agreement_tests tests/unit/unit_tests tests/store/store_tests"
./weirbook describe | cmp - ../docs/API.md
./weirbook describe | grep -q calibrations
echo "a kind of record is added by docs/adding-a-kind.diff alone"
