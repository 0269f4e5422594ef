#!/bin/sh
# Proves the include arrows between the folders of server/ (the table below) and that each library's header
# is included by one folder only.  Then proves that it can fail, on small trees that break each rule.
# Usage: check-arrows.sh [SOURCE_ROOT]; else $srcdir, else the parent of this folder.
set -eu
LC_ALL=C
export LC_ALL

# check FOLDER: prints each wrong include as file:line, and is false when there is one.
check() {
	find "$1/server" \( -name '*.c' -o -name '*.h' \) -print | sort | xargs awk '
	function allow(from, to,   n, list, i) {
		n = split(to, list, " ")
		known[from] = 1
		for (i = 1; i <= n; i++)
			arrow[from, list[i]] = 1
	}
	BEGIN {
		allow("base", "")
		allow("domain", "")
		allow("model", "base")
		allow("store", "model base")
		allow("book", "store domain model base")
		allow("api", "book store domain model base")
		allow("http", "api base")
		allow("jobs", "book store domain model base")
		allow("cmd", "http jobs api book store domain model base")
		only["sqlite3.h"] = "store"
		only["microhttpd.h"] = "http"
		only["jansson.h"] = "api"
		only["qrencode.h"] = "api"
		only["sodium.h"] = "base"
		# Numbers in, numbers out: no I/O, no heap, no clock.
		n = split("math.h float.h limits.h stddef.h stdint.h stdbool.h assert.h string.h", pure, " ")
		for (i = 1; i <= n; i++)
			domain_may[pure[i]] = 1
	}
	function wrong(what) {
		printf "%s:%d: %s\n", FILENAME, FNR, what
		bad = 1
	}
	FNR == 1 {
		here = FILENAME
		sub(/^.*\/server\//, "", here)
		folder = here
		if (!sub(/\/[^\/]*$/, "", folder))
			folder = "main.c"
		if (folder == "main.c" && here != "main.c")
			wrong("only main.c stands in server/ itself")
		if (folder != "main.c" && !(folder in known))
			wrong("folder " folder " has no line in the table of arrows")
		files++
	}
	/^[ \t]*#[ \t]*include[ \t]*</ {
		name = $0
		sub(/^[^<]*</, "", name)
		sub(/>.*$/, "", name)
		if ((name in only) && only[name] != folder)
			wrong("only server/" only[name] "/ includes <" name ">")
		if (folder == "domain" && !(name in domain_may))
			wrong("domain/ does not include <" name ">")
	}
	/^[ \t]*#[ \t]*include[ \t]*"/ {
		name = $0
		sub(/^[^"]*"/, "", name)
		sub(/".*$/, "", name)
		if (name == "config.h" || folder == "main.c")
			next
		to = name
		if (!sub(/\/.*$/, "", to))
			next                                    # a neighbour in the same folder
		if (name ~ /\.\./)
			wrong("includes are written from server/, not " name)
		else if (to != folder && !((folder, to) in arrow))
			wrong(folder "/ may not include " name)
	}
	END {
		if (files < 1) {
			print "no source found"
			bad = 1
		}
		exit bad
	}'
}

# refuses FOLDER TEXT: a tree with this one line must be found wrong.
refuses() {
	tree=$(mktemp -d)
	mkdir -p "$tree/server/$1"
	printf '%s\n' "$2" >"$tree/server/$1/a.c"
	if check "$tree" >/dev/null; then
		echo "check-arrows: should have refused in $1/: $2"
		failures=$((failures + 1))
	fi
	rm -r "$tree"
	tried=$((tried + 1))
}

root=${1:-${srcdir:-$(dirname "$0")/..}}
failures=0
tried=1
check "$root" || failures=1

refuses base '#include "model/record.h"'
refuses domain '#include "base/err.h"'
refuses domain '#include <stdlib.h>'
refuses model '#include "store/store.h"'
refuses store '#include "book/book.h"'
refuses book '#include "api/app.h"'
refuses api '#include "http/server.h"'
refuses http '#include "store/store.h"'
refuses jobs '#include "api/app.h"'
refuses book '  #  include <sqlite3.h>'
refuses api '#include <microhttpd.h>'
refuses http '#include <jansson.h>'
refuses model '#include "../base/err.h"'
refuses extras 'int nothing;'

# The same words as Check, so that tests/run.sh counts them alike.
echo "$(((tried - failures) * 100 / tried))%: Checks: $tried, Failures: $failures, Errors: 0"
[ "$failures" -eq 0 ]
