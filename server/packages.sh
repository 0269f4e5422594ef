# Read by server/start.sh and tests/run.sh: which Debian packages are needed, how they are installed when
# missing, and how a build folder is configured.  Sets no state but these names; expects $root.

build_packages="autoconf automake gcc libc6-dev make pkg-config libmicrohttpd-dev libsqlite3-dev
	libjansson-dev libsodium-dev libqrencode-dev zlib1g-dev ca-certificates tzdata nodejs:node npm:npm"

say() {
	printf '== %s\n' "$*"
}

# as_root COMMAND...: by sudo where we are not root.
as_root() {
	if [ "$(id -u)" -eq 0 ]; then
		"$@"
	elif command -v sudo >/dev/null 2>&1; then
		sudo "$@"
	else
		echo "This needs root or sudo: $*" >&2
		return 1
	fi
}

# need PACKAGE... or PACKAGE:COMMAND...: installs what is missing.  A package with a command counts as there when the
# command is, wherever it came from (node of another origin).
need() {
	missing=
	for item in "$@"; do
		package=${item%%:*}
		case $item in
		*:*) command -v "${item#*:}" >/dev/null 2>&1 || missing="$missing $package" ;;
		*) [ "$(dpkg-query -W -f='${db:Status-Status}' "$package" 2>/dev/null)" = installed ] ||
			missing="$missing $package" ;;
		esac
	done
	[ -n "$missing" ] || return 0
	command -v apt-get >/dev/null 2>&1 || {
		echo "Missing:$missing.  This script installs on Debian only; install them and run it again." >&2
		return 1
	}
	say "installing$missing (a few minutes)"
	apt_log=$(mktemp)
	{
		as_root env DEBIAN_FRONTEND=noninteractive apt-get update -qq &&
			as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends $missing
	} >"$apt_log" 2>&1 || {
		tail -n 40 "$apt_log" >&2
		rm -f "$apt_log"
		return 1
	}
	rm -f "$apt_log"
}

# configure_in FOLDER ARGUMENT...: once; afterwards make itself notices what has changed.
configure_in() {
	folder=$1
	shift
	if [ ! -x "$root/configure" ]; then
		say "making configure"
		(cd "$root" && autoreconf -fi >autoreconf.log 2>&1) || {
			cat "$root/autoreconf.log" >&2
			return 1
		}
		rm -f "$root/autoreconf.log"
	fi
	if [ ! -f "$folder/Makefile" ]; then
		say "configuring in ${folder#"$root"/}/"
		mkdir -p "$folder"
		(cd "$folder" && "$root/configure" -q "$@")
	fi
}
