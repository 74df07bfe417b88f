package pictures

import (
	"path/filepath"
	"strconv"
	"strings"

	"conewright/geom/job"
)

// Title names a setup after its part's file: "quay-bollard.stl" is "Quay bollard".
func Title(s *job.Setup) string {
	name := filepath.Base(s.Part.File)
	name = strings.TrimSuffix(name, filepath.Ext(name))
	name = strings.Join(strings.FieldsFunc(name, func(r rune) bool { return r == '-' || r == '_' || r == ' ' }), " ")
	first := []rune(name)
	if len(first) == 0 {
		return ""
	}
	return strings.ToUpper(string(first[:1])) + string(first[1:])
}

// number writes a figure of the title block, without zeros at its end.
func (s Scene) number(v float64, decimals int) string {
	text := number(v, decimals)
	if decimals > 0 {
		text = strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
	}
	if s.Decimal != "" {
		text = strings.Replace(text, ".", s.Decimal, 1)
	}
	return text
}

func number(v float64, decimals int) string { return strconv.FormatFloat(v, 'f', decimals, 64) }
