#!/bin/sh
# Fuzzes every reader for a while each.  Usage: sh packaging/fuzz.sh [10s]
set -eu
cd "$(dirname "$0")/.."
. packaging/need.sh

# Prints what the test says and gives its status.
fuzz() { # folder, target, time
    go test "./$1" -run '^$' -fuzz "^$2\$" -fuzztime "$3" -fuzzminimizetime 1x 2>&1
}

# Go's own fuzzing sometimes takes the end of the time for a failure, when a
# worker notices it before the others are told to stop (seen with Go 1.26). Then
# there is no failing input, only these words on a line of their own.
ended_by_time() {
    echo "$1" | grep -qx ' *context deadline exceeded' &&
        ! echo "$1" | grep -q -e 'Failing input' -e 'panic' -e 'hung or terminated'
}

for entry in $(git grep -o --untracked '^func Fuzz[A-Za-z0-9_]*' -- 'geom/*_test.go' | sed 's/:func /:/'); do
    folder=$(dirname "${entry%%:*}")
    target=${entry##*:}
    echo "-- $folder $target"
    if ! said=$(fuzz "$folder" "$target" "${1:-10s}"); then
        if ! ended_by_time "$said" || ! said=$(fuzz "$folder" "$target" "${1:-10s}"); then
            echo "$said" >&2
            exit 1
        fi
    fi
    echo "$said" | tail -n 1
done
