# A test piece: made for the machine, opened like any part, and its reading taken over
# into the card.
begin test-piece
thicker() { tr -d ' \n\t' <"$autosave" | grep -q '"filament":1.8'; }
cp assets/parts/bollard.stl "$home/"
start bollard.stl
see "1 zone, cone" route
click "$(text route.machine)" route
click "$(text machine.pieces)" route
see "$(text piece.first)"
click "$(text piece.first)"
click "$(text piece.flow)"
see "Measure the thickness"
picture 1-page
click "$(text pieces.make)"
see "flow.stl" route
picture 2-piece
click "$(text route.machine)" route
click "$(text machine.pieces)" route
click "$(text piece.flow.reading)"
point $((x + 200)) "$y" click 1
xdotool type 0.5
see "becomes"
picture 3-read
click "$(text pieces.take)"
see "$(text card.save)"
await 50 "the number in the job" thicker
picture 4-taken
press ctrl+q
see "$(text unsaved.title)" small
click "$(text unsaved.drop)" small
await 100 "the window closed" ended
honest
