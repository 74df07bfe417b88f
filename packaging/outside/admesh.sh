#!/bin/sh
# Asks admesh (Debian) about every STL file in a folder: each must be closed, have
# nothing to mend, and keep the volume that stands beside it in FILE.volume.
# Usage: admesh.sh FOLDER
set -eu
passed=0
failed=0
for stl in "$1"/*.stl; do
    report=$(admesh --no-check --exact --normal-directions --fill-holes "$stl" 2>&1) || true
    whole=$(admesh "$stl" 2>&1)
    volume=$(echo "$whole" | sed -n 's/.*Volume *: *//p' | head -n 1)
    open=$(echo "$whole" | sed -n 's/^Total disconnected facets *: *\([0-9]*\) .*/\1/p' | head -n 1)
    if [ "${open:-x}" = 0 ] && awk -v have="$volume" -v want="$(cat "${stl%.stl}.volume")" \
        'BEGIN { d = have - want; if (d < 0) d = -d; exit !(d <= 1e-3 * want) }'; then
        passed=$((passed + 1))
    else
        failed=$((failed + 1))
        echo "$stl: $open disconnected facets, volume $volume" >&2
        echo "$report" >&2
    fi
done
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ] && [ "$passed" -gt 0 ]
