#!/bin/sh
# Brings the demo farm up on a bare Debian 12: installs what the build needs, builds in build/ with -O2,
# and serves on http://localhost:8080/ (PORT= takes another port).  As root, or as a user with sudo.
# Run it again at any time: it installs and builds only what is missing or changed.
# What it leaves to others: the tests (tests/run.sh), and an installation for good (make install).
set -eu

root=$(cd "$(dirname "$0")/.." && pwd)
build=$root/build
port=${PORT:-8080}
. "$root/server/packages.sh"

case $port in
'' | *[!0-9]*) echo "start.sh: PORT must be a number, not '$port'" >&2 && exit 2 ;;
esac

need $build_packages
configure_in "$build" CFLAGS="-g -O2"

say "building (the first time takes a minute or two)"
make -s -C "$build" -j 2

say "the demo farm is at http://localhost:$port/ (Ctrl-C ends it)"
exec "$build/weirbook" demo --listen "127.0.0.1:$port"
