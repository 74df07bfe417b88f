# The way over an own slicer: writes the warped mesh; a planar motion file comes
# into the watched folder, as far off as slicers put parts; it is taken by itself
# and brought back.
begin own-slicer
cp -r assets/jobs assets/parts "$home/"
job=$home/jobs/hopper.json
start "$job"
click "$(text route.warped)" route
click "$(text warped.write)" route
out=$home/jobs/hopper-run
await 300 "a warped mesh" written "$out/warped/hopper.stl"
see "$(text warped.written)" route
picture 1-meshes

# What plays the slicer: the same job without a window, and its motion moved.
"$bin" -job "$job" -out "$home/slicer" >"$work/slicer.log" 2>&1 || fail "the run without a window"
cmp "$out/warped/hopper.stl" "$home/slicer/warped/hopper.stl" || fail "the window wrote another mesh"
mkdir "$out/motion"
awk '{
    for (i = 2; i <= NF; i++) {
        if ($i ~ /^X/) $i = sprintf("X%.3f", substr($i, 2) + 12.5)
        if ($i ~ /^Y/) $i = sprintf("Y%.3f", substr($i, 2) - 7.25)
    }
    print
}' "$home/slicer/planar/hopper.gcode" >"$out/motion/hopper.gcode"

click "$(text route.warped)" route # closes it, so that the next lies on the screen
click "$(text route.motion)" route
see "1 of 1" route
see "hopper: hopper.gcode" route
picture 2-taken
agree_and_run
await 600 "a finished run" written "$out/run.html"
see brought route
picture 3-run
cmp "$out/planar/hopper.gcode" "$out/motion/hopper.gcode" || fail "another planar motion was used"
tr -d ' \n' <"$out/run.json" | grep -o '"register":\[[^]]*' | tr '[,' '  ' |
    awk '{ exit !(near($2, 12.5) && near($3, -7.25) && near($4, 0)) } function near(a, b) { return a - b < 0.02 && b - a < 0.02 }' ||
    fail "the log tells another place: $(grep -A 4 '"register"' "$out/run.json" | tr -d '\n')"
written "$out/corrected.gcode" || fail "no motion file was written"
quit
