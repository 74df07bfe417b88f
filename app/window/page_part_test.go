package window

import (
	"os"
	"regexp"
	"strconv"
	"testing"

	"conewright/app/focus"
)

func TestATinyPartIsOfferedInInches(t *testing.T) {
	b := newBench(t)
	b.openPart()
	if b.inches() != nil {
		t.Error("a part of 18 mm is offered")
	}
	data, err := os.ReadFile(spindle(t, b.dir))
	if err != nil {
		t.Fatal(err)
	}
	small := regexp.MustCompile(`-?[0-9.]+`).ReplaceAllStringFunc(string(data), func(n string) string {
		v, err := strconv.ParseFloat(n, 64)
		if err != nil {
			return n
		}
		return strconv.FormatFloat(v/25.4, 'f', 6, 64)
	})
	file := b.dir + "/small.stl"
	if err := os.WriteFile(file, []byte(small), 0o644); err != nil {
		t.Fatal(err)
	}
	b.Open(file)
	b.until("figures", func() bool { f := b.session.Facts(); return f != nil && f.Part != nil && f.Part.Size[0] < 4 })
	button := b.inches()
	if button == nil {
		t.Fatal("a part of 0.7 mm isn't offered")
	}
	button.OnTapped()
	b.until("its size in mm", func() bool {
		f := b.session.Facts()
		return f.Part != nil && f.Part.Size[0] > 17 && f.Part.Size[0] < 19
	})
	if b.inches() != nil {
		t.Error("it is still offered")
	}
}

// inches returns the button of the offer, nil where it isn't shown.
func (b *bench) inches() *focus.Button {
	b.t.Helper()
	b.route.show(b.route.find("part"))
	for _, stop := range b.tabStops() {
		if button, ok := stop.(*focus.Button); ok && button.Text == "Take it as inches" {
			return button
		}
	}
	return nil
}
