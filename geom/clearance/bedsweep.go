package clearance

import (
	"math"
	"sort"

	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r3"
)

// BedSweep finds what a turning bed carries into obstacles that stand still beside
// it: what is printed, and obstacles on the bed. The zero value isn't usable: see
// NewBedSweep.
//
// Where the bed stands counts alone, not where the head is. So its stands are sorted
// into steps of half a degree, and each is judged once, with all that is printed when
// the bed stands there last: earlier there was no more. It is done in the part's
// frame, where what is printed stands still in cells of printedCell. What comes within
// besideMargin is taken for a collision: the steps and cells are as coarse.
type BedSweep struct {
	card    *machine.Card
	beside  []int // of the card's obstacles
	onBed   []int
	printed printed
	stands  map[[machine.MostTurning]int]stand
	steps   int
}

// stand is where the bed stands in one of the steps that are judged.
type stand struct {
	turn machine.Turn
	step int // the last one in which it stood there
	line int
}

const (
	bedStep      = 0.5 * math.Pi / 180
	printedCell  = 1.0 // mm
	besideMargin = 1.0 // mm
)

// Beside is a collision of what the bed carries with an obstacle beside it.
type Beside struct {
	Obstacle int    // of the card's, which stands still
	OnBed    int    // of the card's, on the bed; -1: what is printed
	Line     int    // the last in which the bed stands so
	At       r3.Vec // in the part's frame
}

// NewBedSweep returns a sweep for a card, nil where no obstacle stands beside a bed
// that turns.
func NewBedSweep(card *machine.Card) *BedSweep {
	beside := card.ObstaclesBeside()
	if len(beside) == 0 {
		return nil
	}
	return &BedSweep{card: card, beside: beside, onBed: card.ObstaclesInPart(),
		printed: newPrinted(), stands: map[[machine.MostTurning]int]stand{}}
}

// Add takes a move in the part's frame and its words; lays reports that it lays a bead.
func (b *BedSweep) Add(from, to machine.Words, a, e r3.Vec, lays bool, line int) {
	b.steps++
	most := 0.0
	for i := range from.Turn {
		most = math.Max(most, math.Abs(to.Turn[i]-from.Turn[i])*math.Pi/180)
	}
	n := int(math.Ceil(most/bedStep)) + 1
	for k := range n + 1 {
		t := to.Turn
		for i := range t {
			t[i] = from.Turn[i] + (to.Turn[i]-from.Turn[i])*float64(k)/float64(n)
		}
		var key [machine.MostTurning]int
		for i, angle := range b.card.BedTurn(t) {
			key[i] = int(math.Round(angle / bedStep))
		}
		b.stands[key] = stand{turn: t, step: b.steps, line: line}
	}
	if lays {
		b.printed.lay(a, e, b.steps)
	}
}

// Report returns the collisions, one for each pair of things that meet.
func (b *BedSweep) Report() (found []Beside) {
	list := make([]stand, 0, len(b.stands))
	for _, s := range b.stands {
		list = append(list, s)
	}
	sort.Slice(list, func(i, j int) bool {
		if list[i].step != list[j].step {
			return list[i].step < list[j].step
		}
		return list[i].turn[0] < list[j].turn[0] || list[i].turn[0] == list[j].turn[0] && list[i].turn[1] < list[j].turn[1]
	})
	for _, o := range b.beside {
		printed, met := false, map[int]bool{}
		for i := range list {
			s := &list[i]
			box := b.turned(o, s.turn)
			for _, k := range b.onBed {
				if !met[k] && box.meets(newBox(b.card.Obstacles[k])) {
					met[k] = true
					found = append(found, Beside{Obstacle: o, OnBed: k, Line: s.line, At: box.c})
				}
			}
			if printed {
				continue
			}
			if at, hit := b.printed.meets(&box, s.step); hit {
				printed = true
				found = append(found, Beside{Obstacle: o, OnBed: -1, Line: s.line, At: at})
			}
		}
	}
	return found
}

