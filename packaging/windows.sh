#!/bin/sh
# The program for 64-bit Windows 10 and newer, into dist/: a zip to unpack
# anywhere. Built on Debian with mingw-w64; windows-test.sh tries it under wine.
#   sh packaging/windows.sh
set -eu
cd "$(dirname "$0")/.."
. packaging/need.sh
. packaging/release.sh
need ca-certificates gcc-mingw-w64-x86-64-win32 imagemagick zip

name=conewright-$version-windows-amd64
work=build/windows
tree=$work/$name
rm -rf "$work"
mkdir -p "$tree" dist

# Icon, version and manifest become an object file that is handed to the linker,
# so that nothing is written among the sources.
convert assets/icon.png -strip -define icon:auto-resize=256,128,64,48,32,24,16 "$work/conewright.ico"
cp packaging/windows/conewright.rc packaging/windows/conewright.manifest "$work/"
numbers=$(echo "$version.0.0.0" | cut -d. -f1-4 | tr . ,)
(cd "$work" && x86_64-w64-mingw32-windres -D"VERSION_TEXT=\\\"$version\\\"" -D"VERSION_NUMBERS=$numbers" \
    -O coff -o resources.o conewright.rc)
here=$(pwd)
resources="'-extldflags=\"$here/$work/resources.o\"'"

export GOOS=windows GOARCH=amd64 CC=x86_64-w64-mingw32-gcc-win32
# A Windows program either has a window or writes to the console that started
# it, so there are two of one code: one to click on, one for scripts.
echo "Building conewright $version for Windows (the first time takes some minutes) ..."
build "$tree/conewright.exe" -H=windowsgui "$resources"
build "$tree/conewright-console.exe" "$resources"
unset GOOS GOARCH CC

licences "$tree"
# What the compiler itself adds has licences too.
cp /usr/share/doc/mingw-w64-x86-64-dev/copyright "$tree/licences-mingw-w64.txt"
cp packaging/windows/READ-FIRST.txt "$tree/"
for text in "$tree"/*.txt; do sed -i 's/\r*$/\r/' "$text"; done

age "$tree"
rm -f "dist/$name.zip"
(cd "$work" && find "$name" -type f | sort | zip -q -X -9 "$here/dist/$name.zip" -@)

sums
