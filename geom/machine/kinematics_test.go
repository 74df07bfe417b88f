package machine

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"
	"gonum.org/v1/gonum/spatial/r3"
)

// matrixOf returns the 4 x 4 matrix that turns about an axis through a point:
// written from CONTRACT's `rotary`, apart from the code that it checks (outer
// products in place of Rodrigues' formula).
func matrixOf(a *Rotary, word float64) *mat.Dense {
	v := a.Sense * (word - a.Zero) * math.Pi / 180
	n := math.Sqrt(a.About[0]*a.About[0] + a.About[1]*a.About[1] + a.About[2]*a.About[2])
	u := [3]float64{a.About[0] / n, a.About[1] / n, a.About[2] / n}
	cross := [3][3]float64{{0, -u[2], u[1]}, {u[2], 0, -u[0]}, {-u[1], u[0], 0}}
	m := mat.NewDense(4, 4, nil)
	for i := range 3 {
		shift := a.At[i]
		for j := range 3 {
			r := u[i]*u[j]*(1-math.Cos(v)) + cross[i][j]*math.Sin(v)
			if i == j {
				r += math.Cos(v)
			}
			m.Set(i, j, r)
			shift -= r * a.At[j]
		}
		m.Set(i, 3, shift)
	}
	m.Set(3, 3, 1)
	return m
}

// byMatrices returns tip and nozzle in the part's frame by 4 x 4 matrices.
func byMatrices(c *Card, w Words) (tip, axis r3.Vec) {
	head, bed := identity(), identity()
	for i, a := range c.Turning() {
		m := matrixOf(&a, w.Turn[i])
		if a.On == OnBed {
			bed.Mul(mat.DenseCopyOf(bed), m)
		} else {
			head.Mul(mat.DenseCopyOf(head), m)
		}
	}
	linear := identity()
	x, y, z := [3]float64{1, 0, 0}, [3]float64{0, 1, 0}, [3]float64{0, 0, 1}
	if c.Linear != nil {
		x, y, z = c.Linear.X, c.Linear.Y, c.Linear.Z
	}
	for i := range 3 {
		linear.Set(i, 3, w.X*x[i]+w.Y*y[i]+w.Z*z[i])
	}
	var back, all mat.Dense
	if err := back.Inverse(bed); err != nil {
		panic(err)
	}
	all.Mul(&back, linear)
	all.Mul(mat.DenseCopyOf(&all), head)
	t := c.tipAtZero()
	tilt := c.Head.Tilt * math.Pi / 180
	var p, d mat.VecDense
	p.MulVec(&all, mat.NewVecDense(4, []float64{t.X, t.Y, t.Z, 1}))
	d.MulVec(&all, mat.NewVecDense(4, []float64{math.Sin(tilt), 0, math.Cos(tilt), 0}))
	return r3.Vec{X: p.AtVec(0), Y: p.AtVec(1), Z: p.AtVec(2)}, r3.Vec{X: d.AtVec(0), Y: d.AtVec(1), Z: d.AtVec(2)}
}

func identity() *mat.Dense {
	m := mat.NewDense(4, 4, nil)
	for i := range 4 {
		m.Set(i, i, 1)
	}
	return m
}

func anyUnit(rng *rand.Rand) r3.Vec {
	for {
		v := r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}
		if n := r3.Norm(v); n > 0.1 {
			return r3.Scale(1/n, v)
		}
	}
}

func list(v r3.Vec) [3]float64 { return [3]float64{v.X, v.Y, v.Z} }

// anyCard makes a card with up to two turning axes anywhere and linear axes that
// aren't square.
func anyCard(rng *rand.Rand) *Card {
	for {
		c := Defaults()
		c.Head.Tilt = rng.Float64() * 60
		c.Head.Tip = [3]float64{rng.NormFloat64() * 20, rng.NormFloat64() * 20, -rng.Float64() * 80}
		for i := range rng.IntN(MostTurning + 1) {
			c.Rotary = append(c.Rotary, Rotary{
				Letter: "BC"[i : i+1], On: []string{OnHead, OnBed}[rng.IntN(2)], About: list(anyUnit(rng)),
				At:    [3]float64{rng.NormFloat64() * 100, rng.NormFloat64() * 100, rng.NormFloat64() * 30},
				Sense: float64(1 - 2*rng.IntN(2)), Zero: rng.NormFloat64() * 40, MaxSpeed: 180, MaxAccel: 1000,
			})
		}
		if rng.IntN(2) == 0 {
			c.Linear = &Linear{list(anyUnit(rng)), list(anyUnit(rng)), list(anyUnit(rng))}
		}
		if c.Check() == nil {
			return &c
		}
	}
}

