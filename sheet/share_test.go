package sheet_test

import (
	"bytes"
	"compress/zlib"
	"image/png"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"urdir/measure"
	"urdir/plan"
	"urdir/sheet"
)

var shareDay = time.Date(2031, 5, 6, 12, 0, 0, 0, time.UTC)

func sharePDF(t *testing.T, p plan.Plan, o sheet.Share) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := sheet.SharePDF(&b, p, o); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// everyWord is all that can be read in a PDF file: its pages' words, its metadata
// and whatever else is in it as text, packed or not.
func everyWord(t *testing.T, file []byte) string {
	t.Helper()
	var all []string
	for _, p := range read(t, file) {
		all = append(all, p.line())
	}
	for _, m := range regexp.MustCompile(`/(?:Title|Author|Subject|Keywords|Creator|Producer) ?\(((?:\\.|[^\\)])*)\)`).FindAllSubmatch(file, -1) {
		all = append(all, unescape(m[1]), string(m[1]))
	}
	return spaced(strings.Join(all, " "))
}

// spaced makes every kind of space an ordinary one.
func spaced(s string) string { return strings.Join(strings.Fields(s), " ") }

// secrets are the numbers and names of a plan that a customer is not shown, as
// the page would write them in a language.
func secrets(t *testing.T, p plan.Plan, tag string) (out []string) {
	t.Helper()
	w := words(t, tag)
	for _, x := range p.Warps {
		out = append(out, w.Int(x.Ends), strconv.Itoa(x.Ends), w.S(x.Sett), w.S(measure.CM(x.LayLength())), w.Long(x.LayLength()), x.Key)
	}
	for _, x := range p.Panels {
		out = append(out, w.Int(x.Picks), strconv.Itoa(x.Picks))
		for _, b := range x.Bands {
			if b.TakeUp.Middle > 0 {
				out = append(out, w.S(b.TakeUp.Middle), w.S(b.PicksPerCM))
			}
		}
	}
	for _, y := range p.Yarns {
		out = append(out, y.Count, y.Label, w.S(y.Tex), w.S(y.StrandTex))
	}
	out = append(out, p.Customer, p.Due, p.Note)
	for i := range out {
		out[i] = spaced(out[i])
	}
	return out
}

// A page for a customer has nothing on it of the workshop's own, nor in what the
// file says of itself, unless it was asked for; and the cloth is not in it as
// lines that could be counted.
func TestShare_keepsSecrets(t *testing.T) {
	for _, name := range examples {
		p := example(t, name)
		for i := range p.Yarns {
			p.Yarns[i].Label = "Tanda 7" + strconv.Itoa(i) + "-K" // a lot's number
		}
		p.Customer, p.Due, p.Note = "Posada Los Juncos", "2031-07-01", "para la fiesta"
		for _, tag := range []string{"es", "en"} {
			o := sheet.Share{Options: sheet.Options{Language: tag, Paper: sheet.A4}, Workshop: "Taller del Estero", Day: shareDay,
				Name: true, Size: true, Materials: true, Weight: true}
			file := sharePDF(t, p, o)
			text, w := everyWord(t, file), words(t, tag)
			shown := strings.NewReplacer(spaced(w.S(p.Piece.Width)), "", spaced(w.S(p.Piece.Overall)), "", spaced(w.S(p.Piece.Mass)), "", p.Name, "").Replace(text)
			for _, s := range secrets(t, p, tag) {
				if s != "" && regexp.MustCompile(`(^|[^\pL\pN])`+regexp.QuoteMeta(s)+`($|[^\pL\pN])`).MatchString(shown) {
					t.Errorf("%s %s: the page tells %q: %s", name, tag, s, text)
				}
			}
			for _, want := range []string{p.Name, "Taller del Estero", w.S(p.Piece.Overall), w.S(p.Piece.Mass), w.Date(shareDay)} {
				if !strings.Contains(text, spaced(want)) {
					t.Errorf("%s %s: the page does not say %q: %s", name, tag, want, text)
				}
			}
			if n := drawn(t, file); n > 0 {
				t.Errorf("%s: %d rectangles and lines in the file, want the cloth as pixels", name, n)
			}
			if pages := read(t, file); len(pages) != 1 {
				t.Errorf("%s: %d pages, want 1", name, len(pages))
			}
			o.Numbers = true
			full := sharePDF(t, p, o)
			if text := everyWord(t, full); !strings.Contains(text, spaced(w.S(p.Warps[0].Sett))) || !strings.Contains(text, p.Yarns[0].Label) {
				t.Errorf("%s: with the numbers, it does not say them: %s", name, text)
			}
			if drawn(t, full) == 0 {
				t.Errorf("%s: with the numbers, the cloth is not drawn", name)
			}
		}
	}
}

