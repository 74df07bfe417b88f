// Package headless is the run without a window: the command line, its exit
// status, and what it prints. It knows nothing of the window's library.
package headless

import (
	"fmt"
	"path/filepath"
	"strings"
)

// Args is the command line, understood.
type Args struct {
	Job     string            // -job
	Jobs    string            // -jobs: a folder of jobs
	Out     string            // -out
	Motion  map[string]string // -motion ZONE=FILE
	Accept  bool              // -accept
	Suggest bool              // -suggest
	Draw    string            // -draw sheet|motion; "" for none
	Trace   string            // -trace, with the window
	Files   []string          // parts or jobs to open in the window
}

// Windowless reports whether the arguments ask for a run without a window.
func (a *Args) Windowless() bool { return a.Job != "" || a.Jobs != "" }

// Usage is the help text, in the order in which the arguments are wanted.
const Usage = `conewright prepares a part for filament printing in cone-shaped shells.

  conewright [part or job]               opens the window
  conewright -job JOB.json -out DIR      runs the whole job without a window
      -motion ZONE=FILE                  brings a planar motion file (once a zone)
      -accept                            writes corrected.gcode in spite of a stop
      -suggest                           no run: writes suggested plans
      -draw sheet|motion                 no run: writes the drawing only
  conewright -jobs DIR -out DIR          runs every *.json job of a folder, each into
                                         a folder of its own
  conewright -trace FILE [part or job]   writes a line for each frame drawn

Exit status: 0 done, 2 the input can't be used, 3 a finding stopped the motion
file, 130 interrupted.
`

// ParseArgs understands a command line (without the program's name). Its errors
// are one line: what is wrong and how to mend it.
func ParseArgs(args []string) (Args, error) {
	var a Args
	for len(args) > 0 {
		word := args[0]
		args = args[1:]
		if word == "--" {
			a.Files = append(a.Files, args...)
			break
		}
		if len(word) < 2 || word[0] != '-' {
			a.Files = append(a.Files, word)
			continue
		}
		rest, err := a.flag(word, args)
		if err != nil {
			return a, err
		}
		args = rest
	}
	return a, a.check()
}

// flag takes one flag and returns the arguments after its value.
func (a *Args) flag(word string, rest []string) ([]string, error) {
	name, value, given := strings.Cut(strings.TrimPrefix(word[1:], "-"), "=")
	switch name {
	case "accept", "suggest":
		if given {
			return rest, fmt.Errorf("-%s takes no value: write -%s", name, name)
		}
		if name == "accept" {
			a.Accept = true
		} else {
			a.Suggest = true
		}
		return rest, nil
	case "job", "jobs", "out", "motion", "draw", "trace":
	default:
		return rest, fmt.Errorf("%s isn't known: see -help", word)
	}
	if !given {
		if len(rest) == 0 {
			return rest, fmt.Errorf("-%s has no value: write -%s VALUE", name, name)
		}
		value, rest = rest[0], rest[1:]
	}
	if value == "" {
		return rest, fmt.Errorf("-%s has an empty value: write -%s VALUE", name, name)
	}
	return rest, a.set(name, value)
}

func (a *Args) set(name, value string) error {
	field := map[string]*string{"job": &a.Job, "jobs": &a.Jobs, "out": &a.Out, "draw": &a.Draw, "trace": &a.Trace}[name]
	if field != nil {
		if *field != "" {
			return fmt.Errorf("-%s is given twice: keep one", name)
		}
		*field = value
		return nil
	}
	zone, file, ok := strings.Cut(value, "=")
	if !ok || zone == "" || file == "" {
		return fmt.Errorf("-motion %s can't be read: write -motion ZONE=FILE", value)
	}
	if _, twice := a.Motion[zone]; twice {
		return fmt.Errorf("-motion is given twice for zone %s: keep one", zone)
	}
	if a.Motion == nil {
		a.Motion = map[string]string{}
	}
	a.Motion[zone] = filepath.Clean(file)
	return nil
}

// check looks at how the arguments go together.
func (a *Args) check() error {
	switch {
	case a.Draw != "" && a.Draw != "sheet" && a.Draw != "motion":
		return fmt.Errorf("-draw %s isn't known: use -draw sheet or -draw motion", a.Draw)
	case a.Job != "" && a.Jobs != "":
		return fmt.Errorf("-job and -jobs don't go together: use one of them")
	case a.Jobs != "" && (a.Suggest || a.Draw != "" || a.Motion != nil || a.Trace != "" || len(a.Files) > 0):
		return fmt.Errorf("-jobs goes with -out and -accept only: use -job for one job")
	case a.Jobs != "" && a.Out == "":
		return fmt.Errorf("-jobs needs -out DIR: name the folder to write to")
	case a.Jobs != "":
		return nil
	case a.Job != "" && a.Out == "":
		return fmt.Errorf("-job needs -out DIR: name the folder to write to")
	case a.Job == "" && (a.Out != "" || a.Accept || a.Suggest || a.Draw != "" || a.Motion != nil):
		return fmt.Errorf("-out, -motion, -accept, -suggest and -draw need -job JOB.json: name the job")
	case a.Job != "" && len(a.Files) > 0:
		return fmt.Errorf("%s isn't understood beside -job: a file to open in the window goes without -job", a.Files[0])
	case a.Suggest && a.Draw != "":
		return fmt.Errorf("-suggest and -draw don't go together: use one of them")
	case a.Job != "" && a.Trace != "":
		return fmt.Errorf("-trace needs the window: leave -job away")
	}
	return nil
}
