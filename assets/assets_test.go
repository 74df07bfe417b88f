package assets_test

import (
	"bytes"
	"context"
	"encoding/xml"
	"flag"
	"image"
	"image/png"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"conewright/assets"
	"conewright/assets/generate"
	"conewright/geom/job"
	"conewright/geom/mesh"
)

var update = flag.Bool("update", false, "write the files instead of comparing them")

func TestGenerate(t *testing.T) {
	parts, err := generate.Parts()
	if err != nil {
		t.Fatal(err)
	}
	for name, data := range parts {
		compare(t, filepath.Join("parts", name+".stl"), data, bytes.Equal)
	}
	if got := len(assets.Parts()); !*update && got != len(parts) {
		t.Errorf("%d parts in the folder, %d are made", got, len(parts))
	}
	compare(t, "icon.svg", generate.IconSVG(), bytes.Equal)
	icon, err := generate.IconPNG()
	if err != nil {
		t.Fatal(err)
	}
	compare(t, "icon.png", icon, samePicture) // how PNG is packed may change with Go
}

func compare(t *testing.T, path string, want []byte, same func(a, b []byte) bool) {
	t.Helper()
	if *update {
		if err := os.WriteFile(path, want, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	got, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !same(got, want) {
		t.Errorf("%s is not what the code makes: run go generate ./assets", path)
	}
}

// samePicture allows for the last bit of antialiasing.
func samePicture(a, b []byte) bool {
	p, err := png.Decode(bytes.NewReader(a))
	q, err2 := png.Decode(bytes.NewReader(b))
	if err != nil || err2 != nil || p.Bounds() != q.Bounds() || p.Bounds() != image.Rect(0, 0, 512, 512) {
		return false
	}
	for y := range 512 {
		for x := range 512 {
			r, g, bl, al := p.At(x, y).RGBA()
			R, G, B, A := q.At(x, y).RGBA()
			for _, d := range [4]int{int(r) - int(R), int(g) - int(G), int(bl) - int(B), int(al) - int(A)} {
				if d > 4*257 || d < -4*257 {
					return false
				}
			}
		}
	}
	return true
}

func TestPartsAreSoundSmallAndPrintable(t *testing.T) {
	for _, name := range assets.Parts() {
		data, err := assets.Files.ReadFile("parts/" + name + ".stl")
		if err != nil {
			t.Fatal(err)
		}
		if len(data) > 600_000 {
			t.Errorf("%s: %d bytes", name, len(data))
		}
		m, _, err := mesh.Read(t.Context(), bytes.NewReader(data), int64(len(data)), name+".stl", mesh.ReadOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if h := m.Check(); !h.Sound() || h.Bodies != 1 {
			t.Errorf("%s: %v", name, h)
		}
		if m.Volume() <= 0 {
			t.Errorf("%s encloses %v mm3", name, m.Volume())
		}
		b := m.Bounds()
		for _, d := range [3]float64{b.Max.X - b.Min.X, b.Max.Y - b.Min.Y, b.Max.Z - b.Min.Z} {
			if d > 62 {
				t.Errorf("%s: %v mm", name, d)
			}
		}
		if b.Min.Z != 0 || b.Max.Z < 20 {
			t.Errorf("%s stands from %v to %v", name, b.Min.Z, b.Max.Z)
		}
	}
}

func TestUnpackedJobsCanBeLoaded(t *testing.T) {
	dir := t.TempDir()
	if len(assets.Jobs()) < len(assets.Parts()) {
		t.Error("a part without a job")
	}
	for _, name := range assets.Jobs() {
		path, err := assets.Unpack(dir, name)
		if err != nil {
			t.Fatal(err)
		}
		s, err := job.Load(path)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		m, err := job.ReadModel(context.Background(), s)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if _, err := job.Divide(context.Background(), s, m); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := assets.Unpack(dir, "crane"); err == nil || !strings.Contains(err.Error(), assets.DemoJob) {
		t.Errorf("got %v", err)
	}
}

func TestUnpackMendsChangedFiles(t *testing.T) {
	dir := t.TempDir()
	path, err := assets.Unpack(dir, assets.DemoJob)
	if err != nil {
		t.Fatal(err)
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, want[:20], 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := assets.Unpack(dir, assets.DemoJob); err != nil {
		t.Fatal(err)
	}
	if got, _ := os.ReadFile(path); !bytes.Equal(got, want) {
		t.Error("a spoilt job was left")
	}
}

func TestIconIsWellFormed(t *testing.T) {
	d := xml.NewDecoder(bytes.NewReader(assets.IconSVG))
	for {
		if _, err := d.Token(); err == io.EOF {
			break
		} else if err != nil {
			t.Fatal(err)
		}
	}
}
