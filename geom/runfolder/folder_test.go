package runfolder

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"conewright/geom/runfolder/faultydisk"

	"github.com/google/go-cmp/cmp"
)

var errFails = errors.New("this call fails")

// writeRun writes a run's files, as a run does, and puts them in their places.
func writeRun(dir string, disk Disk, contents map[string]string, commit bool) error {
	f, err := Open(dir, disk)
	if err != nil {
		return err
	}
	names := []string{WarpedDir + "/a.stl", WarpedDir + "/b.stl", PlanarDir + "/a.gcode", CorrectedName, DryRunName, DrawingName, PageName}
	if err := f.Check(append(names, LogName), nil); err != nil {
		f.Discard()
		return err
	}
	log := struct {
		Version int       `json:"conewright_run"`
		Outputs []FileSum `json:"outputs"`
	}{Version: 1}
	for _, name := range names {
		text, ok := contents[name]
		if !ok {
			continue
		}
		err := f.Write(name, func(w io.Writer) error { _, err := io.WriteString(w, text); return err })
		if err == nil && name == CorrectedName {
			err = f.Prepend(name, "; head\n")
		}
		if err != nil {
			f.Discard()
			return err
		}
		if name != PageName {
			sum, err := f.Sum(name)
			if err != nil {
				f.Discard()
				return err
			}
			log.Outputs = append(log.Outputs, sum)
		}
	}
	data, _ := json.Marshal(log)
	if err := f.Write(LogName, func(w io.Writer) error { _, err := w.Write(data); return err }); err != nil {
		f.Discard()
		return err
	}
	if !commit { // the program is killed
		f.release()
		return nil
	}
	if err := f.Commit(CorrectedName, nil); err != nil {
		f.Discard()
		return err
	}
	return nil
}

