// Package inputerror holds the error of an input that can't be used.
package inputerror

import (
	"errors"
	"fmt"
	"os"
	"strings"
)

// Error says why an input can't be used: exit status 2.
type Error struct {
	Where string // file, or entry of the job file: "zones.under.field.angle"
	What  string
	Mend  string
	Err   error // cause, or nil
}

func (e *Error) Error() string {
	text := e.What
	if e.Where != "" {
		text = e.Where + ": " + text
	}
	if e.Mend != "" {
		text += ": " + e.Mend
	}
	return strings.Join(strings.Fields(text), " ") // one line, whatever the cause held
}

func (e *Error) Unwrap() error { return e.Err }

// New makes an *Error without a cause.
func New(where, mend, what string, args ...any) error {
	return &Error{Where: where, What: fmt.Sprintf(what, args...), Mend: mend}
}

// Reason is an error's cause without the path that the message names already.
func Reason(err error) string {
	var p *os.PathError
	if errors.As(err, &p) {
		return p.Err.Error()
	}
	return err.Error()
}
