# Read by server/start.sh and tests/run.sh: which Debian packages are needed, how they are installed when
# missing, and how a build folder is configured.  Sets no state but these names; expects $root.

build_packages="autoconf automake gcc libc6-dev make pkg-config libmicrohttpd-dev libsqlite3-dev
	libjansson-dev libsodium-dev ca-certificates tzdata"

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

# install_now PACKAGE...
install_now() {
	command -v apt-get >/dev/null 2>&1 || {
		echo "Missing: $*.  This script installs them on Debian only; install them and run it again." >&2
		return 1
	}
	say "installing $*"
	as_root env DEBIAN_FRONTEND=noninteractive apt-get update -qq
	as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "$@"
}

# need_packages PACKAGE...: installs those that dpkg does not know as installed.
need_packages() {
	missing=
	for package in "$@"; do
		[ "$(dpkg-query -W -f='${db:Status-Status}' "$package" 2>/dev/null)" = installed ] ||
			missing="$missing $package"
	done
	[ -z "$missing" ] || install_now $missing
}

# need_commands PACKAGE:COMMAND...: a command from elsewhere (node of another origin) is good enough.
need_commands() {
	missing=
	for pair in "$@"; do
		command -v "${pair#*:}" >/dev/null 2>&1 || missing="$missing ${pair%%:*}"
	done
	[ -z "$missing" ] || install_now $missing
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
