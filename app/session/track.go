package session

import (
	"context"
	"path/filepath"

	"conewright/app/pictures"
	"conewright/geom/job"
)

// track is the motion of a run as it is read back for looking at.
type track struct {
	of   *job.Result // what it is or will be the track of
	read *pictures.Track
	stop context.CancelFunc
}

// ReadTrack returns the newest run's motion for looking at, nil where there is none
// of the present setup or while it is still being read. The first call for a
// run begins reading; listeners hear when it has been read.
func (s *Session) ReadTrack() *pictures.Track {
	run := &s.run
	if run.Active || run.Err != nil || !run.Current(s.Setup()) {
		return nil
	}
	if s.track.of != run.Result {
		s.beginTrack(run.Result, filepath.Join(run.Out, job.CorrectedName))
	}
	return s.track.read
}

func (s *Session) beginTrack(of *job.Result, file string) {
	if s.track.stop != nil {
		s.track.stop()
	}
	ctx, stop := context.WithCancel(context.Background())
	s.track = track{of: of, stop: stop}
	go func() {
		defer stop()
		read, err := pictures.ReadTrack(ctx, file, of.Setup, of.Log.Motion.Seconds)
		if err != nil {
			return // given up, or the file was taken away: then there is nothing to show
		}
		read.Hangs = of.Hangs
		s.post(func() {
			if s.track.of == of {
				s.track.read = read
				s.changed()
			}
		})
	}()
}
