package session

import (
	"context"

	"conewright/geom/brought"
	"conewright/geom/job"
)

// Fit is how a brought motion file lies over the warped mesh of its zone, as far
// as that is known.
type Fit struct {
	Setup  *job.Setup
	Zone   string
	File   string
	Active bool
	Done   float64      // 0..1
	Result *brought.Fit // nil while it is Active, and with Err
	Err    error
	Told   bool // the window has shown it; its own matter

	stop context.CancelFunc
}

// FindFit returns how a file fits the present setup's zone. The first call for a
// file begins to find out; listeners hear when it is known. Nil while the
// figures of the setup aren't known.
func (s *Session) FindFit(zone, file string) *Fit {
	if !s.Judged() {
		return nil
	}
	if f := s.fits[zone]; f != nil && f.File == file && f.Setup == s.Setup() {
		return f
	}
	s.DropFit(zone)
	ctx, stop := context.WithCancel(context.Background())
	f := &Fit{Setup: s.Setup(), Zone: zone, File: file, Active: true, stop: stop}
	if s.fits == nil {
		s.fits = map[string]*Fit{}
	}
	s.fits[zone] = f
	regions := s.facts.Regions
	progress := s.paced(func(_ string, done float64) {
		if f.Active {
			f.Done = done
			s.changed()
		}
	})
	go func() {
		defer stop()
		result, err := job.FitBrought(ctx, f.Setup, zone, file, job.FitOptions{
			Regions: regions, Progress: func(done float64) { progress("", done) },
		})
		if ctx.Err() != nil {
			return
		}
		s.post(func() {
			f.Active, f.Result, f.Err = false, result, err
			if s.fits[zone] == f {
				s.changed()
			}
		})
	}()
	return f
}

// DropFit forgets how a zone's file fits: it is another file now.
func (s *Session) DropFit(zone string) {
	if f := s.fits[zone]; f != nil {
		f.stop()
		delete(s.fits, zone)
	}
}

func (s *Session) dropFits() {
	for zone := range s.fits {
		s.DropFit(zone)
	}
}
