package window

import (
	"fmt"
	"strconv"
	"time"

	"conewright/app/focus"
	"conewright/app/look"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// player plays a film: a slider over its time, play and stop.
type player struct {
	film    film // zero: there is none
	slider  *widget.Slider
	play    *focus.Button
	stop    *focus.Button
	time    *widget.Label
	view    *fyne.Container
	pace    *choice      // how fast it plays
	within  string       // of paces
	post    func(func()) // the door to the event loop
	playing *time.Timer  // nil: it stands
	round   int          // counts timers
	ticked  time.Time    // when the moment was last moved on
}

// film is what a player plays.
type film struct {
	seconds float64
	at      func(seconds float64) // draws a moment
	leave   func()                // draws none any more
	busy    func() bool           // the last moment is still being drawn
}

// playEvery is how often it moves on: no screen shows more to the eye.
const playEvery = 33 * time.Millisecond

// paces are the choices of how fast it plays: seconds for the whole print, or as fast
// as the machine.
var paces = []string{"10", paceUsual, "160", paceReal}

const (
	paceUsual = "40"
	paceReal  = "real"
)

func paceText(pace string) string {
	if pace == paceReal {
		return i18n.T("time.real")
	}
	return i18n.T("time.within", "seconds", pace)
}

// speed returns how many seconds of printing go by in one second.
func (t *player) speed() float64 {
	within, err := strconv.ParseFloat(t.within, 64)
	if err != nil { // as fast as the machine
		return 1
	}
	return max(t.slider.Max/within, 1)
}

func newPlayer(post func(func())) *player {
	t := &player{post: post, slider: widget.NewSlider(0, 1), time: widget.NewLabel("")}
	t.slider.Step = 0.01
	t.within = paceUsual
	t.pace = newChoice(paces, paceText, func(pace string) { t.within = pace })
	t.pace.show(t.within)
	t.slider.OnChanged = t.seek
	t.play = focus.NewButtonWithIcon(i18n.T("time.play"), theme.MediaPlayIcon(), t.toggle)
	t.stop = focus.NewButtonWithIcon(i18n.T("time.stop"), theme.MediaStopIcon(), t.end)
	t.view = container.NewVBox(fields(caption(i18n.T("time.moment")), t.time, caption(i18n.T("time.pace")), t.pace), container.NewThemeOverride(t.slider, look.Track{}),
		container.NewGridWithColumns(2, t.play, t.stop))
	t.view.Hide()
	return t
}

// load leaves the film there was and takes another; a zero one is none.
func (t *player) load(f film) {
	t.end()
	t.film = f
	if f.at != nil {
		t.slider.Max = max(f.seconds, t.slider.Step)
		t.slider.Refresh()
		t.say(0)
	}
	visible(t.view, f.at != nil)
}

// seek draws a moment, seconds from the start.
func (t *player) seek(at float64) {
	if t.film.at == nil {
		return
	}
	t.say(at)
	t.film.at(at)
}

func (t *player) say(at float64) {
	t.time.SetText(clock(at) + " / " + clock(t.slider.Max))
}

// toggle plays on, or halts.
func (t *player) toggle() {
	if t.playing != nil {
		t.halt()
		return
	}
	if t.film.at == nil {
		return
	}
	if t.slider.Value >= t.slider.Max {
		t.slider.Value = 0
	}
	t.play.SetIcon(theme.MediaPauseIcon())
	t.play.SetText(i18n.T("time.pause"))
	t.ticked = time.Now()
	t.next()
}

func (t *player) halt() {
	if t.playing == nil {
		return
	}
	t.playing.Stop()
	t.playing = nil
	t.play.SetIcon(theme.MediaPlayIcon())
	t.play.SetText(i18n.T("time.play"))
}

// end halts and draws no moment any more.
func (t *player) end() {
	t.halt()
	if t.film.at == nil {
		return
	}
	t.slider.Value = 0
	t.slider.Refresh()
	t.say(0)
	t.film.leave()
}

func (t *player) next() {
	t.round++
	round := t.round
	t.playing = time.AfterFunc(playEvery, func() { t.post(func() { t.tick(round) }) })
}

// tick moves on by the time that went by, unless the last moment is still being
// drawn. A round that was halted since rings in vain.
func (t *player) tick(round int) {
	if t.playing == nil || t.round != round || t.film.at == nil {
		return
	}
	if !t.film.busy() {
		now := time.Now()
		t.slider.Value = min(t.slider.Value+now.Sub(t.ticked).Seconds()*t.speed(), t.slider.Max)
		t.ticked = now
		t.slider.Refresh()
		t.seek(t.slider.Value)
		if t.slider.Value >= t.slider.Max {
			t.halt()
			return
		}
	}
	t.next()
}

// clock writes seconds as hours, minutes and seconds, the same in all languages.
func clock(seconds float64) string {
	s := int(seconds)
	if s >= 3600 {
		return fmt.Sprintf("%d:%02d:%02d", s/3600, s/60%60, s%60)
	}
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}
