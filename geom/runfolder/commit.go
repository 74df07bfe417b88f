package runfolder

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"conewright/geom/inputerror"
)

// How a run's files come to their places so that the folder holds all of the
// earlier run's or all of this one's, whichever call fails or whenever the
// program is killed:
//
//  1. The plan, a list of the new files, is written into the stage.
//  2. The earlier run's files move into the stage's folder for old ones.
//  3. The new ones move into their places, the motion last: until then there is
//     none to be printed.
//  4. The plan and the old files are removed. What a person put or changed in one
//     of the places is kept beside it.
//
// Where a call of 2 or 3 fails, settle puts all back. Where the program is
// killed, the next run does that when it opens the folder.

// Check refuses a folder in which a folder, a device or an input of this run
// stands where this run would write. names are those that the run may write.
func (f *Folder) Check(names, inputs []string) error {
	for _, name := range names {
		if err := f.checkPlace(name, inputs); err != nil {
			return err
		}
	}
	return nil
}

func (f *Folder) checkPlace(name string, inputs []string) error {
	at := f.place(name)
	info, err := os.Lstat(at)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	switch {
	case err != nil:
		return f.failed(err)
	case IsInput(at, inputs):
		return inputerror.New(at, "choose another folder", "the run would write over its own input")
	case !info.Mode().IsRegular():
		return inputerror.New(at, "move it away, or choose another folder", "not a file, but the run would write one there")
	}
	return nil
}

// fixed are the names that every run may write.
var fixed = []string{CorrectedName, DryRunName, DrawingName, LogName, PageName}

// IsInput reports whether a path is one of the inputs.
func IsInput(path string, inputs []string) bool {
	a, err := os.Stat(path)
	if err != nil {
		return false
	}
	return slices.ContainsFunc(inputs, func(in string) bool {
		b, err := os.Stat(in)
		return err == nil && os.SameFile(a, b)
	})
}

// Commit puts all waiting files in their places and removes those of an earlier
// run that have none now, but no input. last comes last. Afterwards the folder is
// let go.
func (f *Folder) Commit(last string, inputs []string) error {
	if i := slices.Index(f.order, last); i >= 0 {
		f.order = append(slices.Delete(f.order, i, i+1), last)
	}
	kept, err := f.put(inputs)
	if err != nil {
		if back := f.settleStage(f.stage); back != nil {
			err = errors.Join(err, back)
		}
		return f.failed(err)
	}
	for _, name := range kept {
		if err := f.disk.Rename(f.Path(oldDir+"/"+name), f.freeName(name)); err != nil {
			f.stage = "" // it holds what isn't ours
			f.release()
			return nil
		}
	}
	f.clear(f.stage)
	f.stage = ""
	f.release()
	return nil
}

// freeName returns a place beside name that nothing stands in.
func (f *Folder) freeName(name string) string {
	at := f.place(name) + ".kept"
	for i := 2; ; i++ {
		if _, err := os.Lstat(at); err != nil {
			return at
		}
		at = fmt.Sprintf("%s.kept-%d", f.place(name), i)
	}
}

// put puts the waiting files in their places; kept are files that no run wrote and
// that stood there, now among the old ones.
func (f *Folder) put(inputs []string) (kept []string, err error) {
	own, err := f.earlier()
	if err != nil {
		return nil, err
	}
	for name := range own {
		if !slices.Contains(f.order, name) && IsInput(f.place(name), inputs) {
			delete(own, name)
		}
	}
	for _, name := range slices.Compact(slices.Sorted(slices.Values(append(f.Names(), fixed...)))) {
		if own[name] {
			continue
		}
		if _, err := os.Lstat(f.place(name)); errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err := f.checkPlace(name, nil); err != nil {
			return nil, err
		}
		own[name] = true
		have, haveErr := f.sumIn(f.dir, name)
		want, wantErr := f.Sum(name)
		if haveErr != nil || wantErr != nil || have != want {
			kept = append(kept, name)
		}
	}
	for _, sub := range subfolders {
		if err := f.disk.Mkdir(f.place(sub)); err != nil && !errors.Is(err, fs.ErrExist) {
			return nil, err
		}
	}
	for _, dir := range []string{oldDir, oldDir + "/" + WarpedDir, oldDir + "/" + PlanarDir} {
		if err := f.disk.Mkdir(f.Path(dir)); err != nil {
			return nil, err
		}
	}
	if err := f.writePlan(); err != nil {
		return nil, err
	}
	for _, name := range moveOrder(own) {
		if err := f.disk.Rename(f.place(name), f.Path(oldDir+"/"+name)); err != nil {
			return nil, err
		}
	}
	for _, name := range f.order {
		if err := f.disk.Rename(f.Path(name), f.place(name)); err != nil {
			return nil, err
		}
	}
	// From here on the new files are the folder's.
	return kept, f.disk.Remove(f.Path(planName))
}

