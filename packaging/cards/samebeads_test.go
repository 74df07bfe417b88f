package cards

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"testing"

	"conewright/packaging/reading"

	"gonum.org/v1/gonum/spatial/r3"
)

// trail is the way that the middles of a run's beads go, in printing order.
type trail struct{ from, to []r3.Vec }

// trailOf reads a run's beads. Each is taken apart, since a turning bed bends it.
func trailOf(t *testing.T, out string) (tr trail) {
	t.Helper()
	log, err := reading.ReadLog(out)
	if err != nil {
		t.Fatal(err)
	}
	path, err := reading.ReadPath(filepath.Join(out, "corrected.gcode"), log.Machine)
	if err != nil || len(path.Faults) > 0 {
		t.Fatal(err, path.Faults)
	}
	kin, err := log.Machine.Kinematics()
	if err != nil {
		t.Fatal(err)
	}
	for i := range path.Steps {
		s := &path.Steps[i]
		if s.Zone < 0 || !s.Extrudes() {
			continue
		}
		const parts = 4
		last := r3.Vec{}
		for k := range parts + 1 {
			m, _ := reading.Middle(kin.Pose(s.From.Between(s.To, float64(k)/parts)), &log.Zones[s.Zone])
			if k > 0 {
				tr.from, tr.to = append(tr.from, last), append(tr.to, m)
			}
			last = m
		}
	}
	return tr
}

// near finds the pieces of a trail near a place.
type near map[[3]int][]int32

const (
	nearCell   = 0.5 // mm; pieces are shorter than a few
	everyPiece = 5   // looked at one by one it takes minutes
)

func cellOf(p r3.Vec) [3]int {
	return [3]int{int(math.Floor(p.X / nearCell)), int(math.Floor(p.Y / nearCell)), int(math.Floor(p.Z / nearCell))}
}

// near sorts a trail's pieces into cells.
func (tr *trail) near() near {
	n := near{}
	for i := range tr.from {
		way := r3.Sub(tr.to[i], tr.from[i])
		parts := math.Ceil(r3.Norm(way)/nearCell) + 1
		last := [3]int{math.MinInt32}
		for k := range int(parts) + 1 {
			if c := cellOf(r3.Add(tr.from[i], r3.Scale(float64(k)/parts, way))); c != last {
				n[c] = append(n[c], int32(i))
				last = c
			}
		}
	}
	return n
}

// far returns how far the ends of a trail's pieces lie from another trail at most.
func (tr *trail) far(other *trail) (most float64, at r3.Vec) {
	sorted := other.near()
	for i := 0; i < len(tr.to); i += everyPiece {
		p := tr.to[i]
		least, c := math.Inf(1), cellOf(p)
		for k := range 27 {
			for _, i := range sorted[[3]int{c[0] + k%3 - 1, c[1] + k/3%3 - 1, c[2] + k/9 - 1}] {
				least = math.Min(least, apart(p, other.from[i], other.to[i]))
			}
		}
		if least > most {
			most, at = least, p
		}
	}
	return most, at
}

// apart is the distance of a place from a piece of a line.
func apart(p, a, b r3.Vec) float64 {
	u, v := r3.Sub(b, a), r3.Sub(p, a)
	k := 0.0
	if l := r3.Norm2(u); l > 0 {
		k = math.Max(0, math.Min(1, r3.Dot(u, v)/l))
	}
	return r3.Norm(r3.Sub(v, r3.Scale(k, u)))
}

// planar reads the planar motion of a run with one zone.
func planar(t *testing.T, out string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(out, "planar", "z.gcode"))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// Whatever turns, head or bed, the same part gets the same beads in its own frame,
// within 0.02 mm, in the same order: they come from the same planar motion. The bead's
// middle is told by the contract alone.
func TestTheSamePartGetsTheSameBeadsOnEveryMachine(t *testing.T) {
	if testing.Short() {
		t.Skip("runs many jobs")
	}
	for kind, field := range map[string]string{
		"outward": `{"kind": "cone", "grow": "outward", "angle": 45, "axis": [125, 105]}`,
		"inward":  `{"kind": "cone", "grow": "inward", "angle": 45, "axis": [127, 104]}`,
		"ramp":    `{"kind": "ramp", "angle": 45, "toward": 90}`,
	} {
		out, o := run(t, `"swivel-45"`, field)
		if o.Status != 0 {
			t.Fatalf("exit %d: %s", o.Status, o.Stderr)
		}
		want, planned := trailOf(t, out), planar(t, out)
		for _, name := range []string{"turning-bed-45", "two-axis-head", "head-and-bed", "trunnion"} {
			t.Run(kind+", "+name, func(t *testing.T) {
				text := card(t, filepath.Join("../../assets/machines", name+".json"), "")
				out, o := run(t, text, field)
				if o.Status != 0 {
					t.Fatalf("exit %d: %s", o.Status, o.Stderr)
				}
				if !bytes.Equal(planar(t, out), planned) {
					t.Fatal("the planar motion differs")
				}
				have := trailOf(t, out)
				const most = 0.02 // mm
				d, at := have.far(&want)
				if d > most {
					t.Errorf("a bead lies %.4f mm beside the swivelling head's at %v", d, at)
				}
				back, at := want.far(&have)
				if back > most {
					t.Errorf("a bead of the swivelling head lies %.4f mm beside every other at %v", back, at)
				}
				t.Logf("%d and %d pieces, at most %.4f and %.4f mm apart", len(have.to), len(want.to), d, back)
			})
		}
	}
}
