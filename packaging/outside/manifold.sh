#!/bin/sh
# Volumes, sections and cuts against manifold-3d, on the public-domain bunny mesh
# and the demo parts; both libraries come from npm. admesh (Debian) checks that
# the warped STL files are closed and keep their volume.
set -eu
cd "$(dirname "$0")/../.."
. packaging/need.sh

if ! command -v npm >/dev/null 2>&1; then
    need nodejs npm
fi
need admesh

work=$(pwd)/build/outside
rm -rf "$work/cases"
mkdir -p "$work/cases"
cp packaging/outside/manifold.mjs packaging/outside/bunny.cjs "$work/"
(cd "$work" && npm install --silent --no-audit --no-fund --no-save --prefix . manifold-3d@3.5.4 bunny@1.0.1 >/dev/null)
(cd "$work" && node bunny.cjs cases/bunny.obj)
CONEWRIGHT_OUTSIDE="$work/cases" go test -count=1 ./packaging/outside
(cd "$work" && node manifold.mjs cases)
sh packaging/outside/admesh.sh "$work/cases"
