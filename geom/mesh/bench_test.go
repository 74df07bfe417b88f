package mesh

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"testing"
)

// A million facets, as the acceptance asks: read and welded in a second.
func BenchmarkReadAndWeldMillion(b *testing.B) {
	path := filepath.Join(b.TempDir(), "torus.stl")
	if err := os.WriteFile(path, stlBytes(torus(40, 15, 1000, 500), ""), 0o600); err != nil {
		b.Fatal(err)
	}
	b.ResetTimer()
	for b.Loop() {
		m, _, err := ReadFile(context.Background(), path, ReadOptions{})
		if err != nil || len(m.Facets) != 1_000_000 || len(m.Vertices) > 510_000 {
			b.Fatal(err)
		}
	}
}

func BenchmarkReadTextHundredThousand(b *testing.B) {
	text := stlAsText(torus(40, 15, 250, 200))
	for b.Loop() {
		if _, _, err := Read(context.Background(), bytes.NewReader(text), int64(len(text)), "a.stl", ReadOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkMendMillion(b *testing.B) {
	m := torus(40, 15, 1000, 500)
	for b.Loop() {
		if _, did := m.Mend(); did.Any() {
			b.Fatal(did)
		}
	}
}

func BenchmarkCheckMillion(b *testing.B) {
	m := torus(40, 15, 1000, 500)
	for b.Loop() {
		if h := m.Check(); !h.Sound() {
			b.Fatal(h)
		}
	}
}

func BenchmarkAdjacentMillion(b *testing.B) {
	m := torus(40, 15, 1000, 500)
	for b.Loop() {
		m.Adjacent()
	}
}

func BenchmarkWriteMillion(b *testing.B) {
	m := torus(40, 15, 1000, 500)
	var buf bytes.Buffer
	for b.Loop() {
		buf.Reset()
		if err := WriteSTL(&buf, m); err != nil {
			b.Fatal(err)
		}
	}
}
