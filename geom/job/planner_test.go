package job

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"conewright/geom/mesh"
	"conewright/geom/planner"

	"github.com/google/go-cmp/cmp"
)

func TestPlannerKeysReachThePlanner(t *testing.T) {
	s, err := Parse([]byte(jobWith(`"shell":0.2`, `"shell":0.2,"planner":{"wall_order":"outside-in","seam":"spread","seam_toward":90,
		"least_seconds":12,"slow_shells":3,"slow_factor":0.25,"wipe":2,"speed":60}`)), ".")
	if err != nil {
		t.Fatal(err)
	}
	g := &Region{Spec: s.Zones.Over.Field, Numbers: s.Numbers(s.Zones.Over.Field), Mesh: &mesh.Mesh{}}
	o := s.PlannerOptions(g)
	got := planner.Options{
		OutsideIn: o.OutsideIn, Seam: o.Seam, SeamAzimuth: o.SeamAzimuth, LeastSeconds: o.LeastSeconds,
		SlowLayers: o.SlowLayers, SlowSpeed: o.SlowSpeed, Wipe: o.Wipe, Walls: o.Walls,
	}
	want := planner.Options{
		OutsideIn: true, Seam: planner.SeamSpread, SeamAzimuth: math.Pi / 2, LeastSeconds: 12,
		SlowLayers: 3, SlowSpeed: 15, Wipe: 2, Walls: 2,
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

func TestAFootIsAZoneOnceTheJobIsRead(t *testing.T) {
	cone := jobWith(`"name":"stem","field":{"kind":"level"}`, `"name":"foot","field":{"kind":"cone","angle":30}`)
	cone = cone[:len(cone)-1] + `,"planner":{"foot":4}`
	if _, err := Parse([]byte(cone+`}`), "."); err == nil {
		t.Error("a head that leans 45 degrees got a level foot")
	}
	s, err := Parse([]byte(strings.Replace(cone, "swivel-45", "straight", 1)+`}`), ".")
	if err != nil {
		t.Fatal(err)
	}
	z := s.Zones
	if z.Under == nil || z.Under.Name != "foot-2" || z.Under.Field.Kind != KindLevel || math.Abs(z.Cut.Point[2]-0.8) > 1e-12 || z.Over.Under.Name != "foot" {
		t.Fatalf("%+v", z)
	}
	if s.Planner.Foot != 0 || !s.Footed() || s.AddFoot(3) {
		t.Error("the foot is there and is asked for again")
	}
	again, err := s.JSON()
	if err != nil {
		t.Fatal(err)
	}
	back, err := Parse(again, ".")
	if err != nil {
		t.Fatal(err)
	}
	if n := len(back.Zones.Leaves()); n != 3 {
		t.Errorf("read again it has %d zones", n)
	}
}

func TestALevelPartGetsNoFoot(t *testing.T) {
	s, err := Parse([]byte(`{"conewright":1,"part":{"file":"p.stl"},"planner":{"foot":4}}`), ".")
	if err != nil {
		t.Fatal(err)
	}
	if len(s.Zones.Leaves()) != 1 {
		t.Error("a level zone got a foot, which it is already")
	}
}

// The mushroom's disc hangs by the stem all round in level layers: no bridge.
func TestTheLogTellsBridgesFromFreeEnds(t *testing.T) {
	s := newJob(t, "straight", `{"name":"all","field":{"kind":"level"}}`)
	r, out := runJob(t, s)
	b := r.Log.Zones[0].Bridges
	if b == nil || len(b.Places) != 1 || b.Area != 0 || math.Abs(b.FreeArea-*r.Log.Zones[0].Overhang) > 1e-3 {
		t.Fatalf("%+v", b)
	}
	if p := b.Places[0]; math.Abs(p.At[2]-8) > 1e-6 || p.Span != 0 {
		t.Errorf("%+v", p)
	}
	page, err := os.ReadFile(filepath.Join(out, "run.html"))
	if err != nil || !strings.Contains(string(page), "of it bridges") {
		t.Errorf("the page doesn't tell: %v", err)
	}
	if r.Log.Zones[0].Seconds <= 0 || math.Abs(r.Log.Zones[0].Seconds-r.Log.Motion.Seconds) > 1e-6 {
		t.Errorf("the only zone takes %g s, the motion %g", r.Log.Zones[0].Seconds, r.Log.Motion.Seconds)
	}
}
