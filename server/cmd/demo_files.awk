# Turns CSV files into C: one array of characters a file, then the table of demo_files.h.
# Arrays, not string literals: ISO C promises no more than 4095 characters of those.

BEGIN {
	for (i = 0; i < 256; i++)
		code[sprintf("%c", i)] = i
	print "/* Made by demo_files.awk: do not edit. */"
	print "#include \"cmd/demo_files.h\""
}

FNR == 1 {
	if (n)
		print "0 };"
	names[++n] = FILENAME
	sub(/.*\//, "", names[n])
	printf "static const char file_%d[] = {\n", n
}

{
	line = ""
	for (i = 1; i <= length($0); i++) {
		c = code[substr($0, i, 1)]
		line = line (c > 127 ? c - 256 : c) ","
	}
	print line "10,"
}

END {
	print "0 };"
	print "const struct demo_file demo_files[] = {"
	for (i = 1; i <= n; i++)
		printf "\t{ \"%s\", file_%d },\n", names[i], i
	print "};"
	print "const size_t n_demo_files = sizeof(demo_files) / sizeof(demo_files[0]);"
}
