package i18n

import "testing"

// Choosing a language belongs to the start of the program.
func BenchmarkUse(b *testing.B) {
	defer Use("en")
	for b.Loop() {
		if err := Use("pl"); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPhrase(b *testing.B) {
	defer Use("en")
	if err := Use("pl"); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		Phrase("part.stl: facet 7 (line 51): a coordinate is not a finite number; repair the part where it was drawn, check its unit, and export it again")
	}
}