func anyWords(rng *rand.Rand, k *Kinematics) Words {
	w := Words{X: rng.NormFloat64() * 100, Y: rng.NormFloat64() * 100, Z: rng.NormFloat64() * 100}
	for i := range k.axes {
		w.Turn[i] = rng.Float64()*720 - 360
	}
	return w
}

func apart(a, b r3.Vec) float64 { return r3.Norm(r3.Sub(a, b)) }

func TestWordsAndStandsAreThoseOfMatrices(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 3000 {
		c := anyCard(rng)
		k := NewKinematics(c)
		w := anyWords(rng, k)
		s := k.Stand(w)
		tip, axis := byMatrices(c, w)
		if apart(s.Tip, tip) > 1e-9*(1+r3.Norm(tip)) || apart(s.Axis, axis) > 1e-9 {
			t.Fatalf("%+v at %+v: tip %v axis %v, by matrices %v %v", c.Rotary, w, s.Tip, s.Axis, tip, axis)
		}
		back := k.Words(tip, w.Turn)
		if apart(r3.Vec{X: back.X, Y: back.Y, Z: back.Z}, r3.Vec{X: w.X, Y: w.Y, Z: w.Z}) > 1e-8*(1+math.Abs(w.X)+math.Abs(w.Y)+math.Abs(w.Z)) {
			t.Fatalf("words %+v came back as %+v", w, back)
		}
	}
}

// A direction that the axes can reach is reached on either side, and the side is
// told again.
func TestReachableDirectionsAreReachedOnBothSides(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for range 5000 {
		c := anyCard(rng)
		k := NewKinematics(c)
		w := anyWords(rng, k)
		wanted := k.Axis(w.Turn)
		if len(k.axes) == 0 {
			continue
		}
		hit := math.Inf(1)
		for _, side := range []Side{Left, Right}[:k.Sides()] {
			turns, ok := k.Turns(wanted, side, w.Turn)
			if !ok || apart(k.Axis(turns), wanted) > 1e-6 {
				t.Fatalf("%+v: wanted %v, side %d gives %v (%v)", c.Rotary, wanted, side, k.Axis(turns), ok)
			}
			for i := range k.axes {
				if math.Abs(turns[i]-w.Turn[i]) > 180+1e-9 {
					t.Fatalf("axis %d turns from %v to %v", i, w.Turn[i], turns[i])
				}
			}
			if k.Side(turns) != side && k.Sides() == 2 && math.Abs(float64(k.Side(w.Turn))) != 0 {
				v := r3.Cross(k.chain[0].about, k.chain[1].about)
				in := &k.chain[1]
				at := turn(k.nozzle, in.about, in.sign*k.axes[in.axis].angle(turns[in.axis]))
				if math.Abs(r3.Dot(v, at)) > 1e-6 {
					t.Fatalf("side %d is told as %d", side, k.Side(turns))
				}
			}
			hit = math.Min(hit, math.Abs(turns[0]-w.Turn[0])+math.Abs(turns[1]-w.Turn[1]))
		}
		if hit > 0.01 {
			sin := r3.Norm(r3.Cross(wanted, k.chain[0].about))
			if sin > 1e-3 && r3.Norm(r3.Cross(k.nozzle, k.chain[k.links-1].about)) > 1e-3 {
				t.Fatalf("%+v: neither side leads back to %v", c.Rotary, w.Turn)
			}
		}
	}
}

