package pictures

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"strings"

	"conewright/geom/machine"
	"conewright/geom/readback"

	"gonum.org/v1/gonum/spatial/r3"
)

// Beads reads the beads of a corrected motion file as polylines, oldest first.
func Beads(file string, card *machine.Card) ([][]r3.Vec, error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	first, err := firstZoneLine(f)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		return nil, err
	}
	var beads [][]r3.Vec
	laying := false
	err = readback.Steps(f, card, readback.Span{First: first, Last: math.MaxInt}, func(s *readback.Step) error {
		if !s.Lays() {
			laying = laying && s.From.Tip == s.To.Tip && s.E == 0 // a swivel on the spot
			return nil
		}
		if !laying {
			beads = append(beads, []r3.Vec{s.From.Tip})
		}
		last := &beads[len(beads)-1]
		*last = append(*last, s.To.Tip)
		laying = true
		return nil
	})
	return beads, err
}

var errNoZone = errors.New("no zone begins there: is this a corrected motion file?")

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
