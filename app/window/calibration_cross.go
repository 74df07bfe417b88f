package window

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"

	"conewright/geom/calibrate"
	"conewright/geom/message"

	"github.com/natefinch/atomic"
)

// writeCross writes the test crosses for the setup's card, with its material's
// temperatures.
func (c *calibration) writeCross(path string) error {
	s := c.w.session.Setup()
	card := s.Machine.Card
	heat := strings.NewReplacer("{nozzle_temp}", fmt.Sprintf("%g", s.Material.NozzleTemp), "{bed_temp}", fmt.Sprintf("%g", s.Material.BedTemp))
	data, err := calibrate.Cross(card, calibrate.CrossOptions{Start: heat.Replace(card.Start), End: heat.Replace(card.End)})
	if err == nil {
		err = atomic.WriteFile(path, bytes.NewReader(data))
	}
	if err != nil {
		return message.Errorf("%s: %w", filepath.Base(path), err)
	}
	return nil
}
