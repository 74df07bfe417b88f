package session

import (
	"os"
	"path/filepath"
	"strings"
	"time"

	"conewright/geom/filelock"
	"conewright/geom/job"
	"conewright/geom/machine"
	"conewright/geom/message"
)

// Session is what one window works on. All its methods belong to the window's
// event loop; work in the background comes back to it through post.
type Session struct {
	machine   string             // of the next part; "": firstMachine
	material  *job.Material      // of the next part; nil: a new job's
	print     *job.PrintSettings // the same
	post      func(func())       // runs a function on the event loop, later
	listeners []func()

	history    *History
	preview    *job.Setup // while a drag lasts
	part       int        // the chosen one of several
	chosen     alone
	earlier    earlier
	path       string     // of the job file; "" for a part that has none yet
	saved      *job.Setup // what the job file holds; nil: nothing
	facts      *Facts     // newest known, may be of an older setup
	facting    Latest[factRequest]
	estimating estimator
	estimate   Estimate
	opened     int // counts openings, so that facts of another part are known
	run        Run
	runs       int // counts them, so that a late result finds no other run
	cache      cache
	ideas      Ideas
	track      track
	fits       map[string]*Fit // by zone
	growth     *Growth         // nil: not asked for
	aside      *aside          // nil: nothing lies aside

	autosavePath    string // of this window's file; "": nothing is kept
	autosaveLock    *filelock.Lock
	autosavedAt     time.Time
	autosavePending bool
	autosavedSetup  *job.Setup
}

// New returns a session with nothing open. post is the one door to the event
// loop: it must run each function there, in order.
func New(post func(func())) *Session {
	s := &Session{post: post}
	s.facting.Work, s.facting.Patience, s.facting.Rest = s.findFacts, factPatience, factRest
	s.facting.Urgent = func(r factRequest) bool { return !r.dragged }
	s.estimating.Work = s.findEstimate
	return s
}

// Listen calls f on the event loop after every change.
func (s *Session) Listen(f func()) { s.listeners = append(s.listeners, f) }

func (s *Session) changed() {
	for _, f := range s.listeners {
		f()
	}
}

// Setup returns the setup to show: that of a drag under way, else the present
// one; nil when nothing is open.
func (s *Session) Setup() *job.Setup {
	if s.preview != nil {
		return s.preview
	}
	if s.history == nil {
		return nil
	}
	return s.history.Now()
}

// Path returns the job file's path, "" where there is none yet.
func (s *Session) Path() string { return s.path }

// Holds reports whether what is open is that file: the job, or the part of a job
// that has no file yet.
func (s *Session) Holds(file string) bool {
	if s.history == nil {
		return false
	}
	own := s.path
	if own == "" {
		own = s.Setup().PartPath()
	}
	a, err := filepath.Abs(own)
	b, err2 := filepath.Abs(file)
	return err == nil && err2 == nil && a == b
}

// Name returns what the window is called after: the job's or part's file name
// without its ending.
func (s *Session) Name() string {
	if s.history == nil {
		return ""
	}
	name := s.path
	if name == "" {
		name = s.Setup().Part.File
	}
	name = filepath.Base(name)
	return strings.TrimSuffix(name, filepath.Ext(name))
}

// Unsaved reports whether closing would lose a change.
func (s *Session) Unsaved() bool {
	if s.aside != nil {
		return s.aside.unsaved()
	}
	return s.history != nil && s.history.Now() != s.saved
}

// Open opens a job (.json) or a part with everything else by default. The
// session is unchanged where it fails.
func (s *Session) Open(path string) error {
	setup, err := s.load(path)
	if err != nil {
		return err
	}
	jobPath := ""
	if isJob(path) {
		jobPath = path
	}
	s.begin(setup, jobPath, setup) // opening a part alone leaves nothing to lose
	return nil
}

// begin makes a setup the session's, with no history yet.
func (s *Session) begin(setup *job.Setup, path string, saved *job.Setup) {
	s.Cancel()
	s.history = NewHistory(setup)
	s.preview, s.part = nil, 0
	s.path, s.saved = path, saved
	s.facts = nil
	s.opened++
	s.DropIdeas()
	s.dropFits()
	s.DropGrowth()
	s.run = Run{done: s.run.done}
	s.estimate = Estimate{}
	s.findEarlier(setup, s.OutDir(), s.opened)
	s.refresh()
}

func isJob(path string) bool { return strings.EqualFold(filepath.Ext(path), ".json") }

// UseMachine sets the machine of parts that are opened from now on: a built-in
// card's name or a card's file.
func (s *Session) UseMachine(ref string) { s.machine = ref }

// UseMaterial sets the material of parts that are opened from now on; nil: a new
// job's own.
func (s *Session) UseMaterial(m *job.Material) { s.material = m }

// UsePrintSettings sets those of parts that are opened from now on; nil: a new job's
// own.
func (s *Session) UsePrintSettings(p *job.PrintSettings) { s.print = p }

// firstMachine is the machine of a part while nobody has chosen another.
const firstMachine = "swivel-45"

