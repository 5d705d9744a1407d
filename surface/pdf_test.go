package surface_test

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"
	"sync"
	"testing"
	"time"
	"unicode/utf16"

	"github.com/google/go-cmp/cmp"

	"urdir/surface"
)

func pdfOf(t testing.TB, p *surface.PDF) []byte {
	t.Helper()
	var buf bytes.Buffer
	n, err := p.WriteTo(&buf)
	if err != nil || n != int64(buf.Len()) {
		t.Fatalf("WriteTo = %d, %v; wrote %d", n, err, buf.Len())
	}
	return buf.Bytes()
}

// onePage draws on a page of A4 and gives the file.
func onePage(t testing.TB, m surface.Meta, draw func(s surface.Surface)) []byte {
	t.Helper()
	p := surface.NewPDF(m)
	p.AddPage(210, 297)
	draw(p)
	return pdfOf(t, p)
}

// op is an operator of a page (ISO 32000-1, annex A) with its operands.
type op struct {
	name string
	args []string
}

func (o op) num(t testing.TB, i int) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(o.args[i], 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

var (
	stream = regexp.MustCompile(`(?s)\nstream\r?\n(.*?)\r?\nendstream`)
	token  = regexp.MustCompile(`(?s)\((?:\\.|[^\\)])*\)|\[[^\]]*\]|[^\s\[(]+`)
	name   = regexp.MustCompile(`^[A-Za-z*]+$`)
)

// operators reads the first page.
func operators(t testing.TB, file []byte) (out []op) {
	t.Helper()
	m := stream.FindSubmatch(file)
	if m == nil {
		t.Fatal("no page content")
	}
	z, err := zlib.NewReader(bytes.NewReader(m[1]))
	if err != nil {
		t.Fatal(err)
	}
	content, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	var args []string
	for _, tok := range token.FindAll(content, -1) {
		if name.Match(tok) {
			out = append(out, op{string(tok), args})
			args = nil
		} else {
			args = append(args, string(tok))
		}
	}
	return out
}

// shown is what a page shows: an area or a text with the colour and font that
// are in force there, as a reader works them out: q keeps them and Q brings them
// back.
type shown struct{ what, fill, font string }

func reader(t testing.TB, file []byte) (out []shown) {
	t.Helper()
	type state struct{ fill, font string }
	now, saved := state{fill: "0.000 g"}, []state(nil)
	for _, o := range operators(t, file) {
		switch o.name {
		case "q":
			saved = append(saved, now)
		case "Q":
			now, saved = saved[len(saved)-1], saved[:len(saved)-1]
		case "rg":
			now.fill = fmt.Sprintf("%.0f %.0f %.0f", o.num(t, 0)*255, o.num(t, 1)*255, o.num(t, 2)*255)
		case "g":
			now.fill = fmt.Sprintf("%.0f %[1]v %[1]v", math.Round(o.num(t, 0)*255))
		case "Tf":
			now.font = fmt.Sprintf("%.2f", o.num(t, 1)*25.4/72)
		case "f", "f*":
			out = append(out, shown{"area", now.fill, ""})
		case "Tj":
			out = append(out, shown{"text", now.fill, now.font})
		}
	}
	if len(saved) != 0 {
		t.Errorf("%d q without Q", len(saved))
	}
	return out
}

// One point is 1/72 inch (ISO 32000-1, 8.3.2.3), one inch 25.4 mm.
func TestPDF_ruler(t *testing.T) {
	file := onePage(t, surface.Meta{}, func(s surface.Surface) {
		s.Path(surface.Polyline(10, 20, 110, 20), surface.Line(black, 0.5))
		s.Rect(box(10, 30, 100, 10), red)
	})
	const want = 100 * 72 / 25.4
	var from, long, wide float64
	for _, o := range operators(t, file) {
		switch o.name {
		case "m":
			from = o.num(t, 0)
		case "l":
			long = o.num(t, 0) - from
		case "re":
			wide = o.num(t, 2)
			if y := o.num(t, 1); math.Abs(y-(297-30)*72/25.4) > 0.01 {
				t.Errorf("a rectangle 30 mm from the top is at %v pt from the foot", y)
			}
		}
	}
	if math.Abs(long-want) > 0.01 || math.Abs(wide-want) > 0.01 {
		t.Errorf("100 mm is %.3f and %.3f pt, want %.3f", long, wide, want)
	}
	if !bytes.Contains(file, []byte("/MediaBox [0 0 595.28 841.89]")) { // 210 and 297 mm
		t.Error("the page is not A4")
	}
}

// Colour and font are told only when they change, and a clip's end takes back
// what was told within it.
func TestPDF_coloursAndFontsHold(t *testing.T) {
	small, large := surface.Font{Size: 3, Colour: red}, surface.Font{Size: 9, Colour: blue}
	file := onePage(t, surface.Meta{}, func(s surface.Surface) {
		s.Rect(box(1, 1, 5, 5), blue)
		s.Text(1, 1, "a", small)
		s.Clip(box(0, 0, 50, 50))
		s.Rect(box(1, 1, 5, 5), red)
		s.Text(1, 1, "b", large)
		s.Restore()
		s.Text(1, 1, "c", small)
		s.Text(1, 1, "d", large)
		s.Rect(box(1, 1, 5, 5), red)
		s.Rect(box(1, 1, 5, 5), blue)
		large.Up = true
		s.Text(1, 1, "e", large)
	})
	r, b := "200 30 40", "20 60 160"
	want := []shown{{"area", b, ""}, {"text", r, "3.00"}, {"area", r, ""}, {"text", b, "9.00"}, {"text", r, "3.00"}, {"text", b, "9.00"},
		{"area", r, ""}, {"area", b, ""}, {"text", b, "9.00"}}
	if diff := cmp.Diff(want, reader(t, file), cmp.AllowUnexported(shown{})); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
}

func TestPDF_colourToldOnce(t *testing.T) {
	told := 0
	for _, o := range operators(t, onePage(t, surface.Meta{}, func(s surface.Surface) {
		for range 100 {
			s.Rect(box(1, 1, 5, 5), red)
			s.Path(surface.Polyline(1, 1, 5, 5), surface.Line(blue, 0.3))
		}
	})) {
		switch o.name {
		case "rg", "RG", "w", "d":
			told++
		}
	}
	if told > 6 { // each once, and what a page begins with
		t.Errorf("colour and line are told %d times for one colour and one line", told)
	}
}

// Text is text: its UTF-16 stands in the page, with a table to read it back.
func TestPDF_textCanBeCopied(t *testing.T) {
	const text = "Ñandú ½ ꞌ →"
	file := onePage(t, surface.Meta{}, func(s surface.Surface) { s.Text(10, 10, text, surface.Font{Size: 4}) })
	var got string
	for _, o := range operators(t, file) {
		if o.name == "Tj" {
			raw := []byte(o.args[0])
			raw = regexp.MustCompile(`(?s)\\(.)`).ReplaceAll(raw[1:len(raw)-1], []byte("$1"))
			var units []uint16
			for i := 0; i+1 < len(raw); i += 2 {
				units = append(units, uint16(raw[i])<<8|uint16(raw[i+1]))
			}
			got = string(utf16.Decode(units))
		}
	}
	if got != text {
		t.Errorf("the page says %q, want %q", got, text)
	}
	if !bytes.Contains(file, []byte("/ToUnicode")) {
		t.Error("no table to read the letters back")
	}
	// The two typefaces are 1.3 MB; what is used of one is a small part.
	if len(file) > 60_000 {
		t.Errorf("a line of text takes %d bytes", len(file))
	}
}

func TestPDF_sameEveryTime(t *testing.T) {
	draw := func() []byte {
		p := surface.NewPDF(surface.Meta{Title: "Orden 12", Author: "Taller", Language: "es"})
		for range 3 {
			p.AddPage(210, 297)
			page(p)
		}
		return pdfOf(t, p)
	}
	want := draw()
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			for range 3 {
				if !bytes.Equal(draw(), want) {
					t.Error("the same drawing is another file")
				}
			}
		})
	}
	wg.Wait()
}

