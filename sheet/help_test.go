package sheet_test

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode/utf16"

	"urdir/clothfile"
	"urdir/internal/lang"
	"urdir/measure"
	"urdir/plan"
	"urdir/sheet"
	"urdir/surface"
)

var examples = []string{"bag", "blanket", "class", "runner", "sash", "scarf", "shawl", "tunic"}

// example plans one of the cloths that come with the program.
func example(t testing.TB, name string) plan.Plan {
	t.Helper()
	text, err := os.ReadFile("../examples/" + name + ".yaml")
	if err != nil {
		t.Fatal(err)
	}
	return planOf(t, text)
}

func planOf(t testing.TB, text []byte) plan.Plan {
	t.Helper()
	c, _, ps := clothfile.Read(text)
	if ps.Failed() {
		t.Fatal(ps)
	}
	p, ps := plan.Make(c)
	if ps.Failed() {
		t.Fatal(ps)
	}
	return p
}

func words(t testing.TB, tag string) *lang.Words {
	t.Helper()
	w, err := lang.For(tag)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func pdf(t testing.TB, p plan.Plan, o sheet.Options) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := sheet.PDF(&b, p, o); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// page is what can be read on a page of a PDF file, in millimetres from its top
// left corner.
type page struct {
	w, h  measure.MM
	texts []text
}

// text is a line of words; y is its base line, and a letter stands at most
// three quarters of its size above that.
type text struct {
	x, y, wide, size measure.MM
	s                string
}

// line is all of a page's words in the order they were written.
func (p page) line() string {
	var all []string
	for _, t := range p.texts {
		all = append(all, t.s)
	}
	return strings.Join(all, " ")
}

func (p page) has(s string) bool {
	for _, t := range p.texts {
		if t.s == s {
			return true
		}
	}
	return false
}

const point = 25.4 / 72 // of an inch, in millimetres (ISO 32000-1, 8.3.2.3)

var (
	pageObject = regexp.MustCompile(`<</Type /Page\n/Parent 1 0 R\n/MediaBox \[0 0 ([0-9.]+) ([0-9.]+)\]\n/Resources 2 0 R\n/Contents (\d+) 0 R>>`)
	fontName   = regexp.MustCompile(`/(F[0-9a-z]+) (\d+) 0 R`)
	operator   = regexp.MustCompile(`(?s)/(F\w+) ([0-9.]+) Tf|BT ([0-9.]+) ([0-9.]+) Td \(((?:\\.|[^\\)])*)\) Tj ET`)
)

// read gives the pages of a PDF file. It reads as much of ISO 32000-1 as the
// file makes use of; other programs that read PDF find the same words.
func read(t testing.TB, file []byte) (pages []page) {
	t.Helper()
	bold := map[string]bool{}
	for _, m := range fontName.FindAllSubmatch(file, -1) {
		object := after(t, file, fmt.Sprintf("\n%s 0 obj\n", m[2]))
		bold[string(m[1])] = bytes.HasPrefix(object[bytes.Index(object, []byte("/BaseFont")):], []byte("/BaseFont /utf8andikaB"))
	}
	for _, m := range pageObject.FindAllSubmatch(file, -1) {
		p := page{w: number(t, m[1]) * point, h: number(t, m[2]) * point}
		stream := after(t, file, fmt.Sprintf("\n%s 0 obj\n", m[3]))
		stream = stream[bytes.Index(stream, []byte("stream\n"))+len("stream\n"):]
		z, err := zlib.NewReader(bytes.NewReader(stream))
		if err != nil {
			t.Fatal(err)
		}
		content, err := io.ReadAll(z)
		if err != nil {
			t.Fatal(err)
		}
		font := surface.Font{}
		for _, op := range operator.FindAllSubmatch(content, -1) {
			if op[1] != nil {
				font = surface.Font{Size: number(t, op[2]) * point, Bold: bold[string(op[1])]}
				continue
			}
			s := unescape(op[5])
			p.texts = append(p.texts, text{number(t, op[3]) * point, p.h - number(t, op[4])*point, surface.TextWidth(s, font), font.Size, s})
		}
		pages = append(pages, p)
	}
	return pages
}

func after(t testing.TB, file []byte, mark string) []byte {
	t.Helper()
	i := bytes.Index(file, []byte(mark))
	if i < 0 {
		t.Fatalf("no %q in the file", mark)
	}
	return file[i+len(mark):]
}

func number(t testing.TB, b []byte) measure.MM {
	t.Helper()
	v, err := strconv.ParseFloat(string(b), 64)
	if err != nil {
		t.Fatal(err)
	}
	return measure.MM(v)
}

// unescape reads a string of the file, which is UTF-16.
func unescape(b []byte) string {
	var raw []byte
	for i := 0; i < len(b); i++ {
		c := b[i]
		if c == '\\' {
			i++
			if c = b[i]; c == 'r' {
				c = '\r'
			}
		}
		raw = append(raw, c)
	}
	var units []uint16
	for i := 0; i+1 < len(raw); i += 2 {
		units = append(units, uint16(raw[i])<<8|uint16(raw[i+1]))
	}
	return string(utf16.Decode(units))
}