// drawn counts what is drawn as rectangles and lines (ISO 32000-1, 8.5: re, l).
func drawn(t *testing.T, file []byte) int {
	t.Helper()
	n := 0
	for _, m := range pageObject.FindAllSubmatch(file, -1) {
		stream := after(t, file, "\n"+string(m[3])+" 0 obj\n")
		stream = stream[bytes.Index(stream, []byte("stream\n"))+len("stream\n"):]
		z, err := zlib.NewReader(bytes.NewReader(stream))
		if err != nil {
			t.Fatal(err)
		}
		content, err := io.ReadAll(z)
		if err != nil {
			t.Fatal(err)
		}
		n += len(regexp.MustCompile(`(?m) (?:re|l)\b`).FindAll(content, -1))
	}
	return n
}

// Only what was chosen stands there; where a figure is from and whose, always.
func TestShare_choice(t *testing.T) {
	p := example(t, "runner")
	if len(p.Figures) == 0 {
		t.Fatal("the runner has no figure")
	}
	p.Figures[0].Origin, p.Figures[0].Owner = "la orilla del estero", "las tejedoras del estero"
	w := words(t, "es")
	o := sheet.Share{Options: sheet.Options{Language: "es", Paper: sheet.Letter}, Workshop: "Taller del Estero", Day: shareDay}
	text := everyWord(t, sharePDF(t, p, o))
	for _, no := range []string{p.Name, w.S(p.Piece.Mass), w.S(p.Piece.Overall)} {
		if strings.Contains(text, spaced(no)) {
			t.Errorf("%q was not chosen and stands there: %s", no, text)
		}
	}
	for _, yes := range []string{"la orilla del estero", "las tejedoras del estero"} {
		if !strings.Contains(text, yes) {
			t.Errorf("%q is missing: %s", yes, text)
		}
	}
	o.Weight = true
	if text := everyWord(t, sharePDF(t, p, o)); !strings.Contains(text, spaced(w.S(p.Piece.Mass))) {
		t.Errorf("the weight was chosen and is missing: %s", text)
	}
}

// The picture for a telephone holds the size of paper, the cloth's colours, and
// no words beside the pixels (PNG, third edition, 11.3.3: tEXt, zTXt, iTXt).
func TestSharePNG(t *testing.T) {
	p := example(t, "scarf")
	var b bytes.Buffer
	if err := sheet.SharePNG(&b, p, sheet.Share{Options: sheet.Options{Language: "es", Paper: sheet.A4}, Workshop: "Taller", Day: shareDay}); err != nil {
		t.Fatal(err)
	}
	for _, chunk := range []string{"tEXt", "zTXt", "iTXt", "eXIf"} {
		if bytes.Contains(b.Bytes(), []byte(chunk)) {
			t.Errorf("the picture has a %s", chunk)
		}
	}
	img, err := png.Decode(&b)
	if err != nil {
		t.Fatal(err)
	}
	colours, size := map[[3]uint32]bool{}, img.Bounds().Size()
	for y := 0; y < size.Y; y += 3 {
		for x := 0; x < size.X; x += 3 {
			r, g, bl, _ := img.At(x, y).RGBA()
			colours[[3]uint32{r, g, bl}] = true
		}
	}
	if size.X != 1240 || len(colours) < 20 {
		t.Errorf("%v with %d colours, want a page of 1240 with a cloth on it", size, len(colours))
	}
}

func TestShare_unknownLanguage(t *testing.T) {
	p, o := example(t, "scarf"), sheet.Share{Options: sheet.Options{Language: "fr", Paper: sheet.A4}}
	if sheet.SharePDF(io.Discard, p, o) == nil || sheet.SharePNG(io.Discard, p, o) == nil {
		t.Error("a language without words makes a page")
	}
}
