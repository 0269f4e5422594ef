#!/bin/sh
# Every C file and header of server/ and tests/ stands in a sources.am (or Makefile.am), so that the tarball has it.
# Then proves that it can fail.  Usage: check-listed.sh [SOURCE_ROOT]; else $srcdir, else the parent of this folder.
set -eu

# check FOLDER: names each file that no list has, and is false when there is one.
check() {
	(
		cd "$1"
		cat Makefile.am web/sources.am server/*/sources.am tests/sources.am tests/*/sources.am 2>/dev/null |
			tr ' \t\\=' '\n\n\n\n' | sort -u >"$lists"
		bad=0
		for file in $(find server tests -name node_modules -prune -o \( -name '*.c' -o -name '*.h' \) -print | sort); do
			grep -qxF "$file" "$lists" || {
				echo "$file stands in no sources.am"
				bad=1
			}
		done
		exit $bad
	)
}

root=${1:-${srcdir:-$(dirname "$0")/..}}
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
lists=$scratch/lists
failures=0
check "$root" || failures=1

mkdir -p "$scratch/tree/server/base" "$scratch/tree/tests"
echo 'base_sources = server/base/err.c' >"$scratch/tree/server/base/sources.am"
: >"$scratch/tree/Makefile.am"
: >"$scratch/tree/server/base/err.c"
: >"$scratch/tree/server/base/err.h"
if check "$scratch/tree" >/dev/null; then
	echo "check-listed: should have missed server/base/err.h"
	failures=$((failures + 1))
fi

echo "$(((2 - failures) * 50))%: Checks: 2, Failures: $failures, Errors: 0"
[ "$failures" -eq 0 ]
