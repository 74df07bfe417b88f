package window

import (
	"os"
	"path/filepath"
	"testing"

	"conewright/geom/job"
)

func TestTheTimeSliderDrawsMotionUntilTheSetupChanges(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.route.show(b.route.find("motion"))
	line := b.motion.timeline
	if line.view.Visible() {
		t.Fatal("there is a slider without motion")
	}
	gcode := "; zone zone-1\nG92 E0\nG1 X120 Y100 Z0.2 F600\nG1 X130 E1 F60\n"
	if err := os.WriteFile(filepath.Join(b.dir, job.CorrectedName), []byte(gcode), 0o644); err != nil {
		t.Fatal(err)
	}
	b.session.Run().Out = b.dir
	b.judgedBy()
	b.until("the track", func() bool { return line.track != nil })
	if !line.view.Visible() {
		t.Error("the slider stays hidden")
	}
	for pace, want := range map[string]float64{"10": line.slider.Max / 10, paceUsual: max(line.slider.Max/40, 1), paceReal: 1} {
		line.pace.SetSelected(paceText(pace))
		if got := line.speed(); got != want {
			t.Errorf("paced %s, it plays %g times as fast as the machine, not %g", pace, got, want)
		}
	}
	line.pace.SetSelected(paceText(paceUsual))
	line.toggle()
	b.until("it plays", func() bool { return line.slider.Value > 0.1 })
	line.toggle()
	if line.playing != nil {
		t.Error("it doesn't halt")
	}
	line.end()
	if line.slider.Value != 0 {
		t.Error("stop leaves a moment")
	}
	line.seek(5)
	b.do("step.angle", func(s *job.Setup) { s.Zones.Field.Angle = 40 })
	if line.track != nil || line.view.Visible() {
		t.Error("the motion of another setup can be played")
	}
}

func TestClock(t *testing.T) {
	for s, want := range map[float64]string{0: "0:00", 75.9: "1:15", 3599: "59:59", 7384: "2:03:04"} {
		if got := clock(s); got != want {
			t.Errorf("%g s is %s, not %s", s, got, want)
		}
	}
}