// newJob makes a job of a part with the machine in use, whose card the job
// holds. A card that can't be read any more is no reason not to open the part.
func (s *Session) newJob(part string) (*job.Setup, error) {
	if s.machine == "" || s.machine == firstMachine {
		return job.New(part, firstMachine)
	}
	setup, err := job.New(part, s.machine)
	if err != nil {
		return job.New(part, firstMachine)
	}
	if _, builtin := machine.Builtin(s.machine); !builtin {
		setup = setup.Clone()
		setup.Machine.Ref = ""
	}
	return setup, nil
}

func (s *Session) load(path string) (*job.Setup, error) {
	if isJob(path) {
		return job.Load(path)
	}
	return s.newPart(path)
}

// newPart makes a job of a part's file with everything else by default.
func (s *Session) newPart(path string) (*job.Setup, error) {
	path, err := filepath.Abs(path)
	if err == nil {
		_, err = os.Stat(path)
	}
	if err != nil {
		return nil, message.Errorf("the part can't be opened, check its path: %w", err)
	}
	setup, err := s.newJob(path)
	if err != nil {
		return nil, err
	}
	if s.material != nil {
		setup = ifItChecks(setup, func(next *job.Setup) { next.Material = *s.material })
	}
	setup = withFittingField(setup)
	if s.print != nil { // after the field: a steep one asks for wide beads
		setup = ifItChecks(setup, func(next *job.Setup) { next.TakePrintSettings(*s.print) })
	}
	return setup, nil
}

// ifItChecks returns a setup changed, or unchanged where that makes no sense.
func ifItChecks(s *job.Setup, change func(*job.Setup)) *job.Setup {
	next := s.Clone()
	if change(next); next.Check() != nil {
		return s
	}
	return next
}

// withFittingField gives the only zone of a new job a field that the head is
// square on: a head that is tilted for good wants a cone of its tilt.
func withFittingField(s *job.Setup) *job.Setup {
	head := s.Machine.Card.Head
	if head.Tilt <= head.OffSquare {
		return s
	}
	axis := *s.Part.Seat
	return ifItChecks(s, func(next *job.Setup) {
		next.Zones.Field = &job.Field{Kind: job.KindCone, Grow: job.GrowOutward, Angle: head.Tilt, Axis: &axis}
	})
}

// Do changes the setup by one step of the history, named for the undo menu. Of
// several parts Part and Zones are the chosen one's. A change that makes no sense is
// refused and the setup stays.
func (s *Session) Do(name string, change func(*job.Setup)) error {
	return s.doAll(name, func(next *job.Setup) { next.ChangePart(s.Part(), change) })
}

// doAll is Do for changes of the list of parts.
func (s *Session) doAll(name string, change func(*job.Setup)) error {
	if s.history == nil {
		return nil
	}
	next := s.history.Now().Clone()
	change(next)
	if err := next.Check(); err != nil {
		return err
	}
	s.preview = nil
	s.history.Do(next, name)
	s.refresh()
	return nil
}

// Preview shows a changed setup without a step in the history, while a drag
// lasts. Each call starts from the history's setup again.
func (s *Session) Preview(change func(*job.Setup)) {
	if s.history == nil {
		return
	}
	next := s.history.Now().Clone()
	next.ChangePart(s.Part(), change)
	if next.Check() != nil {
		return
	}
	s.preview = next
	s.refresh()
}

// EndPreview makes what was last previewed a step of the history.
func (s *Session) EndPreview(name string) {
	if s.preview == nil {
		return
	}
	s.history.Do(s.preview, name)
	s.preview = nil
	s.refresh()
}

// DropPreview goes back to the history's setup.
func (s *Session) DropPreview() {
	if s.preview != nil {
		s.preview = nil
		s.refresh()
	}
}

// Undo takes the last step back.
func (s *Session) Undo() {
	if s.history != nil && s.history.Undo() {
		s.preview = nil
		s.refresh()
	}
}

// Redo takes an undone step again.
func (s *Session) Redo() {
	if s.history != nil && s.history.Redo() {
		s.preview = nil
		s.refresh()
	}
}

// UndoName and RedoName name the steps for the menu, "" for none.
func (s *Session) UndoName() string {
	if s.history == nil {
		return ""
	}
	return s.history.UndoName()
}

// RedoName names the step that Redo would take again.
func (s *Session) RedoName() string {
	if s.history == nil {
		return ""
	}
	return s.history.RedoName()
}

// refresh asks for the facts of the present setup and tells the listeners.
func (s *Session) refresh() {
	if setup := s.Setup(); setup != nil {
		s.estimating.stopFor(setup)
		s.facting.Ask(factRequest{setup, s.opened, s.preview != nil})
	}
	s.changed()
}

// ReadAgain works out anew what follows from the setup: its part's file was
// changed.
func (s *Session) ReadAgain() { s.refresh() }

// Close ends work in the background.
func (s *Session) Close() {
	s.Cancel()
	s.DropIdeas()
	s.dropFits()
	s.DropGrowth()
	s.facting.Stop()
	s.estimating.end()
	s.letGo()
}
