# A run cancelled half-way leaves no file that is half written, and the next one
# works.
begin cancelled
cp assets/parts/bracket.stl "$home/"
# Thin shells: long enough to be cancelled.
cat >"$home/bracket.json" <<'JOB'
{ "conewright": 1, "part": { "file": "bracket.stl" }, "machine": "swivel-45", "shell": 0.02,
  "zones": { "name": "part", "field": { "kind": "cone", "grow": "outward", "angle": 45, "axis": [125, 105] } } }
JOB
start bracket.json
see "bracket.stl" route
agree_and_run
see_held "$(text motion.running)" route # the question, which has such a button too, is gone
see_held "$(text cancel)" bottom
point "$x" "$y" click 1
see "$(text motion.cancelled)" bottom
picture 2-cancelled
ls -AR "$home/bracket-run" >"$work/left.log" 2>&1 || true
for name in corrected.gcode dry-run.gcode run.json run.html; do
    [ ! -e "$home/bracket-run/$name" ] || fail "$name was left"
done
[ -z "$(find "$home" -newer "$home/bracket.json" -name '*.gcode')" ] || fail "motion was left: $(find "$home" -name '*.gcode')"

press ctrl+r
see "$(text motion.running)" route
picture 3-running
await 1200 "a finished run" written "$home/bracket-run/run.html"
written "$home/bracket-run/corrected.gcode" || fail "the second run wrote no motion file"
see "$(text motion.files)" route
picture 4-second
quit
