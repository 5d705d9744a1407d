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

// SVG is a drawing in a file that scales. Words are text, in the typeface where
// the reader has it and held to its widths where not, so that they can be
// searched and read aloud.
type SVG struct {
	w, h    measure.MM
	buf     bytes.Buffer
	title   string
	rects   bytes.Buffer // rectangles of one colour, not yet written
	colour  Colour
	pending bool
	clips   int
	open    int
}

// NewSVG makes an empty page. The title is read by screen readers.
func NewSVG(w, h measure.MM, title string) *SVG { return &SVG{w: w, h: h, title: title} }

func (s *SVG) Size() (w, h measure.MM) { return s.w, s.h }
func (s *SVG) Lap() measure.MM         { return 0.1 }
func (s *SVG) Fine() measure.MM        { return 0.1 }

// num writes a measure to a thousandth of a millimetre.
func num(v float64) string {
	return strconv.FormatFloat(math.Round(v*1000)/1000+0, 'f', -1, 64)
}

// Rect gathers rectangles of one colour into one path.
func (s *SVG) Rect(b Box, c Colour) {
	if b.W <= 0 || b.H <= 0 {
		return
	}
	if s.pending && c != s.colour {
		s.flush()
	}
	s.pending, s.colour = true, c
	w := num(float64(b.W))
	fmt.Fprintf(&s.rects, "M%s %sh%sv%sh-%sz", num(float64(b.X)), num(float64(b.Y)), w, num(float64(b.H)), w)
}

func (s *SVG) flush() {
	if !s.pending {
		return
	}
	fmt.Fprintf(&s.buf, "<path fill=%q d=\"", hex(s.colour))
	s.rects.WriteTo(&s.buf)
	s.buf.WriteString("\"/>\n")
	s.pending = false
}

func hex(c Colour) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

func (s *SVG) Path(p *Path, ink Ink) {
	s.flush()
	s.buf.WriteString("<path d=\"")
	for _, g := range p.segs {
		n := map[byte]int{'M': 2, 'L': 2, 'C': 6, 'Z': 0}[g.op]
		s.buf.WriteByte(g.op)
		for i := range n {
			if i > 0 {
				s.buf.WriteByte(' ')
			}
			s.buf.WriteString(num(g.p[i]))
		}
	}
	s.buf.WriteString("\"")
	if ink.Filled {
		fmt.Fprintf(&s.buf, " fill=%q", hex(ink.Fill))
	} else {
		s.buf.WriteString(" fill=\"none\"")
	}
	if ink.StrokeWidth > 0 {
		fmt.Fprintf(&s.buf, " stroke=%q stroke-width=%q stroke-linecap=\"round\" stroke-linejoin=\"round\"",
			hex(ink.Stroke), num(float64(ink.StrokeWidth)))
		if ink.Dash > 0 {
			d := num(float64(ink.Dash))
			fmt.Fprintf(&s.buf, " stroke-dasharray=\"%s %s\"", d, d)
		}
	}
	s.buf.WriteString("/>\n")
}

func (s *SVG) Text(x, y measure.MM, text string, f Font) {
	s.flush()
	text = clean(text)
	x, y = origin(x, y, text, f)
	fmt.Fprintf(&s.buf, "<text x=%q y=%q font-size=%q fill=%q textLength=%q lengthAdjust=\"spacingAndGlyphs\"",
		num(float64(x)), num(float64(y)), num(float64(f.Size)), hex(f.Colour), num(float64(TextWidth(text, f))))
	if f.Bold {
		s.buf.WriteString(" font-weight=\"bold\"")
	}
	if f.Up {
		fmt.Fprintf(&s.buf, " transform=\"rotate(-90 %s %s)\"", num(float64(x)), num(float64(y)))
	}
	s.buf.WriteByte('>')
	_ = xml.EscapeText(&s.buf, []byte(text)) // a buffer does not fail
	s.buf.WriteString("</text>\n")
}

func (s *SVG) Clip(b Box) {
	s.flush()
	s.clips++
	s.open++
	fmt.Fprintf(&s.buf, "<clipPath id=\"c%d\"><rect x=%q y=%q width=%q height=%q/></clipPath>\n<g clip-path=\"url(#c%d)\">\n",
		s.clips, num(float64(b.X)), num(float64(b.Y)), num(float64(b.W)), num(float64(b.H)), s.clips)
}

func (s *SVG) Restore() {
	s.flush()
	s.open--
	s.buf.WriteString("</g>\n")
}

// WriteTo writes the file.
func (s *SVG) WriteTo(w io.Writer) (int64, error) {
	s.flush()
	n := &counter{w: w}
	var title bytes.Buffer
	_ = xml.EscapeText(&title, []byte(clean(s.title)))
	width, height := num(float64(s.w)), num(float64(s.h))
	_, err := fmt.Fprintf(n, "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%smm\" height=\"%smm\" viewBox=\"0 0 %s %s\" "+
		"font-family=\"Andika, sans-serif\" role=\"img\" aria-label=\"%s\">\n<title>%s</title>\n%s</svg>\n",
		width, height, width, height, title.String(), title.String(), s.buf.Bytes())
	return n.n, err
}
