package filelock

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"

	"conewright/geom/parallel"
)

func TestALockIsHeldOnce(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lock")
	first, err := Take(path)
	if err != nil {
		t.Fatal(err)
	}
	_, err = Take(path)
	var held *HeldError
	if !errors.As(err, &held) || !strings.Contains(held.Holder, strconv.Itoa(os.Getpid())) {
		t.Fatalf("second: %v, want one that names process %d", err, os.Getpid())
	}
	first.Release()
	if _, err := os.Stat(path); err == nil {
		t.Error("the lock's file is still there")
	}
	again, err := Take(path)
	if err != nil {
		t.Fatal(err)
	}
	again.Release()
}

func TestManyTakersNeverHoldALockTogether(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lock")
	var inside, taken atomic.Int32
	taker := func() {
		for range 200 {
			l, err := Take(path)
			if err != nil {
				continue
			}
			taken.Add(1)
			if inside.Add(1) > 1 {
				t.Error("two hold the lock")
			}
			inside.Add(-1)
			l.Release()
		}
	}
	parallel.Do(slices.Repeat([]func(){taker}, 8)...)
	if taken.Load() == 0 {
		t.Error("nobody got the lock")
	}
}

// A process that is killed leaves its lock's file, but no lock.
func TestAKilledHolderHoldsNothing(t *testing.T) {
	if path := os.Getenv("FILELOCK_TEST"); path != "" {
		if _, err := Take(path); err != nil {
			os.Exit(1)
		}
		p, _ := os.FindProcess(os.Getpid())
		p.Kill()
		select {}
	}
	path := filepath.Join(t.TempDir(), "lock")
	child := exec.Command(os.Args[0], "-test.run", "TestAKilledHolderHoldsNothing")
	child.Env = append(os.Environ(), "FILELOCK_TEST="+path)
	child.Run()
	if _, err := os.Stat(path); err != nil {
		t.Fatal("the child left no file")
	}
	l, err := Take(path)
	if err != nil {
		t.Fatal(err)
	}
	l.Release()
}
