#!/bin/sh
# The program for macOS, into dist/: a zip with Conewright.app for both kinds of
# Mac. Needs a Mac with Go, git and Apple's command line tools (xcode-select
# --install).
#
# NOT TRIED: there was no Mac where this was written. Only what doesn't need one
# was checked: the shell's syntax and the property list. Who runs it first, look
# at what it makes before passing it on, and mend this comment.
#   sh packaging/macos.sh
# Environment: SIGN, the identity to sign with; without one the signature is of
# the kind that only this Mac trusts at once.
set -eu
cd "$(dirname "$0")/.."
if [ "$(uname)" != Darwin ]; then
    echo "macos.sh needs a Mac: the window library is built with Apple's own headers" >&2
    exit 1
fi
. packaging/release.sh

# shellcheck disable=SC2154 # version comes from release.sh
name=conewright-$version-macos
work=build/macos
app=$work/Conewright.app/Contents
rm -rf "$work"
mkdir -p "$app/MacOS" "$app/Resources" dist

echo "Building conewright $version for macOS ..."
export GOOS=darwin MACOSX_DEPLOYMENT_TARGET=12.0
for arch in arm64 amd64; do
    case $arch in amd64) clang=x86_64 ;; *) clang=arm64 ;; esac
    export GOARCH=$arch CGO_CFLAGS="-O2 -g -arch $clang" CGO_LDFLAGS="-arch $clang"
    build "$work/conewright-$arch"
done
unset GOOS GOARCH CGO_CFLAGS CGO_LDFLAGS
lipo -create -output "$app/MacOS/conewright" "$work/conewright-arm64" "$work/conewright-amd64"

set=$work/conewright.iconset
mkdir "$set"
for size in 16 32 128 256; do
    sips -z $size $size assets/icon.png --out "$set/icon_${size}x$size.png" >/dev/null
    double=$((2 * size))
    sips -z $double $double assets/icon.png --out "$set/icon_${size}x$size@2x.png" >/dev/null
done
cp assets/icon.png "$set/icon_512x512.png"
iconutil -c icns -o "$app/Resources/conewright.icns" "$set"

sed "s/@VERSION@/$version/g" packaging/macos/Info.plist >"$app/Info.plist"
plutil -lint -s "$app/Info.plist"
licences "$app/Resources"
cp packaging/macos/READ-FIRST.txt "$work/"

age "$work"
codesign --force --sign "${SIGN:--}" --options runtime "$work/Conewright.app"
codesign --verify --strict "$work/Conewright.app"

rm -f "dist/$name.zip"
here=$(pwd)
(cd "$work" && find Conewright.app READ-FIRST.txt | sort | zip -q -X -9 -y "$here/dist/$name.zip" -@)

sums
