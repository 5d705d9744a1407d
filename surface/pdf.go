//go:build !js

package surface

import (
	"bytes"
	"fmt"
	"io"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"urdir/measure"
)

// Meta is what a PDF says of itself.
type Meta struct {
	Title    string
	Author   string
	Language string    // as in BCP 47: "es", "en"
	Made     time.Time // left out of the file where zero
}

// PDF is a document of pages; drawing goes to the last page added. The same
// drawing is the same file, byte for byte.
type PDF struct {
	doc   *fpdf.Fpdf
	meta  Meta
	w, h  measure.MM
	fonts [2]bool // regular and bold are in the document
	now   state
	saved []state

	pictures int // in the document so far
}

// state is what the page was last told; nothing is told twice.
type state struct {
	fill, stroke Colour
	width, dash  measure.MM
	size         measure.MM // of the font
	bold         bool
}

// undated stands for a date that is left out; the PDF writer insists on one.
var undated = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// NewPDF makes a document without pages.
func NewPDF(m Meta) *PDF {
	doc := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm"})
	doc.SetCatalogSort(true)
	made := undated
	if !m.Made.IsZero() {
		made = m.Made.UTC()
	}
	doc.SetCreationDate(made)
	doc.SetModificationDate(made)
	doc.SetTitle(clean(m.Title), true)
	if m.Author != "" {
		doc.SetAuthor(clean(m.Author), true)
	}
	doc.SetLang(m.Language)
	doc.SetCreator("Urdir", true)
	doc.SetProducer("Urdir", true)
	doc.SetAutoPageBreak(false, 0)
	doc.SetMargins(0, 0, 0)
	return &PDF{doc: doc, meta: m}
}

// AddPage begins a page.
func (p *PDF) AddPage(w, h measure.MM) {
	p.w, p.h = w, h
	p.doc.AddPageFormat("P", fpdf.SizeType{Wd: float64(w), Ht: float64(h)})
	p.doc.SetLineCapStyle("round")
	p.doc.SetLineJoinStyle("round")
	p.now, p.saved = state{width: -1, dash: -1}, nil
	p.doc.SetFillColor(0, 0, 0)
	p.doc.SetDrawColor(0, 0, 0)
}

func (p *PDF) Size() (w, h measure.MM) { return p.w, p.h }
func (p *PDF) Lap() measure.MM         { return 0.1 }
func (p *PDF) Fine() measure.MM        { return 0.1 }

func (p *PDF) fill(c Colour) {
	if c != p.now.fill {
		p.doc.SetFillColor(int(c.R), int(c.G), int(c.B))
		p.now.fill = c
	}
}

func (p *PDF) stroke(ink Ink) {
	if ink.Stroke != p.now.stroke {
		p.doc.SetDrawColor(int(ink.Stroke.R), int(ink.Stroke.G), int(ink.Stroke.B))
	}
	if ink.StrokeWidth != p.now.width {
		p.doc.SetLineWidth(float64(ink.StrokeWidth))
	}
	if ink.Dash != p.now.dash {
		dash := []float64{}
		if ink.Dash > 0 {
			dash = []float64{float64(ink.Dash)} // and a gap as long
		}
		p.doc.SetDashPattern(dash, 0)
	}
	p.now.stroke, p.now.width, p.now.dash = ink.Stroke, ink.StrokeWidth, ink.Dash
}

// thin is less than the file can say, a hundredth of a point; a rectangle of no
// width would be drawn as a hairline.
const thin = 0.005

func (p *PDF) Rect(b Box, c Colour) {
	if b = b.within(); b.W < thin || b.H < thin {
		return
	}
	p.fill(c)
	p.doc.Rect(float64(b.X), float64(b.Y), float64(b.W), float64(b.H), "F")
}

func (p *PDF) Path(path *Path, ink Ink) {
	if !ink.seen(path) {
		return
	}
	style := ""
	if ink.Filled {
		p.fill(ink.Fill)
		style = "F"
	}
	if ink.StrokeWidth > 0 {
		p.stroke(ink)
		style += "D"
	}
	for _, s := range path.segs {
		switch s.op {
		case 'M':
			p.doc.MoveTo(s.p[0], s.p[1])
		case 'L':
			p.doc.LineTo(s.p[0], s.p[1])
		case 'C':
			p.doc.CurveBezierCubicTo(s.p[0], s.p[1], s.p[2], s.p[3], s.p[4], s.p[5])
		case 'Z':
			p.doc.ClosePath()
		}
	}
	p.doc.DrawPath(style)
}

// font sets the font; a weight that is not used is not in the file.
func (p *PDF) font(f Font) {
	if f.Size == p.now.size && f.Bold == p.now.bold {
		return
	}
	style, data, i := "", regularTTF, 0
	if f.Bold {
		style, data, i = "B", boldTTF, 1
	}
	if !p.fonts[i] {
		p.doc.AddUTF8FontFromBytes("andika", style, data)
		p.fonts[i] = true
	}
	p.doc.SetFont("andika", style, float64(f.Size)*72/25.4)
	p.now.size, p.now.bold = f.Size, f.Bold
}

func (p *PDF) Text(x, y measure.MM, s string, f Font) {
	s = clean(s)
	if s == "" || f.Size <= 0 {
		return
	}
	x, y = origin(x, y, s, f)
	p.font(f)
	p.doc.SetTextColor(int(f.Colour.R), int(f.Colour.G), int(f.Colour.B))
	if f.Up {
		p.doc.TransformBegin()
		p.doc.TransformRotate(90, float64(x), float64(y))
		defer p.doc.TransformEnd()
	}
	p.doc.Text(float64(x), float64(y), s)
}

func (p *PDF) Clip(b Box) {
	p.saved = append(p.saved, p.now)
	b = b.within()
	p.doc.ClipRect(float64(b.X), float64(b.Y), float64(b.W), float64(b.H), false)
}

// Restore ends a clip. A page forgets with it the colours, line and font set
// since; the PDF writer does not, so it is told the fill colour again: it leaves
// out a text's colour where it believes it to be the fill colour.
func (p *PDF) Restore() {
	p.doc.ClipEnd()
	last := len(p.saved) - 1
	was := p.saved[last]
	if was.fill != p.now.fill {
		p.doc.SetFillColor(int(was.fill.R), int(was.fill.G), int(was.fill.B))
	}
	p.now, p.saved = was, p.saved[:last]
}

// WriteTo writes the document. Nothing can be drawn afterwards.
func (p *PDF) WriteTo(w io.Writer) (int64, error) {
	var buf bytes.Buffer
	if err := p.doc.Output(&buf); err != nil {
		return 0, fmt.Errorf("write PDF: %w", err)
	}
	out := buf.Bytes()
	if p.meta.Made.IsZero() {
		// Spaces in its place: the file's index counts bytes.
		for _, key := range []string{"Creation", "Mod"} {
			date := []byte("/" + key + "Date (D:" + undated.Format("20060102150405") + ")")
			out = bytes.Replace(out, date, bytes.Repeat([]byte(" "), len(date)), 1)
		}
	}
	n, err := w.Write(out)
	if err != nil {
		return int64(n), fmt.Errorf("write PDF: %w", err)
	}
	return int64(n), nil
}
