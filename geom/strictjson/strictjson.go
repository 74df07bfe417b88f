// Package strictjson reads JSON without filling in or dropping anything silently:
// a key that isn't known, a key that stands twice, a list that is too short or too
// long, null among numbers and text after the end are errors.
package strictjson

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"strings"

	"conewright/geom/message"
)

// Error says what of the JSON can't be used.
type Error struct {
	Where      string // "zones.under.field.axis"; "" where the whole is meant
	What, Mend message.Text
}

func (e *Error) Error() string {
	return message.Join(": ", message.Name(e.Where), e.What, e.Mend).String()
}

// maxNesting bounds how deep lists and groups may stand in one another.
const maxNesting = 1000

// Decode reads data into v, a pointer. Errors are *Error, or those of
// encoding/json and of the types' own readers.
func Decode(data []byte, v any) error {
	w := walker{dec: json.NewDecoder(bytes.NewReader(data))}
	w.dec.UseNumber()
	err := w.value(reflect.TypeOf(v).Elem(), "", 0)
	var own *Error
	if errors.As(err, &own) {
		return own
	}
	if err != nil { // package json says more of it
		return errors.Join(json.Unmarshal(data, new(any)), err)
	}
	if _, err := w.dec.Token(); err != io.EOF {
		return wrong("", "remove it", "more text follows the end of the JSON")
	}
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	return dec.Decode(v)
}

func wrong(where, mend, what string, args ...any) error {
	return &Error{Where: where, What: message.New(what, args...), Mend: message.New(mend)}
}

// walker goes through the JSON beside the Go type that it is read into.
type walker struct{ dec *json.Decoder }

var unmarshaler = reflect.TypeFor[json.Unmarshaler]()

// value walks over a value; t is nil where the type isn't known, and of types that
// read themselves.
func (w *walker) value(t reflect.Type, at string, depth int) error {
	if depth > maxNesting {
		return wrong(at, "use fewer levels", "lists and groups stand over %d deep in one another", maxNesting)
	}
	plain := t != nil && t.Kind() != reflect.Pointer
	for t != nil && t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if t != nil && depth > 0 && reflect.PointerTo(t).Implements(unmarshaler) {
		t = nil
	}
	token, err := w.dec.Token()
	if err != nil {
		return err
	}
	switch token {
	case json.Delim('{'):
		return w.group(t, at, depth)
	case json.Delim('['):
		return w.list(t, at, depth)
	case nil:
		if plain && strings.HasSuffix(at, "]") {
			return wrong(at, "give a value", "null stands where a value is needed")
		}
	}
	return nil
}

func (w *walker) group(t reflect.Type, at string, depth int) error {
	seen := map[string]bool{}
	for w.dec.More() {
		token, err := w.dec.Token()
		if err != nil {
			return err
		}
		key, _ := token.(string)
		under := strings.TrimPrefix(at+"."+key, ".")
		folded := strings.ToLower(key) // package json takes keys of either case
		if seen[folded] {
			return wrong(under, "keep one of the two", "the key %q stands twice", key)
		}
		seen[folded] = true
		if err := w.value(fieldOf(t, key), under, depth+1); err != nil {
			return err
		}
	}
	_, err := w.dec.Token()
	return err
}

// fieldOf returns the type of what a key leads to, nil if that isn't known.
func fieldOf(t reflect.Type, key string) reflect.Type {
	if t == nil {
		return nil
	}
	switch t.Kind() {
	case reflect.Map:
		return t.Elem()
	case reflect.Struct:
		for _, f := range reflect.VisibleFields(t) {
			name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
			if name == "" {
				name = f.Name
			}
			if strings.EqualFold(name, key) {
				return f.Type
			}
		}
	}
	return nil
}

func (w *walker) list(t reflect.Type, at string, depth int) error {
	var element reflect.Type
	if t != nil && (t.Kind() == reflect.Array || t.Kind() == reflect.Slice) {
		element = t.Elem()
	}
	n := 0
	for ; w.dec.More(); n++ {
		if err := w.value(element, fmt.Sprintf("%s[%d]", at, n), depth+1); err != nil {
			return err
		}
	}
	if t != nil && t.Kind() == reflect.Array && n != t.Len() {
		return &Error{Where: at, What: message.New("holds %d values", n), Mend: message.New("give it %d values", t.Len())}
	}
	_, err := w.dec.Token()
	return err
}

// Named returns the plain word for a kind of value as package json calls it.
func Named(kind string) string {
	switch word, _, _ := strings.Cut(kind, " "); word { // "number 1e999": it is out of range
	case "array":
		return "list"
	case "object":
		return "group"
	case "string":
		return "text"
	case "bool":
		return "true or false"
	}
	return kind
}

// Kind returns the plain word for the kind of value that a type is read from.
func Kind(t reflect.Type) string {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch t.Kind() {
	case reflect.Array, reflect.Slice:
		return "list"
	case reflect.Struct, reflect.Map:
		return "group"
	case reflect.String:
		return "text"
	case reflect.Bool:
		return "true or false"
	}
	return "number"
}
