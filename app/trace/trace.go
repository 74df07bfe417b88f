// Package trace writes a line of JSON for each frame that the sheet draws, so
// that its speed can be measured from outside.
package trace

import (
	"encoding/json"
	"os"
	"sync"
	"time"
)

// Why a frame was drawn.
const (
	Drag  = "drag"
	Orbit = "orbit"
	Zoom  = "zoom"
	Time  = "time"
	Other = "other"
)

// Log writes to a trace file. A nil Log writes nothing. It is safe for use by
// several goroutines.
type Log struct {
	mu    sync.Mutex
	file  *os.File
	begun time.Time
	ready bool
}

// Open starts a trace file, replacing one of that name.
func Open(path string, begun time.Time) (*Log, error) {
	f, err := os.Create(path)
	if err != nil {
		return nil, err
	}
	return &Log{file: f, begun: begun}, nil
}

type frame struct {
	T        float64 `json:"t"`  // seconds since the start
	Ms       float64 `json:"ms"` // from the newest input to the picture
	Why      string  `json:"why"`
	Segments int     `json:"segments"`
	Coarse   bool    `json:"coarse,omitempty"` // fewer shells than when it rests
}

type ready struct {
	T       float64  `json:"t"`
	Ready   bool     `json:"ready"`
	Handles []Handle `json:"handles,omitempty"`
}

// Handle is something that can be dragged in the window, so that a test from
// outside finds it.
type Handle struct {
	View  string  `json:"view"`
	Item  string  `json:"item"` // axis | cut | tilt | midair | finding | title | view, whose middle is meant
	Index int     `json:"index"`
	X     int     `json:"x"` // pixels of the window
	Y     int     `json:"y"`
	Scale float64 `json:"scale"` // pixels a mm
}

// Frame notes a frame whose newest input came at the given time.
func (l *Log) Frame(input time.Time, why string, segments int, coarse bool) {
	if l == nil {
		return
	}
	now := time.Now()
	l.write(frame{now.Sub(l.begun).Seconds(), float64(now.Sub(input).Microseconds()) / 1000, why, segments, coarse})
}

type hover struct {
	T      float64 `json:"t"`
	Hover  string  `json:"hover"`  // a Handle's Item; "": nothing to take hold of
	Cursor string  `json:"cursor"` // arrow | crosshair | up-down | left-right | hand
}

// Hover notes what has come under the pointer, and the pointer's shape.
func (l *Log) Hover(item, cursor string) {
	if l != nil {
		l.write(hover{time.Since(l.begun).Seconds(), item, cursor})
	}
}

// Ready notes, once, that the window can be used, and what can be dragged in it
// then.
func (l *Log) Ready(handles func() []Handle) {
	if l == nil {
		return
	}
	l.mu.Lock()
	said := l.ready
	l.ready = true
	l.mu.Unlock()
	if said {
		return
	}
	l.write(ready{time.Since(l.begun).Seconds(), true, handles()})
}

func (l *Log) write(line any) {
	data, err := json.Marshal(line)
	if err != nil {
		return // plain numbers always marshal
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	_, _ = l.file.Write(append(data, '\n')) // a full disk must not stop the window
}

// Close ends the trace.
func (l *Log) Close() error {
	if l == nil {
		return nil
	}
	return l.file.Close()
}
