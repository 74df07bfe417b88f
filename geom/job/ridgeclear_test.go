package job

import (
	"context"
	"testing"
)

// A ridge in the part's plane of symmetry: on the ways between beads the head stays
// clear of the shells, which fall away from the line on both sides. Unlike the runs
// beside this one, this one has its clearance proved.
func TestTheHeadStaysClearOfARidgeInThePlaneOfSymmetry(t *testing.T) {
	s, err := Parse([]byte(`{"conewright":1,"part":{"file":"../../assets/parts/cleat.stl"},"machine":"swivel-45","zones":{"name":"z","field":{"kind":"ridge","grow":"outward","angle":45,"line":[[115,105],[135,105]]}}}`), ".")
	if err != nil {
		t.Fatal(err)
	}
	result, err := Run(context.Background(), s, Options{Out: t.TempDir()})
	if err == nil {
		return
	}
	t.Error(err)
	for _, f := range stopsOf(result.Log.Findings) {
		t.Errorf("%s: %s", f.Code, f.Text)
	}
}
