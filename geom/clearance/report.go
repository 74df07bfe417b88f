package clearance

import (
	"cmp"
	"math"
	"slices"

	"conewright/geom/message"

	"gonum.org/v1/gonum/spatial/r3"
)

// Target is what the head meets.
type Target uint8

// The targets.
const (
	Material Target = iota // what is printed already
	Bed
	Obstacle
)

// Report is what a check found.
type Report struct {
	Steps, Beads int // that were checked
	// Moves is the number of moves with a collision, Collisions the collisions in
	// groups, by first move; Groups counts those beyond the most that are listed
	// too.
	Moves, Groups int
	Collisions    []Collision
	// Least is the least distance between the head and printed material further
	// than tip_free from the tip, or an obstacle; negative where they overlap.
	// Nothing nearer than Options.LookOut: that distance and no Step. Each move
	// is measured at places at most a voxel apart, and the nearest one again
	// within 0.03 mm; in motions of more than 4,000 moves, clearances over 0.3 mm,
	// or over those of a head from its own shell less 0.15 mm, are measured in only 2,000 to
	// 4,000 of them.
	Least Nearest
	// LeastBed is the same for the bed and the parts of the head beyond tip_free,
	// exact at any distance (the rim about the tip touches the bed in every first
	// layer).
	LeastBed Nearest
	// Beside is what a BedSweep found; Check leaves it empty.
	Beside []Beside
}

// Nearest is a place where the head came near to something.
type Nearest struct {
	Distance   float64
	At         r3.Vec // of what it came near to
	Step       int    // counting from 1; 0: none
	Line, Zone int    // of the move
	Part       Part   // of the head
	Target     Target
	LaidLine   int // Material: the line that laid it
	LaidZone   int // Material: its zone
	Obstacle   int // Obstacle: its index

	laid    int     // record
	t, half float64 // the moment within the move, and how far either way it stands for
}

// Collision is a group of collisions of the same two things near each other.
type Collision struct {
	Part       Part
	Target     Target
	Line, Zone int     // of the first move
	Step       int     // of the first move, counting from 1
	Moves      int     // in the group
	Depth      float64 // mm, the greatest found; the first 64 moves that collide in 2048 are searched for it
	At         r3.Vec  // where it is deepest; of the head for the bed
	DeepLine   int     // the move where it is deepest
	LaidLine   int     // Material: the line that laid what is met there
	LaidZone   int     // Material: its zone
	Obstacle   int     // Obstacle: its index
}

// Message tells the deepest move of the collision in one sentence, and how many
// others there are.
func (c Collision) Message() message.Text {
	with := message.New("the bed")
	switch c.Target {
	case Material:
		with = message.New("what line %d printed", c.LaidLine)
	case Obstacle:
		with = message.New("obstacle %d", c.Obstacle+1)
	}
	return message.New("line %d: the head (%s) meets %s, %.2f mm deep at (%.1f, %.1f, %.1f); %d moves, the first in line %d",
		c.DeepLine, c.Part.Message(), with, c.Depth, c.At.X, c.At.Y, c.At.Z, c.Moves, c.Line)
}

func (c Collision) String() string { return c.Message().String() }

// NameObstacles puts a caller's numbers in place of those of the obstacles that were
// checked.
func (r *Report) NameObstacles(numbers []int) {
	for i := range r.Collisions {
		if c := &r.Collisions[i]; c.Target == Obstacle {
			c.Obstacle = numbers[c.Obstacle]
		}
	}
	if r.Least.Step > 0 && r.Least.Target == Obstacle {
		r.Least.Obstacle = numbers[r.Least.Obstacle]
	}
}

// AddObstacles adds what another check found of obstacles.
func (r *Report) AddObstacles(other *Report) {
	for _, c := range other.Collisions {
		if c.Target == Obstacle {
			r.Collisions = append(r.Collisions, c)
			r.Groups++
			r.Moves += c.Moves
		}
	}
	if other.Least.Target == Obstacle && other.Least.Distance < r.Least.Distance {
		r.Least = other.Least
	}
}

// Message says the collision as a sentence.
func (b Beside) Message() message.Text {
	what := message.New("what is printed")
	if b.OnBed >= 0 {
		what = message.New("obstacle %d on the bed", b.OnBed+1)
	}
	return message.New("line %d: the bed turns %s into obstacle %d, which stands still beside it: seat the part nearer to the bed's axis, or mend the card", b.Line, what, b.Obstacle+1)
}

// Grouping.
const (
	// groupCell is the edge, mm, of the cells that collisions are gathered in;
	// touching cells are one group.
	groupCell = 10
	// mostListed bounds Report.Collisions: whoever has that many has a wrong
	// head or field, not that many problems.
	mostListed = 100
)

// groupKey is what collisions of one group have in common, and the cell.
type groupKey struct {
	part           Part
	target         Target
	zone, laidZone int
	obstacle       int
	cell           [3]int
}

type groups map[groupKey]*Collision

func (g groups) add(c Collision) {
	k := groupKey{part: c.Part, target: c.Target, zone: c.Zone, laidZone: c.LaidZone, obstacle: c.Obstacle}
	for i, v := range [3]float64{c.At.X, c.At.Y, c.At.Z} {
		k.cell[i] = int(math.Floor(v / groupCell))
	}
	g.merge(k, &c)
}

// merge joins c, later than what g holds, to the group of key k.
func (g groups) merge(k groupKey, c *Collision) {
	if old := g[k]; old != nil {
		old.join(c)
		return
	}
	own := *c
	g[k] = &own
}

func (c *Collision) join(d *Collision) {
	a, b := c, d
	if b.Step < a.Step {
		a, b = b, a
	}
	sum := *a
	sum.Moves += b.Moves
	if b.Depth > sum.Depth {
		sum.Depth, sum.At, sum.DeepLine, sum.LaidLine = b.Depth, b.At, b.DeepLine, b.LaidLine
	}
	*c = sum
}

// list joins touching cells and returns the groups, by their first move. A
// move counts once in each cell where it is deepest, so once in a group.
func (g groups) list() []Collision {
	done := map[groupKey]bool{}
	out := make([]Collision, 0, len(g))
	for _, k := range g.keys() {
		if done[k] {
			continue
		}
		done[k] = true
		sum := *g[k]
		for todo := []groupKey{k}; len(todo) > 0; {
			at := todo[len(todo)-1]
			todo = todo[:len(todo)-1]
			for i := range 27 {
				n := at
				n.cell = [3]int{at.cell[0] + i%3 - 1, at.cell[1] + i/3%3 - 1, at.cell[2] + i/9 - 1}
				if d := g[n]; d != nil && !done[n] {
					done[n] = true
					sum.join(d)
					todo = append(todo, n)
				}
			}
		}
		out = append(out, sum)
	}
	slices.SortStableFunc(out, func(a, b Collision) int { return cmp.Compare(a.Step, b.Step) })
	return out
}

// keys returns the keys in an order that doesn't depend on the map's.
func (g groups) keys() []groupKey {
	keys := make([]groupKey, 0, len(g))
	for k := range g {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(a, b groupKey) int {
		box := func(p Part) int {
			if p.Box {
				return 1
			}
			return 0
		}
		return cmp.Or(cmp.Compare(g[a].Step, g[b].Step), cmp.Compare(a.target, b.target),
			cmp.Compare(a.obstacle, b.obstacle), cmp.Compare(box(a.part), box(b.part)),
			cmp.Compare(a.part.Index, b.part.Index), slices.Compare(a.cell[:], b.cell[:]))
	})
	return keys
}
