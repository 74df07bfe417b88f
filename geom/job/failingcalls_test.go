package job

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"conewright/geom/form"
	"conewright/geom/mesh"
	"conewright/geom/runfolder/faultydisk"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/spatial/r3"
)

var everyCall = flag.Bool("everycall", false, "each call of a run fails once, not only one in seven before its files are put in place")

// A whole run is made again and again, and each of its calls to the disk fails once:
// making a folder, creating, writing, closing, opening, moving and removing a file.
// Afterwards the folder holds the whole earlier set or the whole new one, what a
// person put there stays, and the next run does as if nothing had been.
func TestAFailingCallOfARunLeavesAWholeSet(t *testing.T) {
	if testing.Short() {
		t.Skip("some hundred runs")
	}
	dir := t.TempDir()
	part, err := os.Create(filepath.Join(dir, "part.stl"))
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(mesh.WriteSTL(part, form.Box(r3.Vec{}, r3.Vec{X: 4, Y: 4, Z: 0.8})), part.Close()); err != nil {
		t.Fatal(err)
	}
	setup := func(shell float64, zones string) *Setup {
		s, err := Parse([]byte(fmt.Sprintf(`{"conewright":1,"part":{"file":"part.stl"},"machine":"straight","shell":%g,"zones":%s}`, shell, zones)), dir)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	const two = `{"cut":{"point":[0,0,0.4],"normal":[0,0,1]},"under":{"name":"a","field":{"kind":"level"}},"over":{"name":"b","field":{"kind":"level"}}}`
	older, newer := setup(0.2, two), setup(0.4, `{"name":"a","field":{"kind":"level"}}`)
	hot := setup(0.4, `{"name":"a","field":{"kind":"level"}}`)
	hot.Material.NozzleTemp = 299 // a stop by the card below
	card := *hot.Machine.Card
	card.MaxNozzleTemp = 200
	hot.Machine.Card = &card

	work := func(s *Setup, out string, disk *faultydisk.Disk) error {
		r := newRun(s, Options{Out: out, Made: time.Unix(0, 0).UTC()})
		if disk != nil {
			r.disk = disk
		}
		_, err := r.all(context.Background())
		return err
	}
	earlier := filepath.Join(t.TempDir(), "out")
	if err := work(older, earlier, nil); err != nil {
		t.Fatal(err)
	}
	folder := func() (string, map[string]string) {
		out := filepath.Join(t.TempDir(), "out")
		if err := os.CopyFS(out, os.DirFS(earlier)); err != nil {
			t.Fatal(err)
		}
		for _, name := range []string{"mine.txt", "planar/mine.gcode", "warped/mine.stl"} {
			if err := os.WriteFile(filepath.Join(out, filepath.FromSlash(name)), []byte("mine"), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		return out, filesOf(t, out)
	}
	for _, c := range []struct {
		name string
		job  *Setup
		want error
	}{{"done", newer, nil}, {"forbidden", hot, ErrStopped}} {
		t.Run(c.name, func(t *testing.T) {
			out, _ := folder()
			count := &faultydisk.Disk{}
			if err := work(c.job, out, count); !errors.Is(err, c.want) {
				t.Fatal(err)
			}
			after := filesOf(t, out)
			olds, news := 0, 0
			for at := 1; at <= count.Calls; at++ {
				if at%7 != 0 && at < count.Calls-70 && !*everyCall {
					continue // mostly one more piece that is written to the same file
				}
				out, before := folder()
				disk := &faultydisk.Disk{At: at}
				err := work(c.job, out, disk)
				got := filesOf(t, out)
				for name := range got {
					if strings.HasPrefix(name, ".conewright-") { // hidden; the next run removes it
						delete(got, name)
					}
				}
				switch {
				case cmp.Equal(got, before):
					olds++
					if err == nil || errors.Is(err, ErrStopped) {
						t.Errorf("call %d: %v, but the old files", at, err)
					}
				case cmp.Equal(got, after):
					news++
					if !errors.Is(err, c.want) {
						t.Errorf("call %d: %v, but the new files", at, err)
					}
				default:
					t.Errorf("call %d (%v): neither set is whole, of %v", at, err, names(got))
				}
				if at%5 != 0 && !*everyCall {
					continue
				}
				if err := work(c.job, out, nil); !errors.Is(err, c.want) {
					t.Errorf("call %d: the next run: %v", at, err)
				}
				if got := filesOf(t, out); !cmp.Equal(got, after) {
					t.Errorf("call %d: the next run left %v", at, names(got))
				}
			}
			t.Logf("%d calls left the old set, %d the new one", olds, news)
			if olds < 40 || news < 5 {
				t.Errorf("%d calls left the old set and %d the new one: too few were tried", olds, news)
			}
		})
	}
}

var anyNumber = regexp.MustCompile(`[0-9.]+`)

// filesOf reads all files below a folder, without the seconds that a log tells.
func filesOf(t *testing.T, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		name, relErr := filepath.Rel(dir, path)
		text := string(data)
		switch name {
		case LogName:
			text, _, _ = strings.Cut(text, `"stages"`)
		case PageName:
			text = anyNumber.ReplaceAllString(text, "0")
		}
		all[filepath.ToSlash(name)] = text
		return errors.Join(err, relErr)
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func names(files map[string]string) (list []string) {
	for name := range files {
		list = append(list, name)
	}
	return list
}