// A general solver that knows only the matrices finds nothing nearer.
func TestNoSolverComesNearer(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	poses := 10000
	if testing.Short() {
		poses = 300
	}
	for range poses {
		c := anyCard(rng)
		k := NewKinematics(c)
		if len(k.axes) == 0 {
			continue
		}
		wanted := anyUnit(rng)
		turns, ok := k.Turns(wanted, Left, Turn{})
		if !ok {
			t.Fatalf("axes without end don't reach: %+v", c.Rotary)
		}
		_, axis := byMatrices(c, Words{Turn: turns})
		got := math.Acos(math.Min(1, r3.Dot(axis, wanted)))
		best := solve(c, wanted, len(k.axes), rng)
		if got > best+1e-5 {
			t.Fatalf("%+v, tilt %v, wanted %v: %v off, the solver finds %v", c.Rotary, c.Head.Tilt, wanted, got, best)
		}
	}
}

// solve returns the least angle between nozzle and wanted that Nelder and Mead's
// method finds from a few starts, radians.
func solve(c *Card, wanted r3.Vec, axes int, rng *rand.Rand) float64 {
	off := func(x []float64) float64 {
		var w Words
		copy(w.Turn[:], x)
		_, axis := byMatrices(c, w)
		return apart(axis, wanted)
	}
	best := math.Inf(1)
	for range 2 {
		x := make([]float64, axes)
		for i := range x {
			x[i] = rng.Float64() * 360
		}
		r, err := optimize.Minimize(optimize.Problem{Func: off}, x, &optimize.Settings{FuncEvaluations: 300}, &optimize.NelderMead{SimplexSize: 40})
		if err == nil || r != nil {
			best = min(best, r.F)
		}
	}
	return 2 * math.Asin(min(1, best/2))
}

func TestAnAxisStaysInItsRange(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for range 5000 {
		c := anyCard(rng)
		for i := range c.Rotary {
			if rng.IntN(3) > 0 {
				z := c.Rotary[i].Zero
				c.Rotary[i].Range = &[2]float64{z - rng.Float64()*200, z + rng.Float64()*200}
			}
		}
		k := NewKinematics(c)
		wanted := anyUnit(rng)
		for _, side := range []Side{Left, Right}[:k.Sides()] {
			turns, ok := k.Turns(wanted, side, k.Home())
			for i := range k.axes {
				if !k.axes[i].inRange(turns[i]) {
					t.Fatalf("axis %d at %v leaves %v", i, turns[i], k.axes[i].Range)
				}
			}
			if ok {
				continue
			}
			d := r3.Dot(k.Axis(turns), wanted)
			for range 40 { // nothing in range is nearer
				var try Turn
				for i := range k.axes {
					r := k.axes[i].Range
					if r == nil {
						r = &[2]float64{0, 360}
					}
					try[i] = r[0] + rng.Float64()*(r[1]-r[0])
				}
				free, _ := k.Turns(wanted, side, try)
				_ = free
				if len(k.axes) == 1 && r3.Dot(k.Axis(try), wanted) > d+1e-9 {
					t.Fatalf("%+v: %v is nearer than %v", c.Rotary, try, turns)
				}
			}
		}
	}
}

// The old swivel and the same as `rotary` are one machine.
func TestASwivelIsOneAxisOfTheHead(t *testing.T) {
	swivel, _ := Builtin("swivel-45")
	rotary := *swivel
	rotary.Swivel = nil
	rotary.Rotary = []Rotary{{Letter: "C", On: OnHead, About: [3]float64{0, 0, 1}, Sense: 1, MaxSpeed: 360, MaxAccel: 3000}}
	a, b := NewKinematics(swivel), NewKinematics(&rotary)
	rng := rand.New(rand.NewPCG(9, 10))
	for range 1000 {
		wanted := anyUnit(rng)
		ta, _ := a.Turns(wanted, Left, Turn{77})
		tb, _ := b.Turns(wanted, Left, Turn{77})
		azimuth := math.Atan2(wanted.Y, wanted.X) * 180 / math.Pi
		if ta != tb || math.Abs(math.Remainder(ta[0]-azimuth, 360)) > 1e-9 {
			t.Fatalf("%v and %v, azimuth %v", ta, tb, azimuth)
		}
		if s, p := a.Stand(Words{X: 1, Y: 2, Z: 3, Turn: ta}), swivel.Pose(Words{X: 1, Y: 2, Z: 3, Turn: ta}); apart(s.Tip, p.Tip) > 1e-12 ||
			apart(s.Axis, swivel.NozzleAxis(p.Azimuth)) > 1e-12 {
			t.Fatalf("stand %+v, pose %+v", s, p)
		}
	}
}

