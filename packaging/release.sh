# Sourced by linux.sh, windows.sh and macos.sh: the version, what makes a package
# the same whenever it is built, the build itself, and the sums.
# shellcheck shell=sh

# The one place where the version stands.
version=$(sed -n 's/^const Program = "\([0-9.]*\)"$/\1/p' geom/job/log.go)
[ -n "$version" ] || { echo "geom/job/log.go has no line: const Program = \"NUMBER\"" >&2; exit 1; }
grep -q "^Version = \"$version\"$" FyneApp.toml ||
    { echo "FyneApp.toml's Version isn't $version, the Program of geom/job/log.go: make them equal" >&2; exit 1; }

# Files in a package carry the time of the last commit, not that of the build.
SOURCE_DATE_EPOCH=${SOURCE_DATE_EPOCH:-$(git log -1 --format=%ct)}
export SOURCE_DATE_EPOCH TZ=UTC LC_ALL=C
umask 022

# build FILE [LDFLAG]...: the program without paths of this machine, symbols or
# a stamp. The tags leave out the toolkit's checks for developers, its emoji
# (4 MB that no text of ours uses, and whose licence wants a link in commercial
# use), and its reading of a FyneApp.toml beside the program. The compiler is the
# Go that is installed: nothing is fetched in its place.
build() {
    to=$1
    shift
    GOTOOLCHAIN=local CGO_ENABLED=1 nice go build -trimpath -buildvcs=false \
        -tags release,migrated_fynedo,no_emoji -ldflags "-s -w -buildid= $*" -o "$to" ./app
}

# licences FOLDER: puts our licence and those of what is built in there. The test
# fails when the collected text isn't what go.mod asks for any more.
licences() {
    go test -count=1 ./packaging/licences >/dev/null ||
        { echo "packaging/licences is out of date: go generate ./packaging/licences" >&2; exit 1; }
    cp LICENSE "$1/LICENSE.txt"
    cp packaging/licences/licences.txt "$1/licences.txt"
}

# age FOLDER: every file gets the time of the last commit. A Mac's date takes
# seconds in another way.
age() {
    stamp=$(date -d "@$SOURCE_DATE_EPOCH" +%Y%m%d%H%M.%S 2>/dev/null || date -r "$SOURCE_DATE_EPOCH" +%Y%m%d%H%M.%S)
    find "$1" -exec touch -h -t "$stamp" {} +
}

# sums: SHA256SUMS over all packages of this version, to be checked by
# `sha256sum -c SHA256SUMS`.
sums() (
    cd dist || exit 1
    for file in conewright[-_]"$version"[-_]*; do
        if command -v sha256sum >/dev/null 2>&1; then sha256sum "$file"; else shasum -a 256 "$file"; fi
    done >SHA256SUMS
    cat SHA256SUMS
)
