package unwarp

import (
	"math"
	"testing"

	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// inHead reports whether p, seen from the tip with the lean toward x, lies in
// the head: plainly, from the card's words.
func inHead(card *machine.Card, p r3.Vec) bool {
	axis := card.NozzleAxis(0)
	d := r3.Dot(p, axis)
	off := r3.Norm(r3.Sub(p, r3.Scale(d, axis)))
	h := &card.Head
	for i := 1; i < len(h.Profile); i++ {
		a, b := h.Profile[i-1], h.Profile[i]
		if d >= a[0] && d <= b[0] && off <= a[1]+(b[1]-a[1])*(d-a[0])/(b[0]-a[0]) {
			return true
		}
	}
	for _, b := range h.Boxes {
		if p.X >= b.Min[0] && p.X <= b.Max[0] && p.Y >= b.Min[1] && p.Y <= b.Max[1] && p.Z >= b.Min[2] && p.Z <= b.Max[2] {
			return true
		}
	}
	return false
}

// What the table calls clear is clear: no point of the head lies under the top
// of a bead's column.
func TestHeadClearsWhatTheTableSaysItClears(t *testing.T) {
	cards := map[string]*underside{}
	for _, name := range []string{"swivel-45", "straight"} {
		card, _ := machine.Builtin(name)
		cards[name] = newUnderside(card, 0)
	}
	clear := 0
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.SampledFrom([]string{"swivel-45", "straight"}).Draw(t, "card")
		card, _ := machine.Builtin(name)
		ground := newTerrain(card.Travel)
		var a, b r3.Vec
		for _, p := range []*r3.Vec{&a, &b} {
			*p = r3.Vec{X: rapid.Float64Range(80, 120).Draw(t, "x"), Y: rapid.Float64Range(80, 120).Draw(t, "y"), Z: rapid.Float64Range(1, 60).Draw(t, "z")}
		}
		ground.lay(a, b)
		tip := r3.Vec{X: 100, Y: 100, Z: rapid.Float64Range(0, 40).Draw(t, "tip z")}
		azimuth := rapid.Float64Range(-4, 4).Draw(t, "azimuth")
		if !cards[name].clears(ground.peaks(), tip, azimuth) {
			return
		}
		clear++
		sin, cos := math.Sincos(azimuth)
		for i := range 201 {
			p := r3.Sub(r3.Add(a, r3.Scale(float64(i)/200, r3.Sub(b, a))), tip)
			if math.Hypot(p.X, p.Y) < nearTip+1 {
				continue
			}
			for z := p.Z; z > -tip.Z; z -= 0.5 {
				if inHead(card, r3.Vec{X: p.X*cos + p.Y*sin, Y: p.Y*cos - p.X*sin, Z: z}) {
					t.Fatalf("%s: the head holds %v of the column under %v", name, z, p)
				}
			}
		}
	})
	if clear == 0 {
		t.Error("nothing was ever clear")
	}
}

func TestHeadLeaningAwayFromAWallIsClear(t *testing.T) {
	card, _ := machine.Builtin("swivel-45")
	u, ground := newUnderside(card, 0), newTerrain(card.Travel)
	for z := 1.0; z <= 40; z++ {
		ground.lay(r3.Vec{X: 90, Y: 80, Z: z}, r3.Vec{X: 90, Y: 120, Z: z})
	}
	if got := ground.at(r2.Vec{X: 90, Y: 100}); got != 40 {
		t.Errorf("the wall is %g mm high", got)
	}
	tip := r3.Vec{X: 96, Y: 100, Z: 5}
	if !u.clears(ground.peaks(), tip, 0) {
		t.Error("leaning away from the wall")
	}
	if u.clears(ground.peaks(), tip, math.Pi) {
		t.Error("leaning into the wall")
	}
}

func TestObstaclesStandOnTheTerrain(t *testing.T) {
	card, _ := machine.Builtin("swivel-45")
	ground := newTerrain(card.Travel)
	ground.block(&machine.Box{Min: [3]float64{-50, 10, 0}, Max: [3]float64{20, 30, 6}})
	for _, c := range []struct{ x, y, want float64 }{{0, 20, 6}, {20, 30, 6}, {21, 20, 0}, {10, 31, 0}} {
		if got := ground.at(r2.Vec{X: c.x, Y: c.y}); got != c.want {
			t.Errorf("at (%g, %g) stands %g, want %g", c.x, c.y, got, c.want)
		}
	}
}
