package job

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strings"
	"time"

	"conewright/geom/machine"
	"conewright/geom/unwarp"
)

// cautions are the head of every motion file.
func (r *run) cautions() []string {
	return []string{
		"Conewright " + Program + ", corrected motion for " + r.setup.Machine.Card.Name,
		"CAUTION: hot and moving parts. A motion file that was never run can crash the machine.",
		"Run the dry-run file first, with a hand on the power switch.",
		"Follow the machine maker's instructions and local rules.",
	}
}

// finish settles what may be written, and writes the dry run, the drawing and
// the log.
func (r *run) finish(ctx context.Context) error {
	r.findChanged()
	r.result.Log.Unchecked = r.unchecked()
	if err := r.judge(); err != nil {
		return err
	}
	var pictures []Picture
	if r.opt.Pictures != nil {
		sheet, more, err := r.opt.Pictures(ctx, r.result)
		if err != nil {
			return err
		}
		pictures = more
		if err := r.files.Write(DrawingName, bytesWriter(sheet)); err != nil {
			return err
		}
	}
	r.stage("files")
	return r.writeLog(pictures)
}

func bytesWriter(data []byte) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	}
}

// judge decides by the findings which motion files are written.
func (r *run) judge() error {
	if r.unfit {
		return nil // no motion was made
	}
	final, overridable, collisions := 0, 0, 0
	for i := range r.result.Log.Findings {
		switch f := &r.result.Log.Findings[i]; {
		case f.Rank != Stop:
		case neverAccepted[f.Code]:
			final++
		case f.Code == "collision":
			collisions++
		default:
			overridable++
		}
	}
	stopped := final > 0 || overridable+collisions > 0 && !r.opt.Accept
	if final == 0 && (overridable == 0 || r.opt.Accept) {
		if err := r.writeDryRun(); err != nil {
			return err
		}
	}
	if stopped {
		r.result.Log.Motion.Written = false
		return r.files.Forget(CorrectedName)
	}
	r.result.Log.Motion.Written = true
	return r.writeHead()
}

// neverAccepted are the stops that -accept can't override: the motion isn't
// the part's.
var neverAccepted = map[string]bool{"register": true, "deviation": true, "unknown-word": true}

// writeHead puts what the motion is, and the overridden findings, before the head
// of the corrected motion, and moves the findings' line numbers on by those lines.
func (r *run) writeHead() error {
	head := r.describeMotion()
	for i, f := range stopsOf(r.result.Log.Findings) {
		if i == 0 {
			head = append(head, "OVERRIDDEN: this file was written although these findings forbid it:")
		}
		head = append(head, fmt.Sprintf("OVERRIDDEN %s: %s", f.Code, f.Text))
	}
	for i := range r.result.Log.Findings {
		if f := &r.result.Log.Findings[i]; f.Line > 0 {
			f.Line += len(head)
		}
	}
	var text strings.Builder
	for _, line := range head {
		text.WriteString("; " + strings.Join(strings.Fields(line), " ") + "\n")
	}
	return r.files.Prepend(CorrectedName, text.String())
}

func stopsOf(all []Finding) (list []Finding) {
	for _, f := range all {
		if f.Rank == Stop {
			list = append(list, f)
		}
	}
	return list
}

// describeMotion tells in a few lines what the corrected motion prints.
func (r *run) describeMotion() []string {
	m, box := &r.result.Log.Motion, r.result.Model.Mesh.Bounds()
	var files []string
	for _, one := range r.setup.Single() {
		files = append(files, filepath.Base(one.Part.File))
	}
	from := "part " + strings.Join(files, ", ")
	if r.setup.file != "" {
		from += ", job " + filepath.Base(r.setup.file)
	}
	return []string{
		from,
		"machine " + r.setup.Machine.Card.Name,
		fmt.Sprintf("extents x %.2f to %.2f, y %.2f to %.2f, z %.2f to %.2f mm", box.Min.X, box.Max.X, box.Min.Y, box.Max.Y, box.Min.Z, box.Max.Z),
		"estimated time " + duration(m.Seconds),
		fmt.Sprintf("filament %.1f mm, %.1f g", m.Filament, m.Mass),
	}
}

