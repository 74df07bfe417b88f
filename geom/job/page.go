package job

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"math"
	"path/filepath"
)

//go:embed page.html
var pageText string

var page = template.Must(template.New("page").Funcs(template.FuncMap{
	"mm":       func(v float64) string { return fmt.Sprintf("%.2f", v) },
	"mm3":      func(v float64) string { return fmt.Sprintf("%.3f", v) },
	"whole":    func(v float64) string { return fmt.Sprintf("%.0f", v) },
	"duration": duration,
	"svg":      func(b []byte) template.HTML { return template.HTML(b) }, // drawn by this program
	"field":    describeField,
	"base":     filepath.Base,
	"deref":    func(v *float64) float64 { return *v },
	"saved":    func(z ZoneLog) float64 { return z.LevelUnder - z.Under },
}).Parse(pageText))

// writePage writes run.html, the run log for people.
func writePage(w io.Writer, r *Result, pictures []Picture) error {
	return page.Execute(w, struct {
		*Result
		Pictures []Picture
		Cautions []string
		Setups   []SlicerSetup
	}{r, pictures, Cautions(), SlicerSetups(r.Setup, r.Regions)})
}

// Cautions are what a user reads before a motion file is used.
func Cautions() []string {
	return []string{
		"The machine is hot and moves by itself. A motion file that was never run can crash it.",
		"Run the dry-run file first, with a hand on the power switch.",
		"Follow the machine maker's instructions and local rules; where they say otherwise, they count.",
	}
}

// duration tells seconds as hours, minutes, seconds.
func duration(s float64) string {
	n := int(math.Round(s))
	if n >= 3600 {
		return fmt.Sprintf("%d h %02d min", n/3600, n%3600/60)
	}
	return fmt.Sprintf("%d min %02d s", n/60, n%60)
}

// SlicerSetup is what a user sets in an own slicer for one zone.
type SlicerSetup struct {
	Zone, File              string
	LayerHeight, LineWidth  float64 // mm
	Height                  float64 // of the warped mesh, mm
	TooHigh                 bool    // for this machine's own travel, warped; the real part fits
	NozzleTemp, BedTemp     float64
	Filament, Nozzle, Speed float64
}

// SlicerSetups returns the card of settings for each zone.
func SlicerSetups(s *Setup, regions []*Region) []SlicerSetup {
	card := s.Machine.Card
	height := card.Travel.Z
	if card.Slants() {
		height = card.PartTravel().Z
	}
	var all []SlicerSetup
	for _, g := range regions {
		h := g.WarpedHeight()
		all = append(all, SlicerSetup{
			Zone: g.Name, File: warpedName(g.Name),
			LayerHeight: g.Numbers.LayerHeight, LineWidth: g.Numbers.LineWidth,
			Height: h, TooHigh: h > height[1]-height[0],
			NozzleTemp: s.Material.NozzleTemp, BedTemp: s.Material.BedTemp,
			Filament: card.Filament, Nozzle: card.Nozzle, Speed: s.Planner.Speed,
		})
	}
	return all
}
