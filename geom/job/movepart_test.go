package job

import (
	"math"
	"testing"

	"conewright/geom/mesh"

	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// The lift of every point of the part, and on which side of a cut it lies, is the
// same before and after: the same part is printed elsewhere.
func TestFieldsAndCutsGoWithThePart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := func(name string) float64 { return rapid.Float64Range(-30, 30).Draw(t, name) }
		raw := &mesh.Mesh{}
		for range 6 { // a crooked cloud: its box isn't symmetric
			raw.Vertices = append(raw.Vertices, r3.Vec{X: n("x"), Y: n("y"), Z: math.Abs(n("z"))})
		}
		s := &Setup{Part: Part{Seat: &[2]float64{n("seat"), n("seat")}, Turn: [3]float64{0, 0, n("turn")}}}
		s.Zones = &Zone{
			Cut:   &Cut{Point: [3]float64{n("cut"), n("cut"), 3}, Normal: [3]float64{0.3, n("tilt") / 30, 1}, Only: &[3]float64{n("only"), n("only"), 4}},
			Under: &Zone{Name: "a", Field: &Field{Kind: KindCone, Grow: GrowOutward, Angle: 30, Axis: &[2]float64{n("axis"), n("axis")}}},
			Over: &Zone{
				Cut:   &Cut{Point: [3]float64{0, 0, 9}, Normal: [3]float64{0, 0, 1}},
				Under: &Zone{Name: "b", Field: &Field{Kind: KindRamp, Angle: 20, Toward: n("toward")}},
				Over:  &Zone{Name: "c", Field: &Field{Kind: KindRidge, Grow: GrowOutward, Angle: 20, Line: [][2]float64{{n("line"), n("line")}, {n("line"), n("line")}}}},
			},
		}
		told := func() (list []float64) {
			stands := raw.Turn(s.Part.Turn).Seat(s.Part.Seat[0], s.Part.Seat[1])
			c := s.Zones.Cut
			first := r3.Vec{}
			for i, v := range stands.Vertices {
				list = append(list, (v.X-c.Point[0])*c.Normal[0]+(v.Y-c.Point[1])*c.Normal[1]+(v.Z-c.Point[2])*c.Normal[2])
				a := s.Zones.Under.Field.Axis
				list = append(list, math.Hypot(v.X-a[0], v.Y-a[1]))
				list = append(list, r3.Norm(r3.Sub(v, r3.Vec{X: c.Only[0], Y: c.Only[1], Z: c.Only[2]})))
				for _, q := range s.Zones.Over.Over.Field.Line {
					list = append(list, math.Hypot(v.X-q[0], v.Y-q[1]))
				}
				if i == 0 {
					first = v
				}
				sin, cos := math.Sincos(s.Zones.Over.Under.Field.Toward * math.Pi / 180)
				list = append(list, (v.X-first.X)*cos+(v.Y-first.Y)*sin)
			}
			return list
		}
		before := told()
		s.MovePart([2]float64{n("to"), n("to")})
		s.TurnPart(raw.Turn(s.Part.Turn).Seat(s.Part.Seat[0], s.Part.Seat[1]), n("by"))
		for i, v := range told() {
			if math.Abs(v-before[i]) > 1e-9 {
				t.Fatalf("figure %d was %.12g and is %.12g", i, before[i], v)
			}
		}
	})
}
