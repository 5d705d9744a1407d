package surface

import (
	"fmt"
	"io"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"urdir/measure"
)

// Meta is what a PDF says of itself. It carries no date of its own making: the
// same drawing is the same file.
type Meta struct{ Title, Language string }

// PDF is a document of pages; drawing goes to the last page added.
type PDF struct {
	doc    *fpdf.Fpdf
	w, h   measure.MM
	fill   Colour
	inked  bool
	fonted Font
}

// NewPDF makes a document without pages.
func NewPDF(m Meta) *PDF {
	doc := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm"})
	doc.SetCatalogSort(true)
	epoch := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	doc.SetCreationDate(epoch)
	doc.SetModificationDate(epoch)
	doc.SetTitle(m.Title, true)
	doc.SetLang(m.Language)
	doc.SetCreator("Urdir", true)
	doc.SetProducer("Urdir", true)
	doc.SetAutoPageBreak(false, 0)
	doc.SetMargins(0, 0, 0)
	doc.AddUTF8FontFromBytes("andika", "", regularTTF)
	doc.AddUTF8FontFromBytes("andika", "B", boldTTF)
	return &PDF{doc: doc}
}

// AddPage begins a page.
func (p *PDF) AddPage(w, h measure.MM) {
	p.w, p.h = w, h
	p.doc.AddPageFormat("P", fpdf.SizeType{Wd: float64(w), Ht: float64(h)})
	p.doc.SetLineCapStyle("round")
	p.doc.SetLineJoinStyle("round")
	p.inked, p.fonted = false, Font{}
}

func (p *PDF) Size() (w, h measure.MM) { return p.w, p.h }
func (p *PDF) Lap() measure.MM         { return 0.1 }
func (p *PDF) Fine() measure.MM        { return 0.1 }

// ink sets the fill colour where it differs from the last.
func (p *PDF) ink(c Colour) {
	if !p.inked || c != p.fill {
		p.doc.SetFillColor(int(c.R), int(c.G), int(c.B))
		p.inked, p.fill = true, c
	}
}

func (p *PDF) Rect(b Box, c Colour) {
	if b.W <= 0 || b.H <= 0 {
		return
	}
	p.ink(c)
	p.doc.Rect(float64(b.X), float64(b.Y), float64(b.W), float64(b.H), "F")
}

func (p *PDF) Path(path *Path, ink Ink) {
	style := ""
	if ink.Filled {
		p.ink(ink.Fill)
		style = "F"
	}
	if ink.StrokeWidth > 0 {
		p.doc.SetDrawColor(int(ink.Stroke.R), int(ink.Stroke.G), int(ink.Stroke.B))
		p.doc.SetLineWidth(float64(ink.StrokeWidth))
		dash := []float64{}
		if ink.Dash > 0 {
			dash = []float64{float64(ink.Dash), float64(ink.Dash)}
		}
		p.doc.SetDashPattern(dash, 0)
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

func (p *PDF) Text(x, y measure.MM, s string, f Font) {
	s = clean(s)
	x, y = origin(x, y, s, f)
	if p.fonted.Size != f.Size || p.fonted.Bold != f.Bold {
		style := ""
		if f.Bold {
			style = "B"
		}
		p.doc.SetFont("andika", style, float64(f.Size)*72/25.4)
		p.fonted = f
	}
	p.doc.SetTextColor(int(f.Colour.R), int(f.Colour.G), int(f.Colour.B))
	if f.Up {
		p.doc.TransformBegin()
		p.doc.TransformRotate(90, float64(x), float64(y))
		p.doc.Text(float64(x), float64(y), s)
		p.doc.TransformEnd()
		return
	}
	p.doc.Text(float64(x), float64(y), s)
}

func (p *PDF) Clip(b Box) {
	p.doc.ClipRect(float64(b.X), float64(b.Y), float64(b.W), float64(b.H), false)
}

// Restore ends a clip; the colours set within it are forgotten with it.
func (p *PDF) Restore() {
	p.doc.ClipEnd()
	p.inked, p.fonted = false, Font{}
}

// WriteTo writes the document.
func (p *PDF) WriteTo(w io.Writer) (int64, error) {
	n := &counter{w: w}
	if err := p.doc.Output(n); err != nil {
		return n.n, fmt.Errorf("write PDF: %w", err)
	}
	return n.n, nil
}
