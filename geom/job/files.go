package job

import (
	"errors"
	"os"

	"conewright/geom/inputerror"
	"conewright/geom/runfolder"
)

// Names of a run's files in its folder.
const (
	CorrectedName = runfolder.CorrectedName
	DryRunName    = runfolder.DryRunName
	DrawingName   = runfolder.DrawingName
	LogName       = runfolder.LogName
	PageName      = runfolder.PageName
	warpedDir     = runfolder.WarpedDir
	planarDir     = runfolder.PlanarDir
)

// FileLog names a file and its contents.
type FileLog = runfolder.FileSum

// openFolder takes the folder of the run, once its input is known to be usable.
func (r *run) openFolder() (err error) {
	if err := r.checkInputs(); err != nil {
		return err
	}
	disk := r.disk
	if disk == nil {
		disk = runfolder.System{}
	}
	if r.files, err = runfolder.Open(r.opt.Out, disk); err != nil {
		return err
	}
	return r.files.Check(r.outputs(), r.setup.inputs())
}

// outputs are the names that the run may write.
func (r *run) outputs() []string {
	names := []string{CorrectedName, DryRunName, DrawingName, LogName, PageName}
	for _, leaf := range r.setup.Leaves() {
		names = append(names, warpedName(leaf.Name))
		if r.opt.Motion[leaf.Name] == "" { // what is brought may come from its own place
			names = append(names, planarName(leaf.Name))
		}
	}
	return names
}

func warpedName(zone string) string { return warpedDir + "/" + zone + ".stl" }
func planarName(zone string) string { return planarDir + "/" + zone + ".gcode" }

// inputs are the files that a setup is made of.
func (s *Setup) inputs() []string {
	var files []string
	for _, one := range s.Single() {
		files = append(files, one.PartPath())
	}
	if s.file != "" {
		files = append(files, s.file)
	}
	if ref := s.Machine.Ref; ref != "" {
		files = append(files, s.resolve(ref))
	}
	return files
}

// allInputs are those of the setup and the motion that is brought.
func (r *run) allInputs() []string {
	files := r.setup.inputs()
	for _, file := range r.opt.Motion {
		files = append(files, file)
	}
	return files
}

// checkInputs refuses an input that lies where the run would write, before a
// folder is made.
func (r *run) checkInputs() error {
	for _, name := range r.outputs() {
		at := runfolder.Place(r.opt.Out, name)
		if runfolder.IsInput(at, r.setup.inputs()) {
			return inputerror.New(at, "choose another folder", "the run would write over its own input")
		}
	}
	return nil
}

// sumOf names the contents of a file of the user's.
func sumOf(path, as string) (FileLog, error) {
	in, err := openRegular(path)
	if err != nil {
		return FileLog{}, err
	}
	defer in.Close()
	return runfolder.SumOf(in, as)
}

// errNoFile says that a path is a folder, a device or a pipe, which may never end.
var errNoFile = errors.New("not a file")

// openRegular opens a file of the user's, but nothing that only looks like one.
func openRegular(path string) (*os.File, error) {
	info, err := os.Stat(path)
	if err == nil && !info.Mode().IsRegular() {
		err = &os.PathError{Op: "open", Path: path, Err: errNoFile}
	}
	if err != nil {
		return nil, err
	}
	return os.Open(path)
}
