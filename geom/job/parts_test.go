package job

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// severalJob is a job of two copies of a part, the second with two zones.
func severalJob(t *testing.T, change func(text string) string) (*Setup, error) {
	t.Helper()
	one := newJob(t, "straight", `{"name":"z","field":{"kind":"level"}}`)
	text := change(`{"conewright":1,"machine":"straight","parts":[
 {"name":"left","part":{"file":"part.stl","seat":[60,100]},"zones":{"name":"a","field":{"kind":"level"}}},
 {"name":"right","part":{"file":"part.stl","seat":[190,100]},"zones":{"cut":{"point":[190,100,4],"normal":[0,0,1]},
  "under":{"name":"b","field":{"kind":"level"}},"over":{"name":"c","field":{"kind":"level"}}}}]}`)
	return Parse([]byte(text), filepath.Dir(one.PartPath()))
}

func TestSeveralPartsArePrintedOneAfterTheOther(t *testing.T) {
	s, err := severalJob(t, func(text string) string { return text })
	if err != nil {
		t.Fatal(err)
	}
	r, out := runJob(t, s)
	var names []string
	for _, z := range r.Log.Zones {
		names = append(names, z.Part+"/"+z.Name)
	}
	if got := strings.Join(names, " "); got != "left/a right/b right/c" {
		t.Errorf("zones %s", got)
	}
	if len(r.Log.Inputs) != 2 {
		t.Errorf("inputs %+v", r.Log.Inputs)
	}
	data, err := os.ReadFile(filepath.Join(out, CorrectedName))
	if err != nil {
		t.Fatal(err)
	}
	last := -1
	for _, zone := range []string{"a", "b", "c"} {
		at := strings.Index(string(data), "\n; zone "+zone+"\n")
		if at <= last {
			t.Errorf("zone %s begins at byte %d, after %d", zone, at, last)
		}
		last = at
	}
	m := readMotion(t, filepath.Join(out, CorrectedName), s.Machine.Card)
	high, crossings := 0.0, 0
	for i := range m.moves {
		mv := &m.moves[i]
		if mv.bead() {
			high = max(high, mv.to.z)
		}
		if mv.from.x < 120 && mv.to.x > 130 {
			crossings++
			if mv.from.z <= high || mv.to.z <= high {
				t.Errorf("line %d crosses to the second part at z %g, the first is %g high", mv.line, mv.to.z, high)
			}
		}
	}
	if crossings != 1 {
		t.Errorf("%d travels from part to part", crossings)
	}
	again, err := s.JSON()
	if err != nil {
		t.Fatal(err)
	}
	if read, err := Parse(again, s.Dir()); err != nil || len(read.Leaves()) != 3 {
		t.Errorf("written and read again: %v", err)
	}
}

// The head that prints the second part reaches over the first, which stands too
// near. The finding names both parts by their names, and no zone: moving a cut mends
// nothing there.
func TestACollisionWithAnotherPartNamesBothParts(t *testing.T) {
	s, err := severalJob(t, func(text string) string { return strings.ReplaceAll(text, "[60,100]", "[171,100]") })
	if err != nil {
		t.Fatal(err)
	}
	r, _ := runJob(t, s)
	named := 0
	for _, f := range r.Log.Findings {
		if f.Code != "collision" {
			continue
		}
		if strings.Contains(f.Text, "meets zone") {
			t.Errorf("a zone is blamed: %s", f.Text)
		}
		if strings.HasPrefix(f.Text, "part right: the head meets part left, ") {
			named++
		}
	}
	if named == 0 {
		t.Errorf("no finding names the two parts: %v", r.Log.Findings)
	}
}

func TestSeveralPartsAreChecked(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{`"name":"b"`, `"name":"A"`, "two zones"},
		{`"name":"right"`, `"name":"left"`, "can't name a part"},
		{`"conewright":1,`, `"conewright":1,"part":{"file":"part.stl"},`, "both parts"},
		{`"seat":[190,100]`, `"seat":[61,100]`, "stands where part left does"},
		{`"file":"part.stl","seat":[190,100]`, `"file":"nowhere.stl"`, "nowhere.stl"},
		{`[0,0,1]`, `[0,0,-1]`, "parts[1].zones.cut.normal"},
	} {
		s, err := severalJob(t, func(text string) string { return strings.Replace(text, c.old, c.new, 1) })
		if err == nil {
			_, err = Run(context.Background(), s, Options{Out: filepath.Join(t.TempDir(), "out")})
		}
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", c.want, err)
		}
	}
}
