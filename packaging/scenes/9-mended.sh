# What goes wrong with parts, and what mends it: a wrong unit, a wrong side, a finding,
# a file that changes on disk, and one that was moved.
begin mended
box "$home/tag.stl" 0.8 0.6 0.3 # drawn in inches
box "$home/plate.stl" 20 12 5
start tag.stl
see "very small: unit?" route
click "$(text route.part)" route
picture 1-tiny
click "$(text part.inches)" route
see "20.3 x 15.2 x 7.6" route
picture 2-inches
click "$(text part.laydown)" route
see 180.0 route # on its head: its largest sides come first
picture 3-other-side
press ctrl+z ctrl+z
see "very small: unit?" route
press ctrl+q
await 100 "the window closed" ended

# A finding is mended by its button.
cat >"$home/plate.json" <<'JOB'
{ "conewright": 1, "part": { "file": "plate.stl" }, "machine": "swivel-45",
  "zones": { "name": "part", "field": { "kind": "cone", "grow": "outward", "angle": 12, "axis": [125, 105] } } }
JOB
start plate.json
see "needs a look" route
agree_and_run
await 600 "a finished run" written "$home/plate-run/run.html"
see "$(text motion.files)" route
click "$(text route.motion)" route # closes it
click "$(text route.check)" route
see "33.0 degrees off square" route
picture 4-finding
click "Use 45" route
see "cone, outward, 45" route
picture 5-mended
press ctrl+s
await 50 "the mended angle saved" grep -q '"angle": 45' "$home/plate.json"

# The part's file changes on disk: said before a run, and read again.
box "$home/plate.stl" 24 12 5
press ctrl+r
see "$(text part.changedtitle)"
picture 6-changed
press Return
click "$(text route.part)" route
see "24.0 x 12.0 x 5.0" route
quit

# The job's part was moved.
mkdir "$home/shelf"
mv "$home/plate.stl" "$home/shelf/tile.stl"
start plate.json
see "$(text part.find)" route
picture 7-gone
click "$(text part.find)" route
see shelf
point "$x" "$y" click 1
see tile
point "$x" "$y" click --repeat 2 --delay 80 1
see "24.0 x 12.0 x 5.0" route
picture 8-found
press ctrl+s
await 50 "the new place saved" grep -q 'shelf/tile.stl' "$home/plate.json"
quit
