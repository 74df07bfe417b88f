package headless

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestAFolderOfJobsGivesTheFilesOfOneByOne(t *testing.T) {
	dir := t.TempDir()
	flange(t, dir)
	write(t, filepath.Join(dir, "first.json"), goodJob)
	write(t, filepath.Join(dir, "second.json"), strings.Replace(goodJob, "40", "35", 1))
	write(t, filepath.Join(dir, "broken.json"), "{")
	out := filepath.Join(dir, "out")
	var said, complained bytes.Buffer
	if got := Main(context.Background(), Args{Jobs: dir, Out: out}, &said, &complained); got != Unusable {
		t.Fatalf("status %d, want that of the broken job: %s%s", got, said.String(), complained.String())
	}
	lines := strings.Split(strings.TrimSpace(said.String()), "\n")
	if len(lines) != 4 || !strings.HasPrefix(lines[3], "jobs: 2 of 3 done") {
		t.Errorf("a line a job and a summary are wanted:\n%s", said.String())
	}
	for _, name := range []string{"first", "second"} {
		alone := filepath.Join(dir, "alone", name)
		if got := Main(context.Background(), Args{Job: filepath.Join(dir, name+".json"), Out: alone}, &said, &complained); got != Done {
			t.Fatalf("alone, status %d: %s", got, complained.String())
		}
		a, err := os.ReadFile(filepath.Join(out, name, "corrected.gcode"))
		if err != nil {
			t.Fatal(err)
		}
		b, err := os.ReadFile(filepath.Join(alone, "corrected.gcode"))
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(a, b) {
			t.Errorf("%s: side by side %d bytes, alone %d that differ", name, len(a), len(b))
		}
	}
}

func TestAFolderWithoutJobsIsRefused(t *testing.T) {
	var said, complained bytes.Buffer
	if got := Main(context.Background(), Args{Jobs: t.TempDir(), Out: "x"}, &said, &complained); got != Unusable || strings.Count(complained.String(), "\n") != 1 {
		t.Errorf("status %d: %s", got, complained.String())
	}
}
