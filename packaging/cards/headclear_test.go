package cards

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"conewright/packaging/program"
	"conewright/packaging/reading"

	"gonum.org/v1/gonum/spatial/r3"
)

// printedPoint is a place on the upper face of a bead, and the step that laid it.
type printedPoint struct {
	at   r3.Vec
	step int
}

// sweep is a run to move the head through by brute force: places on beads against
// the head's solids at many moments, by the contract's matrices alone.
type sweep struct {
	log    *reading.Log
	kin    *reading.Kinematics
	path   *reading.Path
	points []printedPoint
	rand   *rand.Rand

	depth  float64 // deepest that the head reaches into a bead's upper face, mm
	beside float64 // deepest that head or beads reach into an obstacle, mm
	bed    float64 // deepest below the bed
	where  string
	poses  int
}

func newSweep(t *testing.T, out string) *sweep {
	t.Helper()
	s := &sweep{rand: rand.New(rand.NewPCG(1, 2))}
	var err error
	if s.log, err = reading.ReadLog(out); err == nil {
		if s.path, err = reading.ReadPath(filepath.Join(out, "corrected.gcode"), s.log.Machine); err == nil {
			s.kin, err = s.log.Machine.Kinematics()
		}
	}
	if err != nil {
		t.Fatal(err)
	}
	const apart = 1.0 // mm
	way := 0.0
	for i := range s.path.Steps {
		st := &s.path.Steps[i]
		if st.Zone < 0 || !st.Extrudes() {
			continue
		}
		a, b := s.kin.Pose(st.From), s.kin.Pose(st.To)
		if way += r3.Norm(r3.Sub(b.Tip, a.Tip)); way < apart {
			continue
		}
		way = 0
		z := &s.log.Zones[st.Zone]
		m, n := reading.Middle(s.kin.Pose(st.From.Between(st.To, 0.5)), z)
		s.points = append(s.points, printedPoint{r3.Add(m, r3.Scale(*z.LayerHeight*n.Z/2, n)), i})
	}
	return s
}

// moments moves the head through all travels and some of the beads.
func (s *sweep) moments(mostPoses int) {
	type moment struct {
		step int
		k    float64
	}
	var all []moment
	for i := range s.path.Steps {
		st := &s.path.Steps[i]
		if st.Zone < 0 || !st.Known || st.From.XYZ == st.To.XYZ && st.From.Turn == st.To.Turn {
			continue
		}
		if st.Extrudes() {
			if s.rand.IntN(20) == 0 {
				all = append(all, moment{i, s.rand.Float64()})
			}
			continue
		}
		turn := math.Max(math.Abs(st.To.Turn[0]-st.From.Turn[0]), math.Abs(st.To.Turn[1]-st.From.Turn[1]))
		way := r3.Norm(r3.Sub(s.kin.Pose(st.To).Tip, s.kin.Pose(st.From).Tip))
		parts := int(math.Ceil(math.Max(way, turn/3)))
		for k := range parts {
			all = append(all, moment{i, (float64(k) + s.rand.Float64()) / float64(parts)})
		}
	}
	s.rand.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	for _, m := range all[:min(len(all), mostPoses)] {
		s.moment(m.step, m.k)
	}
}

