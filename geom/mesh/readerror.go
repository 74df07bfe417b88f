package mesh

import (
	"errors"
	"strings"

	"conewright/geom/message"
)

// Fault says in one short word what kind of thing is wrong with a file, for
// callers that put it into another language.
type Fault string

// The faults.
const (
	FaultOpen      Fault = "open"      // missing, no permission, no regular file
	FaultFormat    Fault = "format"    // not the format that the name promises
	FaultEmpty     Fault = "empty"     // no bytes, or no facets
	FaultTruncated Fault = "truncated" // ends too early
	FaultCount     Fault = "count"     // a count that doesn't fit the file
	FaultNumber    Fault = "number"    // NaN, infinite, absurdly large, unreadable
	FaultIndex     Fault = "index"     // refers to something that isn't there
	FaultSize      Fault = "size"      // over a limit of ReadOptions
)

// ReadError tells why a part file can't be used. Its text is one line.
type ReadError struct {
	File  string // name or path as given
	Fault Fault
	Where message.Text // facet, line or byte; may be empty
	What  message.Text // what is wrong
	Mend  message.Text // what the user can do
	Err   error        // cause, may be nil
}

// Message says the error as a sentence.
func (e *ReadError) Message() message.Text {
	return message.Join("; ", message.Join(": ", message.Name(e.File), e.Where, e.What), e.Mend)
}

func (e *ReadError) Error() string {
	return strings.Map(func(r rune) rune { // whatever stands in the file, one line
		if r < ' ' || r == 0x7f {
			return ' '
		}
		return r
	}, e.Message().String())
}

// Unwrap returns the cause.
func (e *ReadError) Unwrap() error { return e.Err }

// Advice that several readers give.
const (
	mendExport = "export the part again"
	mendLimit  = "reduce the number of facets and export the part again"
)

func fault(kind Fault, where, what message.Text, mend string) *ReadError {
	return &ReadError{Fault: kind, Where: where, What: what, Mend: message.New(mend)}
}

// named puts the file's name into err, turning other errors into a ReadError.
func named(file string, err error) error {
	var r *ReadError
	if !errors.As(err, &r) {
		r = &ReadError{Fault: FaultOpen, What: message.Of(err), Mend: message.New("check that the file can be read"), Err: err}
	}
	r.File = file
	return r
}

func tooManyFacets(limit int) *ReadError {
	return fault(FaultSize, message.Text{}, message.New("more than %d facets", limit), mendLimit)
}
