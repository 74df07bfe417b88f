package runfolder

import (
	"os"
	"path/filepath"
	"time"

	"conewright/geom/filelock"
)

// youngest is the age from which a folder without an owner counts as abandoned: a
// process locks its folder a moment after it has made it.
const youngest = time.Minute

// RemoveAbandoned removes the temporary folders that a pattern of filepath.Match names
// and whose process has ended without removing them, as after a kill: nobody holds
// their lock. What can't be removed stays; it harms nobody.
func RemoveAbandoned(pattern string) {
	dirs, err := filepath.Glob(pattern)
	if err != nil {
		return
	}
	for _, dir := range dirs {
		info, err := os.Lstat(dir)
		if err != nil || !info.IsDir() || time.Since(info.ModTime()) < youngest {
			continue
		}
		lock, err := filelock.Take(filepath.Join(dir, lockName))
		if err != nil {
			continue // it is in use, or somebody else's
		}
		lock.Release()
		_ = os.RemoveAll(dir)
	}
}
