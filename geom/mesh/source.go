package mesh

import (
	"context"
	"errors"
	"io"
)

// watched is a file that is read under a context: reading fails once the
// context is done, or once more than left bytes were read.
type watched struct {
	ctx  context.Context
	src  io.ReaderAt
	left int64
}

// errTooMuch tells that a file was read for longer than its size explains.
var errTooMuch = errors.New("more was read than may be")

// ReadAt is io.ReaderAt's. It isn't safe for several goroutines.
func (w *watched) ReadAt(p []byte, off int64) (int, error) {
	if err := w.ctx.Err(); err != nil {
		return 0, err
	}
	if w.left -= int64(len(p)); w.left < 0 {
		return 0, errTooMuch
	}
	return w.src.ReadAt(p, off)
}
