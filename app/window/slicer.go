package window

import (
	"path/filepath"
	"slices"
	"time"

	"conewright/app/session"
	"conewright/geom/job"
	"conewright/i18n"
)

// ownSlicer is the second way to motion: warped meshes go out to the user's own
// slicer, motion files come back. It looks into the folder while one of its
// pages is open.
type ownSlicer struct {
	w       *Window
	on      bool
	wanted  bool // the meshes shall be written as soon as they are known
	writing bool
	written *job.Setup // whose meshes lie in the folder; nil: nobody's yet

	armed   bool             // a look into the folder is due
	growing map[string]stamp // as last seen, to tell a file that is still written
	seen    map[string]stamp // looked at already
	strays  []string         // files that don't tell their zone
	taken   time.Time        // when the last one was
}

// stamp tells states of a file apart.
type stamp struct {
	size int64
	time time.Time
}

// watchEvery is how often the folder is looked into: soon enough for one who
// comes back from the slicer, and a file that is still written is told by it.
const watchEvery = time.Second

func newOwnSlicer(w *Window) *ownSlicer {
	o := &ownSlicer{w: w}
	o.reset()
	return o
}

// reset forgets all, for another part.
func (o *ownSlicer) reset() {
	o.on, o.wanted, o.written, o.strays, o.taken = false, false, nil, nil, time.Time{}
	o.growing, o.seen = map[string]stamp{}, map[string]stamp{}
}

// write writes the warped meshes, now or as soon as they are known.
func (o *ownSlicer) write() {
	o.on, o.wanted = true, true
	o.w.refresh()
}

// current reports whether the meshes in the folder are those of the setup.
func (o *ownSlicer) current() bool {
	s := o.w.session.Setup()
	return s != nil && (o.written == s || o.w.session.Run().Current(s))
}

// refresh goes on with what is due: the meshes, the next look into the folder.
func (o *ownSlicer) refresh() {
	run := o.w.session.Run()
	if !o.on || o.w.session.Setup() == nil || run.Active {
		return
	}
	if o.wanted && !o.writing && o.w.session.Judged() {
		o.wanted, o.writing = false, true
		o.w.session.WriteWarped(o.w.session.OutDir(), o.wrote)
	}
	open := o.w.route.open
	if open != nil && (open.key == "warped" || open.key == "motion") && o.current() {
		o.arm()
	}
}

func (o *ownSlicer) wrote(s *job.Setup, err error) {
	o.writing = false
	if err != nil {
		o.w.complain(err)
	} else {
		o.written = s
	}
	o.w.refresh()
}

// arm looks into the folder in a moment, off the event loop, once.
func (o *ownSlicer) arm() {
	setups := o.w.session.SlicerSetups()
	if o.armed || setups == nil {
		return
	}
	o.armed = true
	out, opened := o.w.session.OutDir(), o.written
	time.AfterFunc(watchEvery, func() {
		found := session.FindMotion(out, setups)
		o.w.post(func() {
			o.armed = false
			if o.on && o.written == opened {
				o.look(found)
			}
			o.refresh()
		})
	})
}

// look takes what is new in the folder and no longer grows.
func (o *ownSlicer) look(found []session.Brought) {
	var strays []string
	for _, b := range found {
		now := stamp{b.Size, b.Time}
		switch {
		case b.Zone == "":
			strays = append(strays, filepath.Base(b.Path))
		case o.seen[b.Path] == now:
		case o.growing[b.Path] != now:
			o.growing[b.Path] = now
		default:
			o.seen[b.Path] = now
			o.w.motion.takeMotion(b.Zone, b.Path)
		}
	}
	if !slices.Equal(strays, o.strays) {
		o.strays = strays
		o.w.refresh()
	}
}

// zoneFor returns the zone that a file is for by its name, else the one chosen.
func (w *Window) zoneFor(path string) string {
	var names []string
	for _, leaf := range w.session.Setup().Leaves() {
		names = append(names, leaf.Name)
	}
	if zone := session.ZoneOf(path, names); zone != "" {
		return zone
	}
	return w.zones.chosen
}

// zoneCard is what to set for a zone, under its file's name.
type zoneCard struct{ file, text string }

// zoneCards say what to set for each zone in a slicer.
func zoneCards(setups []job.SlicerSetup) []zoneCard {
	var cards []zoneCard
	for _, s := range setups {
		text := i18n.T("warped.zone",
			"height", i18n.Number(s.LayerHeight, 3), "width", i18n.Number(s.LineWidth, 3),
			"nozzletemp", i18n.Number(s.NozzleTemp, 0), "bedtemp", i18n.Number(s.BedTemp, 0),
			"filament", i18n.Number(s.Filament, 2), "nozzle", i18n.Number(s.Nozzle, 2), "speed", i18n.Number(s.Speed, 0))
		height := i18n.T("warped.height", "height", i18n.Number(s.Height, 1))
		if s.TooHigh {
			height = i18n.T("warped.toohigh", "height", i18n.Number(s.Height, 1))
		}
		cards = append(cards, zoneCard{s.File, text + "\n" + height})
	}
	return cards
}

// fitText tells how brought motion fits, as the newest run found.
func (o *ownSlicer) fitText() string {
	run := o.w.session.Run()
	if run.Result == nil || run.Active {
		return ""
	}
	text := ""
	if o.taken.After(run.Begun) {
		text = "\n" + i18n.T("motion.newer")
	}
	refused := map[string]string{}
	for _, f := range run.Result.Log.Findings {
		if f.Code == "register" && refused[f.Zone] == "" {
			refused[f.Zone] = findingText(&f)
		}
	}
	for i := range run.Result.Log.Zones {
		z := &run.Result.Log.Zones[i]
		switch {
		case o.w.fitOf(z.Name) != nil: // its row says it
		case refused[z.Name] != "":
			text += "\n" + i18n.T("fit.refused", "zone", z.Name, "why", refused[z.Name])
		case !z.Planned:
			text += "\n" + i18n.T("fit.found", "zone", z.Name, "x", i18n.Number(z.Register[0], 2),
				"y", i18n.Number(z.Register[1], 2), "z", i18n.Number(z.Register[2], 2), "error", i18n.Number(z.RegisterError, 2))
			if z.OffPart > 0 {
				text += " " + i18n.N("fit.off", z.OffPart)
			}
		}
	}
	if text == "" {
		return ""
	}
	return text[1:]
}
