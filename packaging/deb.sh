#!/usr/bin/env bash
# deb.sh BINARY FOLDER: makes a Debian package of a built program. Needs dpkg-deb.
# PACK=gzip is quicker and larger.
set -euo pipefail
binary=$(realpath "$1") out=$(realpath "$2")
cd "$(dirname "$0")"

# A version that rises: the day of the newest commit, then its name.
version=${VERSION:-0.$(git log -1 --format=%cd --date=format:%Y%m%d.%H%M%S)+$(git rev-parse --short HEAD)}
architecture=$(dpkg --print-architecture)
tree=$(mktemp -d)
trap 'rm -rf "$tree"' EXIT
chmod 755 "$tree"

install -D -m 755 "$binary" "$tree/usr/bin/urdir"
install -D -m 644 urdir.service "$tree/lib/systemd/system/urdir.service"
install -D -m 644 urdir.default "$tree/etc/default/urdir"
install -D -m 644 ../LICENSE "$tree/usr/share/doc/urdir/copyright"
install -d "$tree/usr/share/man/man1"
gzip -9 -n -c urdir.1 >"$tree/usr/share/man/man1/urdir.1.gz"
install -D -m 755 -t "$tree/DEBIAN" postinst prerm postrm
echo /etc/default/urdir >"$tree/DEBIAN/conffiles"
cat >"$tree/DEBIAN/control" <<CONTROL
Package: urdir
Version: $version
Architecture: $architecture
Maintainer: Urdir <urdir@localhost>
Depends: adduser
Recommends: ca-certificates
Section: misc
Priority: optional
Installed-Size: $(du -sk --exclude=DEBIAN "$tree" | cut -f1)
Description: planner and books of a weaving workshop
 Plans cloth for backstrap looms, from an order to the warp sheet and the yarn to
 buy, and runs the workshop in a browser: orders, yarn, dye house, members, pay.
CONTROL
dpkg-deb -Z"${PACK:-xz}" --root-owner-group --build "$tree" "$out/urdir_${version}_$architecture.deb"
