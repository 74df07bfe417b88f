#!/bin/sh
# Opens the real window on the demo job in a display of its own and looks at it:
# fails when the window can't open, isn't usable in time, draws nothing, or when
# a widget was touched off the event loop.
#   sh packaging/window-test.sh [PICTURE.png]
# Environment: JOB, SIZE (1280x800), FYNE_SCALE, FYNE_THEME (light, dark), BIN.
set -eu
cd "$(dirname "$0")/.."
. packaging/need.sh
need xvfb openbox xdotool imagemagick libgl1-mesa-dri

bin=${BIN:-build/conewright}
job=${JOB:-assets/jobs/bollard.json}
size=${SIZE:-1280x800}
. packaging/open-window.sh
picture=${1:-$work/window.png}
sleep 3
[ -z "${KEYS:-}" ] || { xdotool key --window "$id" --delay 200 $KEYS; sleep 1; }
[ -z "${DO:-}" ] || { eval "$DO"; sleep 1; }

# Idle: no frames while nothing moves.
before=$(wc -l <"$work/trace")
sleep 2
after=$(wc -l <"$work/trace")
[ "$before" -eq "$after" ] || fail "it draws though nothing moves ($before, $after lines of trace)"

photograph "$id" "$picture"
kill -0 "$window" 2>/dev/null || fail "the window closed by itself"
if grep -q "Error in Fyne call thread" "$work/stderr"; then
    fail "a widget was touched off the event loop"
fi
echo "window test: ready, $before frames, $colours colours"
[ $# -eq 0 ] || { cat "$work/trace" | head -5; cat "$work/stderr"; }
