package window

import (
	"math"
	"path/filepath"
	"strings"

	"conewright/app/session"
	"conewright/geom/job"
	"conewright/i18n"
)

// partText describes a part's size and health, and what was mended.
func partText(p *session.PartFacts) string {
	lines := []string{
		i18n.T("part.size", "x", i18n.Number(p.Size[0], 1), "y", i18n.Number(p.Size[1], 1), "z", i18n.Number(p.Size[2], 1)),
		i18n.T("part.volume", "volume", i18n.Number(p.Volume/1000, 2)),
	}
	switch {
	case p.Closed:
		lines = append(lines, i18n.N("part.closed", p.Bodies))
	default:
		lines = append(lines, i18n.N("part.openedges", p.OpenEdges))
	}
	if p.Mended > 0 {
		lines = append(lines, i18n.N("part.mended", p.Mended))
	}
	if tiny(p) {
		lines = append(lines, i18n.T("part.tiny"))
	}
	return strings.Join(lines, "\n")
}

// tinyBelow is the size in mm below which a part is asked about: one drawn in
// inches comes out 25.4 times too small, and few print parts of 4 mm.
const tinyBelow = 4

func tiny(p *session.PartFacts) bool {
	return math.Max(p.Size[0], math.Max(p.Size[1], p.Size[2])) < tinyBelow
}

// zoneText gives the figures of a zone, as far as they are known.
func zoneText(f *session.Facts, zone string) string {
	if f == nil {
		return i18n.T("state.reading")
	}
	if f.Err != nil {
		return errorText(f.Err)
	}
	for _, z := range f.Zones {
		if z.Name == zone {
			text := i18n.T("zones.overhang", "area", i18n.Number(z.Overhang, 0), "level", i18n.Number(z.LevelOverhang, 0))
			return text + "\n" + i18n.N("zones.midair", z.MidAirStarts)
		}
	}
	return ""
}

func shellsText(s *job.Setup, f *session.Facts) string {
	if f != nil && f.Err == nil && f.Shells > 0 {
		return i18n.N("shells.state", f.Shells, "shell", i18n.Number(s.Shell, 2))
	}
	return i18n.T("shells.plain", "shell", i18n.Number(s.Shell, 2), "bead", i18n.Number(s.Bead, 2))
}

// runText says how the newest run ended and where its files are.
func (w *Window) runText(run *session.Run, s *job.Setup) string {
	switch {
	case run.Active || run.Setup == nil:
		return ""
	case run.Cancelled():
		return i18n.T("motion.cancelled")
	case run.Result == nil && run.Err != nil:
		return errorText(run.Err)
	}
	text := i18n.T("motion.files", "folder", lastTwo(run.Out))
	if run.Stopped() {
		text = i18n.T("motion.kept") + "\n" + text
	} else {
		m := run.Result.Log.Motion
		text = i18n.T("motion.figures", "time", duration(m.Seconds), "filament", i18n.Number(m.Filament/1000, 2),
			"deviation", i18n.Number(m.Deviation, 4)) + w.costText(run.Setup, m.Mass) + "\n" + i18n.T("motion.which") + "\n" + text
	}
	if run.Setup != s {
		text = i18n.T("motion.older") + "\n" + text
	}
	return text
}

// earlierText says what an earlier run left, and whether that still fits.
func earlierText(e *job.Earlier, current bool) string {
	match, key := e.Match, ""
	if !current {
		match = job.OtherSetup
	}
	switch {
	case match == job.OtherSetup:
		key = "motion.earlier.setup"
	case match == job.OtherPart:
		key = "motion.earlier.part"
	case match == job.OtherProgram:
		key = "motion.earlier.program"
	case e.Kept:
		key = "motion.earlier.kept"
	case !e.Motion:
		key = "motion.earlier.gone"
	default:
		text := i18n.T("motion.estimate.earlier", "time", duration(e.Seconds),
			"filament", i18n.Number(e.Filament/1000, 2), "mass", i18n.Number(e.Mass, 1))
		warnings := ""
		if e.Warnings > 0 {
			warnings = i18n.N("motion.earlier.warnings", e.Warnings) + "\n"
		}
		return i18n.T("motion.earlier", "when", e.Made.Local().Format("2006-01-02 15:04")) + " " + i18n.T("motion.earlier.fits") + "\n" +
			text + "\n" + warnings + i18n.T("motion.which")
	}
	return i18n.T("motion.earlier", "when", e.Made.Local().Format("2006-01-02 15:04")) + " " + i18n.T(key)
}

// lastTwo returns the end of a path: the bottom line has it in full.
func lastTwo(path string) string {
	return filepath.Join("…", filepath.Base(filepath.Dir(path)), filepath.Base(path))
}

// duration writes a printing time in hours and minutes.
func duration(seconds float64) string {
	minutes := int(math.Max(1, math.Round(seconds/60)))
	if minutes < 60 {
		return i18n.N("time.minutes", minutes)
	}
	return i18n.T("time.hours", "h", i18n.Integer(minutes/60), "min", i18n.Integer(minutes%60))
}
