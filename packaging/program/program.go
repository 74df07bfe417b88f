// Package program runs the built program for checks from outside.
package program

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"sync"
	"testing"
	"time"
)

var file = flag.String("program", "", "the built program; without it, it is built here")

var build = sync.OnceValues(func() (string, error) {
	if *file != "" {
		return filepath.Abs(*file)
	}
	dir, err := os.MkdirTemp("", "conewright-checks")
	if err != nil {
		return "", err
	}
	name := filepath.Join(dir, "conewright")
	if runtime.GOOS == "windows" {
		name += ".exe"
	}
	cmd := exec.Command("go", "build", "-o", name, "conewright/app")
	if out, err := cmd.CombinedOutput(); err != nil {
		return "", errors.Join(err, errors.New(string(out)))
	}
	return name, nil
})

// Path is the built program.
func Path(t testing.TB) string {
	t.Helper()
	p, err := build()
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Outcome is what a call of the program came to.
type Outcome struct {
	Status         int // -1: killed
	Stdout, Stderr string
	Took           time.Duration
}

// longest is how long a call may take before it is ended.
const longest = 5 * time.Minute

// Call runs the program with arguments and waits for its end.
func Call(t testing.TB, args ...string) Outcome {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), longest)
	defer cancel()
	cmd := exec.CommandContext(ctx, Path(t), args...)
	var out, errs bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &errs
	began := time.Now()
	err := cmd.Run()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	return Outcome{cmd.ProcessState.ExitCode(), out.String(), errs.String(), time.Since(began)}
}
