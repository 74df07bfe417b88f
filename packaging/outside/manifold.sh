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

# Each warped STL must be closed and keep the volume that stands beside it.
passed=0
failed=0
for stl in "$work"/cases/*.stl; do
    report=$(admesh "$stl" 2>&1)
    volume=$(echo "$report" | sed -n 's/.*Volume *: *//p' | head -n 1)
    open=$(echo "$report" | sed -n 's/^Total disconnected facets *: *\([0-9]*\) .*/\1/p' | head -n 1)
    if [ "${open:-x}" = 0 ] && awk -v have="$volume" -v want="$(cat "${stl%.stl}.volume")" \
        'BEGIN { d = have - want; if (d < 0) d = -d; exit !(d <= 1e-3 * want) }'; then
        passed=$((passed + 1))
    else
        failed=$((failed + 1))
        echo "$report" >&2
    fi
done
echo "admesh: $passed passed, $failed failed"
[ "$failed" -eq 0 ] && [ "$passed" -gt 0 ]
