# Work on the sheet itself: the pointer's shape and words over what can be taken
# hold of, a sign clicked before and after a run, a view that gets the sheet for
# itself and gives it back, a cut added by a double click.
begin on-the-sheet
cp assets/parts/hopper.stl "$home/funnel.stl"
start funnel.stl
see "1 mid-air start" route

# over VIEW ITEM SHAPE goes to a handle and waits for the pointer's shape; the
# trace tells it, for no picture of a screen shows the pointer.
shaped() { tail -n 1 "$work/trace" | grep -q "\"hover\":\"$1\",\"cursor\":\"$2\""; }
over() {
    handle "$1" "$2"
    point "$x" "$y"
    await 50 "the pointer over $2 in the $1 as $3" shaped "$2" "$3"
}
# press_on VIEW ITEM COMMAND... goes to a handle and on with the command.
press_on() {
    handle "$1" "$2"
    shift 2
    point "$x" "$y" "$@"
}
over plan axis crosshair
see "axis of part" bottom
picture 1-axis
over pictorial midair hand
see "mid-air start, click" bottom
picture 2-sign
press_on pictorial midair click 1
see "A run checks the motion" route

# The sign leads to its finding.
agree_and_run
await 600 "a finished run" written "$home/funnel-run/run.html"
see "$(text motion.files)" route # the page has grown, and the rows under it moved
click "$(text route.zones)" route # a shorter page: the last row is in view
click "$(text route.check)" route
see "$(text finding.midair-start)" route
point 150 400 click --repeat 40 --delay 20 4 # the findings are long: back to the first row
click "$(text route.zones)" route
press_on pictorial midair click 1
see "$(text finding.midair-start)" route
picture 3-finding

# A title gives its view the sheet, and back.
over plan title hand
see "$(text hover.alone)" bottom
before=$(grep -c '"why":"zoom"' "$work/trace" || true)
zoomed() { [ "$(grep -c '"why":"zoom"' "$work/trace" || true)" -gt "$before" ]; }
press_on plan title click --repeat 2 --delay 80 1
await 50 "the plan alone" zoomed
picture 4-plan-alone
if seen "$(text sheet.pictorial)"; then fail "the plan isn't alone"; fi
press Escape Escape # the selection first
see "$(text sheet.pictorial)"

# A double click in the elevation, beside what is there, adds a cut.
handle elevation view
point $((x + 70)) "$y" click --repeat 2 --delay 80 1
point 150 400 click --repeat 40 --delay 20 4
see "2 zones, 1 cut" route
picture 5-cut
press ctrl+z
see "1 zone, cone" route
quit
