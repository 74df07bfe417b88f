#!/bin/sh
# Measures how a run without a window grows: facets, moves, zones and shells, each
# times ten (packaging/growth). Prints a table with a bar for how many times as long
# the larger run takes the processor: ten marks are as many as the work grew.
#   sh packaging/growth.sh
# Environment: BIN, RUNS (3): of each job; the least time counts.
set -eu
cd "$(dirname "$0")/.."
. packaging/need.sh
need time jq

bin=${BIN:-build/conewright}
runs=${RUNS:-3}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

[ -x "$bin" ] || { bin=$work/conewright && go build -trimpath -o "$bin" ./app; }
go test -count=1 ./packaging/growth -args -dir "$work" >/dev/null

# measure JOB appends what its run came to: job, facets, moves, zones, shells, s of
# the processor, s by the clock, MiB at most.
measure() {
    i=0
    while [ $i -lt "$runs" ]; do
        status=0
        /usr/bin/time -o "$work/time" -f '%U %S %e %M' "$bin" -job "$work/$1.json" -out "$work/$1" >"$work/log" 2>&1 || status=$?
        case $status in
        0 | 3) ;; # a finding doesn't matter here
        *) cat "$work/log" >&2 && exit 1 ;;
        esac
        tail -n 1 "$work/time" >>"$work/$1.times"
        i=$((i + 1))
    done
    figures=$(jq -r '"\(.part.triangles) \(.motion.moves) \(.zones | length) \(.zones | map(.shells) | add)"' "$work/$1/run.json")
    sort -n "$work/$1.times" | awk -v job="$1" -v figures="$figures" \
        'NR == 1 { printf "%s %s %.2f %.2f %.0f\n", job, figures, $1 + $2, $3, $4 / 1024 }' >>"$work/all"
}

for what in facets moves zones shells; do
    measure $what-1
    measure $what-10
done

awk 'BEGIN { printf "%-10s %8s %9s %6s %7s %11s %9s %6s\n", "times ten", "facets", "moves", "zones", "shells", "processor s", "clock s", "MiB" }
    { split($1, name, "-"); printf "%-10s %8d %9d %6d %7d %11.2f %9.2f %6d\n", name[1], $2, $3, $4, $5, $6, $7, $8 }
    name[2] == 1 { time = $6; memory = $8; next }
    { n = $6 / time; printf "%-10s %4.1f times the time, %.1f times the memory  ", "", n, $8 / memory
      for (i = 0.5; i < n && i < 60; i++) printf "#"; print "" }' "$work/all"
