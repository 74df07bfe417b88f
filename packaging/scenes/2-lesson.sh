# A teacher's lesson: from own work into the lessons, through all six, with large
# text for the class, a handout as PDF, and back to the own work as it was.
begin lesson
cp assets/parts/hopper.stl "$home/funnel.stl"
start funnel.stl
see "Overhang 2025 mm" route
click "$(text menu.help)" menu
click "$(text menu.lessons)" menu
see "Lesson 1 of 6" route
see "Overhang 1055 mm" route
picture 1-droop

# The slider ends left of what it says: a click there is 45 degrees.
see "0°" route last
point $((x - 24)) "$y" click 1
see "Overhang 0 mm" route
picture 2-tried

click "$(text lesson.large)" lesson
see "$(text lesson.normal)" lesson
picture 3-large
for n in 2 3 4 5 6; do
    click "$(text lesson.next)" lesson
    see "Lesson $n of 6" lesson
    picture "4-large-$n"
done
click "$(text lesson.normal)" lesson
see "$(text lesson.large)" lesson
click "$(text lesson.twozones)" route last # the text says it too
see "$(text lesson.onezone)" route
picture 5-cut

click "$(text lesson.handout)" route
see "$(text handout.title)"
picture 6-handout
click standpipe.pdf foot # the name, and Return says that it is right
press Return
one_pdf() { pdf=$(find "$home" -maxdepth 1 -name '*.pdf' -size +1k); [ -n "$pdf" ]; }
await 50 "a handout beside the own work" one_pdf
head -c 5 "$pdf" | grep -q '^%PDF-' || fail "the handout is no PDF"
tail -n 2 "$pdf" | grep -q '%%EOF' || fail "the handout breaks off"

click "$(text lesson.end)" route
see "funnel.stl" route
see "Overhang 2025 mm" route
picture 7-own-work
quit
