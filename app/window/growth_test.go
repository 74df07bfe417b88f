package window

import (
	"bytes"
	"html"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"conewright/i18n"
)

// The page of growth plays without a network, says what geom finds, and marks what
// hangs when it comes.
func TestThePageOfGrowthStandsAlone(t *testing.T) {
	b := newBench(t)
	b.course.begin()
	b.course.panel.Open(2) // a shelf that an outward cone begins in mid-air
	b.course.panel.Choose(1)
	b.judged()
	data, err := growthPage(b.session.Setup(), b.session.Facts().Model)
	if err != nil {
		t.Fatal(err)
	}
	if dir := os.Getenv("LESSON_PICTURES"); dir != "" { // to be looked at
		_ = os.WriteFile(filepath.Join(dir, "growth.html"), data, 0o644)
	}
	page := string(data)
	for _, net := range regexp.MustCompile(`(?:src|href|url)\s*[=(]|https?://\S+`).FindAllString(page, -1) {
		if !strings.HasPrefix(net, "http://www.w3.org/2000/svg") { // a name, not an address that is asked for
			t.Errorf("it asks for %q", net)
		}
	}
	if got := bytes.Count(data, []byte("<svg")); got < 40 || len(data) > 2_000_000 {
		t.Errorf("%d pictures, %d bytes", got, len(data))
	}
	for _, words := range []string{i18n.T("growth.level"), i18n.T("growth.plan"), i18n.N("zones.midair", 1), i18n.T("growth.overhang", "area", "0")} {
		if !strings.Contains(page, html.EscapeString(words)) {
			t.Errorf("%q isn't said", words)
		}
	}
	// The circled cross comes once, in the plan's half: the shelf begins at the shell
	// of 24 + 13 mm; the tube's shells go from 20 mm (its bore on the bed) to 63 mm (23
	// from the axis, 40 up).
	halves := strings.Split(page, "<figcaption>")
	if strings.Contains(halves[1], `class="mark"`) {
		t.Error("level layers begin in mid-air")
	}
	for _, layer := range strings.Split(halves[2], "data-step=")[1:] {
		if !strings.Contains(layer, `class="mark"`) {
			continue
		}
		number, _, _ := strings.Cut(strings.Trim(layer, `"`), `"`)
		step, err := strconv.Atoi(number)
		if want := 1 + 89*(37-20)/(63-20.); err != nil || math.Abs(float64(step)-want) > 1.5 {
			t.Errorf("the start comes with step %q, want %.1f", number, want)
		}
		return
	}
	t.Error("no start is marked")
}
