package window

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"conewright/i18n"
)

// read writes readings of a tip that stands at offset from the swivel axis, with
// a zero and a sense.
func (b *bench) read(offset, zero, sense float64) {
	b.t.Helper()
	b.pane.lay("calibrate")
	for _, row := range b.calibration.entries {
		word, err := parseNumber(row[0].Text)
		if err != nil {
			b.t.Fatal(err)
		}
		sin, cos := math.Sincos(sense * (word - zero) * math.Pi / 180)
		row[1].SetText(i18n.Number(100+offset*cos, 4))
		row[2].SetText(i18n.Number(90+offset*sin, 4))
	}
}

func TestReadingsBecomeTheCardsOffsetZeroAndSense(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.pane.lay("calibrate")
	if !b.calibration.take.Disabled() {
		t.Error("it can be taken over before anything was read")
	}
	b.read(-12.5, 3, -1)
	if text := b.calibration.result.Text; !strings.Contains(text, "-12.500 ±") && !strings.Contains(text, "−12.500 ±") {
		t.Errorf("the page says %q", text)
	}
	b.calibration.takeOver()
	s := b.session.Setup().Machine.Card.Swivel
	if math.Abs(s.TipOffset[0]+12.5) > 1e-3 || math.Abs(s.Zero-3) > 1e-2 || s.Sense != -1 {
		t.Errorf("the card has %+v", s)
	}
	b.session.Undo()
	if b.session.Setup().Machine.Ref != "swivel-45" {
		t.Error("it can't be undone")
	}
}

func TestATipOnTheSwivelAxisTellsNoZero(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.read(0.001, 0, 1)
	if !b.calibration.take.Disabled() || !b.calibration.doubt.Visible() {
		t.Errorf("the page says %q and lets it be taken over", b.calibration.result.Text)
	}
}

func TestTheTestCrossesAreWrittenAfterTheCautions(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.pane.lay("calibrate")
	b.calibration.askCross()
	if !b.asking {
		t.Fatal("no cautions")
	}
	file := filepath.Join(b.dir, "crosses.gcode")
	if err := b.calibration.writeCross(file); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(file)
	if err != nil || !strings.Contains(string(data), "M109 S210") || strings.Contains(string(data), "{") {
		t.Errorf("temperatures aren't filled in (%v)", err)
	}
}