// moment holds the head as it stands at share k of a step against what is printed
// before, and against the bed.
func (s *sweep) moment(step int, k float64) {
	st := &s.path.Steps[step]
	w := st.From.Between(st.To, k)
	p := s.kin.Pose(w)
	head := &s.log.Machine.Head
	var axes [3]r3.Vec
	for i, d := range [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}} {
		axes[i] = s.kin.HeadTurn(w, d)
	}
	s.poses++
	note := func(depth float64, most *float64, what string, at r3.Vec) {
		if depth > *most {
			*most = depth
			s.where = fmt.Sprintf("line %d, at %.2f of it: %s, %.3f mm at %.2f", st.Line, k, what, depth, at)
		}
	}
	side := math.Sqrt(math.Max(0, 1-p.Back.Z*p.Back.Z))
	for _, c := range head.Profile {
		note(c[1]*side-p.Tip.Z-c[0]*p.Back.Z, &s.bed, "the profile meets the bed", p.Tip)
	}
	for _, b := range head.Boxes {
		for i := range 8 {
			q := p.Tip
			for a := range 3 {
				v := b.Min[a]
				if i>>a&1 == 1 {
					v = b.Max[a]
				}
				q = r3.Add(q, r3.Scale(v, axes[a]))
			}
			note(-q.Z, &s.bed, "a box meets the bed", q)
		}
	}
	s.obstacles(w, step, p, axes, note)
	last := head.Profile[len(head.Profile)-1]
	free := head.TipFree * head.TipFree
	for i := range s.points {
		if s.points[i].step >= step {
			break
		}
		v := r3.Sub(s.points[i].at, p.Tip)
		far := r3.Norm2(v)
		if far < free {
			continue
		}
		if a := r3.Dot(v, p.Back); a > head.Profile[0][0] && a < last[0] {
			rho := math.Sqrt(math.Max(0, far-a*a))
			if radius := radiusAt(head.Profile, a); rho < radius {
				note(math.Min(radius-rho, a-head.Profile[0][0]), &s.depth, "the profile meets a bead", s.points[i].at)
			}
		}
		for _, b := range head.Boxes {
			inside := math.Inf(1)
			for a := range 3 {
				c := r3.Dot(v, axes[a])
				inside = math.Min(inside, math.Min(c-b.Min[a], b.Max[a]-c))
			}
			note(inside, &s.depth, "a box meets a bead", s.points[i].at)
		}
	}
}

// obstacles holds head and printed places against the card's obstacles.
func (s *sweep) obstacles(w reading.Words, step int, p reading.Pose, axes [3]r3.Vec, note func(float64, *float64, string, r3.Vec)) {
	head := &s.log.Machine.Head
	side := r3.Unit(r3.Cross(p.Back, r3.Vec{X: 0.36, Y: 0.48, Z: -0.8}))
	other := r3.Cross(p.Back, side)
	var places []r3.Vec // of the head's surface
	for i := 1; i < len(head.Profile); i++ {
		for k := range 8 {
			a := head.Profile[i-1][0] + float64(k)/7*(head.Profile[i][0]-head.Profile[i-1][0])
			for m := range 12 {
				sin, cos := math.Sincos(math.Pi / 6 * float64(m))
				r := radiusAt(head.Profile, a)
				places = append(places, r3.Add(p.Tip, r3.Add(r3.Scale(a, p.Back), r3.Add(r3.Scale(r*sin, side), r3.Scale(r*cos, other)))))
			}
		}
	}
	for _, b := range head.Boxes {
		const n = 4
		for k := range (n + 1) * (n + 1) * (n + 1) {
			q := p.Tip
			for a, share := range [3]int{k % (n + 1), k / (n + 1) % (n + 1), k / (n + 1) / (n + 1)} {
				q = r3.Add(q, r3.Scale(b.Min[a]+float64(share)/n*(b.Max[a]-b.Min[a]), axes[a]))
			}
			places = append(places, q)
		}
	}
	for i := range s.log.Machine.Obstacles {
		o := &s.log.Machine.Obstacles[i]
		seen := func(q r3.Vec) r3.Vec { return q }
		if o.On != "bed" {
			seen = func(q r3.Vec) r3.Vec { return s.kin.ToPart(w, q) }
		}
		zero := seen(r3.Vec{})
		x, y, z := r3.Sub(seen(r3.Vec{X: 1}), zero), r3.Sub(seen(r3.Vec{Y: 1}), zero), r3.Sub(seen(r3.Vec{Z: 1}), zero)
		inside := func(q r3.Vec) float64 {
			v, deep := r3.Sub(q, zero), math.Inf(1)
			for a, c := range [3]float64{r3.Dot(v, x), r3.Dot(v, y), r3.Dot(v, z)} {
				deep = math.Min(deep, math.Min(c-o.Min[a], o.Max[a]-c))
			}
			return deep
		}
		for _, q := range places {
			note(inside(q), &s.beside, fmt.Sprintf("the head meets obstacle %d", i), q)
		}
		for k := range s.points {
			if s.points[k].step >= step {
				break
			}
			note(inside(s.points[k].at), &s.beside, fmt.Sprintf("a bead meets obstacle %d", i), s.points[k].at)
		}
	}
}

