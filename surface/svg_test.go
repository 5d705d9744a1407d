package surface_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"urdir/surface"
)

var update = flag.Bool("update", false, "write the golden files anew")

func svgOf(t testing.TB, s *surface.SVG) string {
	t.Helper()
	var buf bytes.Buffer
	n, err := s.WriteTo(&buf)
	if err != nil || n != int64(buf.Len()) {
		t.Fatalf("WriteTo = %d, %v; wrote %d", n, err, buf.Len())
	}
	return buf.String()
}

// elements reads a file as XML and gives its elements, the words within text
// elements under the name "words".
func elements(t testing.TB, file string) (out []xml.StartElement, words []string) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(file))
	inText := false
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return out, words
		}
		if err != nil {
			t.Fatalf("not well-formed: %v\n%s", err, file)
		}
		switch e := tok.(type) {
		case xml.StartElement:
			out = append(out, e.Copy())
			inText = e.Name.Local == "text"
		case xml.CharData:
			if inText {
				words = append(words, string(e))
			}
		case xml.EndElement:
			inText = false
		}
	}
}

func attr(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// The golden file guards what no reader of the file would notice but every
// reader of a difference would: that a drawing is written the same, and as
// small, after a change as before it. It was looked at in two viewers.
func TestSVG_golden(t *testing.T) {
	s := surface.NewSVG(120, 60, "Todo <a la vez>")
	page(s)
	got := svgOf(t, s)
	const name = "testdata/page.svg"
	if *update {
		if err := os.WriteFile(name, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("drawing differs (-want +got):\n%s", diff)
	}
}

func TestSVG_rulerAndWords(t *testing.T) {
	s := surface.NewSVG(120, 60, "")
	s.Path(surface.Polyline(10, 15, 110, 15), surface.Line(black, 0.4))
	s.Rect(box(10.0004, 20, 100, 1), red)
	s.Text(10, 30, "caída <3 & más", surface.Font{Size: 4})
	es, words := elements(t, svgOf(t, s))
	root := es[0]
	// CSS lengths in mm and a viewBox of as many units: one unit is one millimetre.
	if attr(root, "width") != "120mm" || attr(root, "height") != "60mm" || attr(root, "viewBox") != "0 0 120 60" {
		t.Errorf("root %v: not 120 x 60 mm in millimetres", root.Attr)
	}
	if got := attr(es[1], "d"); got != "M10 15L110 15" {
		t.Errorf("a line of 100 mm is %q", got)
	}
	if got := attr(es[2], "d"); got != "M10 20h100v1h-100z" {
		t.Errorf("a rectangle of 100 mm is %q", got)
	}
	if diff := cmp.Diff([]string{"caída <3 & más"}, words); diff != "" {
		t.Error(diff)
	}
}

func TestSVG_rectsOfOneColourAreOnePath(t *testing.T) {
	s := surface.NewSVG(100, 100, "")
	for i := range 50 {
		s.Rect(box(0, 0, 1, 1), [2]surface.Colour{red, blue}[i/25])
	}
	s.Text(1, 1, "a", surface.Font{Size: 3})
	s.Rect(box(0, 0, 1, 1), blue)
	es, _ := elements(t, svgOf(t, s))
	var paths []string
	for _, e := range es {
		if e.Name.Local == "path" {
			paths = append(paths, attr(e, "fill"))
		}
	}
	if diff := cmp.Diff([]string{"#c81e28", "#143ca0", "#143ca0"}, paths); diff != "" {
		t.Error(diff)
	}
}

// Several drawings stand in one web page; an id in two of them would make one
// clip the other.
func TestSVG_hasNoIDs(t *testing.T) {
	s := surface.NewSVG(120, 60, "t")
	page(s)
	es, _ := elements(t, svgOf(t, s))
	for _, e := range es {
		if attr(e, "id") != "" {
			t.Errorf("%s has an id", e.Name.Local)
		}
	}
}

// WAI-ARIA 1.2: what is within an img is not read out, so words are not in one;
// a drawing without a name is hidden.
func TestSVG_role(t *testing.T) {
	root := func(title, text string) xml.StartElement {
		s := surface.NewSVG(10, 10, title)
		s.Text(1, 1, text, surface.Font{Size: 3})
		es, _ := elements(t, svgOf(t, s))
		return es[0]
	}
	if e := root("Una \"faja\"", ""); attr(e, "role") != "img" || attr(e, "aria-label") != "Una \"faja\"" {
		t.Errorf("a picture: %v", e.Attr)
	}
	if e := root("Faja", "hola"); attr(e, "role") != "group" {
		t.Errorf("words: %v", e.Attr)
	}
	if e := root("", ""); attr(e, "aria-hidden") != "true" {
		t.Errorf("an ornament: %v", e.Attr)
	}
}

func FuzzText(f *testing.F) {
	for _, s := range []string{"ñandú", "\xff\x00", "🧶 ]]>&<\"'", "n\u0303", "\ufffe\uffff", "a\u200db"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 1000 {
			return
		}
		font := surface.Font{Size: 4, Align: surface.Centre}
		s := surface.NewSVG(100, 20, text)
		s.Text(50, 10, text, font)
		elements(t, svgOf(t, s))
		surface.NewPNG(100, 20, 100).Text(50, 10, text, font)
		for _, line := range surface.Wrap(text, font, 30) {
			if short := surface.Shorten(line, font, 30); surface.TextWidth(short, font) > 30 {
				t.Errorf("%q shortened to %q is %v wide", line, short, surface.TextWidth(short, font))
			}
		}
	})
}

func TestSVG_oddThingsDoNoHarm(t *testing.T) {
	s := surface.NewSVG(50, 50, "\x00\xff")
	odd(s)
	elements(t, svgOf(t, s))
}