// turned returns an obstacle that stands still, as the part sees it.
func (b *BedSweep) turned(o int, t machine.Turn) turnedBox {
	box := newBox(b.card.Obstacles[o])
	out := turnedBox{c: b.card.ToPart(t, box.c)}
	for i, d := range [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}} {
		out.axes[i] = r3.Sub(b.card.ToPart(t, r3.Add(box.c, d)), out.c)
	}
	out.h = [3]float64{box.h.X + besideMargin, box.h.Y + besideMargin, box.h.Z + besideMargin}
	return out
}

// turnedBox is a box in any stand.
type turnedBox struct {
	c    r3.Vec
	axes [3]r3.Vec // unit vectors
	h    [3]float64
}

// meets reports that it meets an axis-parallel box: none of the fifteen directions
// separates them (Gottschalk, Lin, Manocha, OBBTree, SIGGRAPH 1996, from memory).
func (t *turnedBox) meets(b box) bool {
	d := r3.Sub(b.c, t.c)
	apart := func(n r3.Vec) bool {
		reach := math.Abs(n.X)*b.h.X + math.Abs(n.Y)*b.h.Y + math.Abs(n.Z)*b.h.Z
		for i, a := range t.axes {
			reach += math.Abs(r3.Dot(n, a)) * t.h[i]
		}
		return math.Abs(r3.Dot(n, d)) > reach
	}
	for _, e := range [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}} {
		if apart(e) {
			return false
		}
		for _, a := range t.axes {
			if n := r3.Cross(e, a); r3.Norm2(n) > 1e-12 && apart(n) {
				return false
			}
		}
	}
	return !apart(t.axes[0]) && !apart(t.axes[1]) && !apart(t.axes[2])
}

// printed is what is printed, in cells of printedCell and in cells of twice, four
// times ... that edge, each with the first step that laid something there.
type printed struct {
	levels []map[[3]int32]int
}

const printedLevels = 9 // the greatest cells are 256 mm

func newPrinted() printed {
	p := printed{levels: make([]map[[3]int32]int, printedLevels)}
	for i := range p.levels {
		p.levels[i] = map[[3]int32]int{}
	}
	return p
}

// lay adds a bead along a straight way.
func (p *printed) lay(a, b r3.Vec, step int) {
	n := int(r3.Norm(r3.Sub(b, a))/(printedCell/2)) + 1
	for k := range n + 1 {
		at := r3.Add(a, r3.Scale(float64(k)/float64(n), r3.Sub(b, a)))
		edge := printedCell
		for i := range p.levels {
			key := [3]int32{int32(math.Floor(at.X / edge)), int32(math.Floor(at.Y / edge)), int32(math.Floor(at.Z / edge))}
			if _, ok := p.levels[i][key]; ok {
				break // and so in all that hold it
			}
			p.levels[i][key] = step
			edge *= 2
		}
	}
}

// meets finds a cell that was laid in a step or earlier and that a box meets.
func (p *printed) meets(t *turnedBox, step int) (at r3.Vec, ok bool) {
	top := printedLevels - 1
	for key := range p.levels[top] {
		if at, ok := p.inside(t, step, top, key); ok {
			return at, true
		}
	}
	return at, false
}

func (p *printed) inside(t *turnedBox, step, level int, key [3]int32) (at r3.Vec, ok bool) {
	first, laid := p.levels[level][key]
	if !laid || first > step {
		return at, false
	}
	half := printedCell * float64(int(1)<<level) / 2
	b := box{c: r3.Vec{X: (2*float64(key[0]) + 1) * half, Y: (2*float64(key[1]) + 1) * half, Z: (2*float64(key[2]) + 1) * half}, h: r3.Vec{X: half, Y: half, Z: half}}
	if !t.meets(b) {
		return at, false
	}
	if level == 0 {
		return b.c, true
	}
	for k := range int32(8) {
		if at, ok := p.inside(t, step, level-1, [3]int32{2*key[0] + k&1, 2*key[1] + k>>1&1, 2*key[2] + k>>2&1}); ok {
			return at, true
		}
	}
	return at, false
}
