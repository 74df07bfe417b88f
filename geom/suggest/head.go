package suggest

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/machine"
)

const (
	maxTips   = 600  // places at which the head is tried
	maxBlocks = 5000 // places that stand for what is printed
	// headSlack is how deep, mm, a place may lie in the head before it counts:
	// a shell's thickness, by which places of one shell differ, and rounding.
	headSlack = 0.1
)

// head tries the machine's head against what is printed before.
type head struct {
	card    *machine.Card
	profile [][2]float64 // distance from the tip, radius
	boxes   []machine.Box
	far     float64
	wide2   float64  // square of the greatest radius
	lowest  float64  // least height over the tip that any of it reaches
	places  []r3.Vec // of the part's surface, lowest first
	solid   []r3.Vec // obstacles, there from the start
}

func newHead(card *machine.Card, vertices []r3.Vec) *head {
	h := &head{card: card, profile: card.Head.Profile}
	if n := len(h.profile); n > 0 {
		h.far = h.profile[n-1][0]
	}
	for _, p := range h.profile {
		h.wide2 = math.Max(h.wide2, p[1]*p[1])
	}
	h.boxes = card.HeadSeen().Boxes
	h.reachDown(0)
	if card.Leans() {
		const steps = 16
		for i := range steps + 1 {
			h.reachDown(card.LeanOn(math.Pi / 2 * float64(i) / steps))
		}
	}
	h.places = spread(vertices)
	sort.SliceStable(h.places, func(i, j int) bool { return h.places[i].Z < h.places[j].Z })
	for _, i := range card.ObstaclesInPart() {
		h.solid = append(h.solid, boxPlaces(card.Obstacles[i])...)
	}
	return h
}

// reachDown lowers what any of the head reaches to where it leans by so much, radians.
func (h *head) reachDown(lean float64) {
	axis := h.card.Axis(machine.Pose{Lean: lean})
	for _, p := range h.profile {
		h.lowest = math.Min(h.lowest, p[0]*axis.Z-p[1]*axis.X)
	}
	for i := range h.boxes {
		b := h.boxes[i].Leaning(lean)
		h.lowest = math.Min(h.lowest, b.Min[2])
	}
}

// spread returns some of the vertices, no two in one cell of a grid, which is
// as fine as maxBlocks allows.
func spread(vertices []r3.Vec) []r3.Vec {
	for cell := leastEdge; ; cell *= 1.25 {
		seen := make(map[[3]int32]bool, maxBlocks)
		var out []r3.Vec
		for _, v := range vertices {
			key := [3]int32{int32(math.Floor(v.X / cell)), int32(math.Floor(v.Y / cell)), int32(math.Floor(v.Z / cell))}
			if seen[key] {
				continue
			}
			if seen[key] = true; len(out) == maxBlocks {
				out = nil
				break
			}
			out = append(out, v)
		}
		if out != nil || len(vertices) == 0 {
			return out
		}
	}
}

// boxPlaces returns a grid of places on a box.
func boxPlaces(b machine.Box) []r3.Vec {
	const n = 6
	var out []r3.Vec
	at := func(k, i int) float64 { return b.Min[k] + (b.Max[k]-b.Min[k])*float64(i)/n }
	for i := range n + 1 {
		for j := range n + 1 {
			for k := range n + 1 {
				if i%n == 0 || j%n == 0 || k%n == 0 {
					out = append(out, r3.Vec{X: at(0, i), Y: at(1, j), Z: at(2, k)})
				}
			}
		}
	}
	return out
}

// zoneSpan tells what a zone is to the head: what holds, and what was printed
// before it.
type zoneSpan struct {
	in     func(p r3.Vec) bool // places of the zone
	before func(p r3.Vec) bool // places of zones printed earlier
}

