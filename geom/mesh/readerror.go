package mesh

import (
	"errors"
	"fmt"
	"strings"
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
	Where string // facet, line or byte; may be empty
	What  string // what is wrong
	Mend  string // what the user can do
	Err   error  // cause, may be nil
}

func (e *ReadError) Error() string {
	var b strings.Builder
	b.WriteString(e.File)
	for _, s := range []string{e.Where, e.What} {
		if s != "" {
			b.WriteString(": ")
			b.WriteString(s)
		}
	}
	if e.Mend != "" {
		b.WriteString("; ")
		b.WriteString(e.Mend)
	}
	return strings.Map(func(r rune) rune { // whatever stands in the file, one line
		if r < ' ' || r == 0x7f {
			return ' '
		}
		return r
	}, b.String())
}

// Unwrap returns the cause.
func (e *ReadError) Unwrap() error { return e.Err }

// Advice that several readers give.
const (
	mendExport = "export the part again"
	mendLimit  = "reduce the number of facets and export the part again"
)

func fault(kind Fault, where, what, mend string) *ReadError {
	return &ReadError{Fault: kind, Where: where, What: what, Mend: mend}
}

// named puts the file's name into err, turning other errors into a ReadError.
func named(file string, err error) error {
	var r *ReadError
	if !errors.As(err, &r) {
		r = &ReadError{Fault: FaultOpen, What: err.Error(), Mend: "check that the file can be read", Err: err}
	}
	r.File = file
	return r
}

func tooManyFacets(limit int) *ReadError {
	return fault(FaultSize, "", fmt.Sprintf("more than %d facets", limit), mendLimit)
}
