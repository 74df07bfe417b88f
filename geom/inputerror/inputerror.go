// Package inputerror holds the error of an input that can't be used.
package inputerror

import (
	"strings"

	"conewright/geom/message"
)

// Error says why an input can't be used: exit status 2.
type Error struct {
	Where message.Text // file, or entry of the job file: "zones.under.field.angle"
	What  message.Text
	Mend  message.Text
	Err   error // cause, or nil
}

// Message says the error as a sentence.
func (e *Error) Message() message.Text { return message.Join(": ", e.Where, e.What, e.Mend) }

func (e *Error) Error() string {
	return strings.Join(strings.Fields(e.Message().String()), " ") // one line, whatever the cause held
}

func (e *Error) Unwrap() error { return e.Err }

// New makes an *Error without a cause.
func New(where, mend, what string, args ...any) error {
	return &Error{Where: message.Name(where), What: message.New(what, args...), Mend: message.New(mend)}
}

// Caused makes an *Error of another error; what has a place for its reason.
func Caused(where message.Text, mend, what string, err error) error {
	return &Error{Where: where, What: message.New(what, message.Of(err)), Mend: message.New(mend), Err: err}
}
