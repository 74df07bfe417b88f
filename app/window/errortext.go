package window

import (
	"errors"
	"regexp"

	"conewright/geom/job"
	"conewright/geom/mesh"
	"conewright/geom/message"
	"conewright/i18n"
)

// findingText says a finding in the language of the window.
func findingText(f *job.Finding) string {
	return raised(i18n.Sentence(message.New(f.Format, f.Args...)))
}

// raised writes square and cubic millimetres after a number as people do: geom's
// sentences are of plain letters.
func raised(text string) string {
	return cubed.ReplaceAllString(squared.ReplaceAllString(text, "$1 mm²"), "$1 mm³")
}

var squared, cubed = regexp.MustCompile(`(\d) mm2\b`), regexp.MustCompile(`(\d) mm3\b`)

// errorText says an error in the language of the window. Details that only
// English has, such as those of the libraries that read parts, stay English;
// then a sentence in the window's language goes before.
func errorText(err error) string {
	text := raised(i18n.Error(err))
	var r *mesh.ReadError
	if i18n.Chosen() == "en" || !errors.As(err, &r) || i18n.Known(r.What) {
		return text
	}
	return i18n.Sentence(message.New(faults[r.Fault])) + "\n" + text
}

// fieldErrorText says why a number isn't taken, beside the field that names it
// already: without the entry of the job file. Empty for nil.
func fieldErrorText(err error) string {
	var in *job.InputError
	switch {
	case err == nil:
		return ""
	case errors.As(err, &in):
		return raised(i18n.Sentence(message.Join(": ", in.What, in.Mend)))
	}
	return errorText(err)
}

// faults tells kinds of faults of a part file.
var faults = map[mesh.Fault]string{
	mesh.FaultOpen:      "The part's file can't be opened.",
	mesh.FaultFormat:    "The part's file isn't of the format that its name promises.",
	mesh.FaultEmpty:     "The part's file holds no part.",
	mesh.FaultTruncated: "The part's file ends too early.",
	mesh.FaultCount:     "A count in the part's file doesn't fit the rest.",
	mesh.FaultNumber:    "A number in the part's file can't be used.",
	mesh.FaultIndex:     "The part's file refers to something that isn't in it.",
	mesh.FaultSize:      "The part's file is too large.",
}
