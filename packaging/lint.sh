#!/bin/sh
# Format, vet and staticcheck. The version is fixed, so that a new check can't
# break an old commit.
set -eu
cd "$(dirname "$0")/.."
. packaging/need.sh

staticcheck=honnef.co/go/tools/cmd/staticcheck@v0.7.0
# All checks but: package comments in every file's package (ST1000 is checked by
# eye), and error texts (ST1005) because ours are whole sentences for people.
checks=all,-ST1000,-ST1005

unformatted=$(git ls-files -co --exclude-standard -- '*.go' | xargs gofmt -l)
if [ -n "$unformatted" ]; then
    echo "not formatted (run gofmt -w):" >&2
    echo "$unformatted" >&2
    exit 1
fi
go vet ./...
go run "$staticcheck" -checks "$checks" ./...
