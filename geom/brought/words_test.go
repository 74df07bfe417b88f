package brought

import (
	"fmt"
	"testing"

	"conewright/geom/message"
	"conewright/geom/motion"
	"conewright/geom/runlog"
)

// A file with another word in every line is told of in few lines, and soon.
func TestKindsOfWordsAreBounded(t *testing.T) {
	var findings runlog.Findings
	files := New(motion.ReadOptions{}, &findings)
	p := files.Pass(&File{Target: &Target{Name: "z"}}, false, nil)
	const n = 300_000
	for i := range n {
		text := fmt.Sprintf("M%d S1", 10000+i)
		p.tally.add(runlog.Note, "foreign", message.Name(text), &motion.Event{Line: i + 1, Text: []byte(text)})
	}
	p.tally.add(runlog.Warn, "pause", message.Name("M600"), &motion.Event{Line: n + 1, Text: []byte("M600")})
	p.tally.add(runlog.Note, "foreign", message.Name("M10000 S1"), &motion.Event{Line: n + 2, Text: []byte("M10000 S1")})
	p.Report()
	list := findings
	if len(list) != runlog.MaxListed+2 {
		t.Fatalf("%d findings, want %d", len(list), runlog.MaxListed+2)
	}
	want := fmt.Sprintf("%d more lines of the brought file, of kinds that aren't listed here", n-runlog.MaxListed)
	found := false
	for _, f := range list {
		found = found || f.Text == want
	}
	if !found {
		t.Errorf("no finding says %q", want)
	}
}
