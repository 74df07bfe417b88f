package job

import (
	"context"
	"errors"
	"math"
	"os"
	"path/filepath"
	"testing"

	"conewright/geom/brought"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

func fitFile(t *testing.T, p *prepared, text []byte) *brought.Fit {
	t.Helper()
	file := filepath.Join(t.TempDir(), "sliced.motion")
	if err := os.WriteFile(file, text, 0o666); err != nil {
		t.Fatal(err)
	}
	last := 0.0
	fit, err := FitBrought(context.Background(), p.s, "z", file, FitOptions{Regions: p.regions, Progress: func(done float64) {
		if done < last || done > 1 {
			t.Errorf("progress goes from %g to %g", last, done)
		}
		last = done
	}})
	if err != nil {
		t.Fatal(err)
	}
	return fit
}

func TestShowsHowABroughtFileFits(t *testing.T) {
	p := prepare(t, partJob(t, "bollard", "swivel-45", demoFields[0].field))
	g := p.regions[0]
	n := &g.Numbers
	d := dialects[2] // arcs, a brim
	d.skirts, d.words = 2, true
	shift := r2.Vec{X: -31.4, Y: 12.7}
	file := d.slice(g.Warped, n.LayerHeight, n.LineWidth, shift)
	fit := fitFile(t, p, file.text)
	if !fit.Fits || math.Abs(fit.Offset.X-shift.X) > 0.02 || math.Abs(fit.Offset.Y-shift.Y) > 0.02 {
		t.Fatalf("fits %v at %.3f: %+v", fit.Fits, fit.Offset, fit.Findings)
	}
	if fit.LeftOut == 0 || fit.Beads <= fit.LeftOut || fit.Layers < 10 || fit.FirstLine == 0 || fit.LastLine <= fit.FirstLine {
		t.Errorf("%d of %d beads left out, %d layers, lines %d to %d", fit.LeftOut, fit.Beads, fit.Layers, fit.FirstLine, fit.LastLine)
	}
	if len(fit.Heights[0].LeftOut) == 0 {
		t.Error("the brim isn't shown among what is left out")
	}
	shown := &fit.Heights[fit.Shown]
	if len(shown.Section) == 0 || len(shown.Outline) == 0 || len(shown.Beads) == 0 || len(shown.LeftOut) > 0 {
		t.Errorf("at %.2f: %d contours, %d outlines, %d beads, %d left out", shown.Z, len(shown.Section), len(shown.Outline), len(shown.Beads), len(shown.LeftOut))
	}
	for i := range fit.Heights {
		for _, c := range fit.Heights[i].Outline {
			for _, q := range c {
				if off := toContours(q, fit.Heights[i].Section); off > 0.1 {
					t.Fatalf("at %.2f the outline is %.3f mm off the section at %.2f", fit.Heights[i].Z, off, q)
				}
			}
		}
	}
	if g.Offset != (r3.Vec{}) {
		t.Error("the caller's region was changed")
	}
	same := p.bring(t, FromCard, map[string][]byte{"z": file.text}) // the run finds the same of the file
	if same.result.Regions[0].Offset != fit.Offset || same.result.Log.Zones[0].OffPart != fit.LeftOut {
		t.Errorf("the run registers %.4f and leaves %d out, the fit %.4f and %d", same.result.Regions[0].Offset, same.result.Log.Zones[0].OffPart, fit.Offset, fit.LeftOut)
	}
}

// toContours is the distance from p to the nearest of closed contours.
func toContours(p r2.Vec, contours [][]r2.Vec) float64 {
	best := math.Inf(1)
	for _, c := range contours {
		for i, a := range c {
			ab := r2.Sub(c[(i+1)%len(c)], a)
			t := math.Min(math.Max(r2.Dot(r2.Sub(p, a), ab)/r2.Norm2(ab), 0), 1)
			best = math.Min(best, r2.Norm(r2.Sub(p, r2.Add(a, r2.Scale(t, ab)))))
		}
	}
	return best
}

func TestShowsWhereARefusedFileIsOff(t *testing.T) {
	p := prepare(t, partJob(t, "bollard", "swivel-45", demoFields[0].field))
	g := p.regions[0]
	wide := changed(g.Warped, false, func(v r3.Vec) r3.Vec { return r3.Vec{X: 1.05 * v.X, Y: v.Y, Z: v.Z} })
	fit := fitFile(t, p, plain.slice(wide, g.Numbers.LayerHeight, g.Numbers.LineWidth, r2.Vec{X: 3, Y: 4}).text)
	if fit.Fits || len(fit.Findings) != 1 || fit.Findings[0].Code != "register" || fit.Findings[0].Rank != Stop || fit.Error < 0.3 {
		t.Fatalf("fits %v, off by %.3f, findings %+v", fit.Fits, fit.Error, fit.Findings)
	}
	shown := &fit.Heights[fit.Shown]
	worst := 0.0
	for _, c := range shown.Outline {
		for _, q := range c {
			worst = math.Max(worst, toContours(q, shown.Section))
		}
	}
	if worst < 0.3 {
		t.Errorf("what is shown at %.2f is off by only %.3f mm, the file by %.3f", shown.Z, worst, fit.Error)
	}
}

func TestFitNeedsAZoneAndAFile(t *testing.T) {
	s := partJob(t, "bollard", "swivel-45", demoFields[0].field)
	for _, c := range []struct{ zone, file string }{{"y", "../../go.mod"}, {"z", "no such file"}} {
		_, err := FitBrought(context.Background(), s, c.zone, c.file, FitOptions{})
		var in *InputError
		if !errors.As(err, &in) {
			t.Errorf("zone %s, file %s: %v", c.zone, c.file, err)
		}
	}
	fit, err := FitBrought(context.Background(), s, "z", "../../go.mod", FitOptions{})
	if err != nil || fit.Fits || len(fit.Findings) == 0 {
		t.Errorf("a text without motion: %+v, %v", fit, err)
	}
}
