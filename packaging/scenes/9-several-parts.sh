# A second day: a part is dragged on the bed, copied, another is added to the open
# plan; all are saved, run into one file, found again by the job and taken along.
begin several-parts
cp assets/parts/bollard.stl assets/parts/davit.stl "$home/"
start bollard.stl
see "1 zone, cone" route
seat() { tr -d ' \n\t' <"$1" | grep -o '"seat":\[[^],]*' | head -n 1 | cut -d '[' -f 2; }
moved() { [ -s "$autosave" ] && awk "BEGIN { exit !($(seat "$autosave") > $1) }"; }
handle plan part
px=$((x + 30)) py=$((y + 20)) # beside the axis
point "$px" "$py" mousedown 1
for step in 10 20 30 40; do point $((px + step)) "$py"; done
picture 1-dragging
xdotool mouseup 1
await 100 "the part moved" moved 128
see "$(text parts.copy)" route # a click on the part opens its page
click "$(text parts.copy)" route
see "2 parts" route
picture 2-copy
open_file davit
click "$(text openpart.add)" question
see "3 parts" route
picture 3-three

press ctrl+s
see "$(text save.title)"
press Return
await 50 "the job saved" written "$home/bollard.json"
agree_and_run
await 1200 "a finished run" written "$home/bollard-run/run.html"
go test -count=1 ./packaging/contract -run KeepsTheContract -dir "$home/bollard-run" >"$work/contract.log" || fail "the run isn't what the contract says"
quit

start bollard.json
see "$(text motion.state.earlier)" route
click "$(text route.motion)" route
picture 4-found-again
click "$(text motion.carry)" route
see "Computer"
press Return
see "$(text motion.carriedtitle)"
picture 5-taken-along
cmp "$home/bollard-run/corrected.gcode" "$home/bollard.gcode" || fail "the copy differs"
press Return
quit
