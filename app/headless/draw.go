package headless

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"conewright/app/pictures"
	"conewright/geom/job"
	"conewright/geom/message"
	"conewright/render"

	"github.com/natefinch/atomic"
)

// drawOnly writes the sheet alone, without or with the motion's beads.
func drawOnly(ctx context.Context, setup *job.Setup, a Args, stdout io.Writer) error {
	scene, err := pictures.Judged(ctx, setup)
	if err != nil {
		return err
	}
	in := scene.Input()
	if a.Draw == "motion" {
		if in.Laid, err = beads(ctx, setup, a); err != nil {
			return err
		}
	}
	if err := os.MkdirAll(a.Out, 0o777); err != nil {
		return unwritable(a.Out, err)
	}
	name := filepath.Join(a.Out, job.DrawingName)
	data, err := pictures.SVG(render.Sheet(in))
	if err != nil {
		return err
	}
	if err := writeWhole(name, data); err != nil {
		return unwritable(a.Out, err)
	}
	fmt.Fprintln(stdout, "drawing:", name)
	return nil
}

// writeWhole writes a file or leaves it as it was. It may be read by those who may
// read any new file.
func writeWhole(name string, data []byte) error {
	waiting := name + ".new"
	err := os.WriteFile(waiting, data, 0o666)
	if err == nil {
		err = atomic.ReplaceFile(waiting, name)
	}
	if err != nil {
		os.Remove(waiting)
	}
	return err
}

func unwritable(dir string, err error) error {
	return &job.InputError{Where: message.Name(dir), What: message.New("can't write there (%s)", err), Mend: message.New("free some space, or choose another folder"), Err: err}
}

// beads runs the job into a folder that is thrown away, since only the drawing
// is wanted, and takes the beads from its motion, also where a finding would
// forbid to print it.
func beads(ctx context.Context, setup *job.Setup, a Args) (laid render.Laid, err error) {
	dir, err := os.MkdirTemp("", "conewright-draw-")
	if err != nil {
		return laid, err
	}
	defer os.RemoveAll(dir)
	_, err = job.Run(ctx, setup, job.Options{Out: dir, Motion: a.Motion, Accept: true})
	if err != nil {
		return laid, err
	}
	return pictures.Beads(filepath.Join(dir, job.CorrectedName), setup)
}
