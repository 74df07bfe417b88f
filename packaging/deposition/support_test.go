package deposition

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"conewright/packaging/madeparts"
	"conewright/packaging/reading"

	"gonum.org/v1/gonum/spatial/r3"
)

// held is a part that level layers can't print without support, told twice: as
// triangles and as a formula for what lies in it, both in place on the bed.
type held struct {
	name   string
	mesh   madeparts.Mesh
	inside func(p r3.Vec) bool
	size   r3.Vec
}

func block(low, high r3.Vec) (madeparts.Mesh, func(r3.Vec) bool) {
	d := r3.Sub(high, low)
	m := madeparts.Box(d.X, d.Y, d.Z)
	for i := range m {
		for k := range m[i] {
			m[i][k] = r3.Add(m[i][k], low)
		}
	}
	return m, func(p r3.Vec) bool {
		return p.X > low.X && p.X < high.X && p.Y > low.Y && p.Y < high.Y && p.Z > low.Z && p.Z < high.Z
	}
}

// blocks joins blocks that overlap; each is given by its corners.
func blocks(name string, size r3.Vec, corners ...[2]r3.Vec) held {
	h := held{name: name, size: size}
	var parts []func(r3.Vec) bool
	for _, c := range corners {
		m, in := block(c[0], c[1])
		h.mesh, parts = append(h.mesh, m...), append(parts, in)
	}
	h.inside = func(p r3.Vec) bool {
		for _, in := range parts {
			if in(p) {
				return true
			}
		}
		return false
	}
	return h
}

func heldParts() []held {
	v := func(x, y, z float64) r3.Vec { return r3.Vec{X: x, Y: y, Z: z} }
	mushroom := held{name: "mushroom", size: v(32, 32, 18), mesh: madeparts.Revolve([2]float64{0, 0}, [2]float64{6, 0}, [2]float64{6, 15}, [2]float64{16, 15}, [2]float64{16, 18}, [2]float64{0, 18})}
	mushroom.inside = func(p r3.Vec) bool {
		r := math.Hypot(p.X-16, p.Y-16)
		return p.Z > 0 && p.Z < 18 && (r < 6 || r < 16 && p.Z > 15)
	}
	return []held{
		mushroom,
		blocks("table", v(36, 26, 19), [2]r3.Vec{v(0, 0, 16), v(36, 26, 19)},
			[2]r3.Vec{v(0, 0, 0), v(4, 4, 17)}, [2]r3.Vec{v(32, 0, 0), v(36, 4, 17)}, [2]r3.Vec{v(0, 22, 0), v(4, 26, 17)}, [2]r3.Vec{v(32, 22, 0), v(36, 26, 17)}),
		blocks("bridge", v(36, 10, 17), [2]r3.Vec{v(0, 0, 14), v(36, 10, 17)}, [2]r3.Vec{v(0, 0, 0), v(6, 10, 15)}, [2]r3.Vec{v(30, 0, 0), v(36, 10, 15)}),
		blocks("hook", v(24, 10, 26), [2]r3.Vec{v(0, 0, 0), v(6, 10, 26)}, [2]r3.Vec{v(3, 0, 23), v(24, 10, 26)}, [2]r3.Vec{v(18, 0, 12), v(24, 10, 25)}),
		// The hook's end over a foot: its columns stand on the part.
		blocks("clamp", v(24, 10, 26), [2]r3.Vec{v(0, 0, 0), v(24, 10, 4)}, [2]r3.Vec{v(0, 0, 0), v(6, 10, 26)}, [2]r3.Vec{v(3, 0, 23), v(24, 10, 26)}, [2]r3.Vec{v(18, 0, 15), v(24, 10, 25)}),
	}
}

// place puts what the part's own frame says where the part stands on the bed:
// CONTRACT's seat, the bed's middle.
func (h *held) place(p r3.Vec) r3.Vec {
	return r3.Sub(p, r3.Vec{X: 125 - h.size.X/2, Y: 105 - h.size.Y/2})
}

// run runs the part's job with support as given.
func (h *held) run(t *testing.T, support string) (*Run, string) {
	dir := t.TempDir()
	file := job(t, dir, h.mesh, "straight", `{"kind": "level"}`, `"fill": 0.2, "fill_pattern": "lines"`)
	text, err := os.ReadFile(file)
	if err == nil {
		err = os.WriteFile(file, []byte(strings.Replace(string(text), `"shell"`, `"support": "`+support+`", "shell"`, 1)), 0o644)
	}
	if err != nil {
		t.Fatal(err)
	}
	return lay(t, dir, file), filepath.Join(dir, "out")
}

// Support holds what leans out (CONTRACT: support all), hangs from nothing itself,
// keeps out of the part and off it, and counts for itself.
func TestSupportHolds(t *testing.T) {
	if testing.Short() {
		t.Skip("runs many jobs")
	}
	for _, h := range heldParts() {
		t.Run(h.name, func(t *testing.T) {
			t.Parallel()
			bare, _ := h.run(t, "none")
			r, dir := h.run(t, "all")
			h.account(t, r, bare)
			beads := supportBeads(t, dir)
			h.apart(t, beads)
			h.under(t, beads)
			if bare.Hanging < 10*mostHanging {
				t.Errorf("without support only %.0f mm hang: the part shows nothing", bare.Hanging)
			}
			if r.Hanging > mostHanging || r.Air > 0 {
				t.Errorf("%.0f mm of beads hang, longest %v; in the air %.0f mm", r.Hanging, r.LongestHang, r.Air)
			}
			for _, fault := range r.Disagreements() {
				t.Error(fault)
			}
		})
	}
}

