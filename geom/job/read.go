package job

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"math"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"conewright/geom/inputerror"
	"conewright/geom/machine"
	"conewright/geom/message"
	"conewright/geom/planner"
	"conewright/geom/strictjson"
)

// InputError says why an input can't be used: exit status 2.
type InputError = inputerror.Error

func wrong(where, mend, what string, args ...any) error {
	return inputerror.New(where, mend, what, args...)
}

// maxJobBytes bounds a job file: text written by hand or by the window.
const maxJobBytes = 4 << 20

// Load reads and checks a job file. Errors are *InputError.
func Load(path string) (*Setup, error) {
	f, err := openRegular(path)
	if err != nil {
		return nil, inputerror.Caused(message.Name(path), "check the path", "the job file can't be read (%s)", err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, maxJobBytes+1))
	if err != nil {
		return nil, inputerror.Caused(message.Name(path), "check the path", "the job file can't be read (%s)", err)
	}
	s, err := Parse(data, filepath.Dir(path))
	var in *InputError
	if errors.As(err, &in) {
		in.Where = message.Join(": ", message.Name(path), in.Where)
	}
	if err == nil {
		s.file = path
	}
	return s, err
}

// Parse reads and checks a job from JSON; relative paths start from dir. A key
// that isn't known is an error: a mistyped number would silently not count.
func Parse(data []byte, dir string) (*Setup, error) {
	if len(data) > maxJobBytes {
		return nil, wrong("", "is this another file?", "a job file is at most %d bytes", maxJobBytes)
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	if len(bytes.TrimSpace(data)) == 0 {
		return nil, wrong("", "give a job in JSON", "the job file is empty")
	}
	var v struct {
		Version *int `json:"conewright"`
	}
	if err := json.Unmarshal(data, &v); err != nil {
		return nil, jsonError(err)
	}
	switch {
	case v.Version == nil:
		return nil, wrong("conewright", "a job file begins with \"conewright\": 1", "missing")
	case *v.Version > Version:
		return nil, wrong("conewright", "open it with that newer Conewright", "the job is of version %d, this program knows %d", *v.Version, Version)
	case *v.Version < 1:
		return nil, wrong("conewright", "use 1", "version %d doesn't exist", *v.Version)
	}
	s := Defaults()
	if err := strictjson.Decode(data, &s); err != nil {
		return nil, jsonError(err)
	}
	return s.complete(dir)
}

func jsonError(err error) error {
	var syntax *json.SyntaxError
	var typ *json.UnmarshalTypeError
	var card *machine.CardError
	var odd *strictjson.Error
	switch {
	case errors.As(err, &odd):
		return &InputError{Where: message.Name(odd.Where), What: odd.What, Mend: odd.Mend, Err: err}
	case errors.As(err, &card):
		return &InputError{Where: message.Name("machine: " + card.Entry), What: card.What, Mend: card.Mend, Err: err}
	case errors.As(err, &syntax):
		return inputerror.Caused(message.New("byte %d", syntax.Offset), "mend the JSON there", "%s", err)
	case errors.As(err, &typ):
		return &InputError{Where: message.Name(typ.Field), What: message.New("is a %s", strictjson.Named(typ.Value)), Mend: message.New("give it a %s", strictjson.Kind(typ.Type)), Err: err}
	}
	return &InputError{What: message.Name(strings.TrimPrefix(err.Error(), "json: ")), Mend: message.New("mend or remove that entry"), Err: err}
}

// complete resolves the card, fills defaults that depend on it, and checks all.
func (s Setup) complete(dir string) (*Setup, error) {
	s.dir = dir
	if err := s.resolveCard(); err != nil {
		return nil, err
	}
	if s.Parts != nil {
		if len(s.Parts) == 0 {
			return nil, wrong("parts", "name one part at least", "empty")
		}
		return &s, s.completeParts()
	}
	if s.Part.Seat == nil {
		x, y := s.Machine.Card.BedCentre()
		s.Part.Seat = &[2]float64{x, y}
	}
	if s.Zones == nil {
		s.Zones = &Zone{Name: usualZone, Field: s.defaultField()}
	}
	if err := s.checkZones(); err != nil {
		return nil, err
	}
	for _, leaf := range s.Zones.Leaves() {
		leaf.Field.fill(*s.Part.Seat)
	}
	if err := s.Check(); err != nil {
		return nil, err
	}
	if n := s.Planner.Foot; n > 0 {
		if s.AddFoot(n) {
			if err := s.footFits(); err != nil {
				return nil, err
			}
		}
		s.Planner.Foot = 0
	}
	return &s, nil
}

// defaultField is the field of a part without zones: level layers, or the ramp that
// lies in the plane of a belt's gantry.
func (s *Setup) defaultField() *Field {
	if own := s.OwnRamp(); own != nil {
		return own
	}
	return &Field{Kind: KindLevel}
}

// OwnRamp returns the ramp on which the machine lays its shells by itself
// (machine.Card.Ramp); nil where it has none.
func (s *Setup) OwnRamp() *Field {
	angle, toward, ok := s.Machine.Card.Ramp()
	if !ok {
		return nil
	}
	degrees := func(v float64) float64 { return math.Round(v*180/math.Pi*1e3) / 1e3 }
	return &Field{Kind: KindRamp, Angle: degrees(angle), Toward: degrees(toward)}
}

func (s *Setup) resolveCard() error {
	if err := s.findCard(); err != nil {
		return err
	}
	return checkServed(s.Machine.Card)
}

func knownCards() message.Text {
	return message.New("use one of %s, or the path of a card", strings.Join(machine.BuiltinNames(), ", "))
}

func (s *Setup) findCard() error {
	if s.Machine.Card != nil {
		return nil
	}
	if c, ok := machine.Builtin(s.Machine.Ref); ok {
		s.Machine.Card = c
		return nil
	}
	known := knownCards()
	f, err := openRegular(s.resolve(s.Machine.Ref))
	if err != nil {
		return &InputError{Where: message.Name("machine"), What: message.New("%q is no built-in card and no file that can be read", s.Machine.Ref), Mend: known, Err: err}
	}
	defer f.Close()
	s.Machine.Card, err = machine.Read(f)
	var card *machine.CardError
	if errors.As(err, &card) {
		return &InputError{Where: message.Name(s.Machine.Ref + ": " + card.Entry), What: card.What, Mend: card.Mend, Err: err}
	}
	if err != nil {
		return &InputError{Where: message.Name(s.Machine.Ref), What: message.Of(err), Mend: known, Err: err}
	}
	return nil
}

// Bounds of a tree of zones.
const (
	maxDepth  = 64
	maxLeaves = 256
)

var zoneName = regexp.MustCompile(`^[A-Za-z0-9_-]{1,64}$`)

// reservedName matches what names no file on one system or another (Microsoft,
// Naming Files, Paths, and Namespaces).
var reservedName = regexp.MustCompile(`(?i)^(con|prn|aux|nul|com[0-9]|lpt[0-9])$`)

// usualZone names the only zone of a job that says nothing of zones.
const usualZone = "part"

// checkZones checks the tree's shape, so that all else can walk it.
func (s *Setup) checkZones() error {
	names := map[string]bool{}
	var walk func(z *Zone, at string, depth int) error
	walk = func(z *Zone, at string, depth int) error {
		switch {
		case z == nil:
			return wrong(at, "give a zone there", "missing")
		case depth > maxDepth || len(names) >= maxLeaves:
			return wrong(at, "use fewer cuts", "more than %d cuts deep or %d zones", maxDepth, maxLeaves)
		case z.Cut == nil && (z.Under != nil || z.Over != nil):
			return wrong(at, "give it a cut, or make it a leaf", "under and over without a cut")
		case z.Cut == nil && z.Field == nil:
			return wrong(at, "a leaf has a name and a field, an inner zone a cut, under and over", "neither a field nor a cut")
		case z.Cut == nil && !zoneName.MatchString(z.Name):
			return wrong(at+".name", "use letters, digits, - and _, 64 at most", "%q can't name a zone", z.Name)
		case z.Cut == nil && reservedName.MatchString(z.Name):
			return wrong(at+".name", "use another name", "%q names a device on some systems, so no file can have it", z.Name)
		case z.Cut == nil && names[strings.ToLower(z.Name)]:
			return wrong(at+".name", "give each zone its own name (capitals don't tell files apart everywhere)", "two zones are named %q", z.Name)
		case z.Cut == nil:
			names[strings.ToLower(z.Name)] = true
			return nil
		case z.Field != nil:
			return wrong(at, "keep one of them", "both a cut and a field")
		}
		if err := walk(z.Under, at+".under", depth+1); err != nil {
			return err
		}
		return walk(z.Over, at+".over", depth+1)
	}
	return walk(s.Zones, "zones", 0)
}

// Check returns an *InputError for the first number that makes no sense. The
// part itself isn't looked at.
func (s *Setup) Check() error {
	if len(s.Parts) > 0 {
		return s.checkParts()
	}
	if err := s.checkNumbers(); err != nil {
		return err
	}
	var walk func(z *Zone, at string) error
	walk = func(z *Zone, at string) error {
		if z.Cut == nil {
			return s.checkField(z.Field, at+".field")
		}
		if err := checkCut(z.Cut, at+".cut"); err != nil {
			return err
		}
		if err := walk(z.Under, at+".under"); err != nil {
			return err
		}
		return walk(z.Over, at+".over")
	}
	return walk(s.Zones, "zones")
}

func (s *Setup) checkNumbers() error {
	if s.Part.File == "" {
		return wrong("part.file", "name the part's file (.stl, .3mf or .obj)", "missing")
	}
	if _, ok := unitMM[s.Part.Unit]; !ok {
		return wrong("part.unit", "use mm, cm, m or in", "%q isn't a unit that is known here", s.Part.Unit)
	}
	if s.StartFrom != FromCard && s.StartFrom != FromFile {
		return wrong("start_from", "use card or file", "%q isn't known", s.StartFrom)
	}
	if s.StartFrom == FromFile && s.Machine.Card.Slants() {
		return wrong("start_from", "use card", "on linear axes that slant the words of a file's own start and end name other places than a slicer believes")
	}
	if s.Support != SupportNone && s.Support != SupportStarts && s.Support != SupportAll {
		return wrong("support", "use none, starts or all", "%q isn't known", s.Support)
	}
	if err := s.Planner.checkNames(); err != nil {
		return err
	}
	for _, n := range []struct {
		entry          string
		v, least, most float64
	}{
		{"part.turn[0]", s.Part.Turn[0], -3600, 3600}, {"part.turn[1]", s.Part.Turn[1], -3600, 3600}, {"part.turn[2]", s.Part.Turn[2], -3600, 3600},
		{"part.seat[0]", s.Part.Seat[0], -1e4, 1e4}, {"part.seat[1]", s.Part.Seat[1], -1e4, 1e4},
		{"shell", s.Shell, 0.02, 5}, {"bead", s.Bead, 0.05, 10},
		{"tolerance", s.Tolerance, leastTolerance, 1}, {"overhang", s.Overhang, 0, 90},
		{"material.nozzle_temp", s.Material.NozzleTemp, 0, 600}, {"material.bed_temp", s.Material.BedTemp, 0, 300},
		{"material.fan", s.Material.Fan, 0, 1}, {"material.density", s.Material.Density, 0.05, 25},
		{"planner.walls", float64(s.Planner.Walls), 0, 50}, {"planner.caps", float64(s.Planner.Caps), 0, 1000},
		{"planner.fill", s.Planner.Fill, 0, 1},
		{"planner.speed", s.Planner.Speed, 0.1, 2000}, {"planner.travel_speed", s.Planner.TravelSpeed, 0.1, 2000},
		{"planner.seam_toward", s.Planner.SeamToward, -3600, 3600}, {"planner.least_seconds", s.Planner.LeastSeconds, 0, 600},
		{"planner.slow_shells", float64(s.Planner.SlowShells), 0, 1000}, {"planner.slow_factor", s.Planner.SlowFactor, 0.1, 1},
		{"planner.wipe", s.Planner.Wipe, 0, 20},
		{"planner.skirt", float64(s.Planner.Skirt), 0, maxSkirt}, {"planner.skirt_distance", s.Planner.SkirtDistance, 0.5, 100},
		{"planner.foot", float64(s.Planner.Foot), 0, maxFoot},
	} {
		if !(n.v >= n.least && n.v <= n.most) {
			return &InputError{Where: message.Name(n.entry), What: message.New("%g is out of bounds", n.v), Mend: message.New("give a number from %g to %g", n.least, n.most)}
		}
	}
	return nil
}

// checkNames checks the planner's words.
func (p *Planner) checkNames() error {
	for _, n := range []struct {
		entry, value string
		known        []string
	}{
		{"fill_pattern", p.FillPattern, []string{planner.PatternRings, planner.PatternSpokes, planner.PatternLines, planner.PatternGrid}},
		{"wall_order", p.WallOrder, []string{InsideOut, OutsideIn}},
		{"seam", p.Seam, []string{SeamLine, SeamSpread, SeamNearest}},
	} {
		if !slices.Contains(n.known, n.value) {
			last := len(n.known) - 1
			return &InputError{Where: message.Name("planner." + n.entry), What: message.New("%q isn't known", n.value),
				Mend: message.New("use %s or %s", strings.Join(n.known[:last], ", "), n.known[last])}
		}
	}
	return nil
}

// Bounds of what is laid on the bed, in rings and in shells.
const (
	maxSkirt = 50
	maxFoot  = 50
)

// leastTolerance leaves room for the rounding of words to 0.001 mm on a steep
// shell (about 0.0015 mm at 60 degrees) and as much again for the cutting.
const leastTolerance = 0.004

var unitMM = map[string]float64{"mm": 1, "cm": 10, "m": 1000, "in": 25.4}

func checkCut(c *Cut, at string) error {
	for i := range c.Point {
		if !(math.Abs(c.Point[i]) <= 1e4) || !(math.Abs(c.Normal[i]) <= 1e6) {
			return wrong(at, "give finite numbers of the bed's size", "a number is out of bounds")
		}
	}
	if c.Only != nil {
		for _, v := range c.Only {
			if !(math.Abs(v) <= 1e4) {
				return wrong(at+".only", "give finite numbers of the bed's size", "%g is out of bounds", v)
			}
		}
	}
	n := c.Normal
	switch {
	case n[2] < 0:
		return wrong(at+".normal", "swap under and over and turn the normal round", "the normal points down (z = %g)", n[2])
	case math.Hypot(math.Hypot(n[0], n[1]), n[2]) < 1e-9:
		return wrong(at+".normal", "give a direction, [0, 0, 1] for a level cut", "has no length")
	}
	return nil
}
