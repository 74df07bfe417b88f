#!/bin/sh
# Measures the real window: how long frames take while the axis is dragged and
# while the pictorial view is turned, and how soon the full picture follows once
# a drag of a large part rests. Prints the figures. What the project promises of a
# machine that does nothing else: 100,000 facets, median 33 ms, 95 % 50 ms; 1,000,000
# facets, coarse, median 50 ms, the full picture within 300 ms of rest.
#   sh packaging/frames.sh
# Environment: BIN, SIZE (1240x730), STEPS (150), PARTS ("ring-100000 ring-1000000
# gyroid-100000 gyroid-1000000 figure-4000"): of packaging/frames, with their facets.
set -eu
cd "$(dirname "$0")/.."
. packaging/need.sh
need xvfb openbox xdotool libgl1-mesa-dri

bin=${BIN:-build/conewright}
size=${SIZE:-1240x730}
steps=${STEPS:-150}
copy=$(mktemp -d)
job=$copy/part.json

measure() { # PART FACETS
    go test -count=1 ./packaging/frames -args -name "$1" -facets "$2" -part "$copy/part.stl" >/dev/null
    cat >"$job" <<JOB
{ "conewright": 1, "part": { "file": "part.stl" }, "machine": "swivel-45", "shell": 0.2, "bead": 0.45,
  "zones": { "name": "all", "field": { "kind": "cone", "grow": "outward", "angle": 45, "axis": [125, 105] } } }
JOB
    . packaging/open-window.sh
    trap 'stop; rm -rf "$copy"' EXIT
    settle
    echo "$1, $2 facets, $(awk '{ print $1 }' /proc/loadavg) of load:"

    place plan axis
    circle "$x" "$y" 20 "$steps"
    figures drag
    place pictorial view
    circle "$x" "$y" 60 "$steps"
    figures orbit

    settle
    xdotool mousemove --window "$id" "$x" "$y"
    stop
    started=
}

# place VIEW ITEM sets x and y.
place() {
    # shellcheck disable=SC2046
    set -- $(grep '"ready":true' "$work/trace" | grep -o "\"view\":\"$1\",\"item\":\"$2\",\"index\":0,[^}]*" |
        tr -c '0-9.\n-' ' ' | awk '{ print $(NF-2), $(NF-1) }')
    [ $# -eq 2 ] || fail "the trace doesn't tell the place"
    x=$1 y=$2
}

# settle waits until no frame was drawn for a second: the figures of the part
# have come by then.
settle() {
    quiet=0 last=-1 tries=0
    while [ $quiet -lt 10 ]; do
        now=$(wc -l <"$work/trace")
        if [ "$now" -eq "$last" ]; then quiet=$((quiet + 1)); else quiet=0; fi
        last=$now tries=$((tries + 1))
        [ $tries -lt 1200 ] || fail "it never comes to rest"
        sleep 0.1
    done
}

# circle X Y RADIUS STEPS drags in a circle that begins and ends at X, Y, a step
# each 60th of a second, then keeps the pointer still for a while and lets go.
circle() {
    begun=$(($(wc -l <"$work/trace") + 1))
    # shellcheck disable=SC2046
    xdotool mousemove --window "$id" "$1" "$2" mousedown 1 $(awk "BEGIN {
        for (i = 1; i <= $4; i++) {
            a = 12.56637 * i / $4
            printf \"mousemove --window $id %d %d sleep 0.0166 \", $1 + $3 * sin(a), $2 + $3 * (1 - cos(a))
        } }") sleep 1 mouseup 1
    settle
}

# figures WHY prints the times of the frames since the drag began: where those of
# a large part are coarse while it moves, of these, and how soon the full picture
# followed the last of them.
figures() {
    tail -n "+$begun" "$work/trace" >"$work/lines"
    grep "\"why\":\"$1\"" "$work/lines" >"$work/frames" || fail "no frames of $1"
    rest=
    if grep -q '"coarse":true' "$work/frames"; then
        rest=$(sed 's/.*"t":\([0-9.]*\),/\1 /' "$work/lines" | awk '/"coarse":true/ { last = $1; full = 0; next }
            last && !full { full = $1 } END { if (full) printf ", full picture %.0f ms after the last coarse one", (full - last) * 1000 }')
        grep '"coarse":true' "$work/frames" >"$work/moving"
    else
        cp "$work/frames" "$work/moving"
    fi
    sed 's/.*"ms":\([0-9.]*\).*/\1/' "$work/moving" | sort -n >"$work/ms"
    n=$(wc -l <"$work/ms")
    median=$(sed -n "$(((n + 1) / 2))p" "$work/ms")
    most=$(sed -n "$(((n * 95 + 99) / 100))p" "$work/ms")
    rate=$(sed 's/.*"t":\([0-9.]*\).*/\1/' "$work/moving" | awk 'NR == 1 { a = $1 } { b = $1 } END { if (b > a) printf "%.0f", (NR - 1) / (b - a) }')
    echo "  $1: $n frames, $rate a second, median $median ms, 95 % $most ms$rest"
}

for part in ${PARTS:-ring-100000 ring-1000000 gyroid-100000 gyroid-1000000 figure-4000}; do
    measure "${part%-*}" "${part#*-}"
done