func TestPDF_meta(t *testing.T) {
	file := onePage(t, surface.Meta{Language: "es"}, page)
	for _, no := range []string{"CreationDate", "ModDate", "/Author", "2000"} {
		if bytes.Contains(file, []byte(no)) {
			t.Errorf("%s in a file without a date and an author", no)
		}
	}
	if !bytes.Contains(file, []byte("/Lang (es)")) {
		t.Error("the language is missing")
	}
	made := time.Date(2026, 3, 4, 22, 0, 0, 0, time.FixedZone("", -5*3600))
	file = onePage(t, surface.Meta{Made: made}, page)
	if !bytes.Contains(file, []byte("/CreationDate (D:20260305030000")) { // five hours later in UTC
		t.Error("the date is missing")
	}
	// The table of objects still finds them: its offset is the last number.
	m := regexp.MustCompile(`startxref\n(\d+)\n%%EOF`).FindSubmatch(onePage(t, surface.Meta{}, page))
	if m == nil {
		t.Fatal("no startxref")
	}
	at, err := strconv.Atoi(string(m[1]))
	if err != nil || !bytes.HasPrefix(onePage(t, surface.Meta{}, page)[at:], []byte("xref")) {
		t.Errorf("no table of objects at %s", m[1])
	}
}

func TestPDF_oddThingsDoNoHarm(t *testing.T) {
	file := onePage(t, surface.Meta{Title: "\xff", Author: "🧶"}, odd)
	for _, o := range operators(t, file) {
		for _, a := range o.args {
			if a == "NaN" || a == "+Inf" || a == "-Inf" {
				t.Fatalf("%s %v", a, o)
			}
		}
	}
}
