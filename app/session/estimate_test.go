package session

import (
	"os"
	"path/filepath"
	"testing"
	"time"
)

// TestClosingLeavesNoFolderOfAnEstimate closes while one is worked out.
func TestClosingLeavesNoFolderOfAnEstimate(t *testing.T) {
	temp := t.TempDir()
	t.Setenv("TMPDIR", temp)
	queue := make(chan func(), 1000)
	s := New(func(f func()) { queue <- f })
	if err := s.Open("../../assets/jobs/bollard.json"); err != nil {
		t.Fatal(err)
	}
	folders := func() int {
		found, _ := filepath.Glob(filepath.Join(temp, "conewright-estimate-*"))
		return len(found)
	}
	for late := time.Now().Add(30 * time.Second); folders() == 0; {
		if time.Now().After(late) {
			t.Fatal("no estimate is begun")
		}
		select {
		case f := <-queue:
			f()
		case <-time.After(2 * time.Millisecond):
		}
	}
	s.Close()
	if n := folders(); n > 0 {
		left, _ := os.ReadDir(temp)
		t.Errorf("%d folders stay behind: %v", n, left)
	}
}
