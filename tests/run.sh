#!/bin/sh
# Runs every test: installs what they need, builds with the sanitizers in build-check/ and with -O2 in
# build-fast/, compiles once more with clang, then C tests, second opinions, browser tests, formatter, include arrows.
# The last line is "N passed, N failed": the sum of what Check and node counted; a step that could not run,
# or that ran no test, adds one to failed.  Exit status 0 only when nothing failed.
set -u

root=$(cd "$(dirname "$0")/.." && pwd)
check=$root/build-check
fast=$root/build-fast
clang=$root/build-clang
jobs=2 # compilers; one test more may run, since they wait now and then
passed=0
failed=0
cd "$root" || exit 1
. "$root/server/packages.sh"

# broken TEXT: a step that failed as a whole.
broken() {
	printf '!! %s\n' "$*"
	failed=$((failed + 1))
}

# finish: the last line, and the exit status.
finish() {
	printf '%s passed, %s failed\n' "$passed" "$failed"
	[ "$failed" -eq 0 ]
	exit
}

# count_log FILE: adds the counts of Check's summary lines in a program's log; false when it has none.
count_log() {
	counts=$(sed -n 's/^[0-9]*%: Checks: \([0-9]*\), Failures: \([0-9]*\), Errors: \([0-9]*\)$/\1 \2 \3/p' \
		"$1" | awk '{ n += $1; f += $2 + $3 } END { print n + 0, f + 0 }')
	ran=${counts% *}
	lost=${counts#* }
	[ "$ran" -gt 0 ] || return 1
	passed=$((passed + ran - lost))
	failed=$((failed + lost))
	counted_failed=$((counted_failed + lost))
}

# c_tests FOLDER TEST...: make check for these programs and scripts; shows what went wrong.
c_tests() {
	folder=$1
	shift
	[ $# -gt 0 ] || return 0
	for test in "$@"; do
		rm -f "$folder/$test.log" "$folder/$test.trs" "$folder/${test%.sh}.log" "$folder/${test%.sh}.trs"
	done
	status=0
	make -s -C "$folder" -j $((jobs + 1)) check TESTS="$*" >"$folder/check.out" 2>&1 || status=$?
	counted_failed=0
	for test in "$@"; do
		log=$folder/${test%.sh}.log
		trs=$folder/${test%.sh}.trs
		if [ ! -f "$log" ]; then
			broken "$test did not run"
			counted_failed=$((counted_failed + 1))
			continue
		fi
		before=$counted_failed
		count_log "$log" || {
			broken "$test ran no test"
			counted_failed=$((counted_failed + 1))
		}
		if [ "$counted_failed" -eq "$before" ] && ! grep -q '^:test-result: PASS' "$trs"; then
			broken "$test ended badly although its tests passed (a sanitizer, or an exit status)"
			counted_failed=$((counted_failed + 1))
		fi
		[ "$counted_failed" -eq "$before" ] || tail -n 60 "$log"
	done
	if [ "$status" -ne 0 ] && [ "$counted_failed" -eq 0 ]; then
		tail -n 60 "$folder/check.out"
		broken "make check in ${folder#"$root"/}/ failed"
	fi
}

# build FOLDER CONFIGURE_ARGUMENT...: configures once, and makes.
build() {
	folder=$1
	shift
	configure_in "$folder" "$@" && make -s -C "$folder" -j $jobs >"$folder/make.out" 2>&1 && return 0
	[ -f "$folder/make.out" ] && tail -n 40 "$folder/make.out"
	return 1
}

# copy_tests FOLDER COPY: tests/FOLDER in COPY/tests/FOLDER, where its npm packages are installed when their lock is new.
copy_tests() {
	lock=$root/tests/$1/package-lock.json
	mkdir -p "$2/tests/$1"
	find "$2/tests/$1" -mindepth 1 -maxdepth 1 ! -name node_modules -exec rm -rf {} +
	(cd "$root/tests/$1" && tar -cf - --exclude=node_modules .) | tar -xf - -C "$2/tests/$1" || return 1
	[ -d "$2/tests/$1/node_modules" ] && cmp -s "$lock" "$2/installed-lock.json" && return 0
	say "installing the npm packages of tests/$1"
	(cd "$2/tests/$1" && npm ci --no-audit --no-fund --loglevel=error) || return 1
	cp "$lock" "$2/installed-lock.json"
}

# node_in COPY_FOLDER FILE...: node's tests of these files, in TAP.  The service is the -O2 one, as a farm has it: under
# the sanitizers each report cost the browsers several times its time.
node_in() {
	folder=$1
	shift
	[ $# -gt 0 ] || return 0
	(cd "$folder" && WEIRBOOK=$fast/weirbook WEIRBOOK_SOURCE=$root CHROMIUM=$(command -v chromium-headless-shell) \
		timeout 900 node --test --test-concurrency=$((jobs + 1)) --test-reporter=tap "$@")
}

# node_tests FOLDER COPY: its *.test.mjs under node, a few files at a time, those that take the time by themselves
# afterwards; adds their counts.
node_tests() {
	files=$(cd "$2/tests/$1" && find . -name node_modules -prune -o -name '*.test.*js' -print)
	timed=$(printf '%s\n' $files | grep 'usable\.test')
	status=0
	# shellcheck disable=SC2086,SC2046
	{ node_in "$2/tests/$1" $(printf '%s\n' $files | grep -v 'usable\.test') || status=$?
	node_in "$2/tests/$1" $timed || status=$?; } >"$2/node.out" 2>&1
	out=$2/node.out
	name=$1
	counts=$(awk '/^# (pass|fail|cancelled|skipped|todo) /{ c[$2] += $3 }
		END { print c["pass"] + 0, c["fail"] + c["cancelled"], c["skipped"] + c["todo"] }' "$out")
	set -- $counts
	passed=$((passed + $1))
	failed=$((failed + $2))
	[ "$3" -eq 0 ] || broken "$3 tests of tests/$name were skipped"
	[ $(($1 + $2)) -gt 0 ] || broken "no test of tests/$name ran"
	if [ "$status" -ne 0 ]; then
		grep -vE '^ *(ok|#|duration_ms|---|\.\.\.)' "$out" | tail -n 80
		[ "$2" -gt 0 ] || broken "node --test failed in tests/$name"
	fi
	return 0
}

# browser_tests: tests/web, on a copy that has web/ and fixtures/ beside it.
browser_tests() {
	copy=$check/browser
	mkdir -p "$copy"
	rm -rf "$copy/web" "$copy/fixtures"
	cp -R "$root/web" "$copy/web" && cp -R "$root/fixtures" "$copy/fixtures" || return 1
	copy_tests web "$copy" && node_tests web "$copy"
}

# second_opinions: tests/second-opinion, our calculators against libraries that others wrote.
second_opinions() {
	copy_tests second-opinion "$check/second" && node_tests second-opinion "$check/second"
}

say "packages"
need $build_packages check clang clang-format chromium-headless-shell python3-gsw || {
	broken "packages could not be installed"
	finish
}

say "formatter"
find server tests -name node_modules -prune -o \( -name '*.c' -o -name '*.h' \) -print |
	xargs clang-format --dry-run -Werror || broken "clang-format would change the files above"

say "gcc, address and undefined-behaviour sanitizers: build-check/"
build "$check" --enable-sanitizers CFLAGS="-g -O1" || {
	broken "the build with sanitizers failed"
	finish
}
say "gcc -O2: build-fast/"
build "$fast" CFLAGS="-g -O2" || broken "the -O2 build failed"
# Nothing waits for it but the count: it fills what the tests leave idle.
say "clang -Werror: build-clang/, beside the C tests"
(build "$clang" --enable-werror CC=clang CFLAGS="-O0") >"$check/clang.out" 2>&1 &
beside=$!

# Simulated farms and properties are long under the sanitizers: they run in the -O2 build.
all=$(make -s -C "$check" print-tests)
slow=$(printf '%s\n' $all | grep -E '^tests/(property|simulated)/')
# The longest begin first, so that both cores end together.
long='tests/(store|unit|http|book|kill|import)/'
quick=$(printf '%s\n' $all | grep -vE '^tests/(property|simulated)/' | grep -E "^$long"
	printf '%s\n' $all | grep -vE '^tests/(property|simulated)/' | grep -vE "^$long")
[ -n "$quick" ] || broken "make knows of no test"
say "C tests under the sanitizers"
c_tests "$check" $quick
[ -z "$slow" ] || say "properties and simulated farms"
c_tests "$fast" $slow
wait "$beside" || {
	cat "$check/clang.out"
	broken "clang -Werror failed"
}

say "second opinions"
second_opinions || broken "the second opinions could not run"
say "browser tests"
browser_tests || broken "the browser tests could not run"

finish
