#!/bin/sh
# Every check of the project, on a clean checkout of Debian 12 with Go and git;
# needs no display. Stops at the first that fails.
set -eu
cd "$(dirname "$0")/.."
. packaging/need.sh

step() {
    now=$(date +%s)
    echo "== $1 ($((now - begun)) s)"
}
begun=$(date +%s)

step "packages"
# shellcheck disable=SC2086
need $build_packages xvfb xdotool openbox libgl1-mesa-dri imagemagick tesseract-ocr tesseract-ocr-eng admesh

step "build"
go build -o build/conewright ./app

step "format, vet, staticcheck"
sh packaging/lint.sh

step "tests with the race detector"
# Fyne takes the language from here; without one it warns.
# Short: the long ones follow without the detector, which makes them ten times slower.
# packaging's checks run the built program and have no goroutines: not under it.
LANG=en_GB.UTF-8 go test -race -short -timeout 40m ./app/... ./assets/... ./geom/... ./i18n/... ./render/...

step "long tests"
LANG=en_GB.UTF-8 go test -timeout 40m ./app/... ./geom/... ./render/... ./packaging/contract ./packaging/frames ./packaging/growth ./packaging/licences ./packaging/ownfield

step "fuzzing, shortly"
sh packaging/fuzz.sh 5s

step "the demo job against the contract"
rm -rf build/contract
build/conewright -job assets/jobs/bollard.json -out build/contract
go test -count=1 ./packaging/contract -dir "$(pwd)/build/contract"

step "beads laid, cards and made parts from outside"
go test -count=1 ./packaging/deposition -run BeadsRest -dir "$(pwd)/build/contract"
go test -count=1 -timeout 40m ./packaging/deposition ./packaging/cards ./packaging/attacks -program "$(pwd)/build/conewright"

step "checks against programs from outside"
for check in packaging/outside/*.sh; do
    [ -e "$check" ] || continue
    echo "-- $check"
    sh "$check"
done

step "the window"
sh packaging/window-test.sh
sh packaging/drag-test.sh

step "scenes of the window"
sh packaging/scenes.sh

step "all passed"
