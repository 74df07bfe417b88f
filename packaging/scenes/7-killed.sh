# Killed outright in the middle of a drag: the next start takes up what was on
# the screen, says so quietly, and has lost nothing.
begin killed
cp -r assets/jobs assets/parts "$home/"
job=$home/jobs/bollard-two-zones.json
start "$job"
see bollard.stl route
handle plan axis
ax=$x ay=$y
# First a whole step: the axis of one zone, by some 8 mm.
point "$ax" "$ay" mousedown 1
for step in 10 20 30 40; do point $((ax + step)) "$ay"; done
xdotool mouseup 1
await 100 "the step kept" compared "$autosave" "a > 130"
first=$(axis "$autosave")
# Then a drag that doesn't end.
point $((ax + 40)) "$ay" mousedown 1
for step in 50 60 70 80; do point $((ax + step)) "$ay"; done
picture 1-dragging
await 100 "the drag kept" compared "$autosave" "a > $first + 5"
second=$(axis "$autosave")
kill -9 "$window"
await 100 "the end" ended
xdotool mouseup 1

start
see "$(text bottom.restored)" bottom
picture 2-restored
press ctrl+s
await 50 "the job saved with its axis at $second" compared "$job" "a == $second"
[ "$(tr -d ' \n\t' <"$job" | grep -o '"cut":' | wc -l)" -eq 1 ] || fail "the cut was lost"
await 50 "nothing kept, since all is saved" [ ! -e "$autosave" ]
quit