// depth returns how deep the head comes into what is printed while it prints a
// zone with field f: 0 where it clears. If hasty, it returns the first depth
// that counts. words reports whether every tip is within the machine's travel.
func (h *head) depth(f *field.Field, z zoneSpan, layer float64, hasty bool) (deepest float64, words bool) {
	var own, earlier []block
	for _, p := range h.places {
		switch {
		case z.in(p):
			own = append(own, block{p, f.Warp(p).Z})
		case z.before(p):
			earlier = append(earlier, block{p, math.Inf(-1)})
		}
	}
	for _, p := range h.solid {
		earlier = append(earlier, block{p, math.Inf(-1)})
	}
	slices.SortStableFunc(own, func(a, b block) int { return cmp.Compare(a.shell, b.shell) })
	words = true
	step := math.Max(1, float64(len(own))/maxTips)
	for k := 0.0; int(k) < len(own); k += step {
		i := int(k)
		tip := own[i].at
		azimuth, ok := f.Azimuth(r2.Vec{X: tip.X, Y: tip.Y})
		if !ok {
			azimuth = 0
		}
		g, _ := f.Grad(r2.Vec{X: tip.X, Y: tip.Y})
		stands := machine.Pose{Tip: tip, Azimuth: azimuth, Lean: h.card.LeanOn(math.Atan(r2.Norm(g)))}
		words = words && within(h.card, h.card.Words(stands))
		laid := sort.Search(len(own), func(j int) bool { return own[j].shell > own[i].shell-layer })
		pose := newPose(h, stands)
		deepest = math.Max(deepest, math.Max(pose.depth(own[:laid]), pose.depth(earlier)))
		if hasty && (deepest >= headSlack || !words) {
			break
		}
	}
	if deepest < headSlack {
		deepest = 0
	}
	return deepest, words
}

// block is a place of what is printed, and its shell.
type block struct {
	at    r3.Vec
	shell float64
}

// pose is the head at one place.
type pose struct {
	*head
	tip      r3.Vec
	axis     r3.Vec
	sin, cos float64 // of the azimuth
	sl, cl   float64 // of the lean
}

func newPose(h *head, stands machine.Pose) *pose {
	p := &pose{head: h, tip: stands.Tip, axis: h.card.Axis(stands)}
	p.sin, p.cos = math.Sincos(stands.Azimuth)
	p.sl, p.cl = math.Sincos(stands.Lean)
	if !h.card.Swivels() {
		p.sin, p.cos = 0, 1
	}
	return p
}

// depth returns how deep the deepest of the blocks lies in the head.
func (p *pose) depth(blocks []block) float64 {
	deepest, free2 := 0.0, p.card.Head.TipFree*p.card.Head.TipFree
	for i := range blocks {
		q := &blocks[i].at
		dz := q.Z - p.tip.Z
		if dz < p.lowest {
			continue
		}
		dx, dy := q.X-p.tip.X, q.Y-p.tip.Y
		along := dx*p.axis.X + dy*p.axis.Y + dz*p.axis.Z
		n2 := dx*dx + dy*dy + dz*dz
		if across2 := n2 - along*along; along > 0 && along < p.far && across2 < p.wide2 && n2 > free2 {
			if r := p.radius(along); across2 < r*r {
				if d := r - math.Sqrt(math.Max(0, across2)); d > deepest {
					deepest = d
				}
			}
		}
		for k := range p.boxes {
			b := &p.boxes[k]
			x, y := dx*p.cos+dy*p.sin, dy*p.cos-dx*p.sin
			x, z := x*p.cl-dz*p.sl, x*p.sl+dz*p.cl
			if z <= b.Min[2] {
				continue
			}
			if in := min(x-b.Min[0], b.Max[0]-x, y-b.Min[1], b.Max[1]-y, z-b.Min[2], b.Max[2]-z); in > deepest {
				deepest = in
			}
		}
	}
	return deepest
}

// radius returns the head's radius at a distance from the tip along its axis.
func (h *head) radius(along float64) float64 {
	for k := 1; k < len(h.profile); k++ {
		if a, b := h.profile[k-1], h.profile[k]; along <= b[0] {
			if b[0] == a[0] {
				return math.Max(a[1], b[1])
			}
			return a[1] + (b[1]-a[1])*(along-a[0])/(b[0]-a[0])
		}
	}
	return 0
}

// underBed returns how far the head's lower side reaches under the tip's own
// rim, mm, when the tip is as low as the bed allows.
func (h *head) underBed(r *reach) float64 {
	sin, cos := math.Sincos(r.tilt(math.Max(r.hi, 0)) * math.Pi / 180)
	deepest := 0.0
	rim := h.card.RimRadius() * sin
	for _, p := range h.profile {
		deepest = math.Max(deepest, p[1]*sin-p[0]*cos-rim)
	}
	return deepest
}
