package draw_test

import (
	"encoding/xml"
	"errors"
	"image"
	"image/color"
	"io"
	"math"
	"os"
	"strings"
	"testing"

	"urdir/check"
	"urdir/clothfile"
	"urdir/internal/lang"
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
)

var examples = []string{"bag", "blanket", "class", "runner", "sash", "scarf", "shawl", "tunic"}

// example plans one of the cloths that come with the program.
func example(t testing.TB, name string) plan.Plan {
	t.Helper()
	return planOf(t, exampleText(t, name))
}

func exampleText(t testing.TB, name string) string {
	t.Helper()
	text, err := os.ReadFile("../examples/" + name + ".yaml")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func planOf(t testing.TB, text string) plan.Plan {
	t.Helper()
	c, _, ps := clothfile.Read([]byte(text))
	must(t, ps)
	p, ps := plan.Make(c)
	must(t, ps)
	return p
}

func must(t testing.TB, ps check.Problems) {
	t.Helper()
	if ps.Failed() {
		t.Fatal(ps)
	}
}

func words(t testing.TB, tag string) *lang.Words {
	t.Helper()
	w, err := lang.For(tag)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// small is a cloth that can be counted by hand. Nothing shrinks, so that its
// 2 cm at 20 ends/cm are 40 ends and 1 cm is 10 picks. The yarn is so thick that
// the ends cover the weft.
const small = `urdir: 1
name: Muestra
weft: night
picks: 10 /cm
shrinkage: {length: 0 %, width: 0 %}
yarns:
  red:   {label: Rojo, letter: R, colour: "#c02020", fibre: cotton, count: Ne 8/2, strands: 3}
  cream: {label: Crema, letter: C, colour: "#f0e6c8", fibre: cotton, count: Ne 8/2, strands: 3}
  blue:  {label: Azul, letter: A, colour: "#2040b0", fibre: cotton, count: Ne 8/2, strands: 3}
  green: {label: Verde, letter: V, colour: "#208030", fibre: cotton, count: Ne 8/2, strands: 3}
  night: {label: Noche, letter: N, colour: "#101010", fibre: cotton, count: Nm 34/2}
`

// pixels finds colours in a picture.
type pixels struct {
	img   *image.RGBA
	perMM float64
}

func picture(w, h measure.MM, perMM int, paint func(s surface.Surface)) pixels {
	wide := int(math.Ceil(float64(w) * float64(perMM)))
	s := surface.NewPNG(w, h, wide)
	paint(s)
	return pixels{s.Image(), float64(wide) / float64(w)}
}

// at is the pixel of a point.
func (p pixels) at(x, y measure.MM) color.RGBA {
	return p.img.RGBAAt(int(float64(x)*p.perMM), int(float64(y)*p.perMM))
}

// nearest names the colour of a palette that a pixel is most like. Threads are
// shaded: a pixel is like a yarn when it is like any shade of it, from a third
// darker to a sixth lighter.
func nearest(c color.RGBA, palette map[string]surface.Colour) string {
	best, name := math.Inf(1), ""
	for k, q := range palette {
		v := math.Inf(1)
		for shade := -30; shade <= 16; shade += 2 {
			with := surface.Black
			if shade > 0 {
				with = surface.White
			}
			s := q.Mix(with, math.Abs(float64(shade))/100)
			v = min(v, math.Hypot(math.Hypot(float64(c.R)-float64(s.R), float64(c.G)-float64(s.G)), float64(c.B)-float64(s.B)))
		}
		if v < best || v == best && k < name {
			best, name = v, k
		}
	}
	return name
}

func palette(p plan.Plan) map[string]surface.Colour {
	out := map[string]surface.Colour{}
	for _, y := range p.Yarns {
		out[y.Key] = surface.ParseColour(y.Colour)
	}
	return out
}

// endYarn is the key of each end's yarn, from the stripes alone: a plain stripe
// is one yarn; an alternation goes through its yarns, from its last end on the
// far side of a mirror.
func endYarn(w *plan.WarpPlan) []string {
	var out []string
	for _, s := range w.Stripes {
		var one []string
		for len(one) < s.Ends {
			for _, l := range s.Yarns {
				for range max(1, l.Ends) {
					one = append(one, l.Yarn)
				}
			}
		}
		one = one[:s.Ends]
		for i := range one {
			if s.Back {
				out = append(out, one[s.Ends-1-i])
			} else {
				out = append(out, one[i])
			}
		}
	}
	return out
}

// recorder is a surface that keeps what it is told.
type recorder struct {
	w, h  measure.MM
	rects []rect
	texts []text
	paths int
	clips int
	depth int
}

type rect struct {
	surface.Box
	colour surface.Colour
}

type text struct {
	x, y measure.MM // of the left end of the base line
	wide measure.MM
	s    string
	font surface.Font
}

func (r *recorder) Size() (w, h measure.MM)              { return r.w, r.h }
func (r *recorder) Rect(b surface.Box, c surface.Colour) { r.rects = append(r.rects, rect{b, c}) }
func (r *recorder) Path(*surface.Path, surface.Ink)      { r.paths++ }
func (r *recorder) Clip(surface.Box)                     { r.clips++; r.depth++ }
func (r *recorder) Restore()                             { r.depth-- }
func (r *recorder) Lap() measure.MM                      { return 0 }
func (r *recorder) Fine() measure.MM                     { return 0.1 }
func (r *recorder) Text(x, y measure.MM, s string, f surface.Font) {
	wide := surface.TextWidth(s, f)
	switch f.Align {
	case surface.Centre:
		x -= wide / 2
	case surface.Right:
		x -= wide
	}
	r.texts = append(r.texts, text{x, y, wide, s, f})
}

// has says whether a text was written.
func (r *recorder) has(s string) bool {
	for _, t := range r.texts {
		if t.s == s {
			return true
		}
	}
	return false
}

// overlapping finds two texts that cover each other: letters reach from the
// base line to three quarters of the size above it.
func (r *recorder) overlapping() (a, b text, found bool) {
	for i, a := range r.texts {
		for _, b := range r.texts[:i] {
			across := min(a.x+a.wide, b.x+b.wide) - max(a.x, b.x)
			up := min(a.y, b.y) - max(a.y-a.font.Size*0.75, b.y-b.font.Size*0.75)
			if across > 0.1 && up > 0.3 {
				return a, b, true
			}
		}
	}
	return a, b, false
}

// svgOf draws on a page for a vector file and gives its elements.
func svgOf(t testing.TB, w, h measure.MM, paint func(s surface.Surface)) (file string, elements []xml.StartElement) {
	t.Helper()
	s := surface.NewSVG(w, h, "")
	paint(s)
	var b strings.Builder
	if _, err := s.WriteTo(&b); err != nil {
		t.Fatal(err)
	}
	d := xml.NewDecoder(strings.NewReader(b.String()))
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return b.String(), elements
		}
		if err != nil {
			t.Fatal(err)
		}
		if e, ok := tok.(xml.StartElement); ok {
			elements = append(elements, e.Copy())
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
