// Package job holds the setup (a job file in memory), the run from part to
// proved motion file, and the run log.
//
// A setup is an immutable value: changing one means making another. Lengths are
// mm, angles degrees, as in the job file.
package job

import (
	"bytes"
	"encoding/json"
	"math"
	"path/filepath"
	"slices"

	"conewright/geom/machine"
	"conewright/geom/planner"
	"conewright/geom/zone"

	"gonum.org/v1/gonum/spatial/r3"
)

// Version is the newest version of the job format that is understood.
const Version = 1

// Setup is a job. Its JSON is the job file's.
type Setup struct {
	Version   int      `json:"conewright"`
	Part      Part     `json:"part"`
	Machine   Machine  `json:"machine"`
	Shell     float64  `json:"shell"`     // thickness square to the shell, mm
	Bead      float64  `json:"bead"`      // width of a bead, mm
	Tolerance float64  `json:"tolerance"` // mm
	Overhang  float64  `json:"overhang"`  // degrees from the shell's normal
	Material  Material `json:"material"`
	StartFrom string   `json:"start_from"` // card | file
	// Support is what is held up by support of last resort. A job file that needs
	// none leaves it out: see JSON.
	Support string  `json:"support,omitempty"` // none | starts | all
	Planner Planner `json:"planner"`
	Zones   *Zone   `json:"zones"`
	// Parts are several parts, in printing order, in place of Part and Zones, which
	// then show the first one's.
	Parts []PartZones `json:"parts,omitempty"`

	dir  string // what relative paths start from
	file string // the job file that it was read from, or ""
}

// Part names the part's file and how it stands on the bed.
type Part struct {
	File string      `json:"file"`
	Unit string      `json:"unit"` // mm | cm | m | in
	Turn [3]float64  `json:"turn"` // degrees about x, then y, then z
	Seat *[2]float64 `json:"seat"` // centre of the bounding box on the bed
}

// Machine is a card: by a built-in's name or a path (Ref), or in full.
type Machine struct {
	Ref  string        // empty: the card stands in the job itself
	Card *machine.Card // as resolved; never nil in a setup that was read
}

// Material is what is printed.
type Material struct {
	NozzleTemp float64 `json:"nozzle_temp"` // degrees C
	BedTemp    float64 `json:"bed_temp"`    // degrees C
	Fan        float64 `json:"fan"`         // 0..1
	Density    float64 `json:"density"`     // g/cm3
}

// Planner tells the built-in planner what to do. The first six stand in every
// job file's description; the others are further keys of "planner", each with a
// default.
type Planner struct {
	Walls       int     `json:"walls"`
	Caps        int     `json:"caps"` // solid layers above and below
	Fill        float64 `json:"fill"` // 0..1
	FillPattern string  `json:"fill_pattern"`
	Speed       float64 `json:"speed"`        // mm/s
	TravelSpeed float64 `json:"travel_speed"` // mm/s

	WallOrder     string  `json:"wall_order"`     // inside-out | outside-in
	Seam          string  `json:"seam"`           // where walls begin: line | spread | nearest
	SeamToward    float64 `json:"seam_toward"`    // azimuth of the line, seen from the axis, degrees
	LeastSeconds  float64 `json:"least_seconds"`  // a shell takes so long at least, by slower beads; 0: no matter
	SlowShells    int     `json:"slow_shells"`    // so many first shells of a zone are slow
	SlowFactor    float64 `json:"slow_factor"`    // their speed as a share of speed, 0.1 to 1
	Wipe          float64 `json:"wipe"`           // length along the last bead over which filament is drawn back, mm; 0: at rest
	Skirt         int     `json:"skirt"`          // rings on the bed round the part, laid first
	SkirtDistance float64 `json:"skirt_distance"` // from the part to the skirt, mm; more where the head would meet it

	// Foot asks for so many level shells on the bed, under zones that aren't
	// level. Reading a job makes a zone of it and sets it to 0: see AddFoot.
	Foot int `json:"foot,omitempty"`
}

// Values of Planner.WallOrder and Planner.Seam.
const (
	InsideOut   = "inside-out"
	OutsideIn   = "outside-in"
	SeamLine    = planner.SeamLine
	SeamSpread  = planner.SeamSpread
	SeamNearest = planner.SeamNearest
)

// Zone is a node of the tree of zones: a leaf with a name and a field, or a cut
// with what lies under and over it.
type Zone struct {
	Name  string `json:"name,omitempty"`
	Field *Field `json:"field,omitempty"`
	Cut   *Cut   `json:"cut,omitempty"`
	Under *Zone  `json:"under,omitempty"`
	Over  *Zone  `json:"over,omitempty"`
}

// Cut is a plane; its normal points toward what prints later. Only, a point,
// limits it to the piece over the plane that is nearest to it; nil: all of it.
type Cut struct {
	Point  [3]float64  `json:"point"`
	Normal [3]float64  `json:"normal"`
	Only   *[3]float64 `json:"only,omitempty"`
}

// Where numbers of the setup come from.
const (
	FromCard = "card"
	FromFile = "file"
)

// Values of Setup.Support.
const (
	SupportNone   = "none"
	SupportStarts = "starts" // under mid-air starts
	SupportAll    = "all"    // under all that still leans out
)

