package suggest

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/clearance"
	"conewright/geom/field"
	"conewright/geom/machine"
	"conewright/geom/mesh"
)

// shelfTube is a tube of inner radius ri with a shelf that reaches in to the
// radius shelf, between z = 15 and 18.
type shelfTube struct{ ri, shelf, top float64 }

func (p shelfTube) mesh() *mesh.Mesh {
	return turned(72, rz{p.ri, 0}, rz{p.ri + 3, 0}, rz{p.ri + 3, p.top}, rz{p.ri, p.top},
		rz{p.ri, 18}, rz{p.shelf, 18}, rz{p.shelf, 15}, rz{p.ri, 15}).Seat(125, 105)
}

func (p shelfTube) holds(r, z float64) bool {
	return z >= 0 && z <= p.top && (r >= p.ri && r <= p.ri+3 || r >= p.shelf && r <= p.ri+3 && z >= 15 && z <= 18)
}

// beads moves the head round on every shell of an inward cone, ring by ring.
func (p shelfTube) beads(f *field.Field, shell float64) (steps []clearance.Step) {
	const around, pitch = 24, 1.5
	step := shell * math.Sqrt(1+f.Slope()*f.Slope())
	for level := -(p.ri + 3) * f.Slope(); level < p.top; level += step {
		for r := p.shelf; r <= p.ri+3; r += pitch {
			z := level + r*f.Slope()
			if !p.holds(r, z) {
				continue
			}
			at := func(k int) machine.Pose {
				sin, cos := math.Sincos(2 * math.Pi * float64(k) / around)
				return machine.Pose{
					Tip:     r3.Vec{X: 125 + r*cos, Y: 105 + r*sin, Z: z},
					Azimuth: 2*math.Pi*float64(k)/around + math.Pi,
				}
			}
			for k := range around {
				from, to := at(k), at(k+1)
				up := f.Normal(r2.Vec{X: from.Tip.X, Y: from.Tip.Y})
				steps = append(steps, clearance.Step{From: from, To: to, Area: shell * pitch, Thickness: shell, Up: up})
			}
		}
	}
	return steps
}

// The rough trial of the head against the proof of clearance, for heads that
// lean across the axis of an inward cone: they agree on which plans collide,
// and nearly on how deep.
func TestHeadAgreesWithClearance(t *testing.T) {
	card := card(t, "swivel-45")
	if testing.Short() {
		t.Skip("slow")
	}
	hit, miss := 0, 0
	for _, p := range []shelfTube{{20, 8, 40}, {14, 6, 40}, {14, 9, 22}} {
		for _, deg := range []float64{45, 30} {
			f := Field{Kind: Cone, Inward: true, AngleDeg: deg, Axis: r2.Vec{X: 125, Y: 105}}.Lift()
			const shell = 0.9
			surface := fine(p.mesh())
			h := newHead(card, surface.Vertices)
			depth, _ := h.depth(&f, zoneSpan{in: func(r3.Vec) bool { return true }, before: func(r3.Vec) bool { return false }}, shell, false)
			report, err := clearance.Check(context.Background(), clearance.Options{Head: card.Head, Voxel: 1.5, LookOut: 1},
				clearance.MotionOf(p.beads(&f, shell)), nil)
			if err != nil {
				t.Fatal(err)
			}
			proved := math.Max(0, -report.Least.Distance)
			if proved > 0.3 {
				hit++
			} else {
				miss++
			}
			if math.Abs(depth-proved) > 0.8 || (depth > 0) != (proved > 0) && math.Max(depth, proved) > 0.3 {
				t.Errorf("%+v at %g degrees: rough %.2f mm deep, proved %.2f", p, deg, depth, proved)
			}
		}
	}
	if hit < 2 || miss < 2 {
		t.Errorf("the test means nothing: %d collide, %d clear", hit, miss)
	}
}

// A shelf deep in a tall tube: inward cones collide with the far wall, so that
// something else has to be found.
func TestFarWallBoundsInwardCones(t *testing.T) {
	m := shelfTube{14, 6, 40}.mesh()
	plans := plansOf(t, m, Options{Card: card(t, "swivel-45")})
	checkFirst(t, plans, false)
	if z := plans[0].Zones; z.Cut == nil && z.Field.Kind == Cone && z.Field.Inward {
		t.Errorf("an inward cone for all: %s", plans[0].Why)
	}
}
