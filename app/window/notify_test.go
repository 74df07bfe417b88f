package window

import (
	"context"
	"testing"
	"time"

	"conewright/app/session"
	"conewright/geom/job"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
)

func TestALongRunsEndIsToldOnlyBehindAnotherWindow(t *testing.T) {
	b := newBench(t)
	b.openPart()
	end := func(took time.Duration, err error) {
		run := b.session.Run()
		*run = session.Run{Setup: b.session.Setup(), Active: true, Begun: time.Now()}
		b.refresh()
		run.Active, run.Took, run.Err = false, took, err
		if err == nil {
			run.Result = &job.Result{Setup: run.Setup, Log: &job.Log{Motion: job.MotionLog{Moves: 12}}}
		}
		b.refresh()
	}
	told := &fyne.Notification{Title: "The run has ended", Content: "spindle: planned here, 12 moves"}
	for _, c := range []struct {
		name   string
		behind bool
		took   time.Duration
		err    error
		want   *fyne.Notification
	}{
		{"in front", false, time.Minute, nil, nil},
		{"short", true, time.Second, nil, nil},
		{"cancelled", true, time.Minute, context.Canceled, nil},
		{"long and behind", true, time.Minute, nil, told},
		{"failed", true, time.Minute, context.DeadlineExceeded, &fyne.Notification{Title: "The run has ended", Content: "spindle: the run failed"}},
	} {
		b.ends.behind = c.behind
		test.AssertNotificationSent(t, c.want, func() { end(c.took, c.err) })
		if t.Failed() {
			t.Fatal(c.name)
		}
	}
	test.AssertNotificationSent(t, nil, b.refresh)
}
