package job

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"path/filepath"
	"time"

	"conewright/geom/machine"
	"conewright/geom/runfolder"
)

// Earlier is what an earlier run left in its folder.
type Earlier struct {
	Out  string // the folder
	Made time.Time
	// Match tells whether a run of the setup would be the same one.
	Match Match
	// Motion tells whether the motion file lies there as the run wrote it.
	Motion   bool
	Kept     bool    // the run wrote no motion file: a finding forbade it
	Seconds  float64 // estimated printing time
	Filament float64 // mm
	Mass     float64 // g
	Warnings int     // findings of rank warn
}

// Match tells how an earlier run and a setup belong together.
type Match int

// The matches.
const (
	SameRun      Match = iota // of this very setup, machine and part
	OtherSetup                // the job or the machine card has changed since
	OtherPart                 // a part's file has changed since
	OtherProgram              // it was a run of another version of the program
)

// EarlierRun reads what an earlier run left in a folder and holds it against a setup.
// It reads the parts' files and the motion file in full. Nil without an error: no run
// has left anything there that can be read.
func EarlierRun(dir string, s *Setup) (*Earlier, error) {
	data, err := readLog(filepath.Join(dir, runfolder.LogName))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	var log struct {
		Version  int             `json:"conewright_run"`
		Made     time.Time       `json:"made"`
		Program  string          `json:"version"`
		Job      json.RawMessage `json:"job"`
		Machine  json.RawMessage `json:"machine"`
		Inputs   []FileLog       `json:"inputs"`
		Outputs  []FileLog       `json:"outputs"`
		Motion   MotionLog       `json:"motion"`
		Findings []Finding       `json:"findings"`
	}
	if json.Unmarshal(data, &log) != nil || log.Version < 1 {
		return nil, nil // somebody else's
	}
	e := &Earlier{Out: dir, Made: log.Made, Kept: true,
		Seconds: log.Motion.Seconds, Filament: log.Motion.Filament, Mass: log.Motion.Mass}
	for _, f := range log.Findings {
		if f.Rank == Warn {
			e.Warnings++
		}
	}
	for _, out := range log.Outputs {
		if out.File == CorrectedName {
			e.Kept = false
			have, err := sumOf(filepath.Join(dir, CorrectedName), CorrectedName)
			e.Motion = err == nil && have == out
		}
	}
	switch {
	case log.Program != Program:
		e.Match = OtherProgram
	case !s.sameAs(log.Job, log.Machine):
		e.Match = OtherSetup
	case !s.madeOf(log.Inputs):
		e.Match = OtherPart
	}
	return e, nil
}

func readLog(path string) ([]byte, error) {
	in, err := openRegular(path)
	if err != nil {
		return nil, err
	}
	defer in.Close()
	data, err := io.ReadAll(io.LimitReader(in, runfolder.MaxLogBytes+1))
	if err == nil && len(data) > runfolder.MaxLogBytes {
		return nil, errors.New("too long for a run log")
	}
	return data, err
}

// sameAs reports whether a setup and its card are those of a run log.
func (s *Setup) sameAs(logged, card json.RawMessage) bool {
	was, err := Parse(logged, s.dir)
	if err != nil {
		return false
	}
	var then machine.Card
	if json.Unmarshal(card, &then) != nil || !sameJSON(&then, s.Machine.Card) {
		return false
	}
	return sameJSON(was.withPlaces(), s.withPlaces())
}

// withPlaces returns a copy of a setup whose parts are named by their full paths, and
// whose card counts by its contents alone.
func (s *Setup) withPlaces() *Setup {
	out := s.Clone()
	for i, one := range s.Single() {
		file := one.PartPath()
		if abs, err := filepath.Abs(file); err == nil {
			file = abs
		}
		out.ChangePart(i, func(p *Setup) { p.Part.File = file })
	}
	out.Machine = Machine{Ref: "-"}
	return out
}

func sameJSON(a, b any) bool {
	x, err := json.Marshal(a)
	y, err2 := json.Marshal(b)
	return err == nil && err2 == nil && bytes.Equal(x, y)
}

// madeOf reports whether the parts' files are among the inputs of a run.
func (s *Setup) madeOf(inputs []FileLog) bool {
	for _, one := range s.Single() {
		now, err := sumOf(one.PartPath(), "")
		found := false
		for _, in := range inputs {
			found = found || in.SHA256 == now.SHA256 && in.Bytes == now.Bytes
		}
		if err != nil || !found {
			return false
		}
	}
	return true
}
