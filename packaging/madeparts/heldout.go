package madeparts

import (
	"fmt"
	"math"
	"math/rand"

	"gonum.org/v1/gonum/spatial/r3"
)

// Solid is a part that nobody tuned a plan to.
type Solid struct {
	Name string
	Mesh Mesh
}

func v(x, y, z float64) r3.Vec { return r3.Vec{X: x, Y: y, Z: z} }

// HeldOut lists sixty parts: shelves, bowls, pipes, tees, Y walls, I-beams, hooks,
// claws, hands, figures, blobs. The same ones each time.
func HeldOut() []Solid {
	var all []Solid
	kinds := []struct {
		name  string
		count int
		make  func(r *rand.Rand) Shape
	}{
		{"shelf", 6, shelf}, {"bowl", 5, bowlShape}, {"pipe", 6, pipe}, {"tee", 5, tee}, {"y-wall", 6, yWall}, {"i-beam", 5, iBeam},
		{"hook", 6, hook}, {"claw", 5, claw}, {"hand", 5, hand}, {"figure", 6, figure}, {"blob", 5, blob},
	}
	for _, k := range kinds {
		for i := range k.count {
			random := rand.New(rand.NewSource(int64(100*len(k.name) + i)))
			mesh := Surface(k.make(random), v(-26, -26, 0), v(26, 26, 42), 0.8)
			all = append(all, Solid{fmt.Sprintf("%s-%d", k.name, i+1), mesh})
		}
	}
	return all
}

func between(r *rand.Rand, low, high float64) float64 { return low + (high-low)*r.Float64() }

func shelf(r *rand.Rand) Shape {
	h, w := between(r, 10, 20), between(r, 10, 20)
	return Blend(between(r, 0.5, 3), Block(v(-5, -8, -2), v(5, 8, h), 1), Block(v(-w, -9, h-2), v(w*r.Float64(), 9, h+2), 1))
}

func bowlShape(r *rand.Rand) Shape {
	R := between(r, 12, 18)
	c := v(0, 0, R-between(r, 1, 4))
	cup := Without(Ball(c, R), Ball(c, R-between(r, 2, 4)))
	top := Block(v(-30, -30, c.Z), v(30, 30, c.Z+40), 0)
	return Without(cup, top)
}

func pipe(r *rand.Rand) Shape {
	bend := between(r, 4, 14)
	a, b, c := v(-bend, 0, -2), v(-bend/2, 0, 16), v(between(r, 4, 14), between(r, -6, 6), 28)
	R := between(r, 4.5, 6)
	return Without(Blend(2, Limb(a, b, R, R), Limb(b, c, R, R)), Blend(1, Limb(v(a.X, 0, -9), b, R-2, R-2), Limb(b, r3.Add(c, r3.Sub(c, b)), R-2, R-2)))
}

func tee(r *rand.Rand) Shape {
	h := between(r, 12, 22)
	return Blend(between(r, 0.3, 4), Limb(v(0, 0, -2), v(0, 0, h), 5, 4), Limb(v(-between(r, 8, 18), 0, h), v(between(r, 8, 18), between(r, -4, 4), h), 3.5, 3.5))
}

func yWall(r *rand.Rand) Shape {
	var arms []Shape
	turn, many := between(r, 0, 360), 3+r.Intn(2)
	for i := range many {
		sin, cos := math.Sincos((turn + float64(i)*360/float64(many)) * math.Pi / 180)
		l := between(r, 10, 20)
		for z := 0.0; z <= 14; z += 2 {
			lean := 1 + z/14*between(r, 0, 0.2)
			arms = append(arms, Limb(v(0, 0, z), v(lean*l*cos, lean*l*sin, z), 2, 2))
		}
	}
	return Blend(0.5, arms...)
}

func iBeam(r *rand.Rand) Shape {
	w, h := between(r, 8, 15), between(r, 14, 26)
	return Blend(0.5, Block(v(-w, -20, -2), v(w, 20, 3), 0.3), Block(v(-2, -20, 0), v(2, 20, h), 0.3), Block(v(-between(r, 8, 15), -20, h-2), v(between(r, 8, 15), 20, h+2), 0.3))
}

func hook(r *rand.Rand) Shape {
	parts := []Shape{Limb(v(0, 0, -2), v(0, 0, 14), 4, 3.5)}
	R, turn := between(r, 6, 10), between(r, 140, 250)
	last := v(0, 0, 14)
	for a := 20.0; a <= turn; a += 20 {
		sin, cos := math.Sincos(a * math.Pi / 180)
		next := v(R-R*cos, 0, 14+R*sin)
		parts = append(parts, Limb(last, next, 3.5, 3.5))
		last = next
	}
	return Blend(1, parts...)
}

func claw(r *rand.Rand) Shape {
	parts := []Shape{Limb(v(0, 0, -3), v(0, 0, 8), 7, 6)}
	many := 3 + r.Intn(3)
	for i := range many {
		sin, cos := math.Sincos(float64(i) * 2 * math.Pi / float64(many))
		out, up := between(r, 9, 16), between(r, 14, 20)
		parts = append(parts, Limb(v(0, 0, 7), v(out*cos, out*sin, up), 3, 2.5), Limb(v(out*cos, out*sin, up), v(out*0.6*cos, out*0.6*sin, up+between(r, 6, 12)), 2.5, 1.5))
	}
	return Blend(1.5, parts...)
}

func hand(r *rand.Rand) Shape {
	parts := []Shape{Limb(v(0, 0, -3), v(0, 0, 10), 6, 6), Block(v(-9, -3.5, 8), v(9, 3.5, 20), 3)}
	for i := range 4 {
		x := -7 + 4.6*float64(i)
		parts = append(parts, Limb(v(x, 0, 19), v(x*between(r, 1, 1.6), between(r, -5, 5), between(r, 28, 36)), 2.2, 1.8))
	}
	parts = append(parts, Limb(v(8, 0, 12), v(17, between(r, -3, 3), between(r, 14, 22)), 2.5, 2))
	return Blend(1.5, parts...)
}

func figure(r *rand.Rand) Shape {
	hip, neck := v(0, 0, 13), v(between(r, -3, 3), between(r, -2, 2), 26)
	parts := []Shape{
		Limb(v(-5, 0, -2), r3.Add(hip, v(-2, 0, 0)), 3.5, 3.5), Limb(v(5, between(r, -3, 3), -2), r3.Add(hip, v(2, 0, 0)), 3.5, 3.5),
		Limb(hip, neck, 5, 4), Ball(r3.Add(neck, v(0, between(r, -2, 2), 6)), 4.5),
	}
	for _, side := range []float64{-1, 1} {
		elbow := v(side*between(r, 9, 13), between(r, -3, 3), between(r, 18, 27))
		parts = append(parts, Limb(neck, elbow, 2.5, 2), Limb(elbow, r3.Add(elbow, v(side*between(r, -2, 6), between(r, -3, 3), between(r, -4, 8))), 2, 2))
	}
	return Blend(2, parts...)
}

func blob(r *rand.Rand) Shape {
	parts := []Shape{Ball(v(0, 0, 5), 8)}
	for range 5 {
		parts = append(parts, Ball(v(between(r, -12, 12), between(r, -12, 12), between(r, 5, 24)), between(r, 4, 9)))
	}
	return Blend(5, parts...)
}
