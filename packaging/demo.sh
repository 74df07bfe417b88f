#!/bin/sh
# From a bare Debian 12 with Go and git to a proved motion file of the demo part:
# installs what is missing, builds, runs the demo job, says where the files are,
# and opens the window on it where there is a display.
set -eu
cd "$(dirname "$0")/.."
. packaging/need.sh

job=${1:-assets/jobs/bollard.json}
out=out/demo

# shellcheck disable=SC2086
need $build_packages

echo "Building (the first time takes some minutes) ..."
go build -o build/conewright ./app

echo "Running $job ..."
build/conewright -job "$job" -out "$out"

echo
echo "Written to $(pwd)/$out:"
(cd "$out" && find . -type f | sort | sed 's|^\./|  |')
echo
echo "Look at $out/run.html first. Before a machine moves: run dry-run.gcode with a"
echo "hand on the power switch, and follow the machine maker's instructions and local rules."

if [ -n "${DISPLAY:-}${WAYLAND_DISPLAY:-}" ]; then
    echo "Opening the window ..."
    exec build/conewright "$job"
fi
echo "There is no display here; with one, open the window by: build/conewright $job"
