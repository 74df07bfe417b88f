# Two days of a maker with a machine of their own. The first: its card is loaded on the
# empty sheet, a filament chosen, a part run and copied to the card reader. The next
# day machine, filament and folder are remembered.
begin own-machine
mkdir "$home/reader"
sed 's/"name": "swivel-45"/"name": "bench"/' assets/machines/swivel-45.json >"$home/bench.json"
box "$home/foot.stl" 16 12 4
box "$home/knob.stl" 10 10 4

start
see "$(text welcome.machine)"
click "$(text card.load)"
see bench
point "$x" "$y" click --repeat 2 --delay 80 1
see bench route
picture 1-machine
open_file foot
see "foot.stl" route
click "$(text route.shells)" route
see "$(text preset.choice)" route
point 150 400 click --repeat 12 --delay 20 5 # down to the filament
see "$(text filament.price)" route
click PLA route
click PETG
see 240 route # its nozzle temperature
picture 2-filament
agree_and_run
await 600 "a finished run" written "$home/foot-run/run.html"
click "$(text motion.carry)" route
see reader
point "$x" "$y" click 1
sleep 0.5 # the folder opens after the time of a double click
press Return
see "$(text motion.carriedtitle)"
picture 3-copied
cmp "$home/foot-run/corrected.gcode" "$home/reader/foot.gcode" || fail "the copy differs"
press Return ctrl+q
see "$(text unsaved.title)" small
click "$(text unsaved.drop)" small
await 100 "the window closed" ended
honest

start knob.stl
see bench route
click "$(text route.shells)" route
see "$(text preset.choice)" route
point 150 400 click --repeat 12 --delay 20 5
see PETG route
picture 4-next-day
press ctrl+r # the cautions were read for this card
await 600 "a finished run" written "$home/knob-run/run.html"
click "$(text motion.carry)" route
see Computer
picture 5-same-folder
press Return
see "$(text motion.carriedtitle)"
cmp "$home/knob-run/corrected.gcode" "$home/reader/knob.gcode" || fail "the folder isn't remembered"
press Return
quit