// moveOrder begins with the motion: without it nothing old can be printed.
func moveOrder(own map[string]bool) []string {
	var names []string
	for name := range own {
		names = append(names, name)
	}
	slices.SortFunc(names, func(a, b string) int {
		if (a == CorrectedName) != (b == CorrectedName) {
			if a == CorrectedName {
				return -1
			}
			return 1
		}
		return strings.Compare(a, b)
	})
	return names
}

func (f *Folder) writePlan() error {
	out, err := f.disk.Create(f.Path(planName))
	if err != nil {
		return err
	}
	_, err = io.WriteString(out, strings.Join(f.order, "\n"))
	if cerr := out.Close(); err == nil {
		err = cerr
	}
	return err
}

// settle puts back what killed runs moved, and removes what they left waiting.
func (f *Folder) settle() error {
	entries, err := os.ReadDir(f.dir)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if !e.IsDir() || !stageName.MatchString(e.Name()) {
			continue
		}
		stage := filepath.Join(f.dir, e.Name())
		if err := f.settleStage(stage); err != nil {
			return err
		}
		f.clear(stage)
	}
	return nil
}

// settleStage puts a folder back to what it was before the files of a stage were
// put in their places. Without a plan nothing was moved, or all was.
func (f *Folder) settleStage(stage string) error {
	plan, err := os.ReadFile(filepath.Join(stage, planName))
	if err != nil {
		return nil
	}
	for name := range strings.SplitSeq(string(plan), "\n") {
		if name != LogName && name != PageName && !ofARun(name) {
			continue
		}
		_, waits := os.Lstat(filepath.Join(stage, filepath.FromSlash(name)))
		if _, err := os.Lstat(f.place(name)); err == nil && errors.Is(waits, fs.ErrNotExist) {
			if err := f.disk.Remove(f.place(name)); err != nil {
				return err
			}
		}
	}
	for _, name := range filesIn(filepath.Join(stage, oldDir)) {
		if err := f.disk.Rename(filepath.Join(stage, oldDir, filepath.FromSlash(name)), f.place(name)); err != nil {
			return fmt.Errorf("the earlier run's files are in %s: %w", filepath.Join(stage, oldDir), err)
		}
	}
	return nil
}

// filesIn lists the files of a stage or of its folder for old ones.
func filesIn(dir string) []string {
	var names []string
	for _, sub := range append([]string{"."}, subfolders...) {
		entries, _ := os.ReadDir(filepath.Join(dir, sub))
		for _, e := range entries {
			if !e.IsDir() {
				names = append(names, filepath.ToSlash(filepath.Join(sub, e.Name())))
			}
		}
	}
	return names
}

// clear removes a stage, file by file. It stays if it doesn't let itself be
// removed: some systems refuse while a scanner or a file browser looks into it,
// and then the next run removes it.
func (f *Folder) clear(stage string) {
	for _, dir := range []string{filepath.Join(stage, oldDir), stage} {
		for _, name := range filesIn(dir) {
			f.disk.Remove(filepath.Join(dir, filepath.FromSlash(name)))
		}
		for _, sub := range subfolders {
			f.disk.Remove(filepath.Join(dir, sub))
		}
		f.disk.Remove(dir)
	}
}
