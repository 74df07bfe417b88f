# A teacher's lesson: from own work into the lessons, foretold wrong, tried and
# solved, three more with large text for the class, a handout as PDF, and back to the own work as it was.
begin lesson
cp assets/parts/hopper.stl "$home/funnel.stl"
start funnel.stl
see "Overhang 2025 mm" route
click "$(text menu.help)" menu
click "$(text menu.lessons)" menu
see "$(text lesson.droop.title)" route
picture 1-droop
press b # foretold wrong, by its letter
see "it is A" route
see "Overhang 1055 mm" route
picture 2-foretold

# The slider stands over the figures: a click at its end is 45 degrees.
see "Overhang 1055 mm" route
point 246 $((y - 26)) click 1
see "Overhang 0 mm" route
click "$(text lesson.exercise)" route last
see "$(text lesson.check)" route
point $((x - 120)) "$y" click 1
press 1 5 Return
see "just the limit" route
picture 3-solved

click "$(text lesson.large)" lesson
see "$(text lesson.normal)" lesson
for n in 2 3 4; do
    click "$(text lesson.next)" lesson
    see "$(text lesson.show)" lesson
    picture "4-large-$n"
    click "$(text lesson.show)" lesson
    click "$(text lesson.exercise)" lesson last
done
click "$(text lesson.normal)" lesson
see "$(text lesson.large)" lesson

click "$(text lesson.handout)" route
see "$(text handout.title)"
picture 6-handout
click bollard.pdf foot # the name, and Return says that it is right
press Return
one_pdf() { pdf=$(find "$home" -maxdepth 1 -name '*.pdf' -size +1k); [ -n "$pdf" ]; }
await 50 "a handout beside the own work" one_pdf
head -c 5 "$pdf" | grep -q '^%PDF-' || fail "the handout is no PDF"
tail -n 2 "$pdf" | grep -q '%%EOF' || fail "the handout breaks off"

click "$(text lesson.leave)" route
see "funnel.stl" route
see "Overhang 2025 mm" route
picture 7-own-work
quit
