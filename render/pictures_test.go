package render_test

import (
	"flag"
	"maps"
	"os"
	"path/filepath"
	"testing"

	"conewright/render"
	"conewright/render/drawing"
	"conewright/render/output"
	"conewright/render/raster"

	"gonum.org/v1/gonum/spatial/r2"
)

var pictures = flag.String("pictures", "", "folder to write pictures of all scenes to")

// TestPictures writes what a window would show, to be looked at.
func TestPictures(t *testing.T) {
	if *pictures == "" {
		t.Skip("no folder asked for by -pictures")
	}
	all := scenes()
	maps.Copy(all, looks())
	for name, in := range all {
		writePrint(t, name, in)
		for _, v := range []struct {
			name    string
			w, h, k float64
			palette drawing.Palette
		}{
			{"1280-light", 968, 718, 1, drawing.Light},
			{"1920-light", 1608, 998, 1, drawing.Light},
			{"1280-dark", 968, 718, 1, drawing.Dark},
			{"double-light", 968, 718, 2, drawing.Light},
		} {
			const scale = 96 / 25.4
			in.Options.Size = r2.Vec{X: v.w / scale, Y: v.h / scale}
			f, err := os.Create(filepath.Join(*pictures, name+"-"+v.name+".png"))
			if err != nil {
				t.Fatal(err)
			}
			if err := raster.PNG(f, render.Sheet(in), raster.Options{Scale: scale * v.k, Palette: v.palette}); err != nil {
				t.Fatal(err)
			}
			f.Close()
		}
	}
}

// writePrint writes the scene as SVG and PDF.
func writePrint(t *testing.T, name string, in render.Input) {
	t.Helper()
	d := render.Sheet(in)
	for ending, write := range map[string]func(*os.File) error{
		".svg": func(f *os.File) error { return output.SVG(f, d, output.Options{}) },
		".pdf": func(f *os.File) error { return output.PDF(f, output.Options{Title: name}, d) },
	} {
		f, err := os.Create(filepath.Join(*pictures, name+ending))
		if err != nil {
			t.Fatal(err)
		}
		if err := write(f); err != nil {
			t.Fatal(err)
		}
		if err := f.Close(); err != nil {
			t.Fatal(err)
		}
	}
}
