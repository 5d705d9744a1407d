package surface_test

import (
	"encoding/binary"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/text/unicode/norm"

	"urdir/measure"
	"urdir/surface"
)

// letters are those of Spanish and of languages whose spelling has glottal and
// umlaut letters, the signs of sheets, and what stands in for a missing letter.
const letters = "abcdefghijklmnopqrstuvwxyzñáéíóúüABCDEFGHIJKLMNOPQRSTUVWXYZÑÁÉÍÓÚÜ0123456789¿¡«»“”‘’ªº" +
	"äëïöÄËÏÖʼꞌꞋ ×−±≈→←↑↓✓½¼¾≤≥°²³€·–—…%/()#\ufffd"

func TestFont_hasTheLetters(t *testing.T) {
	for _, r := range letters {
		if !surface.HasGlyph(r) {
			t.Errorf("no %q (U+%04X)", r, r)
		}
	}
	if surface.HasGlyph('漢') {
		t.Error("a letter that is not there is said to be")
	}
}

// table reads a table of an OpenType file as the OpenType specification lays it
// out: a directory of 16-byte records from byte 12.
func table(t *testing.T, font []byte, tag string) []byte {
	t.Helper()
	for i := range int(binary.BigEndian.Uint16(font[4:])) {
		rec := font[12+16*i:]
		if string(rec[:4]) == tag {
			off, n := binary.BigEndian.Uint32(rec[8:]), binary.BigEndian.Uint32(rec[12:])
			return font[off : off+n]
		}
	}
	t.Fatalf("no table %s", tag)
	return nil
}

// The width of every letter against the advance table (hmtx) in the font file.
func TestTextWidth_isTheFontsOwn(t *testing.T) {
	for name, bold := range map[string]bool{"fonts/Andika-Regular.ttf": false, "fonts/Andika-Bold.ttf": true} {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		parsed, err := sfnt.Parse(data)
		if err != nil {
			t.Fatal(err)
		}
		unitsPerEm := binary.BigEndian.Uint16(table(t, data, "head")[18:])
		long := int(binary.BigEndian.Uint16(table(t, data, "hhea")[34:])) // numberOfHMetrics
		hmtx := table(t, data, "hmtx")
		total := measure.MM(0)
		for _, r := range letters {
			i, err := parsed.GlyphIndex(nil, r)
			if err != nil {
				t.Fatal(err)
			}
			units := binary.BigEndian.Uint16(hmtx[4*min(int(i), long-1):])
			want := measure.MM(units) / measure.MM(unitsPerEm) * 5
			got := surface.TextWidth(string(r), surface.Font{Size: 5, Bold: bold})
			if math.Abs(float64(got-want)) > 1e-9 {
				t.Errorf("%s: %q is %v mm wide, want %v", name, r, got, want)
			}
			total += want
		}
		if got := surface.TextWidth(letters, surface.Font{Size: 5, Bold: bold}); math.Abs(float64(got-total)) > 1e-6 {
			t.Errorf("%s: all letters are %v mm wide, want the sum %v", name, got, total)
		}
	}
}

func TestTextWidth_composesAccents(t *testing.T) {
	f := surface.Font{Size: 4}
	whole := "ñandú ä ë ï ö"
	apart := norm.NFD.String(whole)
	if apart == whole {
		t.Fatal("the accents are not apart")
	}
	if got, want := surface.TextWidth(apart, f), surface.TextWidth(whole, f); got != want {
		t.Errorf("accents apart: %v, want %v", got, want)
	}
}

func TestWrap(t *testing.T) {
	f := surface.Font{Size: 4}
	const text = "La trama pasa por la calada abierta y se golpea con el machete inconfundiblemente"
	width := measure.MM(30)
	lines := surface.Wrap(text, f, width)
	if got := strings.Join(lines, " "); got != text {
		t.Errorf("words lost: %q", got)
	}
	for i, l := range lines {
		if surface.TextWidth(l, f) > width && strings.Contains(l, " ") {
			t.Errorf("line %q is too wide", l)
		}
		if i > 0 {
			first, _, _ := strings.Cut(l, " ")
			if surface.TextWidth(lines[i-1]+" "+first, f) <= width {
				t.Errorf("%q would have had room after %q", first, lines[i-1])
			}
		}
	}
	if diff := cmp.Diff([]string(nil), surface.Wrap("  ", f, width)); diff != "" {
		t.Error(diff)
	}
}

func TestShortenAndFit(t *testing.T) {
	f := surface.Font{Size: 4}
	const name = "Cooperativa de la ribera"
	w := surface.TextWidth(name, f)
	if got := surface.Shorten(name, f, w); got != name {
		t.Errorf("with room enough: %q", got)
	}
	got := surface.Shorten(name, f, w/2)
	if stem, ok := strings.CutSuffix(got, "…"); !ok || !strings.HasPrefix(name, stem) || surface.TextWidth(got, f) > w/2 {
		t.Errorf("with half the room: %q, %v wide of %v", got, surface.TextWidth(got, f), w/2)
	}
	if got := surface.Shorten(name, f, 0); got != "" {
		t.Errorf("with no room: %q", got)
	}
	if got := surface.Fit(name, f, w*0.8).Size; math.Abs(float64(got)-3.2) > 1e-9 { // 4 x 0.8
		t.Errorf("size for eight tenths of the room %v, want 3.2", got)
	}
	if got := surface.Fit(name, f, w/10).Size; got != 2 {
		t.Errorf("size for a tenth of the room %v, want half", got)
	}
}
