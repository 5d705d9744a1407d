//go:build !js

package surface

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strconv"

	"urdir/measure"
)

// SVG is a drawing in a file that scales. Its words are text, not outlines: they
// can be searched, copied and read aloud, a page shows them in the typeface it
// has loaded, and where that is missing another one is held to the same widths.
// There are no ids in it, so that several may stand in one page.
type SVG struct {
	w, h   measure.MM
	title  string
	buf    []byte
	colour Colour // of the path of rectangles that is not ended yet
	rects  bool   // there is one
	words  bool
}

// NewSVG makes an empty page. The title is read by screen readers; without one
// the drawing is an ornament to them.
func NewSVG(w, h measure.MM, title string) *SVG { return &SVG{w: w, h: h, title: title} }

func (s *SVG) Size() (w, h measure.MM) { return s.w, s.h }
func (s *SVG) Lap() measure.MM         { return 0.1 }
func (s *SVG) Fine() measure.MM        { return 0.1 }

// micron is a measure in whole thousandths of a millimetre, which is how fine
// the file is written.
func micron(v measure.MM) int64 { return int64(math.Round(float64(v) * 1000)) }

func number(to []byte, v int64) []byte {
	if v < 0 {
		to, v = append(to, '-'), -v
	}
	to = strconv.AppendInt(to, v/1000, 10)
	if v %= 1000; v == 0 {
		return to
	}
	to = append(to, '.', byte('0'+v/100), byte('0'+v/10%10), byte('0'+v%10))
	return bytes.TrimRight(to, "0")
}

func num(v measure.MM) string { return string(number(nil, micron(v))) }

func hex(c Colour) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

// Rect gathers rectangles of one colour into one path.
func (s *SVG) Rect(b Box, c Colour) {
	x, y := micron(b.X), micron(b.Y)
	w, h := micron(b.X+b.W)-x, micron(b.Y+b.H)-y
	if w <= 0 || h <= 0 {
		return
	}
	if c != s.colour {
		s.flush()
	}
	if !s.rects {
		s.put("<path fill=%q d=\"", hex(c))
		s.rects, s.colour = true, c
	}
	to := number(append(s.buf, 'M'), x)
	to = number(append(to, ' '), y)
	to = number(append(to, 'h'), w)
	to = number(append(to, 'v'), h)
	to = number(append(to, 'h'), -w)
	s.buf = append(to, 'z') //nolint:gocritic // it was s.buf before
}

// flush ends a path of rectangles.
func (s *SVG) flush() {
	if s.rects {
		s.put("\"/>\n")
		s.rects = false
	}
}

func (s *SVG) put(format string, args ...any) { s.buf = fmt.Appendf(s.buf, format, args...) }

func (s *SVG) Path(p *Path, ink Ink) {
	if !ink.seen(p) {
		return
	}
	s.flush()
	s.put("<path d=\"")
	for _, g := range p.segs {
		s.buf = append(s.buf, g.op)
		for i, v := range g.p[:g.args()] {
			if i > 0 {
				s.buf = append(s.buf, ' ')
			}
			s.buf = number(s.buf, micron(measure.MM(v)))
		}
	}
	if ink.Filled {
		s.put("\" fill=%q", hex(ink.Fill))
	} else {
		s.put("\" fill=\"none\"")
	}
	if ink.StrokeWidth > 0 {
		s.put(" stroke=%q stroke-width=%q stroke-linecap=\"round\" stroke-linejoin=\"round\"", hex(ink.Stroke), num(ink.StrokeWidth))
		if ink.Dash > 0 {
			s.put(" stroke-dasharray=%q", num(ink.Dash))
		}
	}
	s.put("/>\n")
}

func (s *SVG) Text(x, y measure.MM, text string, f Font) {
	text = clean(text)
	if text == "" {
		return
	}
	s.flush()
	s.words = true
	x, y = origin(x, y, text, f)
	s.put("<text x=%q y=%q font-size=%q fill=%q textLength=%q lengthAdjust=\"spacingAndGlyphs\"",
		num(x), num(y), num(f.Size), hex(f.Colour), num(TextWidth(text, f)))
	if f.Bold {
		s.put(" font-weight=\"bold\"")
	}
	if f.Up {
		s.put(" transform=\"rotate(-90 %s %s)\"", num(x), num(y))
	}
	s.put(">%s</text>\n", escape(text))
}

func escape(s string) string {
	var b bytes.Buffer
	_ = xml.EscapeText(&b, []byte(s)) // a buffer does not fail
	return b.String()
}

// Clip opens an inner drawing with the same measures: it shows nothing outside
// its own box, and needs no id.
func (s *SVG) Clip(b Box) {
	s.flush()
	x, y, w, h := num(b.X), num(b.Y), num(max(0, b.W)), num(max(0, b.H))
	s.put("<svg x=%q y=%q width=%q height=%q viewBox=\"%s %s %s %s\" overflow=\"hidden\">\n", x, y, w, h, x, y, w, h)
}

func (s *SVG) Restore() {
	s.flush()
	s.put("</svg>\n")
}

// WriteTo writes the file.
func (s *SVG) WriteTo(w io.Writer) (int64, error) {
	s.flush()
	label := "aria-hidden=\"true\""
	if s.title != "" {
		role := "img"
		if s.words { // an img is one thing to a screen reader, its words unread
			role = "group"
		}
		label = fmt.Sprintf("role=%q aria-label=\"%s\"", role, escape(clean(s.title)))
	}
	n := &counter{w: w}
	width, height := num(s.w), num(s.h)
	_, err := fmt.Fprintf(n, "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%smm\" height=\"%smm\" viewBox=\"0 0 %s %s\" "+
		"font-family=\"Andika, sans-serif\" xml:space=\"preserve\" %s>\n%s</svg>\n", width, height, width, height, label, s.buf)
	if err != nil {
		return n.n, fmt.Errorf("write SVG: %w", err)
	}
	return n.n, nil
}