// Obstacles on the bed turn with it, those of the machine stand still: a run finds what
// the head, the bed's load and obstacles on the bed meet, and so does brute force.
func TestObstaclesBesideTurningBeds(t *testing.T) {
	if testing.Short() {
		t.Skip("runs many jobs")
	}
	outward := `{"kind": "cone", "grow": "outward", "angle": 45, "axis": [125, 105]}`
	for _, c := range []struct {
		name, card, obstacles string
		meets, bruteForce     bool
	}{
		{"clip and far post", "turning-bed-45", `[{"min": [95, 100, 0], "max": [100, 110, 5], "on": "bed"}, {"min": [30, 95, 0], "max": [40, 115, 60]}]`, false, false},
		{"clip in the head's way", "turning-bed-45", `[{"min": [136, 102, 0], "max": [139, 108, 30], "on": "bed"}]`, true, true},
		{"post in the head's way", "turning-bed-45", `[{"min": [150, 95, 20], "max": [160, 115, 60]}]`, true, true},
		{"post where the part turns", "turning-bed-45", `[{"min": [119, 95, 2], "max": [123, 98, 8]}]`, true, true},
		{"posts beside the bed", "head-and-bed", `[{"min": [20, 0, 0], "max": [30, 20, 60]}, {"min": [110, 60, 0], "max": [140, 75, 4], "on": "bed"}]`, false, false},
		{"post where the part turns", "head-and-bed", `[{"min": [119, 95, 2], "max": [123, 98, 8]}]`, true, true},
		{"frame and plate", "trunnion", `[{"min": [20, 80, -40], "max": [40, 130, 60]}, {"min": [210, 80, -40], "max": [230, 130, 60]},
			{"min": [75, 55, -6], "max": [175, 155, -0.5], "on": "bed"}]`, false, false},
		{"plate's rim meets the frame", "trunnion", `[{"min": [20, 40, -40], "max": [230, 60, -20]}, {"min": [75, 55, -6], "max": [175, 155, -0.5], "on": "bed"}]`, true, false},
		{"post where the part tilts", "trunnion", `[{"min": [110, 104, 8], "max": [140, 112, 12]}]`, true, true},
	} {
		t.Run(c.card+", "+c.name, func(t *testing.T) {
			values := map[string]any{}
			if err := json.Unmarshal([]byte(card(t, filepath.Join("../../assets/machines", c.card+".json"), "")), &values); err != nil {
				t.Fatal(err)
			}
			var boxes any
			if err := json.Unmarshal([]byte(c.obstacles), &boxes); err != nil {
				t.Fatal(err)
			}
			values["obstacles"] = boxes
			own, err := json.Marshal(values)
			if err != nil {
				t.Fatal(err)
			}
			out, o := run(t, string(own), outward)
			if o.Status != 0 {
				t.Fatalf("exit %d: %s", o.Status, o.Stderr)
			}
			s := newSweep(t, out)
			s.moments(3000)
			for _, f := range s.log.Findings {
				if f.Rank == "stop" {
					t.Log(f.Text)
				}
			}
			if found(s.log, "collision") != c.meets {
				t.Errorf("the run finds a collision: %v", !c.meets)
			}
			if hit := s.beside > 0.1; hit != c.bruteForce {
				t.Errorf("brute force: %.3f mm; %s", s.beside, s.where)
			}
		})
	}
}

// radiusAt is the head's radius so far along the nozzle.
func radiusAt(profile [][2]float64, a float64) float64 {
	for i := 1; i < len(profile); i++ {
		if p, q := profile[i-1], profile[i]; a <= q[0] && q[0] > p[0] {
			return p[1] + (q[1]-p[1])*(a-p[0])/(q[0]-p[0])
		}
	}
	return 0
}

// demo runs a demo part on a card with a field.
func demo(t *testing.T, card, part, zones string) (out string, done program.Outcome) {
	t.Helper()
	dir := t.TempDir()
	file, err := filepath.Abs("../../assets/parts/" + part + ".stl")
	if err != nil {
		t.Fatal(err)
	}
	job := fmt.Sprintf(`{"conewright": 1, "part": {"file": %q, "seat": [125, 105]}, "machine": %s, "shell": 0.3, "bead": 0.7, "zones": %s}`, file, card, zones)
	name := filepath.Join(dir, "job.json")
	if err := os.WriteFile(name, []byte(job), 0o644); err != nil {
		t.Fatal(err)
	}
	out = filepath.Join(dir, "out")
	return out, program.Call(t, "-job", name, "-out", out, "-accept")
}

