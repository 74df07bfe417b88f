package deposit_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"conewright/geom/deposit"
	"conewright/geom/field"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// brute lays points every 0.04 mm and asks all of them for each sample: slow and
// evidently right. It keeps everything and takes the middle of a bead from how
// the motion was made.
type brute struct {
	middles, normals, across []r3.Vec
	hanging, dig             float64
}

func (b *brute) rests(p, n r3.Vec) bool {
	// The bed: whether the lowest point of the cylinder under p reaches z = 0.
	if p.Z-2*shell*n.Z-0.6*width*math.Sqrt(1-n.Z*n.Z) <= 0 {
		return true
	}
	for _, q := range b.middles {
		v := r3.Sub(p, q)
		below := r3.Dot(v, n)
		if below >= 0.35*shell && below <= 2*shell && r3.Norm(r3.Sub(v, r3.Scale(below, n))) <= 0.6*width {
			return true
		}
	}
	return false
}

// deepest samples the flat tops across and asks which stand over the rim.
func (b *brute) deepest(tip, axis r3.Vec) (most float64) {
	for i, q := range b.middles {
		top := r3.Add(q, r3.Scale(shell/2, b.normals[i]))
		if r3.Norm2(r3.Sub(q, tip)) > 2*2 {
			continue
		}
		for k := -10; k <= 10; k++ {
			v := r3.Sub(r3.Add(top, r3.Scale(float64(k)/10*(width-shell)/2, b.across[i])), tip)
			high := r3.Dot(v, axis)
			if r3.Norm(r3.Sub(v, r3.Scale(high, axis))) <= rim {
				most = max(most, min(high, 2))
			}
		}
	}
	return most
}

// Random beads on the shells of a cone, laid by a nozzle that stands square or
// straight up, with enough travel between them that the nozzle's own path doesn't
// count.
func TestAgainstBruteForce(t *testing.T) {
	for seed := range uint64(4) {
		rnd := rand.New(rand.NewPCG(seed, 5))
		angle, square := 45*math.Pi/180, seed%2 == 0
		if !square {
			angle = 20 * math.Pi / 180
		}
		f := field.NewCone(angle, seed%3 == 0, r2.Vec{X: -30, Y: 4}, 0)
		h := shell / math.Cos(angle)
		j := deposit.New([]deposit.Zone{{Field: &f, LayerHeight: h, Width: width}}, rim)
		slow := &brute{}
		at, atAxis := r3.Vec{X: 50, Z: 50}, upright
		for bead := range 40 {
			// A line of 8 to 13 mm on one of the shells, in pieces of 1 mm in plan.
			c := f.At(r2.Vec{X: 4, Y: 4}) + 6 + h*float64(bead/8)
			a, turn := r2.Vec{X: rnd.Float64() * 4, Y: rnd.Float64() * 5}, rnd.Float64()*0.3
			var middles []r3.Vec
			for i := range 8 + rnd.IntN(6) {
				p := r2.Vec{X: a.X + float64(i)*math.Cos(turn), Y: a.Y + float64(i)*math.Sin(turn)}
				middles = append(middles, r3.Vec{X: p.X, Y: p.Y, Z: c - f.At(p)})
			}
			pose := func(m r3.Vec) (tip, axis r3.Vec) {
				if square {
					n := f.Normal(r2.Vec{X: m.X, Y: m.Y})
					return r3.Add(m, r3.Scale(shell/2, n)), n
				}
				return r3.Add(m, r3.Vec{Z: h / 2}), upright
			}
			tip, axis := pose(middles[0])
			high := r3.Add(tip, r3.Scale(20, axis))
			j.Add(&deposit.Move{From: at, To: high, FromAxis: atAxis, ToAxis: axis})
			j.Add(&deposit.Move{From: high, To: tip, FromAxis: axis, ToAxis: axis})
			for _, m := range middles[1:] {
				next, nextAxis := pose(m)
				j.Add(&deposit.Move{From: tip, To: next, FromAxis: axis, ToAxis: nextAxis, Lays: true})
				tip, axis = next, nextAxis
			}
			slow.bead(middles, &f, pose)
			at, atAxis = r3.Add(tip, r3.Scale(20, axis)), axis
			j.Add(&deposit.Move{From: tip, To: at, FromAxis: axis, ToAxis: axis})
		}
		r := j.Report()
		if slow.hanging < 50 || math.Abs(r.Hanging-slow.hanging) > 0.05*slow.hanging {
			t.Errorf("seed %d: %.1f mm hang, by brute force %.1f", seed, r.Hanging, slow.hanging)
		}
		if d := r.Digs.Deepest.Depth; math.Abs(d-slow.dig) > 0.015 || !square && d < 0.1 {
			t.Errorf("seed %d: the rim digs %.3f mm, by brute force %.3f", seed, d, slow.dig)
		}
	}
}

// bead judges the bead along middles and lays it.
func (b *brute) bead(middles []r3.Vec, f *field.Field, pose func(r3.Vec) (tip, axis r3.Vec)) {
	var laid brute
	ahead, run := 0.1, 0.0
	end := func() {
		if run > 5 {
			b.hanging += run
		}
		run = 0
	}
	for i := range len(middles) - 1 {
		d := r3.Sub(middles[i+1], middles[i])
		length := r3.Norm(d)
		for ; ahead < length; ahead += 0.2 {
			p := r3.Add(middles[i], r3.Scale(ahead/length, d))
			if b.rests(p, f.Normal(r2.Vec{X: p.X, Y: p.Y})) {
				end()
			} else {
				run += 0.2
			}
			b.dig = max(b.dig, b.deepest(pose(p)))
		}
		ahead -= length
		for s := 0.02; s < length; s += 0.04 {
			p := r3.Add(middles[i], r3.Scale(s/length, d))
			n := f.Normal(r2.Vec{X: p.X, Y: p.Y})
			laid.middles, laid.normals = append(laid.middles, p), append(laid.normals, n)
			laid.across = append(laid.across, r3.Unit(r3.Cross(n, d)))
		}
	}
	end()
	b.middles, b.normals, b.across = append(b.middles, laid.middles...), append(b.normals, laid.normals...), append(b.across, laid.across...)
}
