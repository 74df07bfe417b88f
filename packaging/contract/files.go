package contract

import (
	"crypto/sha256"
	"encoding/hex"
	"io"
	"os"
	"path/filepath"
	"strings"

	"conewright/packaging/reading"
)

// files checks that all outputs are there, as logged, and no others.
func (c *check) files() {
	want := map[string]bool{"drawing.svg": true, "run.html": true, "run.json": true, "corrected.gcode": true, "dry-run.gcode": true}
	for _, z := range c.log.Zones {
		want["warped/"+z.Name+".stl"] = true
		want["planar/"+z.Name+".gcode"] = true
	}
	if c.forbidden() {
		delete(want, "corrected.gcode")
		delete(want, "dry-run.gcode")
	}
	// Collisions alone forbid no dry run; too little travel above does.
	_, err := os.Stat(filepath.Join(c.dir, "dry-run.gcode"))
	if want["dry-run.gcode"] = err == nil; err != nil {
		delete(want, "dry-run.gcode")
	}
	logged := map[string]bool{"run.json": true, "run.html": true} // not in outputs, by the contract
	for _, o := range c.log.Outputs {
		if logged[o.File] {
			c.wrong("outputs name %s, which they leave out or name once", o.File)
		}
		logged[o.File] = true
		c.sum(filepath.Join(c.dir, filepath.FromSlash(o.File)), o)
	}
	for _, in := range c.log.Inputs {
		if in.SHA256 == "" || in.Bytes == 0 {
			c.wrong("inputs: %s has no sum", in.File)
		}
	}
	found := map[string]bool{}
	err = filepath.WalkDir(c.dir, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		name, err := filepath.Rel(c.dir, path)
		found[filepath.ToSlash(name)] = true
		return err
	})
	if err != nil {
		c.wrong("%v", err)
	}
	for name := range want {
		if !found[name] {
			c.wrong("%s is missing", name)
		}
		if !logged[name] {
			c.wrong("outputs don't name %s", name)
		}
	}
	for name := range found {
		if !want[name] {
			c.wrong("%s is more than the contract says", name)
		}
	}
	c.html()
}

func (c *check) sum(path string, o reading.File) {
	f, err := os.Open(path)
	if err != nil {
		c.wrong("%v", err)
		return
	}
	defer f.Close()
	h := sha256.New()
	n, err := io.Copy(h, f)
	if err != nil || n != o.Bytes || hex.EncodeToString(h.Sum(nil)) != o.SHA256 {
		c.wrong("%s isn't what run.json says (%v)", o.File, err)
	}
}

// html checks that the page stands on its own and shows the drawing.
func (c *check) html() {
	data, err := os.ReadFile(filepath.Join(c.dir, "run.html"))
	if err != nil {
		return // said already
	}
	text := string(data)
	for _, outside := range []string{"src=\"http", "href=\"http", "<script src", "@import"} {
		if strings.Contains(text, outside) {
			c.wrong("run.html isn't self-contained: %s", outside)
		}
	}
	if !strings.Contains(text, "<svg") {
		c.wrong("run.html has no picture")
	}
}
