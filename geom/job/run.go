package job

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"time"

	"conewright/geom/brought"
	"conewright/geom/deposit"
	"conewright/geom/mesh"
	"conewright/geom/message"
	"conewright/geom/motion"
	"conewright/geom/readback"
	"conewright/geom/runfolder"
	"conewright/geom/unwarp"

	"gonum.org/v1/gonum/spatial/r2"
)

// Options say where a run writes and what it tells on the way. Only Out must
// be given.
type Options struct {
	Out    string
	Motion map[string]string // zone name -> planar motion file of the user's own slicer
	Accept bool              // write the corrected motion although a finding forbids it
	// Model is the setup's part as it was read and shown already, if it is at hand:
	// the run uses what people saw. nil: it is read.
	Model *Model
	// Made is the time that the log names; zero: now.
	Made time.Time
	// Progress hears how far a stage is, 0 to 1. It isn't called before the
	// input has been found usable.
	Progress func(stage string, done float64)
	// Summary hears one line for each stage that is done.
	Summary func(line string)
	// Pictures draws the result: the sheet as SVG, and pictures for the page.
	// geom draws nothing itself.
	Pictures func(ctx context.Context, r *Result) (sheet []byte, pictures []Picture, err error)
}

// Picture is an SVG for the log's page.
type Picture struct {
	Title string
	SVG   []byte
}

// Result is what a run came to.
type Result struct {
	Setup   *Setup
	Model   *Model
	Regions []*Region
	Log     *Log
	Course  []readback.Sample // of the motion; empty where none was made
	Hangs   []deposit.Hang    // beads with nothing under them, in printing order
	Dir     string
	Written []string // files, relative to Dir
}

// ErrStopped says that a finding of rank stop kept corrected.gcode from being
// written; all else was.
var ErrStopped = errors.New("a finding forbids the corrected motion")

// Run does the whole job and writes its files into o.Out, all or none. The
// error is nil, ErrStopped (with a result), *InputError, or the context's.
func Run(ctx context.Context, s *Setup, o Options) (*Result, error) {
	return newRun(s, o).all(ctx)
}

// all does what Run promises.
func (r *run) all(ctx context.Context) (*Result, error) {
	err := r.steps(ctx)
	if err != nil && !errors.Is(err, ErrStopped) {
		if r.files != nil {
			r.files.Discard()
		}
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		return nil, runfolder.Unwritable(r.opt.Out, err)
	}
	return r.result, err
}

// run is the state of a run.
type run struct {
	setup   *Setup
	opt     Options
	result  *Result
	files   *runfolder.Folder
	disk    runfolder.Disk // nil: the machine's
	brought *brought.Files
	sources []source
	unfit   bool // a brought file doesn't fit its zone
	stats   unwarp.Stats
	report  readback.Report
	began   time.Time
}

func newRun(s *Setup, o Options) *run {
	r := &run{setup: s, opt: o, result: &Result{Setup: s, Dir: o.Out, Log: &Log{}}}
	r.brought = brought.New(r.readOptions(), &r.result.Log.Findings)
	return r
}

func (r *run) steps(ctx context.Context) error {
	for _, step := range []struct {
		name string
		do   func(context.Context) error
	}{
		{"part", r.readPart},
		{"zones", r.divide},
		{"warp", r.warp},
		{"support", r.support},
		{"motion", r.motion},
		{"unwarp", r.correct},
		{"proof", r.prove},
		{"files", r.finish},
	} {
		if err := ctx.Err(); err != nil {
			return err
		}
		r.began = time.Now()
		if r.unfit && (step.name == "unwarp" || step.name == "proof") {
			continue // there is no motion to speak of
		}
		if err := step.do(ctx); err != nil {
			return err
		}
		if step.name != "proof" && step.name != "files" { // these note their stages
			r.stage(step.name)
		}
	}
	return r.commit()
}

func (r *run) stage(name string) { r.took(name, time.Since(r.began)) }

func (r *run) took(name string, d time.Duration) {
	r.result.Log.Stages = append(r.result.Log.Stages, StageLog{Name: name, Seconds: tidy(d.Seconds())})
}

func (r *run) say(format string, args ...any) {
	if r.opt.Summary != nil {
		r.opt.Summary(fmt.Sprintf(format, args...))
	}
}

// progress returns a progress function for part i of n of a stage.
func (r *run) progress(stage string, i, n int) func(float64) {
	if r.opt.Progress == nil {
		return nil
	}
	return func(done float64) { r.opt.Progress(stage, (float64(i)+done)/float64(n)) }
}

func (r *run) readPart(ctx context.Context) error {
	if err := r.checkMotionNames(); err != nil {
		return err
	}
	m, err := r.opt.Model, error(nil)
	if m == nil {
		m, err = ReadModel(ctx, r.setup)
	} else {
		err = r.setup.checkApart(m)
	}
	if err != nil {
		return err
	}
	r.result.Model = m
	r.logPart(m)
	r.say("part: %s, %d facets, %.1f mm3, %.1f x %.1f x %.1f mm", filepath.Base(r.setup.Part.File),
		len(m.Mesh.Facets), m.Mesh.Volume(), m.Size.X, m.Size.Y, m.Size.Z)
	return nil
}

// checkMotionNames refuses motion for a zone that the job doesn't have, and
// motion files that aren't there.
func (r *run) checkMotionNames() error {
	known := map[string]bool{}
	var names []string
	for _, leaf := range r.setup.Leaves() {
		known[leaf.Name] = true
		names = append(names, leaf.Name)
	}
	var given []string
	for name := range r.opt.Motion {
		given = append(given, name)
	}
	sort.Strings(given)
	for _, name := range given {
		file := r.opt.Motion[name]
		if r.setup.Support != SupportNone {
			return wrong("support", "use none, or let all zones be planned here", "support is planned here only, and zone %s brings its own motion", message.Name(name))
		}
		if !known[name] {
			return &InputError{Where: message.Name("-motion " + name), What: message.New("the job has no zone of that name"), Mend: message.New("use one of %s", strings.Join(names, ", "))}
		}
		if err := brought.CheckKind(file); err != nil {
			return err
		}
	}
	return nil
}