// Bounds of how far a dry run is raised, mm.
const (
	dryRaise = 20.0
	leastDry = 5.0
)

// writeDryRun writes the same moves without heat or filament, raised as far as
// the machine's travel allows; not at all where that isn't far enough.
func (r *run) writeDryRun() error {
	card := r.setup.Machine.Card
	raise := min(dryRaise, climbable(card, r.report.Reach))
	if raise < leastDry {
		r.find(Note, "dry-run", "", 0, [3]float64{}, "no dry-run file: the machine's travel leaves only %.1f mm above the motion, %g are needed", raise, leastDry)
		return nil
	}
	in, err := r.files.Open(CorrectedName)
	if err != nil {
		return err
	}
	defer in.Close()
	return r.files.Write(DryRunName, func(w io.Writer) error {
		return unwarp.DryRun(bufio.NewReaderSize(in, 1<<18), w, unwarp.DryOptions{
			Raise: card.Climb(raise), First: r.stats.First, Last: r.stats.Last, Travel: card.Travel, Inverse: card.FeedBasis == machine.FeedInverseTime,
		})
	})
}

// climbable returns how far all of a motion, whose words have these extremes, can be
// raised within the machine's travel, mm.
func climbable(card *machine.Card, words [3]machine.Limits) float64 {
	least := math.Inf(1)
	travel := [3]machine.Limits{card.Travel.X, card.Travel.Y, card.Travel.Z}
	for i, by := range card.Climb(1) {
		switch {
		case by > 0:
			least = min(least, (travel[i][1]-words[i][1])/by)
		case by < 0:
			least = min(least, (travel[i][0]-words[i][0])/by)
		}
	}
	return least
}

// writeLog writes the page and the log, which names all other outputs.
func (r *run) writeLog(pictures []Picture) error {
	log := r.result.Log
	made := r.opt.Made
	if made.IsZero() {
		made = time.Now()
	}
	log.Version, log.Program = 1, Program
	log.Made = made.Format(time.RFC3339)
	log.Job, log.Machine = r.setup, r.setup.Machine.Card
	if err := r.logFiles(); err != nil {
		return err
	}
	if err := r.files.Write(PageName, func(w io.Writer) error { return writePage(w, r.result, pictures) }); err != nil {
		return err
	}
	data, err := log.JSON()
	if err != nil {
		return err
	}
	return r.files.Write(LogName, bytesWriter(data))
}

// logFiles names inputs and outputs with their sums.
func (r *run) logFiles() error {
	log := r.result.Log
	// The part as the job names it, from the job's folder, so that the log is the
	// same wherever the run was started; motion as it was given.
	log.Inputs = r.result.Model.sources()
	kept := map[string]FileLog{} // brought motion: its copy is unchanged, so one sum names both
	for _, g := range r.result.Regions {
		file, ok := r.opt.Motion[g.Name]
		if !ok {
			continue
		}
		name := planarName(g.Name)
		l, err := r.files.Sum(name)
		if err != nil {
			return err
		}
		kept[name] = l
		l.File = file
		log.Inputs = append(log.Inputs, l)
	}
	log.Outputs = []FileLog{}
	for _, name := range r.files.Names() {
		l, ok := kept[name]
		if !ok {
			var err error
			if l, err = r.files.Sum(name); err != nil {
				return err
			}
		}
		log.Outputs = append(log.Outputs, l)
	}
	return nil
}

// commit puts the files in their places and says how the run ended.
func (r *run) commit() error {
	r.result.Written = r.files.Names()
	if err := r.files.Commit(CorrectedName, r.allInputs()); err != nil {
		return err
	}
	r.say("files: %d written to %s", len(r.result.Written), r.opt.Out)
	if !r.result.Log.Motion.Written {
		return ErrStopped
	}
	return nil
}