// tree reads all files of a folder.
func tree(t *testing.T, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		name, _ := filepath.Rel(dir, path)
		all[filepath.ToSlash(name)] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func page(text string) string { return "<head>" + pageMark + "</head>" + text }

var (
	oldRun = map[string]string{
		WarpedDir + "/a.stl": "old mesh", WarpedDir + "/b.stl": "old second", PlanarDir + "/a.gcode": "old plan",
		CorrectedName: "old motion", DryRunName: "old dry", DrawingName: "old sheet", PageName: page("old"),
	}
	newRun = map[string]string{
		WarpedDir + "/a.stl": "new mesh", PlanarDir + "/a.gcode": "new plan",
		CorrectedName: "new motion", DryRunName: "new dry", DrawingName: "new sheet", PageName: page("new"),
	}
	forbidden = map[string]string{WarpedDir + "/a.stl": "new mesh", PageName: page("forbidden")}
	users     = map[string]string{PlanarDir + "/mine.gcode": "my own", WarpedDir + "/mine.stl": "my mesh", "notes.txt": "my notes"}
)

// folderOf returns a folder with an earlier run and files of the user's.
func folderOf(t *testing.T) (dir string, before map[string]string) {
	t.Helper()
	dir = filepath.Join(t.TempDir(), "out")
	if err := writeRun(dir, System{}, oldRun, true); err != nil {
		t.Fatal(err)
	}
	for name, text := range users {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	return dir, tree(t, dir)
}

func TestARunReplacesTheEarlierOneAndNothingElse(t *testing.T) {
	for name, run := range map[string]map[string]string{"new": newRun, "forbidden": forbidden} {
		dir, _ := folderOf(t)
		if err := writeRun(dir, System{}, run, true); err != nil {
			t.Fatal(err)
		}
		want := maps.Clone(users)
		maps.Copy(want, run)
		if _, ok := want[CorrectedName]; ok {
			want[CorrectedName] = "; head\n" + want[CorrectedName]
		}
		got := tree(t, dir)
		delete(got, LogName)
		if d := cmp.Diff(want, got); d != "" {
			t.Errorf("%s: %s", name, d)
		}
	}
}

// Every call of a run fails once, at each place: afterwards the folder holds the
// whole old set or the whole new one, and all that is the user's.
func TestAFailingCallLeavesAWholeSet(t *testing.T) {
	dir, before := folderOf(t)
	if err := writeRun(dir, System{}, newRun, true); err != nil {
		t.Fatal(err)
	}
	after := tree(t, dir)
	olds, news := 0, 0
	for at := 1; ; at++ {
		dir, _ := folderOf(t)
		disk := &faultydisk.Disk{At: at}
		err := writeRun(dir, disk, newRun, true)
		if disk.Calls < at {
			break
		}
		got := tree(t, dir)
		for name := range got { // what waits is hidden, and the next run removes it
			if strings.HasPrefix(name, stagePattern) {
				delete(got, name)
			}
		}
		switch {
		case cmp.Equal(got, before):
			olds++
			if err == nil {
				t.Errorf("call %d: no error, but the old files", at)
			}
		case cmp.Equal(got, after):
			news++
			if err != nil {
				t.Errorf("call %d: %v, but the new files", at, err)
			}
		default:
			t.Errorf("call %d (%v): neither set is whole:\n%s", at, err, cmp.Diff(before, got))
		}
		if err := writeRun(dir, System{}, newRun, true); err != nil {
			t.Errorf("call %d: the next run: %v", at, err)
		}
		if d := cmp.Diff(after, tree(t, dir)); d != "" {
			t.Errorf("call %d: the next run left %s", at, d)
		}
	}
	if olds < 30 || news < 5 {
		t.Errorf("%d calls left the old set and %d the new one: too few were tried", olds, news)
	}
}

// A run that is killed while it puts its files in place is undone by the next.
func TestTheNextRunUndoesAKilledOne(t *testing.T) {
	for moved := range 16 {
		dir, before := folderOf(t)
		if err := writeRun(dir, System{}, newRun, false); err != nil {
			t.Fatal(err)
		}
		stages, _ := filepath.Glob(filepath.Join(dir, stagePattern+"[0-9]*"))
		f := &Folder{dir: dir, disk: &killed{left: moved}, stage: stages[0]}
		f.order = []string{WarpedDir + "/a.stl", PlanarDir + "/a.gcode", DryRunName, DrawingName, PageName, LogName, CorrectedName}
		_, _ = f.put(nil)
		f, err := Open(dir, System{})
		if err != nil {
			t.Fatal(err)
		}
		f.Discard()
		if d := cmp.Diff(before, tree(t, dir)); d != "" && moved < 15 {
			t.Errorf("killed after %d moves: %s", moved, d)
		}
	}
}

// killed is a disk that does nothing more after some moves.
type killed struct {
	System
	left int
}

func (d *killed) Rename(from, to string) error {
	if d.left--; d.left < 0 {
		return errFails
	}
	return d.System.Rename(from, to)
}

func (d *killed) Remove(path string) error {
	if d.left <= 0 {
		return errFails
	}
	return d.System.Remove(path)
}

func TestASecondRunIsRefused(t *testing.T) {
	dir, before := folderOf(t)
	first, err := Open(dir, System{})
	if err != nil {
		t.Fatal(err)
	}
	_, err = Open(dir, System{})
	if err == nil || !strings.Contains(err.Error(), fmt.Sprint("process ", os.Getpid())) {
		t.Errorf("second run: %v", err)
	}
	first.Discard()
	if d := cmp.Diff(before, tree(t, dir)); d != "" {
		t.Error(d)
	}
}

func TestDiscardLeavesOthersFilesInANewFolder(t *testing.T) {
	top := filepath.Join(t.TempDir(), "new")
	f, err := Open(filepath.Join(top, "x"), System{})
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(top, "theirs"), nil, 0o666); err != nil {
		t.Fatal(err)
	}
	f.Discard()
	if d := cmp.Diff(map[string]string{"theirs": ""}, tree(t, top)); d != "" {
		t.Error(d)
	}
	if _, err := os.Stat(filepath.Join(top, "x")); err == nil {
		t.Error("the run's own folder is still there")
	}
}

func TestFoldersAndInputsAreNotWrittenOver(t *testing.T) {
	dir, _ := folderOf(t)
	changed := filepath.Join(dir, DrawingName)
	os.Remove(changed)
	os.Mkdir(changed, 0o777)
	if err := writeRun(dir, System{}, newRun, true); err == nil || !strings.Contains(err.Error(), "not a file") {
		t.Errorf("a folder in the place of a file: %v", err)
	}
	f := &Folder{dir: dir, disk: System{}}
	at := filepath.Join(dir, LogName)
	if err := f.Check([]string{LogName}, []string{at}); err == nil || !strings.Contains(err.Error(), "own input") {
		t.Errorf("an input in an output's place: %v", err)
	}
}

// A motion file that a person changed is neither lost nor left to be printed.
func TestAFileInAnOutputsPlaceIsKept(t *testing.T) {
	dir, _ := folderOf(t)
	for _, text := range []string{"mine", "mine again"} {
		os.WriteFile(filepath.Join(dir, CorrectedName), []byte(text), 0o666)
		os.WriteFile(filepath.Join(dir, WarpedDir, "a.stl"), []byte(text), 0o666)
		if err := writeRun(dir, System{}, forbidden, true); err != nil {
			t.Fatal(err)
		}
	}
	got := tree(t, dir)
	if got[CorrectedName+".kept"] != "mine" || got[CorrectedName+".kept-2"] != "mine again" || got[WarpedDir+"/a.stl.kept-2"] != "mine again" {
		t.Errorf("kept: %v", got)
	}
	if _, ok := got[CorrectedName]; ok {
		t.Error("a stale motion file is still there")
	}
}

// A log can be anybody's: what it lists outside a run's files isn't touched.
func TestALogDoesNotNameOthersFiles(t *testing.T) {
	for _, name := range []string{"../x", "notes.txt", "/etc/passwd", "warped/../../x.stl", "warped/sub/x.stl", "planar/x.stl", `warped\..\x.stl/y`} {
		if ofARun(name) {
			t.Errorf("%q", name)
		}
	}
}
