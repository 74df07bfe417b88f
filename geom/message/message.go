// Package message holds what geom says to people: an English format of package
// fmt and its arguments. A log writes it in English; a window looks the format
// up in its own language.
package message

import (
	"errors"
	"fmt"
	"os"
)

// Text is a sentence, or a part of one. Arguments that are Texts, or errors that
// tell one (see Teller), are sentences too. Strings are names and stay as they
// are. Without arguments the format is the text.
type Text struct {
	Format string
	Args   []any
}

// New returns the sentence of a format and its arguments.
func New(format string, args ...any) Text { return Text{format, args} }

// Name returns a text that is the same in every language: a file, a zone, an
// entry of a job.
func Name(name string) Text {
	if name == "" {
		return Text{}
	}
	return Text{"%s", []any{name}}
}

// Join puts texts one after the other, and leaves out empty ones.
func Join(between string, texts ...Text) Text {
	var all Text
	for _, t := range texts {
		if t.Format == "" {
			continue
		}
		if all.Format != "" {
			all.Format += between
		}
		all.Format += "%s"
		all.Args = append(all.Args, t)
	}
	return all
}

// String is the English sentence.
func (t Text) String() string {
	if len(t.Args) == 0 {
		return t.Format
	}
	return fmt.Errorf(t.Format, t.Args...).Error() // unlike Sprintf it knows %w
}

// Teller is something that says itself in a sentence.
type Teller interface{ Message() Text }

// Error is an error that is a sentence. It wraps the errors among its arguments.
type Error struct{ Text }

// Errorf makes an Error, as fmt.Errorf does.
func Errorf(format string, args ...any) error { return &Error{Text{format, args}} }

// Error is the English sentence.
func (e *Error) Error() string { return e.String() }

// Message returns the sentence.
func (e *Error) Message() Text { return e.Text }

// Unwrap returns the errors among the arguments.
func (e *Error) Unwrap() []error {
	var list []error
	for _, a := range e.Args {
		if err, ok := a.(error); ok {
			list = append(list, err)
		}
	}
	return list
}

// Of returns what an error says. Of a failed system call that is the reason
// alone: who calls names the file.
func Of(err error) Text {
	if t, ok := err.(Teller); ok {
		return t.Message()
	}
	var path *os.PathError
	if errors.As(err, &path) {
		return Text{Format: path.Err.Error()}
	}
	return Text{Format: err.Error()}
}
