//go:build !js

package surface

import (
	_ "embed"
	"strings"
	"sync"
	"unicode"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/text/unicode/norm"

	"urdir/measure"
)

// Andika is a typeface made for people who learn to read (SIL, Open Font
// License, see fonts/OFL.txt).
var (
	//go:embed fonts/Andika-Regular.ttf
	regularTTF []byte
	//go:embed fonts/Andika-Bold.ttf
	boldTTF []byte
)

// face is a parsed font with the advances met so far. It is shared, so the
// advances are guarded.
type face struct {
	once     sync.Once
	font     *sfnt.Font
	mu       sync.Mutex
	advances map[rune]float64 // in ems
}

var faces [2]face

func faceOf(bold bool) *face {
	f, data := &faces[0], regularTTF
	if bold {
		f, data = &faces[1], boldTTF
	}
	f.once.Do(func() {
		parsed, err := sfnt.Parse(data)
		if err != nil {
			panic("surface: embedded font: " + err.Error()) // built in; a test reads it
		}
		f.font, f.advances = parsed, map[rune]float64{}
	})
	return f
}

// advance is the width of a letter in ems.
func (f *face) advance(r rune) float64 {
	f.mu.Lock()
	defer f.mu.Unlock()
	if a, ok := f.advances[r]; ok {
		return a
	}
	var buf sfnt.Buffer
	em := fixed.Int26_6(f.font.UnitsPerEm())
	i, err := f.font.GlyphIndex(&buf, r)
	a := 0.5
	if err == nil {
		if w, err := f.font.GlyphAdvance(&buf, i, em, font.HintingNone); err == nil {
			a = float64(w) / float64(em)
		}
	}
	f.advances[r] = a
	return a
}

// HasGlyph reports whether the typeface has a letter.
func HasGlyph(r rune) bool {
	var buf sfnt.Buffer
	i, err := faceOf(false).font.GlyphIndex(&buf, r)
	return err == nil && i != 0
}

// clean composes accents, takes out what is not printed, and puts a mark where
// the typeface has no letter, so that every surface writes the same.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r >= ' ' && r < 0x7f:
			return r
		case unicode.IsControl(r):
			return ' '
		case unicode.Is(unicode.Cf, r):
			return -1
		case r > 0xffff || !HasGlyph(r): // PDF fonts as written here end at 0xffff
			return '\ufffd'
		}
		return r
	}, composed(s))
}

// advance is the width of a letter in ems.
func advance(r rune, bold bool) float64 { return faceOf(bold).advance(r) }

// composed is a text whose accents are one with their letters.
func composed(s string) string { return norm.NFC.String(s) }

// letters is what a PNG keeps of the letters it has drawn.
type letters struct {
	buf    sfnt.Buffer
	glyphs map[glyph]sfnt.Segments
}

type glyph struct {
	r    rune
	bold bool
}

// ppem is the size at which outlines are kept; they are scaled from it.
const ppem = 1000

// Text fills the outlines of letters.
func (p *PNG) Text(x, y measure.MM, s string, f Font) {
	s = clean(s)
	x, y = origin(x, y, s, f)
	fc := faceOf(f.Bold)
	em := float64(f.Size) / ppem / 64
	var polys [][]point
	pen := 0.0
	for _, r := range s {
		place := func(q fixed.Point26_6) point {
			dx, dy := pen+float64(q.X)*em, float64(q.Y)*em
			if f.Up {
				return point{float64(x) + dy, float64(y) - dx}
			}
			return point{float64(x) + dx, float64(y) + dy}
		}
		polys = append(polys, outlineOf(p.glyph(fc, glyph{r, f.Bold}), place, 0.1/p.scale)...)
		pen += fc.advance(r) * float64(f.Size)
	}
	p.fill(polys, f.Colour)
}

// glyph is the outline of a letter, read from the font once.
func (p *PNG) glyph(fc *face, g glyph) sfnt.Segments {
	if segs, ok := p.letters.glyphs[g]; ok {
		return segs
	}
	var out sfnt.Segments
	if i, err := fc.font.GlyphIndex(&p.letters.buf, g.r); err == nil {
		if segs, err := fc.font.LoadGlyph(&p.letters.buf, i, fixed.I(ppem), nil); err == nil {
			out = append(out, segs...) // the buffer is used again
		}
	}
	if p.letters.glyphs == nil {
		p.letters.glyphs = map[glyph]sfnt.Segments{}
	}
	p.letters.glyphs[g] = out
	return out
}

// outlineOf flattens a glyph.
func outlineOf(segs sfnt.Segments, place func(fixed.Point26_6) point, fine float64) [][]point {
	var polys [][]point
	for _, s := range segs {
		last := len(polys) - 1
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			polys = append(polys, []point{place(s.Args[0])})
		case sfnt.SegmentOpLineTo:
			polys[last] = append(polys[last], place(s.Args[0]))
		case sfnt.SegmentOpQuadTo:
			a := polys[last][len(polys[last])-1]
			b, c := place(s.Args[0]), place(s.Args[1])
			polys[last] = curve(polys[last], a, a.to(b, 2.0/3), c.to(b, 2.0/3), c, fine)
		case sfnt.SegmentOpCubeTo:
			a := polys[last][len(polys[last])-1]
			polys[last] = curve(polys[last], a, place(s.Args[0]), place(s.Args[1]), place(s.Args[2]), fine)
		}
	}
	return polys
}
