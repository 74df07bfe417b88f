package pictures

import (
	"bufio"
	"io"
	"math"
	"os"
	"strings"

	"conewright/geom/job"
	"conewright/geom/message"
	"conewright/geom/readback"
	"conewright/render"

	"gonum.org/v1/gonum/spatial/r3"
)

// Beads reads the beads of a setup's corrected motion file as polylines.
func Beads(file string, setup *job.Setup) (laid render.Laid, err error) {
	f, err := os.Open(file)
	if err != nil {
		return laid, err
	}
	defer f.Close()
	first, err := firstZoneLine(f)
	if err != nil {
		return laid, message.Errorf("%s: %w", file, err)
	}
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		return laid, err
	}
	laying, zones := false, []int16(nil)
	err = readback.Steps(f, setup.Machine.Card, readback.Span{First: first, Last: math.MaxInt}, func(s *readback.Step) error {
		if !s.Lays() {
			laying = laying && s.From.Tip == s.To.Tip && s.E == 0 // a swivel on the spot
			return nil
		}
		if !laying {
			laid.Beads = append(laid.Beads, []r3.Vec{s.From.Tip})
			zones = append(zones, int16(s.Zone))
		}
		last := &laid.Beads[len(laid.Beads)-1]
		*last = append(*last, s.To.Tip)
		laying = true
		return nil
	})
	count(&laid, zones, len(setup.Leaves()))
	laid.Width = setup.Bead
	return laid, err
}

// count counts beads by zone. What a file has before the setup's own zones (a
// skirt) is none of them.
func count(laid *render.Laid, zones []int16, known int) {
	laid.Before, laid.Counts = 0, make([]int, known)
	extra := 0
	for _, z := range zones {
		extra = max(extra, int(z)+1-known)
	}
	for _, z := range zones[:len(laid.Beads)] {
		if i := int(z) - extra; i >= 0 {
			laid.Counts[i]++
		} else {
			laid.Before++
		}
	}
}

var errNoZone = message.Errorf("no zone begins there: is this a corrected motion file?")

// firstZoneLine returns the line on which the first zone begins.
func firstZoneLine(r io.Reader) (int, error) {
	in := bufio.NewReader(r)
	for line := 1; ; line++ {
		text, err := in.ReadString('\n')
		if strings.HasPrefix(text, "; zone ") {
			return line, nil
		}
		if err != nil {
			return 0, errNoZone
		}
	}
}
