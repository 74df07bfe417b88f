#!/bin/sh
# Works in the real window with the pointer and the keys, as a user does: drags
# the axis by 10 mm in the plan and a cut in the elevation, undoes, redoes,
# nudges, saves, and looks whether the saved job holds what was dragged, within
# 0.1 mm; then runs it and looks whether the motion of that very job was written.
# Waits for the trace and for files, never for a time.
#   sh packaging/drag-test.sh
# Environment: BIN.
set -eu
cd "$(dirname "$0")/.."
. packaging/need.sh
need xvfb openbox xdotool libgl1-mesa-dri

bin=${BIN:-build/conewright}
size=1240x730 # as it opens: the trace tells the handles of then
copy=$(mktemp -d)
cp -r assets/jobs assets/parts "$copy/"
job=$copy/jobs/bollard-two-zones.json
. packaging/open-window.sh
trap 'stop; rm -rf "$copy"' EXIT

# number KEY I prints the I-th number of the first list of that name in the job.
number() {
    tr -d ' \n\t' <"$job" | grep -o "\"$1\":\[[^]]*\]" | head -n 1 | tr '[],' '   ' | cut -d: -f2 | awk "{ print \$$2 }"
}

# handle VIEW ITEM INDEX prints x, y and scale of a handle.
handle() {
    grep '"ready":true' "$work/trace" | grep -o "\"view\":\"$1\",\"item\":\"$2\",\"index\":$3,[^}]*" |
        tr -c '0-9.\n-' ' ' | awk '{ print $(NF-2), $(NF-1), $NF }'
}

near() { awk "BEGIN { d = $1 - ($2); exit !(d < 0.1001 && d > -0.1001) }"; }

frames() { grep -c "\"why\":\"$1\"" "$work/trace" || true; }

more_frames() { [ "$(frames "$1")" -gt "$2" ]; }

# drag X Y DX DY presses at a place, moves in steps and lets go once the sheet
# has followed.
drag() {
    before=$(frames drag)
    xdotool mousemove --window "$id" "$1" "$2" mousedown 1
    for step in 1 2 3 4; do
        xdotool mousemove --window "$id" $(($1 + $3 * step / 4)) $(($2 + $4 * step / 4))
        await 150 "a frame of the drag" more_frames drag "$before"
    done
    xdotool mouseup 1
}

# saved WHAT KEY I VALUE saves until the job holds a value.
holds() {
    xdotool key --window "$id" ctrl+s
    sleep 0.2
    near "$(number "$1" "$2")" "$3"
}
saved() { await 150 "$1 (axis $(number axis 1) $(number axis 2), cut at $(number point 3))" holds "$2" "$3" "$4"; }

# shellcheck disable=SC2046
set -- $(handle plan axis 0)
[ $# -eq 3 ] || fail "the trace names no axis in the plan: $(grep ready "$work/trace")"
ax=$1 ay=$2 ascale=$3
# shellcheck disable=SC2046
set -- $(handle elevation cut 0)
[ $# -eq 3 ] || fail "the trace names no cut in the elevation: $(grep ready "$work/trace")"
cx=$1 cy=$2 cscale=$3
x0=$(number axis 1) y0=$(number axis 2) z0=$(number point 3)

# The pointer goes by whole pixels: as many as are nearest to 10 and 4 mm.
right=$(awk "BEGIN { printf \"%d\", 10 * $ascale + 0.5 }")
up=$(awk "BEGIN { printf \"%d\", 4 * $cscale + 0.5 }")
x1=$(awk "BEGIN { print $x0 + $right / $ascale }")
z1=$(awk "BEGIN { print $z0 + $up / $cscale }")

drag "$ax" "$ay" "$right" 0
saved "the axis at x = $x1" axis 1 "$x1"
near "$(number axis 2)" "$y0" || fail "the axis moved across: y = $(number axis 2)"

drag "$cx" "$cy" 0 "-$up"
saved "the cut at z = $z1" point 3 "$z1"

xdotool key --window "$id" ctrl+z
saved "the cut undone to z = $z0" point 3 "$z0"
near "$(number axis 1)" "$x1" || fail "undo took the axis back too"
xdotool key --window "$id" ctrl+z
saved "the axis undone to x = $x0" axis 1 "$x0"
xdotool key --window "$id" ctrl+shift+z
saved "the axis redone" axis 1 "$x1"
xdotool key --window "$id" ctrl+shift+z
saved "the cut redone" point 3 "$z1"

z2=$(awk "BEGIN { print $(number point 3) + 2 }")
xdotool key --window "$id" shift+Up
xdotool key --window "$id" shift+Up
saved "the cut nudged by 2 mm" point 3 "$z2"

# The cautions come first: they are ticked and gone on from by the keys, as often
# as it takes, since what the window has understood by then can't be seen.
out=${job%.json}-run
ran() { [ -s "$out/run.json" ]; }
ask_run() {
    xdotool key --window "$id" Escape
    xdotool key --window "$id" ctrl+r
    sleep 0.5
    xdotool key --window "$id" --delay 60 space Tab Tab space
    for _ in 1 2 3 4 5 6 7 8 9 10; do
        [ -d "$out" ] && return 0
        sleep 0.2
    done
    return 1
}
await 10 "a run that begins" ask_run
await 1200 "a run log" ran
[ -s "$out/corrected.gcode" ] || fail "the run wrote no motion: $(grep -A3 '"rank": "stop"' "$out/run.json" | tr -s ' \n' ' ')"
logged=$(tr -d ' \n\t' <"$out/run.json" | grep -o '"axis":\[[^]]*\]' | head -n 1 | tr '[],' '   ' | cut -d: -f2 | awk '{ print $1 }')
near "$logged" "$x1" || fail "the run was of an axis at x = $logged, not $x1"

if grep -q "Error in Fyne call thread" "$work/stderr"; then
    fail "a widget was touched off the event loop"
fi
echo "drag test: axis $x0 -> $(number axis 1) (dragged to $x1), cut $z0 -> $(number point 3) (dragged to $z1, then 2 mm), $(wc -l <"$out/corrected.gcode") lines of motion"
