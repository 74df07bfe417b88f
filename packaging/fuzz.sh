#!/bin/sh
# Fuzzes every reader for a while each.  Usage: sh packaging/fuzz.sh [10s]
set -eu
cd "$(dirname "$0")/.."
. packaging/need.sh
for entry in $(git grep -o --untracked '^func Fuzz[A-Za-z0-9_]*' -- 'geom/*_test.go' | sed 's/:func /:/'); do
    folder=$(dirname "${entry%%:*}")
    echo "-- $folder ${entry##*:}"
    if ! said=$(go test "./$folder" -run '^$' -fuzz "^${entry##*:}\$" -fuzztime "${1:-10s}" -fuzzminimizetime 1x 2>&1); then
        echo "$said" >&2
        exit 1
    fi
    echo "$said" | tail -n 1
done
