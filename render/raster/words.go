package raster

import (
	"image"
	"math"

	"conewright/render/drawing"
	"conewright/render/lettering"

	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// placedWord is a bitmap of words with its upper left pixel.
type placedWord struct {
	x, y     int
	bitmap   *image.Alpha
	accent   bool
	strength float32
}

// place draws or finds the bitmap of a text and notes where it goes.
func (p *Painter) place(t *drawing.Text, o Options, faint float32) {
	size := t.Size * o.Scale
	if t.Words == "" || !(size > 1 && size < 500) {
		return
	}
	word := p.letters.get(t.Words, size, t.Turned, o.Fonts)
	back := float64(word.width) * [...]float64{0, 0.5, 1}[t.Anchor]
	x, y := t.At.X*o.Scale, t.At.Y*o.Scale
	if t.Turned {
		y += back
	} else {
		x -= back
	}
	placed := placedWord{
		x: int(math.Round(x)) + word.left, y: int(math.Round(y)) + word.top,
		bitmap: word.bitmap, accent: t.Tone == drawing.Accent, strength: 1,
	}
	if t.Tone == drawing.Faint {
		placed.strength = faint
	}
	p.words = append(p.words, placed)
	if t.Halo {
		margin := int(math.Ceil(size / 8))
		p.erasures = append(p.erasures, erasure{rect: word.bitmap.Rect.Add(image.Pt(placed.x, placed.y)).Inset(-margin)})
	}
}

func (p *Painter) letter(w *placedWord, y0, y1 int) {
	mask := p.mask(w.accent)
	b := w.bitmap
	for j := max(w.y, y0); j < min(w.y+b.Rect.Dy(), y1); j++ {
		from := b.Pix[(j-w.y)*b.Stride:]
		for i := max(w.x, 0); i < min(w.x+b.Rect.Dx(), p.width); i++ {
			if c := uint8(float32(from[i-w.x]) * w.strength); c > mask[j*p.width+i] {
				mask[j*p.width+i] = c
			}
		}
	}
}

// word is a bitmap with its place relative to the start of the baseline.
type word struct {
	bitmap    *image.Alpha
	left, top int
	width     float64 // pixels that the words run
}

type wordKey struct {
	words  string
	size   float64
	turned bool
}

// wordCache keeps bitmaps; figures change while something is dragged, so it is
// emptied when it has grown.
type wordCache struct {
	words map[wordKey]*word
	faces map[faceKey]font.Face
	fonts []*sfnt.Font
}

type faceKey struct {
	font *sfnt.Font
	size float64
}

const mostWords = 512

func (c *wordCache) get(words string, size float64, turned bool, fonts []*sfnt.Font) *word {
	if c.words == nil || len(c.words) > mostWords || !sameFonts(c.fonts, fonts) {
		c.words, c.faces = map[wordKey]*word{}, map[faceKey]font.Face{}
		c.fonts = append([]*sfnt.Font(nil), fonts...)
	}
	key := wordKey{words, size, turned}
	w := c.words[key]
	if w == nil {
		w = c.set(words, size)
		if turned {
			w = w.turn()
		}
		c.words[key] = w
	}
	return w
}

func sameFonts(a, b []*sfnt.Font) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

// set draws words on a baseline.
func (c *wordCache) set(words string, size float64) *word {
	ascent, descent := int(math.Ceil(size)), int(math.Ceil(size*0.35))
	run := c.run(words, size)
	margin := int(math.Ceil(size / 4)) // for letters that reach beyond their width
	bitmap := image.NewAlpha(image.Rect(0, 0, run.Ceil()+2*margin, ascent+descent))
	drawer := font.Drawer{Dst: bitmap, Src: image.Opaque, Dot: fixed.P(margin, ascent)}
	for _, r := range words {
		drawer.Face = c.face(r, size)
		drawer.DrawString(string(r))
	}
	trimmed := trim(bitmap)
	return &word{
		bitmap: compact(bitmap, trimmed),
		left:   trimmed.Min.X - margin, top: trimmed.Min.Y - ascent,
		width: float64(run) / 64,
	}
}

func (c *wordCache) run(words string, size float64) fixed.Int26_6 {
	var run fixed.Int26_6
	for _, r := range words {
		a, _ := c.face(r, size).GlyphAdvance(r)
		run += a
	}
	return run
}

// face returns the first font that has the letter, at the given size.
func (c *wordCache) face(r rune, size float64) font.Face {
	chosen := lettering.Regular()
	var buffer sfnt.Buffer
	for _, f := range c.fonts {
		if i, err := f.GlyphIndex(&buffer, r); err == nil && i != 0 {
			chosen = f
			break
		}
	}
	key := faceKey{chosen, size}
	face := c.faces[key]
	if face == nil {
		face, _ = opentype.NewFace(chosen, &opentype.FaceOptions{Size: size, DPI: 72}) // never fails
		c.faces[key] = face
	}
	return face
}

// trim returns the part of a bitmap that isn't empty.
func trim(b *image.Alpha) image.Rectangle {
	var used image.Rectangle
	for y := range b.Rect.Dy() {
		for x := range b.Rect.Dx() {
			if b.Pix[y*b.Stride+x] > 0 {
				used = used.Union(image.Rect(x, y, x+1, y+1))
			}
		}
	}
	return used
}

func compact(b *image.Alpha, r image.Rectangle) *image.Alpha {
	to := image.NewAlpha(image.Rect(0, 0, r.Dx(), r.Dy()))
	for y := range r.Dy() {
		copy(to.Pix[y*to.Stride:(y+1)*to.Stride], b.Pix[(r.Min.Y+y)*b.Stride+r.Min.X:])
	}
	return to
}

// turn returns the word a quarter turn counter-clockwise: what ran right runs
// up.
func (w *word) turn() *word {
	dx, dy := w.bitmap.Rect.Dx(), w.bitmap.Rect.Dy()
	to := image.NewAlpha(image.Rect(0, 0, dy, dx))
	for y := range dy {
		for x := range dx {
			to.Pix[(dx-1-x)*to.Stride+y] = w.bitmap.Pix[y*w.bitmap.Stride+x]
		}
	}
	return &word{bitmap: to, left: w.top, top: -(w.left + dx), width: w.width}
}