func (r *run) divide(ctx context.Context) error {
	regions, err := Divide(ctx, r.setup, r.result.Model)
	if err != nil {
		return err
	}
	r.result.Regions = regions
	if err := r.openFolder(); err != nil {
		return err
	}
	r.say("zones: %d", len(regions))
	return nil
}

func (r *run) warp(ctx context.Context) error {
	facets := 0
	for i, g := range r.result.Regions {
		if p := r.progress("warp", i, len(r.result.Regions)); p != nil {
			p(0)
		}
		if err := g.Warp(ctx, r.setup.Tolerance); err != nil {
			return err
		}
		facets += len(g.Warped.Facets)
		if err := r.files.Write(warpedName(g.Name), func(w io.Writer) error { return mesh.WriteSTL(w, g.Warped) }); err != nil {
			return err
		}
		r.logZone(g)
	}
	r.say("warp: %d facets within %g mm", facets, r.setup.Tolerance)
	return nil
}

// motion makes or takes the planar motion of every zone.
func (r *run) motion(ctx context.Context) error {
	r.findTurns()
	for i, g := range r.result.Regions {
		progress := r.progress("motion", i, len(r.result.Regions))
		var err error
		if file, ok := r.opt.Motion[g.Name]; ok {
			err = r.bring(ctx, g, file, progress)
		} else {
			err = r.plan(ctx, g, progress)
		}
		if err != nil {
			return err
		}
	}
	r.say("motion: %d zones, %d brought", len(r.result.Regions), len(r.opt.Motion))
	return nil
}

// open opens the planar motion of a region where it waits.
func (r *run) open(g *Region) (io.ReadCloser, error) {
	return r.files.Open(planarName(g.Name))
}

// readOptions are those of planar motion.
func (r *run) readOptions() motion.ReadOptions {
	return motion.ReadOptions{Tolerance: r.setup.Tolerance / 4, Filament: r.setup.Machine.Card.Filament}
}

// correct writes the corrected motion of all zones.
func (r *run) correct(ctx context.Context) error {
	if err := r.brought.FindEnds(ctx, r.setup.StartFrom == FromFile); err != nil {
		return err
	}
	return r.files.Write(CorrectedName, func(w io.Writer) error {
		start, drawn := r.start()
		start, err := r.settleStart(ctx, start)
		if err != nil {
			return err
		}
		heat := r.watchHeat()
		heat.text(start, "start")
		c := unwarp.New(w, unwarp.Options{
			Card: r.setup.Machine.Card, Tolerance: r.setup.Tolerance, TravelSpeed: r.setup.Planner.TravelSpeed, Drawn: drawn,
			Area: r.area(),
		})
		defer c.Close()
		if err := c.Begin(r.cautions(), start); err != nil {
			return err
		}
		for i := range r.sources {
			if err := r.correctZone(ctx, c, i, heat); err != nil {
				return err
			}
		}
		end, err := r.end(ctx, c)
		if err != nil {
			return err
		}
		heat.text(end, "end")
		if err := r.findEnd(ctx, end); err != nil {
			return err
		}
		r.stats, err = c.End(end)
		if err == nil {
			r.say("unwarp: %d moves from %d", r.stats.Last-r.stats.First+1, r.stats.SourceMoves)
		}
		return err
	})
}

// area is all in plan that is printed: parts, and what is laid round them.
func (r *run) area() r2.Box {
	var all r2.Box
	for i := range r.sources {
		box := r.sources[i].region.Mesh.Bounds()
		if i == 0 {
			all.Min, all.Max = r2.Vec{X: box.Min.X, Y: box.Min.Y}, r2.Vec{X: box.Max.X, Y: box.Max.Y}
		}
		all.Min = r2.Vec{X: min(all.Min.X, box.Min.X), Y: min(all.Min.Y, box.Min.Y)}
		all.Max = r2.Vec{X: max(all.Max.X, box.Max.X), Y: max(all.Max.Y, box.Max.Y)}
	}
	return all
}

func (r *run) correctZone(ctx context.Context, c *unwarp.Corrector, i int, heat *heatWatch) error {
	src := &r.sources[i]
	in, err := r.open(src.region)
	if err != nil {
		return err
	}
	defer in.Close()
	z := src.zone()
	z.Last = i == len(r.sources)-1
	if err := c.Zone(z); err != nil {
		return err
	}
	opt := r.readOptions()
	opt.Marked = src.brought == nil
	opt.Progress = r.progress("unwarp", i, len(r.sources))
	if info, err := in.(*os.File).Stat(); err == nil {
		opt.Size = info.Size()
	}
	if src.brought == nil {
		_, err = motion.ReadAhead(ctx, in, opt, c.Event)
		return err
	}
	pass := r.brought.Pass(src.brought, i > 0, heat.pass(src.region.Name, c.Event))
	opt.Look = pass.Look()
	_, err = motion.ReadAhead(ctx, in, opt, pass.Event)
	pass.Report()
	return err
}

// expand puts the material's temperatures into a card's text.
func (r *run) expand(text string) string {
	m := &r.setup.Material
	return strings.NewReplacer(
		"{nozzle_temp}", fmt.Sprintf("%g", m.NozzleTemp),
		"{bed_temp}", fmt.Sprintf("%g", m.BedTemp),
	).Replace(text)
}
