#!/bin/sh
# Packages for Linux, into dist/: a tarball for any distribution and a .deb for
# Debian 12 and newer, for the machine's own architecture.
#   sh packaging/linux.sh
set -eu
cd "$(dirname "$0")/.."
. packaging/need.sh
. packaging/release.sh
# shellcheck disable=SC2086,SC2154
need $build_packages dpkg-dev imagemagick desktop-file-utils xz-utils

arch=$(dpkg --print-architecture)
name=conewright-$version-linux-$arch
work=build/linux
tree=$work/$name
rm -rf "$work"
mkdir -p "$tree" dist

echo "Building conewright $version for Linux, $arch ..."
build "$tree/bin/conewright"

# The tree is what lies under a prefix such as /usr or ~/.local.
share=$tree/share
mkdir -p "$share/applications" "$share/mime/packages" "$share/doc/conewright" "$share/man/man1"
cp packaging/desktop/conewright.desktop "$share/applications/"
desktop-file-validate "$share/applications/conewright.desktop"
cp packaging/desktop/conewright.xml "$share/mime/packages/"
for size in 16 22 24 32 48 64 128 256 512; do
    mkdir -p "$share/icons/hicolor/${size}x$size/apps"
    convert assets/icon.png -resize "${size}x$size" -strip -define png:exclude-chunks=date,time \
        "$share/icons/hicolor/${size}x$size/apps/conewright.png"
done
mkdir -p "$share/icons/hicolor/scalable/apps"
cp assets/icon.svg "$share/icons/hicolor/scalable/apps/conewright.svg"

# The manual page is the program's own help.
{
    printf '.TH CONEWRIGHT 1 "" "Conewright %s"\n' "$version"
    printf '.SH NAME\nconewright \\- prepare parts for filament printing in cone\\-shaped shells\n'
    printf '.SH USAGE\n.nf\n'
    "$tree/bin/conewright" -help | sed -e 's/\\/\\e/g' -e 's/-/\\-/g' -e "s/^[.']/\\\\\&&/"
    printf '.fi\n'
} | gzip -9n >"$share/man/man1/conewright.1.gz"

licences "$share/doc/conewright"

# The .deb first: the tarball adds what only it needs.
root=$work/deb
mkdir -p "$root/DEBIAN" "$root/usr"
cp -R "$tree/bin" "$share" "$root/usr/"
doc=$root/usr/share/doc/conewright
rm "$doc/LICENSE.txt"
{
    echo "Format: https://www.debian.org/doc/packaging-manuals/copyright-format/1.0/"
    echo "Upstream-Name: Conewright"
    echo "Comment: What is built in has licences of its own: licences.txt beside this file."
    echo
    echo "Files: *"
    echo "Copyright: $(sed -n 's/^Copyright (c) //p' LICENSE)"
    echo "License: Expat"
    sed -e '1,/^Permission/{/^Permission/!d;}' -e 's/^$/./' -e 's/^/ /' LICENSE
} >"$doc/copyright"
printf 'conewright (%s) stable; urgency=medium\n\n  * Version %s.\n\n -- %s  %s\n' "$version" "$version" \
    "The Conewright authors <authors@conewright.invalid>" "$(date -Rd "@$SOURCE_DATE_EPOCH")" |
    gzip -9n >"$doc/changelog.gz"

# What is linked is asked of the program itself; the toolkit loads the rest of
# this list by name when the window opens.
mkdir -p "$work/debian"
printf 'Source: conewright\nPackage: conewright\nArchitecture: any\n' >"$work/debian/control"
linked=$(cd "$work" && dpkg-shlibdeps -O -e"$name/bin/conewright" 2>/dev/null | sed -n 's/^shlibs:Depends=//p')
[ -n "$linked" ] || { echo "dpkg-shlibdeps found no libraries" >&2; exit 1; }
loaded="libx11-xcb1, libxcursor1, libxi6, libxinerama1, libxrandr2, libxrender1, libxxf86vm1"
cat >"$root/DEBIAN/control" <<END
Package: conewright
Version: $version
Architecture: $arch
Maintainer: The Conewright authors <authors@conewright.invalid>
Installed-Size: $(du -sk "$root/usr" | cut -f1)
Depends: $linked, $loaded
Recommends: libgl1-mesa-dri, xdg-utils
Suggests: fonts-noto-cjk
Section: graphics
Priority: optional
Description: prepare parts for filament printing in cone-shaped shells
 Conewright prepares a part for filament printing in shells that are cones
 instead of flat layers, so that overhangs print without support. It writes
 motion files for machines whose tilted nozzle swivels about z and, with
 shallow cones, for plain three-axis machines, and checks each against the plan
 before it is kept.
 .
 It works without a network, with a window or without one.
END
(cd "$root" && find usr -type f -exec md5sum {} + | sort -k2) >"$root/DEBIAN/md5sums"
age "$root"
deb=dist/conewright_${version}_$arch.deb
dpkg-deb --root-owner-group -Zxz --build "$root" "$deb" >/dev/null

# The tarball.
cp packaging/desktop/install.sh "$tree/install.sh"
cp packaging/desktop/READ-FIRST.txt "$tree/"
age "$tree"
tar -C "$work" --sort=name --owner=0 --group=0 --numeric-owner --format=ustar -cf - "$name" |
    xz -T1 -6 >"dist/$name.tar.xz"

sums
