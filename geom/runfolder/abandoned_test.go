package runfolder

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"conewright/geom/filelock"
)

func TestOnlyFoldersWhoseOwnerHasEndedAreRemoved(t *testing.T) {
	dir := t.TempDir()
	long := time.Now().Add(-time.Hour)
	folder := func(name string) string {
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Join(path, "stage"), 0o755); err != nil {
			t.Fatal(err)
		}
		return path
	}
	left, held, fresh, other := folder("t-left"), folder("t-held"), folder("t-fresh"), folder("other")
	lock, err := filelock.Take(filepath.Join(held, lockName))
	if err != nil {
		t.Fatal(err)
	}
	defer lock.Release()
	for _, path := range []string{left, held, other} {
		if err := os.Chtimes(path, long, long); err != nil {
			t.Fatal(err)
		}
	}
	RemoveAbandoned(filepath.Join(dir, "t-*"))
	for path, stays := range map[string]bool{left: false, held: true, fresh: true, other: true} {
		if _, err := os.Stat(path); (err == nil) != stays {
			t.Errorf("%s: %v", filepath.Base(path), err)
		}
	}
}
