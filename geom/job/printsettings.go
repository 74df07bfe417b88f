package job

// PrintSettings are the numbers and choices of a job that people use for many parts:
// all but the part, its machine, material and zones.
type PrintSettings struct {
	Shell     float64 `json:"shell"`     // mm
	Bead      float64 `json:"bead"`      // mm
	Tolerance float64 `json:"tolerance"` // mm
	Overhang  float64 `json:"overhang"`  // degrees
	Support   string  `json:"support"`
	Planner   Planner `json:"planner"`
}

// PrintSettings returns those of the setup.
func (s *Setup) PrintSettings() PrintSettings {
	return PrintSettings{Shell: s.Shell, Bead: s.Bead, Tolerance: s.Tolerance, Overhang: s.Overhang, Support: s.Support, Planner: s.Planner}
}

// TakePrintSettings gives the setup settings, and checks nothing: see Check. The
// setup must be one that nobody else holds.
func (s *Setup) TakePrintSettings(p PrintSettings) {
	p.Planner.Foot = s.Planner.Foot // a foot belongs to the zones
	s.Shell, s.Bead, s.Tolerance, s.Overhang, s.Support, s.Planner = p.Shell, p.Bead, p.Tolerance, p.Overhang, p.Support, p.Planner
}