// Jobs on which heads and beds have far to turn and to lean.
var clearJobs = map[string][2]string{
	"bollard, outward": {"bollard", `{"name": "z", "field": {"kind": "cone", "grow": "outward", "angle": 45, "axis": [125, 105]}}`},
	"bollard, profile": {"bollard", `{"name": "z", "field": {"kind": "profile", "line": [[125, 105]], "curve": [[0, 5], [8, 45], [16, 30]]}}`},
	"hopper, inward":   {"hopper", `{"name": "z", "field": {"kind": "cone", "grow": "inward", "angle": 45, "axis": [125, 105]}}`},
	"davit, ramp over cone": {"davit", `{"cut": {"point": [117.5, 105, 28], "normal": [1, 0, 1]},
		"under": {"name": "post", "field": {"kind": "cone", "grow": "outward", "angle": 45, "axis": [110.5, 105]}},
		"over": {"name": "arm", "field": {"kind": "ramp", "angle": 45, "toward": 0}}}`},
	"brazier, cone over level": {"brazier", `{"cut": {"point": [125, 105, 16], "normal": [0, 0, 1]},
		"under": {"name": "stem", "field": {"kind": "level"}},
		"over": {"name": "bowl", "field": {"kind": "cone", "grow": "outward", "angle": 40, "axis": [125, 105]}}}`},
	"bollard, steep over shallow": {"bollard", `{"cut": {"point": [125, 105, 12], "normal": [0, 0, 1]},
		"under": {"name": "foot", "field": {"kind": "cone", "grow": "outward", "angle": 15, "axis": [125, 105]}},
		"over": {"name": "top", "field": {"kind": "cone", "grow": "outward", "angle": 50, "axis": [125, 105]}}}`},
}

// A head that is far too wide meets beads: the run says so, and so does brute force.
func TestBruteForceSeesACollision(t *testing.T) {
	if testing.Short() {
		t.Skip("runs a job")
	}
	for _, name := range []string{"turning-bed-45", "head-and-bed", "trunnion"} {
		t.Run(name, func(t *testing.T) {
			values := map[string]any{}
			if err := json.Unmarshal([]byte(card(t, filepath.Join("../../assets/machines", name+".json"), "")), &values); err != nil {
				t.Fatal(err)
			}
			values["head"].(map[string]any)["profile"] = [][2]float64{{0, 0.3}, {1, 0.8}, {2, 6}, {40, 10}}
			wide, err := json.Marshal(values)
			if err != nil {
				t.Fatal(err)
			}
			out, o := run(t, string(wide), `{"kind": "cone", "grow": "inward", "angle": 45, "axis": [125, 105]}`)
			if o.Status != 0 {
				t.Fatalf("exit %d: %s", o.Status, o.Stderr)
			}
			s := newSweep(t, out)
			s.moments(200)
			if s.depth < 1 {
				t.Errorf("brute force finds the head %.3f mm in beads at most", s.depth)
			}
			if !found(s.log, "collision") {
				t.Error("the run finds no collision")
			}
		})
	}
}

// found reports that a run has a finding of a code.
func found(log *reading.Log, code string) bool {
	return slices.ContainsFunc(log.Findings, func(f reading.Finding) bool { return f.Code == code })
}

// Where a run finds no collision, the head meets neither beads nor bed, moment by
// moment.
func TestHeadIsClearByBruteForce(t *testing.T) {
	if testing.Short() {
		t.Skip("runs many jobs")
	}
	const moments = 4000
	for _, name := range []string{"turning-bed-45", "two-axis-head", "head-and-bed", "trunnion"} {
		for job, spec := range clearJobs {
			t.Run(name+", "+job, func(t *testing.T) {
				t.Parallel()
				out, o := demo(t, card(t, filepath.Join("../../assets/machines", name+".json"), ""), spec[0], spec[1])
				if o.Status != 0 {
					t.Fatalf("exit %d: %s", o.Status, o.Stderr)
				}
				s := newSweep(t, out)
				s.moments(moments)
				if found(s.log, "collision") {
					t.Fatal("the run finds a collision")
				}
				const mostDeep, mostBed = 0.1, 0.015 // mm: what the run forgives, and where a bead's face is
				if s.depth > mostDeep || s.bed > mostBed {
					t.Errorf("%s; %.3f mm into beads, %.3f mm into the bed", s.where, s.depth, s.bed)
				}
				t.Logf("%d moments, %d places: %.3f mm into beads, %.3f mm into the bed", s.poses, len(s.points), s.depth, s.bed)
			})
		}
	}
}
