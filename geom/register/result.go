package register

import (
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/message"
	"conewright/geom/motion"
)

// MaxOutline is how far the outline may be off anywhere in the best fit, mm;
// beyond it the file is refused.
const MaxOutline = 0.3

// Options say what the file was to be made with; zeros are filled in.
type Options struct {
	LayerHeight float64 // planar, mm; 0: 0.2
	LineWidth   float64 // planar, mm; 0: 0.45
	// Footprints asks for those of some layers, for looking at: up to 40 MB.
	Footprints bool
	Read       motion.ReadOptions
	Progress   func(done float64)
}

// Result is where the file lies.
type Result struct {
	// Offset is the planar motion's place less the mesh's: [dx, dy, dz].
	Offset r3.Vec
	// Error is the greatest deviation of an outline, mm, after the fit: of what
	// the outermost beads draw from the mesh's section.
	Error float64
	// Inset is how far the middle lines of the outermost beads lie inside of
	// the outline, mm.
	Inset float64
	// FirstBead and LastBead are the lines of the first and last bead that
	// belong to the part.
	FirstBead, LastBead int
	// OffPart counts beads that don't: skirts, brims, rafts, priming lines.
	OffPart int
	// Layers of the part.
	Layers int
	// Bottom and Top are the heights, in the mesh's coordinates, between which
	// the file prints.
	Bottom, Top float64
	Stats       motion.Stats
	// Footprints, if asked for, are those of the lowest layers and of some
	// spread over the rest, from below.
	Footprints []Footprint

	beads beads
	low   []*footprint // sections of the layers that may hold beads off the part
	first int          // the part's first layer
}

// Mismatch says why a file doesn't fit.
type Mismatch struct {
	Why       message.Text // in a few words
	Deviation float64      // mm; 0 where there is nothing to compare
	At        r3.Vec       // in the file's coordinates
	Line      int
	Missing   bool   // the part has an outline there and the file no bead
	Offset    r3.Vec // the best fit
	Share     float64
	FileSize  r3.Vec // extent of the file's beads, first layers apart, mm
	PartSize  r3.Vec // extent of the warped mesh, mm
	Stats     motion.Stats
	// Footprints, if asked for and if the file has layers, lie as in the best
	// fit.
	Footprints []Footprint
}

// Code is the finding code.
func (m *Mismatch) Code() string { return "register" }

// Message says the error as a sentence.
func (m *Mismatch) Message() message.Text {
	parts := []message.Text{message.New("the motion file doesn't fit the warped mesh: %s", m.Why)}
	if m.Deviation > 0 {
		what := "a bead lies %.2f mm off the part at x %.2f y %.2f z %.2f (line %d)"
		if m.Missing {
			what = "the part's outline is %.2f mm from any bead at x %.2f y %.2f z %.2f (layer from line %d)"
		}
		parts = append(parts, message.New(what, m.Deviation, m.At.X, m.At.Y, m.At.Z, m.Line), message.New("%.1f mm is allowed", MaxOutline))
	}
	if m.FileSize != (r3.Vec{}) {
		parts = append(parts, message.New("the file's beads span %.1f x %.1f x %.1f mm, the mesh %.1f x %.1f x %.1f mm",
			m.FileSize.X, m.FileSize.Y, m.FileSize.Z, m.PartSize.X, m.PartSize.Y, m.PartSize.Z))
	}
	parts = append(parts, message.New("slice the warped mesh as it is: not turned, mirrored or scaled, and alone, without supports, shields or towers"))
	return message.Join("; ", parts...)
}

func (m *Mismatch) Error() string { return m.Message().String() }

// refuse makes a Mismatch.
func (f *finder) refuse(why message.Text, worst misfit) error {
	m := &Mismatch{Why: why, Deviation: worst.off, At: worst.at, Line: worst.line, Missing: worst.missing,
		Offset: f.at.d, Share: f.at.share, PartSize: r3.Sub(f.cut.max, f.cut.min), Stats: f.taken.stats}
	if n := len(f.list); n > 0 {
		b := emptyBox()
		for i := range f.list[min(4, n/3):] {
			l := &f.list[min(4, n/3)+i]
			b.add(l.box.min)
			b.add(l.box.max)
		}
		s := b.size()
		m.FileSize = r3.Vec{X: s.X + 2*f.at.inset, Y: s.Y + 2*f.at.inset, Z: f.list[n-1].z}
		m.Footprints = f.footprints()
	}
	return m
}
