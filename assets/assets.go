// Package assets holds what the program carries with it: the demo parts and
// jobs (the fittings of Sallowmere Quay, a harbour that doesn't exist) and the
// icon. The machine cards are in assets/machines.
//
// Parts and icon are made by code: after changing assets/generate, run
//
//	go generate ./assets
//
// A test checks that the files are what the code makes.
package assets

import (
	"bytes"
	"embed"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"

	"github.com/natefinch/atomic"
)

//go:generate go test -count=1 -run Generate . -update

// Files holds the demo parts and jobs as they lie in the repository:
// parts/NAME.stl and jobs/NAME.json. Jobs name their part as
// ../parts/NAME.stl.
//
//go:embed parts/*.stl jobs/*.json
var Files embed.FS

// IconSVG is the icon as a drawing.
//
//go:embed icon.svg
var IconSVG []byte

// IconPNG is the icon as a picture of 512 by 512 pixels.
//
//go:embed icon.png
var IconPNG []byte

// DemoJob is the name of the job that shows best what the program is for.
const DemoJob = "bollard"

// Jobs lists the names of the demo jobs, sorted.
func Jobs() []string { return names("jobs") }

// Parts lists the names of the demo parts, sorted.
func Parts() []string { return names("parts") }

func names(dir string) []string {
	entries, _ := Files.ReadDir(dir) // an embedded folder is always there
	var out []string
	for _, e := range entries { // sorted by name
		out = append(out, strings.TrimSuffix(e.Name(), path.Ext(e.Name())))
	}
	return out
}

// Unpack writes the demo parts and jobs to dir/parts and dir/jobs, so that they
// can be opened like any other file, and returns the path of the named job.
// Files that are there already are kept if they have these very bytes, and
// replaced otherwise.
func Unpack(dir, job string) (string, error) {
	err := fs.WalkDir(Files, ".", func(name string, e fs.DirEntry, err error) error {
		to := filepath.Join(dir, filepath.FromSlash(name))
		if err != nil || e.IsDir() {
			return os.MkdirAll(to, 0o755)
		}
		data, err := Files.ReadFile(name)
		if err != nil {
			return err
		}
		if old, err := os.ReadFile(to); err == nil && bytes.Equal(old, data) {
			return nil
		}
		return atomic.WriteFile(to, bytes.NewReader(data))
	})
	if err != nil {
		return "", fmt.Errorf("unpack the demo jobs into %s: %w", dir, err)
	}
	if _, err := fs.Stat(Files, "jobs/"+job+".json"); err != nil {
		return "", fmt.Errorf("there is no demo job %q; choose one of %s", job, strings.Join(Jobs(), ", "))
	}
	return filepath.Join(dir, "jobs", job+".json"), nil
}
