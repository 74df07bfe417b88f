package job

import (
	"testing"

	"conewright/geom/machine"
	"conewright/geom/readback"
)

// The first move comes from an unknown place and turns the head; a bead that begins
// after it begins with the nozzle as it then stands.
func TestJudgeKnowsTheHeadAfterTheFirstMove(t *testing.T) {
	card, ok := machine.Builtin("swivel-45")
	if !ok {
		t.Fatal("no card swivel-45")
	}
	b := &beads{card: card, axis: card.NozzleAxis(0)}
	turned := machine.Pose{Azimuth: 180}
	if err := b.add(&readback.Step{From: machine.Pose{}, To: turned}); err != nil {
		t.Fatal(err)
	}
	if want := card.Axis(turned); b.axis != want {
		t.Errorf("the nozzle's axis is %v, want %v", b.axis, want)
	}
}
