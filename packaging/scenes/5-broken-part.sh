# Broken parts: one that can be mended is, and the window says so; those that
# can't be read get one sentence, and the program goes on with the next.
begin broken-part
# A pyramid of which one side looks inward and another is there twice.
awk 'BEGIN {
    print "solid pyramid"
    side("0 0 0", "0 20 0", "20 20 0"); side("0 0 0", "20 20 0", "20 0 0")
    side("0 0 0", "20 0 0", "10 10 15"); side("20 20 0", "20 0 0", "10 10 15")
    side("20 20 0", "0 20 0", "10 10 15"); side("0 20 0", "0 0 0", "10 10 15"); side("0 20 0", "0 0 0", "10 10 15")
    print "endsolid pyramid"
}
function side(a, b, c) {
    print "facet normal 0 0 0\nouter loop\nvertex " a "\nvertex " b "\nvertex " c "\nendloop\nendfacet"
}' >"$home/pyramid.stl"
echo "a shopping list: milk, bread" >"$home/list.stl"
head -c 5000 assets/parts/hopper.stl >"$home/half.stl"

start pyramid.stl
click "$(text route.part)" route
see "2 faults were mended" route
picture 1-mended

for broken in list half; do
    case $broken in list) what="plain text, not an STL" ;; *) what="the file ends" ;; esac
    open_file $broken
    see "$(text part.problem)" route
    see "$what" bottom
    picture "2-$broken"
done
open_file pyramid
see "pyramid.stl" route
picture 3-goes-on
quit

start list.stl
see "$(text part.problem)" route
picture 4-list-given
quit
