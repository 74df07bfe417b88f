#!/bin/sh
# Fuzzes every reader for a while each.  Usage: sh packaging/fuzz.sh [10s]
set -eu
cd "$(dirname "$0")/.."
. packaging/need.sh
for entry in $(git grep -o --untracked '^func Fuzz[A-Za-z0-9_]*' -- 'geom/*_test.go' | sed 's/:func /:/'); do
    folder=$(dirname "${entry%%:*}")
    echo "-- $folder ${entry##*:}"
    go test "./$folder" -run '^$' -fuzz "^${entry##*:}\$" -fuzztime "${1:-10s}" -fuzzminimizetime 1x | tail -n 2
done
