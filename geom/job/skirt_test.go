package job

import (
	"bufio"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"conewright/geom/machine"
)

// CONTRACT: planar_filament_mm counts beads of the part only. A skirt adds its
// filament to the motion's and changes no zone's figure; every rule for beads
// holds for it, and the head keeps clear of it.
func TestASkirtIsNoPartAndStaysClearOfTheHead(t *testing.T) {
	for i, c := range []struct {
		machine, zones string
		distance       float64 // asked for
	}{
		{"swivel-45", outward45, 1},
		{"swivel-45-wired", outward45, 5},
		{"swivel-45", `{"name":"skirt","field":{"kind":"cone","grow":"inward","angle":45}}`, 0.5},
		{"swivel-45", stemHead, 1},
		{"swivel-45", `{"name":"all","field":{"kind":"ramp","angle":30,"toward":90}}`, 1},
		{"straight", `{"name":"all","field":{"kind":"cone","angle":15}}`, 1},
	} {
		if testing.Short() && i%3 != 0 {
			continue
		}
		t.Run(c.machine+" "+c.zones, func(t *testing.T) {
			s := newJob(t, c.machine, c.zones)
			plain, _ := runJob(t, s)
			s.Planner.Skirt, s.Planner.SkirtDistance = 3, c.distance
			r, out := runJob(t, s)
			l := r.Log.Skirt
			if l == nil || l.Rings != 3 || l.Distance < c.distance || l.PlanarFilament <= 0 || l.Seconds <= 0 {
				t.Fatalf("%+v", l)
			}
			total, seconds := l.ContactFilament, l.Seconds
			for i, z := range r.Log.Zones {
				if z.PlanarFilament != plain.Log.Zones[i].PlanarFilament || z.Shells != plain.Log.Zones[i].Shells {
					t.Errorf("zone %s: the skirt changes its figures: %+v, without %+v", z.Name, z, plain.Log.Zones[i])
				}
				total, seconds = total+z.ContactFilament, seconds+z.Seconds
			}
			m := &r.Log.Motion
			if math.Abs(total-m.Filament) > 1e-4 || math.Abs(seconds-m.Seconds) > 1e-4 {
				t.Errorf("zones and skirt hold %g mm and take %g s, the motion %g and %g", total, seconds, m.Filament, m.Seconds)
			}
			if m.Deviation > s.Tolerance || m.LowestZ <= 0 {
				t.Errorf("deviation %g, lowest tip %g", m.Deviation, m.LowestZ)
			}
			if have, want := stopCodes(r), stopCodes(plain); have != want {
				t.Errorf("findings that stop: %q, without a skirt %q", have, want)
			}
			checkRings(t, filepath.Join(out, "corrected.gcode"), l)
		})
	}
}

func stopCodes(r *Result) string {
	var all []string
	for _, f := range r.Log.Findings {
		if f.Rank == Stop {
			all = append(all, f.Code+" "+f.Zone)
		}
	}
	return strings.Join(all, ", ")
}

// checkRings reads the skirt's beads from the file: in order before the first
// zone, all on the bed, none nearer to the stem (5 mm about 125, 105) than the
// log says, and the innermost about as near as that.
func checkRings(t *testing.T, file string, l *SkirtLog) {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	word := regexp.MustCompile(`([XYZE])(-?[\d.]+)`)
	at, zone := map[string]float64{}, ""
	least, beads := math.Inf(1), 0
	in := bufio.NewScanner(f)
	for in.Scan() {
		line := in.Text()
		if strings.HasPrefix(line, "; zone ") {
			if zone == "" && line != "; zone "+l.Name {
				t.Errorf("%q comes first", line)
			}
			if zone = strings.TrimPrefix(line, "; zone "); zone != l.Name {
				break
			}
		}
		if zone == "" || !strings.HasPrefix(line, "G1 ") {
			continue
		}
		e := at["E"]
		for _, w := range word.FindAllStringSubmatch(line, -1) {
			at[w[1]], _ = strconv.ParseFloat(w[2], 64)
		}
		if at["E"] <= e || !strings.Contains(line, "X") && !strings.Contains(line, "Y") {
			continue
		}
		beads++
		least = math.Min(least, math.Hypot(at["X"]-125, at["Y"]-105)-5)
		if at["Z"] > 0.25 {
			t.Fatalf("a bead of the skirt at z %g", at["Z"])
		}
	}
	const halfWidth = 0.225
	if d := l.Distance + halfWidth; beads < 100 || least < d-0.02 || least > d+0.1 {
		t.Errorf("%d beads, the nearest %.3f mm from the stem, %.3f were said", beads, least, d)
	}
}

func TestASkirtOffTheBedIsRefused(t *testing.T) {
	s := newJob(t, "swivel-45", strings.Replace(outward45, `"angle":45`, `"angle":45,"axis":[12,105]`, 1))
	s.Part.Seat = &[2]float64{12, 105}
	s.Planner.Skirt, s.Planner.SkirtDistance = 5, 8
	_, err := Run(t.Context(), s, Options{Out: t.TempDir()})
	if err == nil || !strings.Contains(err.Error(), "planner.skirt") {
		t.Errorf("%v", err)
	}
}

// A head wide and low at one side pushes the skirt out to where it is past.
func TestTheHeadsBoxesKeepTheSkirtAway(t *testing.T) {
	s := newJob(t, "straight", `{"name":"all","field":{"kind":"level"}}`)
	before := s.clearOfHead()
	card := *s.Machine.Card
	card.Head.Boxes = []machine.Box{{Min: [3]float64{3, -4, 0.2}, Max: [3]float64{30, 4, 10}}}
	s.Machine.Card = &card
	want := math.Hypot(30, 4)
	if have := s.clearOfHead(); before > 2 || have < want || have > want+1 {
		t.Errorf("clear at %g, want %g; without the box %g", have, want, before)
	}
}
