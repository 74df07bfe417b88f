package job

import (
	"context"
	"errors"
	"path/filepath"
	"testing"
)

// Support is for planned motion only (CONTRACT): beside brought motion it is refused
// before anything is written.
func TestSupportBesideBroughtMotionIsRefused(t *testing.T) {
	s, err := New("part.stl", "straight")
	if err != nil {
		t.Fatal(err)
	}
	s.Support = SupportAll
	file := filepath.Join(t.TempDir(), "part.gcode")
	_, err = Run(context.Background(), s, Options{Out: filepath.Join(t.TempDir(), "out"), Motion: map[string]string{"part": file}})
	var in *InputError
	if !errors.As(err, &in) || in.Where.String() != "support" {
		t.Errorf("got %v", err)
	}
}
