package drawing

// Pen is a kind of line. The kinds, their dashes and the ratio of widths
// follow ISO 128-2 (values from memory, the standard wasn't at hand): thick is
// twice thin; dash 12 d, long dash 24 d, gap 3 d, dot half d, d being the
// width.
type Pen uint8

// The pens, in the order in which outputs lay them down: what stands later
// lies on top.
const (
	Hatch     Pen = iota // crossed hatch of unsupported surfaces: continuous, thin
	Hidden               // hidden edges: dashed, thin
	Shell                // shells, on the surface and in section: continuous, thin
	Bead                 // beads of the motion: continuous, thin
	Hanging              // beads with nothing under them: short dashes, thick
	Dimension            // dimension, extension and leader lines: continuous, thin
	Axis                 // axes and planes of symmetry: long-dash dot, thin
	Cut                  // traces of cuts and of the section plane: long-dash dot, thin
	Head                 // outline of the head, a neighbouring part: long-dash double dot, thin
	Ground               // the bed: continuous, thin
	Visible              // visible edges and section outlines: continuous, thick
	CutEnd               // ends of section planes: continuous, very thick
	Frame                // frame and outer lines of the title block: continuous, thick
	Rule                 // inner lines of the title block: continuous, thin
	Symbol               // marks and handles: continuous, medium
	// PenCount is how many pens there are.
	PenCount
)

// Pens returns all pens in drawing order.
func Pens() []Pen {
	pens := make([]Pen, PenCount)
	for i := range pens {
		pens[i] = Pen(i)
	}
	return pens
}

// The widths of lines on paper, mm: of the series 0.18, 0.25, 0.35, 0.5, 0.7 of
// ISO 128-2 (from memory); thick is twice thin.
const (
	thin      = 0.18
	medium    = 0.25
	thick     = 0.35
	veryThick = 0.7
)

var penNames = [PenCount]string{"hatch", "hidden", "shell", "bead", "hanging", "dimension", "axis", "cut",
	"head", "ground", "visible", "cut-end", "frame", "rule", "symbol"}

// String returns the pen's name, as used for classes in SVG.
func (p Pen) String() string {
	if p < PenCount {
		return penNames[p]
	}
	return "unknown"
}

// Width returns the width of the pen's line on paper, mm.
func (p Pen) Width() float64 {
	switch p {
	case Visible, Frame, Hanging:
		return thick
	case CutEnd:
		return veryThick
	case Symbol, Ground:
		return medium
	}
	return thin
}

// Lengths of dashes and gaps, mm: the multiples of ISO 128-2 at the width of
// 0.25 mm, so that thin lines on a screen still read as dashes and dots.
var (
	dashed     = []float64{2.4, 0.9}
	dashDot    = []float64{6, 0.8, 0.3, 0.8}
	dashTwoDot = []float64{6, 0.8, 0.3, 0.8, 0.3, 0.8}
	shortDash  = []float64{0.9, 0.6}
)

// Dashes returns lengths of dashes and gaps in turn, mm; nil for a continuous
// line. The caller must not change it.
func (p Pen) Dashes() []float64 {
	switch p {
	case Hidden:
		return dashed
	case Hanging:
		return shortDash
	case Axis, Cut:
		return dashDot
	case Head:
		return dashTwoDot
	}
	return nil
}
