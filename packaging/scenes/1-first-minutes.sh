# A maker's first five minutes: opens an own part by the keys, and once more as
# the program's argument; takes the first suggestion; reads the cautions; runs;
# finds the motion file where the window says.
begin first-minutes
cp assets/parts/hopper.stl "$home/funnel.stl"
start
see "$(text welcome.title)"
picture 1-welcome
open_file funnel
see "funnel.stl" route
quit

start funnel.stl
see "1 mid-air start" route
click "$(text ideas.ask)" route
see "$(text ideas.found)" route
picture 2-suggested
click "$(text ideas.use)" route
see "Overhang 0 mm" route
picture 3-taken

# Nothing runs before the cautions are ticked, and they defer to who knows more.
press ctrl+r
see "$(text cautions.title)" question
see "Follow the machine maker's instructions and local rules" question
click "$(text cautions.go)" question
[ ! -e "$home/funnel-run" ] || fail "it ran though nobody had ticked the cautions"
click "$(text cautions.tick)" question
picture 4-cautions
click "$(text cautions.go)" question
await 600 "a finished run" written "$home/funnel-run/run.html"
see "$(text motion.files)" route
see funnel-run route
picture 5-run
for word in CAUTION dry-run "machine maker's instructions"; do
    head -n 20 "$home/funnel-run/corrected.gcode" | grep -q "$word" || fail "the motion file's head doesn't say: $word"
done
go test -count=1 ./packaging/contract -run KeepsTheContract -dir "$home/funnel-run" >"$work/contract.log" || fail "the run isn't what the contract says"

# Closing asks about the suggestion, which nobody has saved.
press ctrl+q
see "$(text unsaved.title)" small
picture 6-unsaved
click "$(text unsaved.drop)" small
await 100 "the window closed" ended
honest
