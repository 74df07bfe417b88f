package reading

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Range holds two limits; nil means none.
type Range *[2]float64

// Turning is a turning axis of a machine card.
type Turning struct {
	Letter   string     `json:"letter"`
	On       string     `json:"on"`
	About    [3]float64 `json:"about"`
	At       [3]float64 `json:"at"`
	Sense    float64    `json:"sense"`
	Zero     float64    `json:"zero"`
	Range    Range      `json:"range"`
	MaxSpeed float64    `json:"max_speed"`
	MaxAccel float64    `json:"max_accel"`
}

// Box is a box of the head, or on the bed.
type Box struct {
	Min [3]float64 `json:"min"`
	Max [3]float64 `json:"max"`
	On  string     `json:"on"`
}

// Machine is a machine card as run.json holds it.
type Machine struct {
	Name   string `json:"name"`
	Travel struct {
		X Range `json:"x"`
		Y Range `json:"y"`
		Z Range `json:"z"`
	} `json:"travel"`
	MaxSpeed struct {
		X float64 `json:"x"`
		Y float64 `json:"y"`
		Z float64 `json:"z"`
		E float64 `json:"e"`
	} `json:"max_speed"`
	Swivel *struct {
		Turning
		TipOffset [3]float64 `json:"tip_offset"`
	} `json:"swivel"`
	Rotary []Turning `json:"rotary"`
	Linear *struct {
		X [3]float64 `json:"x"`
		Y [3]float64 `json:"y"`
		Z [3]float64 `json:"z"`
	} `json:"linear"`
	Head struct {
		Tilt      float64      `json:"tilt"`
		OffSquare float64      `json:"off_square"`
		TipFree   float64      `json:"tip_free"`
		Profile   [][2]float64 `json:"profile"`
		Boxes     []Box        `json:"boxes"`
		Tip       [3]float64   `json:"tip"`
	} `json:"head"`
	Nozzle    float64 `json:"nozzle"`
	Filament  float64 `json:"filament"`
	MaxFlow   float64 `json:"max_flow"`
	Obstacles []Box   `json:"obstacles"`
	FeedBasis string  `json:"feed_basis"`
	CountsTo  float64 `json:"counts_to"`
	Decimals  struct {
		XYZ   int `json:"xyz"`
		Angle int `json:"angle"`
		E     int `json:"e"`
	} `json:"decimals"`
	Start string `json:"start"`
	End   string `json:"end"`
}

// Rim is the radius of the nozzle's flat.
func (m *Machine) Rim() float64 {
	if len(m.Head.Profile) == 0 {
		return 0
	}
	return m.Head.Profile[0][1]
}

// Turnings lists the turning axes; a swivel is one on the head about z.
func (m *Machine) Turnings() []Turning {
	if m.Swivel == nil {
		return m.Rotary
	}
	t := m.Swivel.Turning
	t.On, t.About = "head", [3]float64{0, 0, 1}
	return []Turning{t}
}

// Words are the values of the axes: linear ones, turning ones in the card's
// order, and filament.
type Words struct {
	XYZ  [3]float64
	Turn [2]float64
	E    float64
}

// Between is the words' values at share k of the way to w: machines go in
// straight lines in their words.
func (a Words) Between(b Words, k float64) Words {
	for i := range a.XYZ {
		a.XYZ[i] += k * (b.XYZ[i] - a.XYZ[i])
	}
	for i := range a.Turn {
		a.Turn[i] += k * (b.Turn[i] - a.Turn[i])
	}
	a.E += k * (b.E - a.E)
	return a
}

// Pose is where the tip is and how the nozzle stands: Back is the unit vector
// along the nozzle's axis, away from the tip. Part's frame.
type Pose struct {
	Tip, Back r3.Vec
}

// Kinematics gives poses of a card's words by 4 x 4 matrices. One at a time
// may use it.
type Kinematics struct {
	axes   []Turning
	linear [3]r3.Vec
	tip    *mat.VecDense
	back   *mat.VecDense
	turn   [2]float64 // the turning words that head and bed are for
	ready  bool
	head   *mat.Dense // of the head's axes, without the linear ones
	bed    *mat.Dense // the inverse of the bed's axes
	tool   [2]r3.Vec  // tip and back in the machine's frame, without the linear axes
}

// Kinematics makes a card's, or says what can't be used.
func (m *Machine) Kinematics() (*Kinematics, error) {
	k := &Kinematics{
		axes:   m.Turnings(),
		linear: [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}},
	}
	if len(k.axes) > 2 {
		return nil, fmt.Errorf("card %s has %d turning axes", m.Name, len(k.axes))
	}
	for _, a := range k.axes {
		if len(a.Letter) != 1 || !strings.Contains("ABCUVW", a.Letter) || (a.On != "head" && a.On != "bed") {
			return nil, fmt.Errorf("card %s: no such axis: %+v", m.Name, a)
		}
	}
	if l := m.Linear; l != nil {
		k.linear = [3]r3.Vec{vec(l.X), vec(l.Y), vec(l.Z)}
	}
	tip := m.Head.Tip
	if m.Swivel != nil {
		tip = m.Swivel.TipOffset
	}
	sin, cos := math.Sincos(m.Head.Tilt * math.Pi / 180)
	k.tip = mat.NewVecDense(4, []float64{tip[0], tip[1], tip[2], 1})
	k.back = mat.NewVecDense(4, []float64{sin, 0, cos, 0})
	return k, nil
}

