// Package lessons is a course of six short pages for a class. Each puts a demo
// job on the sheet, looks at it in its own way, says a few sentences and gives
// something to try. The window lends it the sheet through a Stage.
package lessons

import (
	"path/filepath"

	"conewright/assets"
	"conewright/geom/job"
	"conewright/geom/message"
)

// Control is what a lesson gives to try with, beside the sheet itself.
type Control uint8

// The controls.
const (
	Nothing   Control = iota
	WarpSlide         // the part from real to warped
	AngleRow          // the cone's angle
	CutSwitch         // one zone, or the job's two
)

// Lesson is a page. Its texts are in the catalogue under lesson.KEY.
type Lesson struct {
	Key                string
	Job                string           // demo job
	Change             func(*job.Setup) // what the lesson does to it; nil: nothing
	Azimuth, Elevation float64          // from where one looks, degrees
	Warp               float64          // 0 real, 1 warped
	Control            Control
}

// All lists the lessons in their order.
func All() []Lesson {
	const demo = assets.DemoJob
	return []Lesson{
		{Key: "droop", Job: demo, Change: setAngle(0), Azimuth: -60, Elevation: -12, Control: AngleRow},
		{Key: "shell", Job: demo, Azimuth: -60, Elevation: 24, Control: AngleRow},
		{Key: "warp", Job: demo, Azimuth: -60, Elevation: 12, Warp: 0.5, Control: WarpSlide},
		{Key: "slice", Job: demo, Azimuth: -60, Elevation: 12, Warp: 1, Control: WarpSlide},
		{Key: "back", Job: demo, Azimuth: -60, Elevation: 50, Control: WarpSlide},
		{Key: "cuts", Job: "standpipe-out-and-in", Change: joinZones, Azimuth: -60, Elevation: -20, Control: CutSwitch},
	}
}

// setAngle gives the only zone a cone of an angle in degrees; 0 is level.
func setAngle(angle float64) func(*job.Setup) {
	return func(s *job.Setup) {
		if s.Zones.Field == nil {
			return
		}
		if angle == 0 {
			s.Zones.Field = &job.Field{Kind: job.KindLevel}
			return
		}
		axis := *s.Part.Seat
		s.Zones.Field = &job.Field{Kind: job.KindCone, Grow: job.GrowOutward, Angle: angle, Axis: &axis}
	}
}

// joinZones leaves one zone with the lowest one's field.
func joinZones(s *job.Setup) {
	if leaves := s.Zones.Leaves(); len(leaves) > 1 {
		s.Zones = &job.Zone{Name: leaves[0].Name, Field: leaves[0].Field}
	}
}

// setup reads the lesson's job, unpacked into dir, with or without the lesson's
// change.
func (l *Lesson) setup(dir string, changed bool) (*job.Setup, error) {
	path, err := assets.Unpack(filepath.Join(dir, "demo"), l.Job)
	if err != nil {
		return nil, message.Errorf("the lesson can't be opened: %w", err)
	}
	s, err := job.Load(path)
	if err != nil {
		return nil, message.Errorf("the lesson can't be opened: %w", err)
	}
	if l.Change != nil && changed {
		l.Change(s)
	}
	return s, nil
}
