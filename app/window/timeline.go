package window

import "conewright/app/pictures"

// timeline plays the newest run's motion on the sheet.
type timeline struct {
	*player
	w     *Window
	track *pictures.Track
}

func newTimeline(w *Window) *timeline { return &timeline{player: newPlayer(w.post), w: w} }

// show takes a track that is new, and leaves one that is no longer the setup's.
func (t *timeline) show() {
	track := t.w.session.ReadTrack()
	if track == t.track {
		return
	}
	t.track = track
	if track == nil {
		t.load(film{})
		return
	}
	t.load(film{
		seconds: track.Seconds(),
		at:      func(seconds float64) { t.w.sheet.Moment(track.At(seconds)) },
		leave:   func() { t.w.sheet.Moment(nil, nil) },
		busy:    t.w.sheet.Busy,
	})
}
