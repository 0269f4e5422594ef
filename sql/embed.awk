# Turns named statements and migrations into C.
#   awk -v part=h -f embed.awk FILES...   writes the header: enum query
#   awk -v part=c -f embed.awk FILES...   writes the tables of text
# FILES are sql/queries/*.sql (blocks that begin with "-- name: foo") and sql/migrations/NNNN_what.sql,
# numbered from 0001 without a gap.  Text goes out as lists of characters, because ISO C bounds the length
# of a string literal.  Plain ASCII only.

BEGIN {
	n_queries = n_migrations = 0
	for (i = 32; i < 127; i++)
		plain[sprintf("%c", i)] = 1
}

function fail(text) {
	printf "%s:%d: %s\n", FILENAME, FNR, text | "cat 1>&2"
	close("cat 1>&2")
	failed = 1
	exit 1
}

function base_name(path) {
	sub(/.*\//, "", path)
	return path
}

FNR == 1 {
	in_migration = FILENAME ~ /migrations\/[0-9][0-9][0-9][0-9]_[a-z0-9_]+\.sql$/
	current = ""
	if (in_migration) {
		file = base_name(FILENAME)
		n_migrations++
		if (substr(file, 1, 4) + 0 != n_migrations)
			fail("migrations are numbered from 0001, in order, without a gap")
		migration[n_migrations] = file
	}
}

/^-- name:/ && !in_migration {
	current = $3
	if (current !~ /^[a-z][a-z0-9_]*$/)
		fail("a name is small letters, digits and _")
	if (current in seen)
		fail("the name " current " is taken")
	seen[current] = 1
	query[++n_queries] = current
	next
}

in_migration { migration_text[n_migrations] = migration_text[n_migrations] $0 "\n" }

!in_migration && current == "" && !/^(--.*)?[ \t]*$/ { fail("SQL before the first -- name:") }

!in_migration && current != "" {
	if ($0 !~ /^--/)
		query_text[n_queries] = query_text[n_queries] $0 "\n"
}

# One C character constant each, 16 a line.
function characters(text,    i, c, out) {
	out = ""
	for (i = 1; i <= length(text); i++) {
		c = substr(text, i, 1)
		if (c == "\n")
			c = "\\n"
		else if (c == "\t")
			c = "\\t"
		else if (c == "'" || c == "\\")
			c = "\\" c
		else if (!(c in plain)) {
			printf "embed.awk: only ASCII, tab and line end are taken\n" | "cat 1>&2"
			close("cat 1>&2")
			exit 1
		}
		out = out "'" c "'," (i % 16 ? "" : "\n")
	}
	return out "0"
}

END {
	if (failed)
		exit 1
	if (part == "h") {
		print "/* Made by sql/embed.awk from sql/queries and sql/migrations. */"
		print "#ifndef WEIRBOOK_STORE_QUERIES_H"
		print "#define WEIRBOOK_STORE_QUERIES_H\n"
		print "enum query {"
		for (i = 1; i <= n_queries; i++)
			printf "\tQ_%s,\n", toupper(query[i])
		print "\tQUERY__MAX\n};\n"
		print "/* By enum query: the statement's text and its name. */"
		print "extern const char *const query_texts[QUERY__MAX];"
		print "extern const char *const query_names[QUERY__MAX];\n"
		print "struct migration {"
		print "\tint number;       /* user_version when it has run */"
		print "\tconst char *name; /* of its file */"
		print "\tconst char *text;"
		print "};"
		printf "enum { MIGRATIONS_MAX = %d };\n", n_migrations
		print "extern const struct migration migrations[MIGRATIONS_MAX];\n"
		print "#endif"
		exit 0
	}
	print "/* Made by sql/embed.awk from sql/queries and sql/migrations. */"
	print "#include \"store/queries.h\"\n"
	for (i = 1; i <= n_queries; i++)
		printf "static const char query_%s[] = {\n%s };\n", query[i], characters(query_text[i])
	for (i = 1; i <= n_migrations; i++)
		printf "static const char migration_%d[] = {\n%s };\n", i, characters(migration_text[i])
	print "const char *const query_texts[QUERY__MAX] = {"
	for (i = 1; i <= n_queries; i++)
		printf "\t[Q_%s] = query_%s,\n", toupper(query[i]), query[i]
	print "};\nconst char *const query_names[QUERY__MAX] = {"
	for (i = 1; i <= n_queries; i++)
		printf "\t[Q_%s] = \"%s\",\n", toupper(query[i]), query[i]
	print "};\nconst struct migration migrations[MIGRATIONS_MAX] = {"
	for (i = 1; i <= n_migrations; i++)
		printf "\t{ .number = %d, .name = \"%s\", .text = migration_%d },\n", i, migration[i], i
	print "};"
}