// Defaults returns a setup that holds what a job file may leave out. It has no
// part, no machine card and no zones yet.
func Defaults() Setup {
	return Setup{
		Version: Version,
		Part:    Part{Unit: "mm"},
		Machine: Machine{Ref: "swivel-45"},
		Shell:   0.2, Bead: 0.45, Tolerance: 0.02, Overhang: 45,
		Material:  Material{NozzleTemp: 210, BedTemp: 60, Fan: 1, Density: 1.24},
		StartFrom: FromCard,
		Support:   SupportNone,
		Planner: Planner{
			Walls: 2, Caps: 4, Fill: 0.15, FillPattern: "rings", Speed: 40, TravelSpeed: 120,
			WallOrder: InsideOut, Seam: SeamLine,
			LeastSeconds: 5, SlowShells: 1, SlowFactor: 0.5, // common practice, no source
			SkirtDistance: 5,
		},
	}
}

// New returns a setup for a part file with every default: the given machine,
// one level zone named "part".
func New(partFile, machineName string) (*Setup, error) {
	s := Defaults()
	s.Part.File = partFile
	s.Machine.Ref = machineName
	return s.complete(".")
}

// Dir returns the folder that relative paths in the setup start from.
func (s *Setup) Dir() string { return s.dir }

// PartPath returns where the part's file lies.
func (s *Setup) PartPath() string { return s.resolve(s.Part.File) }

func (s *Setup) resolve(path string) string {
	if filepath.IsAbs(path) || s.dir == "" {
		return path
	}
	return filepath.Join(s.dir, path)
}

// JSON returns the setup as a job file. Without support it doesn't name it, so that
// programs older than support can read it too.
func (s *Setup) JSON() ([]byte, error) {
	saved := *s
	if saved.Support == SupportNone {
		saved.Support = ""
	}
	data, err := json.MarshalIndent(&saved, "", "  ")
	return append(data, '\n'), err
}

// Clone returns a deep copy, for making a changed setup.
func (s *Setup) Clone() *Setup {
	c := *s
	if s.Part.Seat != nil {
		seat := *s.Part.Seat
		c.Part.Seat = &seat
	}
	if s.Machine.Card != nil {
		c.Machine.Card = s.Machine.Card.Clone()
	}
	c.Zones = s.Zones.clone()
	c.Parts = slices.Clone(s.Parts)
	for i := range c.Parts {
		p := &c.Parts[i]
		if p.Part.Seat != nil {
			seat := *p.Part.Seat
			p.Part.Seat = &seat
		}
		p.Zones = p.Zones.clone()
	}
	c.showFirst()
	return &c
}

func (z *Zone) clone() *Zone {
	if z == nil {
		return nil
	}
	c := Zone{Name: z.Name, Under: z.Under.clone(), Over: z.Over.clone()}
	if z.Field != nil {
		c.Field = z.Field.Clone()
	}
	if z.Cut != nil {
		cut := *z.Cut
		if cut.Only != nil {
			only := *cut.Only
			cut.Only = &only
		}
		c.Cut = &cut
	}
	return &c
}

// Leaves returns the leaves in printing order.
func (z *Zone) Leaves() []*Zone {
	if z == nil {
		return nil
	}
	if z.Cut == nil {
		return []*Zone{z}
	}
	return append(z.Under.Leaves(), z.Over.Leaves()...)
}

// tree returns the zones as the cutter wants them.
func (z *Zone) tree() *zone.Node {
	if z.Cut == nil {
		return &zone.Node{Name: z.Name}
	}
	p := z.Cut.Plane()
	n := &zone.Node{Cut: &p, Under: z.Under.tree(), Over: z.Over.tree()}
	if o := z.Cut.Only; o != nil {
		n.Only = &r3.Vec{X: o[0], Y: o[1], Z: o[2]}
	}
	return n
}

// Plane returns the cut as a plane with a unit normal.
func (c *Cut) Plane() zone.Plane {
	n := r3.Vec{X: c.Normal[0], Y: c.Normal[1], Z: c.Normal[2]}
	return zone.Plane{Point: r3.Vec{X: c.Point[0], Y: c.Point[1], Z: c.Point[2]}, Normal: r3.Unit(n)}
}

// Numbers are what a zone is sliced with, by DESIGN 3.
type Numbers struct {
	LayerHeight float64 // planar, mm: shell / cos(angle)
	BeadArea    float64 // stadium of the real bead, mm2
	Pitch       float64 // planar distance of lines, mm: area / layer height
	LineWidth   float64 // of a planar stadium bead of that area, mm
}

// Numbers returns what a zone with field f is sliced with. Source of the
// stadium (a rectangle with round ends): common practice, no source.
func (s *Setup) Numbers(f *Field) Numbers {
	t := s.Shell
	var n Numbers
	angle := f.Steepest() * math.Pi / 180
	n.LayerHeight = t / math.Cos(angle)
	n.BeadArea = (s.Bead-t)*t + math.Pi/4*t*t
	n.Pitch = n.BeadArea / n.LayerHeight
	n.LineWidth = n.Pitch + n.LayerHeight*(1-math.Pi/4)
	return n
}

// MarshalJSON writes a card by its name or path where it has one.
func (m Machine) MarshalJSON() ([]byte, error) {
	if m.Ref != "" {
		return json.Marshal(m.Ref)
	}
	return json.Marshal(m.Card)
}

// UnmarshalJSON takes a name, a path or a card.
func (m *Machine) UnmarshalJSON(data []byte) error {
	*m = Machine{}
	if data = bytes.TrimSpace(data); len(data) > 0 && data[0] == '"' {
		return json.Unmarshal(data, &m.Ref)
	}
	card, err := machine.Parse(data)
	m.Card = card
	return err
}
