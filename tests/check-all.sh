#!/bin/sh
# The whole matrix, for a change that is ready: gcc and clang with -Werror, both with the sanitizers and
# without, make check in each, then clang-tidy and cppcheck.  Run by "make check-all"; builds in all/.
# Usage: check-all.sh SOURCE_ROOT BUILD_FOLDER
set -eu

root=$(cd "$1" && pwd)
mkdir -p "$2"
build=$(cd "$2" && pwd)

# one NAME CONFIGURE_ARGUMENT...
one() {
	name=$1
	shift
	echo "== $name"
	mkdir -p "$build/$name"
	[ -f "$build/$name/Makefile" ] || (cd "$build/$name" && "$root/configure" -q --enable-werror "$@")
	make -s -C "$build/$name" -j 2
	make -s -C "$build/$name" -j 2 check
}

one gcc CC=gcc CFLAGS="-g -O2"
one gcc-sanitized CC=gcc CFLAGS="-g -O1" --enable-sanitizers
one clang CC=clang CFLAGS="-g -O2"
one clang-sanitized CC=clang CFLAGS="-g -O1" --enable-sanitizers

includes="-I$root/server -I$build/clang/server -I$build/clang -D_GNU_SOURCE"

echo "== clang-tidy"
find "$root/server" -name '*.c' -print | sort |
	xargs -n 8 -P 2 sh -c 'clang-tidy --quiet --warnings-as-errors="*" "$@" -- $0' "-std=c11 $includes"

echo "== cppcheck"
cppcheck --quiet --std=c11 --error-exitcode=1 --inline-suppr -j 2 \
	--enable=warning,performance,portability \
	--suppressions-list="$root/tests/cppcheck-suppressions.txt" $includes "$root/server"
echo "== adding a kind of record"
sh "$root/tests/check-adding.sh" "$root"
echo "check-all: nothing found"