// cards are one of each kind of machine, with numbers of ours.
func cards() map[string]*Card {
	turn := func(letter, on string, about, at [3]float64) Rotary {
		return Rotary{Letter: letter, On: on, About: about, At: at, Sense: 1, MaxSpeed: 180, MaxAccel: 1200}
	}
	x, y, z := [3]float64{1, 0, 0}, [3]float64{0, 1, 0}, [3]float64{0, 0, 1}
	list := map[string]*Card{}
	for _, name := range BuiltinNames() {
		list[name], _ = Builtin(name)
	}
	add := func(name, from string, tip [3]float64, linear *Linear, axes ...Rotary) {
		c := *list[from]
		c.Name, c.Swivel, c.Rotary, c.Linear, c.Head.Tip = name, nil, axes, linear, tip
		list[name] = &c
	}
	add("turning-bed-45", "swivel-45", [3]float64{}, nil, turn("C", OnBed, z, [3]float64{125, 125, 0}))
	add("trunnion", "straight", [3]float64{}, nil, turn("A", OnBed, x, [3]float64{125, 125, 40}), turn("C", OnBed, z, [3]float64{125, 125, 0}))
	add("two-axis-head", "straight", [3]float64{0, 0, -60}, nil, turn("C", OnHead, z, [3]float64{}), turn("B", OnHead, y, [3]float64{}))
	add("head-and-bed", "straight", [3]float64{0, 0, -60}, nil, turn("B", OnHead, y, [3]float64{}), turn("C", OnBed, z, [3]float64{125, 125, 0}))
	add("belt-45", "swivel-45", [3]float64{}, &Linear{x, y, [3]float64{-math.Sqrt2 / 2, 0, math.Sqrt2 / 2}})
	return list
}

func TestEachKindOfMachineReachesItsShells(t *testing.T) {
	up, lean := r3.Vec{Z: 1}, r3.Unit(r3.Vec{X: 0.6, Y: 0.8, Z: 1})
	for _, c := range []struct {
		card   string
		wanted r3.Vec
		off    float64 // degrees
	}{
		{"swivel-45", lean, 0}, {"swivel-45", up, 45}, {"turning-bed-45", lean, 0}, {"trunnion", lean, 0}, {"trunnion", up, 0},
		{"two-axis-head", lean, 0}, {"two-axis-head", up, 0}, {"head-and-bed", lean, 0}, {"head-and-bed", up, 0},
		{"straight", up, 0}, {"belt-45", r3.Unit(r3.Vec{X: 1, Z: 1}), 0},
	} {
		k := NewKinematics(cards()[c.card])
		best := math.Inf(1)
		for _, side := range []Side{Left, Right}[:k.Sides()] {
			turns, _ := k.Turns(c.wanted, side, k.Home())
			best = min(best, math.Acos(min(1, r3.Dot(k.Axis(turns), c.wanted)))*180/math.Pi)
		}
		if math.Abs(best-c.off) > 1e-4 {
			t.Errorf("%s: %v degrees off %v, want %v", c.card, best, c.wanted, c.off)
		}
	}
}

func BenchmarkTurnsAndWords(b *testing.B) {
	k := NewKinematics(cards()["trunnion"])
	last := k.Home()
	for i := 0; b.Loop(); i++ {
		sin, cos := math.Sincos(float64(i) * 0.01)
		last, _ = k.Turns(r3.Vec{X: 0.7 * cos, Y: 0.7 * sin, Z: 0.714142842854285}, Left, last)
		k.Words(r3.Vec{X: 100 * cos, Y: 100 * sin, Z: 5}, last)
	}
}
