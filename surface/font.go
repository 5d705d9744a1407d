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
	}, norm.NFC.String(s))
}

// TextWidth is how wide a text is, on every surface.
func TextWidth(s string, f Font) measure.MM {
	w := 0.0
	fc := faceOf(f.Bold)
	for _, r := range clean(s) {
		w += fc.advance(r)
	}
	return measure.MM(w) * f.Size
}

// Wrap breaks a text into lines no wider than width. A word that is wider
// stands alone on its line.
func Wrap(s string, f Font, width measure.MM) []string {
	var lines []string
	line := ""
	for word := range strings.FieldsSeq(s) {
		next := word
		if line != "" {
			next = line + " " + word
		}
		if line != "" && TextWidth(next, f) > width {
			lines = append(lines, line)
			next = word
		}
		line = next
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// Shorten cuts a text and ends it with an ellipsis where it is wider than width.
func Shorten(s string, f Font, width measure.MM) string {
	if TextWidth(s, f) <= width {
		return s
	}
	letters := []rune(norm.NFC.String(s))
	for len(letters) > 0 {
		letters = letters[:len(letters)-1]
		cut := strings.TrimRight(string(letters), " ") + "…"
		if TextWidth(cut, f) <= width {
			return cut
		}
	}
	return ""
}

// Fit makes a font smaller until a text is no wider than width, down to half
// its size.
func Fit(s string, f Font, width measure.MM) Font {
	if w := TextWidth(s, f); w > width && w > 0 {
		f.Size = max(f.Size/2, f.Size*width/w)
	}
	return f
}

// origin moves a text's point to its left end.
func origin(x, y measure.MM, s string, f Font) (measure.MM, measure.MM) {
	shift := measure.MM(0)
	switch f.Align {
	case Centre:
		shift = TextWidth(s, f) / 2
	case Right:
		shift = TextWidth(s, f)
	}
	if f.Up {
		return x, y + shift
	}
	return x - shift, y
}