// account holds the log's figures against the filament in the file.
func (h *held) account(t *testing.T, r, bare *Run) {
	z := r.d.zones[0]
	if z.UnheldStarts == nil || *z.UnheldStarts != 0 || *z.UnheldArea > 0.01**z.OverhangArea {
		t.Errorf("of %.1f mm2 that lean out %.2f aren't held, nor %d starts", *z.OverhangArea, *z.UnheldArea, *z.UnheldStarts)
	}
	if r.Support <= 0 || math.Abs(*z.SupportVolume-r.Support) > 1e-3*r.Support {
		t.Errorf("%.2f mm3 of support were laid, the log says %.2f", r.Support, *z.SupportVolume)
	}
	filament := math.Pi * r.d.log.Machine.Filament * r.d.log.Machine.Filament / 4
	if by := r.PartVolume - *z.ContactFilament*filament; math.Abs(by) > 1e-3*r.PartVolume {
		t.Errorf("the part's beads hold %.2f mm3 more than the log says", by)
	}
	if by := r.PartVolume - bare.PartVolume; math.Abs(by) > 1e-3*bare.PartVolume || bare.Support != 0 {
		t.Errorf("the part's beads hold %.2f mm3 more with support; without, %.2f of it were laid", by, bare.Support)
	}
}

// supportBeads returns middles of the beads of support, sampleStep apart.
func supportBeads(t *testing.T, dir string) (middles []r3.Vec) {
	t.Helper()
	log, err := reading.ReadLog(dir)
	if err != nil {
		t.Fatal(err)
	}
	path, err := reading.ReadPath(filepath.Join(dir, "corrected.gcode"), log.Machine)
	if err != nil {
		t.Fatal(err)
	}
	kin, err := log.Machine.Kinematics()
	if err != nil {
		t.Fatal(err)
	}
	for i := range path.Steps {
		s := &path.Steps[i]
		if !s.Extrudes() || !s.Support {
			continue
		}
		length := r3.Norm(r3.Sub(kin.Pose(s.To).Tip, kin.Pose(s.From).Tip))
		n := int(length/sampleStep) + 1
		for k := range n + 1 {
			m, _ := reading.Middle(kin.Pose(s.From.Between(s.To, float64(k)/float64(n))), &log.Zones[0])
			middles = append(middles, m)
		}
	}
	return middles
}

// apart checks that beads of support lie outside the part: their bodies, half a bead
// wide and half a shell high, touch no wall and no underside.
func (h *held) apart(t *testing.T, beads []r3.Vec) {
	const besides, over = 0.3, 0.2 // mm from the middle of a bead 0.45 wide and 0.2 high
	bad := 0
	for _, m := range beads {
		m = h.place(m)
		in := h.inside(m) || h.inside(r3.Add(m, r3.Vec{Z: over}))
		for k := range 8 {
			sin, cos := math.Sincos(float64(k) * math.Pi / 4)
			in = in || h.inside(r3.Add(m, r3.Vec{X: besides * cos, Y: besides * sin}))
		}
		if in {
			if bad == 0 {
				t.Errorf("a bead of support lies in the part or against it, at %v of its own frame", m)
			}
			bad++
		}
	}
	if bad > 1 {
		t.Errorf("%d of %d places of support do", bad, len(beads))
	}
}

// under checks that every place of the undersides has support near under it, within
// the gap of a shell, or stands beside a wall.
func (h *held) under(t *testing.T, beads []r3.Vec) {
	type cell [3]int
	const reach, size = 1.6, 1.6 // mm: more than half the distance of lines, on a diagonal
	near := map[cell][]r3.Vec{}
	at := func(p r3.Vec) cell {
		return cell{int(math.Floor(p.X / size)), int(math.Floor(p.Y / size)), int(math.Floor(p.Z / size))}
	}
	for _, m := range beads {
		m = h.place(m)
		near[at(m)] = append(near[at(m)], m)
	}
	holds := func(p r3.Vec) bool {
		c := at(p)
		for dx := -1; dx <= 1; dx++ {
			for dy := -1; dy <= 1; dy++ {
				for dz := -1; dz <= 0; dz++ {
					for _, m := range near[cell{c[0] + dx, c[1] + dy, c[2] + dz}] {
						// Its top, half a shell over its middle, leaves a gap of at most a shell.
						if down := p.Z - m.Z; math.Hypot(p.X-m.X, p.Y-m.Y) <= reach && down > 0.2 && down <= 0.31 {
							return true
						}
					}
				}
			}
		}
		return false
	}
	all, unheld := 0, 0
	const step, fine = 0.5, 0.01
	for x := step / 2; x < h.size.X; x += step {
		for y := step / 2; y < h.size.Y; y += step {
			for z := 1.0; z < h.size.Z; z += fine {
				p := r3.Vec{X: x, Y: y, Z: z}
				if h.inside(p) || !h.inside(r3.Add(p, r3.Vec{Z: fine})) {
					continue
				}
				all++
				if !holds(p) {
					unheld++
				}
			}
		}
	}
	if all < 100 || float64(unheld) > 0.01*float64(all) {
		t.Errorf("%d of %d places of the undersides have no support under them", unheld, all)
	}
}
