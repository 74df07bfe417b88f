package session

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"conewright/geom/job"
)

// MotionEndings are those of the motion files that slicers write, in small
// letters.
var MotionEndings = []string{".gcode", ".gco", ".g", ".nc", ".ngc"}

// motionDir is a folder below a run's where a user may put motion files, beside
// that of the warped meshes, where most save what they sliced.
const motionDir = "motion"

// Brought is a motion file that lies in a watched folder.
type Brought struct {
	Zone string // "": its name doesn't tell
	Path string
	Size int64
	Time time.Time
}

// mostWatched bounds how many files of a folder are looked at.
const mostWatched = 1000

// FindMotion lists the motion files below out that are newer than the warped
// mesh of the zone that they are named after, the newest last. Where a zone has
// no mesh there yet, nothing can have been sliced from it.
func FindMotion(out string, setups []job.SlicerSetup) []Brought {
	if len(setups) == 0 {
		return nil
	}
	meshes := meshTimes(out, setups)
	var zones []string
	for _, s := range setups {
		zones = append(zones, s.Zone)
	}
	var found []Brought
	for _, dir := range []string{motionDir, filepath.Dir(filepath.FromSlash(setups[0].File))} {
		for _, b := range motionIn(filepath.Join(out, dir)) {
			b.Zone = ZoneOf(b.Path, zones)
			if since, known := meshes[b.Zone]; known && !b.Time.Before(since) {
				found = append(found, b)
			}
		}
	}
	slices.SortStableFunc(found, func(a, b Brought) int { return a.Time.Compare(b.Time) })
	return found
}

// meshTimes tells when each zone's warped mesh was written; under "" is the
// newest of them.
func meshTimes(out string, setups []job.SlicerSetup) map[string]time.Time {
	times := map[string]time.Time{}
	for _, s := range setups {
		info, err := os.Stat(filepath.Join(out, filepath.FromSlash(s.File)))
		if err != nil {
			continue
		}
		times[s.Zone] = info.ModTime()
		if info.ModTime().After(times[""]) {
			times[""] = info.ModTime()
		}
	}
	return times
}

// motionIn lists the motion files of a folder, which needn't be there.
func motionIn(dir string) []Brought {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil
	}
	var found []Brought
	for _, e := range entries[:min(len(entries), mostWatched)] {
		if !slices.Contains(MotionEndings, strings.ToLower(filepath.Ext(e.Name()))) {
			continue
		}
		info, err := e.Info()
		if err != nil || !info.Mode().IsRegular() || info.Size() == 0 {
			continue
		}
		found = append(found, Brought{Path: filepath.Join(dir, e.Name()), Size: info.Size(), Time: info.ModTime()})
	}
	return found
}

// ZoneOf tells by a motion file's name which zone it is for: the zone whose name
// it bears as a whole word, the longest such; the only zone there is; else "".
func ZoneOf(file string, zones []string) string {
	name := strings.ToLower(filepath.Base(file))
	name = strings.TrimSuffix(name, filepath.Ext(name))
	best := ""
	for _, z := range zones {
		if len(z) > len(best) && hasWord(name, strings.ToLower(z)) {
			best = z
		}
	}
	if best == "" && len(zones) == 1 {
		return zones[0]
	}
	return best
}

// hasWord reports whether a name holds a word with nothing of a word beside it.
func hasWord(name, word string) bool {
	letter := func(i int) bool {
		return i >= 0 && i < len(name) && (name[i] >= 'a' && name[i] <= 'z' || name[i] >= '0' && name[i] <= '9' || name[i] >= 0x80)
	}
	for at := 0; ; at++ {
		i := strings.Index(name[at:], word)
		if i < 0 {
			return false
		}
		at += i
		if !letter(at-1) && !letter(at+len(word)) {
			return true
		}
	}
}