// Climb is how far the words of X, Y and Z go while the head goes 1 mm straight up.
func (m *Machine) Climb() (climb [3]float64, err error) {
	if m.Linear == nil {
		return [3]float64{0, 0, 1}, nil
	}
	var directions mat.Dense
	directions.CloneFrom(mat.NewDense(3, 3, append(append(append([]float64{}, m.Linear.X[:]...), m.Linear.Y[:]...), m.Linear.Z[:]...)).T())
	var words mat.VecDense
	if err := words.SolveVec(&directions, mat.NewVecDense(3, []float64{0, 0, 1})); err != nil {
		return climb, fmt.Errorf("card %s: linear: %w", m.Name, err)
	}
	for i := range climb {
		climb[i] = words.AtVec(i)
	}
	return climb, nil
}

func vec(a [3]float64) r3.Vec { return r3.Vec{X: a[0], Y: a[1], Z: a[2]} }

// Pose is the tip's pose in the part's frame at these words.
func (k *Kinematics) Pose(w Words) Pose {
	if !k.ready || w.Turn != k.turn {
		k.set(w.Turn)
	}
	at := k.tool[0]
	for i, l := range k.linear {
		at = r3.Add(at, r3.Scale(w.XYZ[i], l))
	}
	return Pose{Tip: apply(k.bed, at, 1), Back: apply(k.bed, k.tool[1], 0)}
}

// Machine is the tip's pose in the machine's frame, which doesn't turn with
// the bed.
func (k *Kinematics) Machine(w Words) Pose {
	k.Pose(w)
	at := k.tool[0]
	for i, l := range k.linear {
		at = r3.Add(at, r3.Scale(w.XYZ[i], l))
	}
	return Pose{Tip: at, Back: k.tool[1]}
}

// ToPart takes a point of the machine's frame to the part's frame.
func (k *Kinematics) ToPart(w Words, p r3.Vec) r3.Vec {
	k.Pose(w)
	return apply(k.bed, p, 1)
}

// HeadTurn turns a direction that is fixed to the head: from all axes at zero
// to the part's frame.
func (k *Kinematics) HeadTurn(w Words, d r3.Vec) r3.Vec {
	k.Pose(w)
	return apply(k.bed, apply(k.head, d, 0), 0)
}

func apply(m *mat.Dense, v r3.Vec, w float64) r3.Vec {
	d := m.RawMatrix().Data
	return r3.Vec{
		X: d[0]*v.X + d[1]*v.Y + d[2]*v.Z + d[3]*w,
		Y: d[4]*v.X + d[5]*v.Y + d[6]*v.Z + d[7]*w,
		Z: d[8]*v.X + d[9]*v.Y + d[10]*v.Z + d[11]*w,
	}
}

// set makes the matrices for the turning words.
func (k *Kinematics) set(turn [2]float64) {
	head, bed := identity(), identity()
	for i, a := range k.axes {
		degrees := a.Sense * (turn[i] - a.Zero)
		if a.On == "head" {
			next := mat.NewDense(4, 4, nil)
			next.Mul(head, a.matrix(degrees))
			head = next
		} else { // backwards: the inverse of the product
			next := mat.NewDense(4, 4, nil)
			next.Mul(a.matrix(-degrees), bed)
			bed = next
		}
	}
	var tip, back mat.VecDense
	tip.MulVec(head, k.tip)
	back.MulVec(head, k.back)
	k.tool = [2]r3.Vec{{X: tip.AtVec(0), Y: tip.AtVec(1), Z: tip.AtVec(2)}, {X: back.AtVec(0), Y: back.AtVec(1), Z: back.AtVec(2)}}
	k.head, k.bed = head, bed
	k.turn, k.ready = turn, true
}

func identity() *mat.Dense {
	m := mat.NewDense(4, 4, nil)
	for i := range 4 {
		m.Set(i, i, 1)
	}
	return m
}

// matrix is T(v) = at + R (v - at), R by degrees, right-handed about the axis
// (Rodrigues' formula).
func (a Turning) matrix(degrees float64) *mat.Dense {
	u := r3.Unit(vec(a.About))
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	v := 1 - cos
	r := [3][3]float64{
		{cos + u.X*u.X*v, u.X*u.Y*v - u.Z*sin, u.X*u.Z*v + u.Y*sin},
		{u.Y*u.X*v + u.Z*sin, cos + u.Y*u.Y*v, u.Y*u.Z*v - u.X*sin},
		{u.Z*u.X*v - u.Y*sin, u.Z*u.Y*v + u.X*sin, cos + u.Z*u.Z*v},
	}
	m := identity()
	for i := range 3 {
		rest := a.At[i]
		for j := range 3 {
			m.Set(i, j, r[i][j])
			rest -= r[i][j] * a.At[j]
		}
		m.Set(i, 3, rest)
	}
	return m
}
