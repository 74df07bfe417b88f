// Package clip combines and offsets areas bounded by closed paths of whole
// numbers. It sweeps a level line up through all edges, from one height at which
// something happens to the next (B. Vatti, A generic solution to polygon clipping,
// Communications of the ACM 35, 1992).
//
// It is the library github.com/ctessum/go.clipper written anew for closed paths
// alone: same steps, same results to the last point, but points are values, edges
// come from memory that is used again, and heights wait in a heap. The tests hold
// the two against each other. LICENSE is the library's.
//
// Y grows downward as in the library: the sweep begins at the greatest Y. "Left"
// is toward smaller X, "above" toward smaller Y.
//
// Degenerate input may end in a panic, as in the library: package polygon, the only
// caller, turns it into an error.
package clip

// Point is a place in steps of the caller's unit.
type Point struct{ X, Y int64 }

// Path is a closed contour; its first point isn't repeated at its end.
type Path []Point

// Operation is what Combine does with two areas.
type Operation uint8

// Operations.
const (
	Intersection Operation = iota
	Union
	Difference
)

// filling says by which winding numbers an area is inside.
type filling uint8

const (
	nonZero filling = iota
	positive
	negative
)

// Combine returns what an operation leaves of two areas, inside where winding
// numbers aren't zero. Outer contours of the result turn one way, holes the other.
// ok is false where nothing could be swept.
func Combine(op Operation, subject, clip []Path) (result []Path, ok bool) {
	s := newSweep(op, nonZero)
	s.add(subject, false)
	s.add(clip, true)
	if ok = s.run(); ok {
		result = s.result()
	}
	s.release()
	return result, ok
}
