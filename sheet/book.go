package sheet

import (
	"fmt"
	"io"

	"urdir/draw"
	"urdir/internal/lang"
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
)

// Paper is a size of paper.
type Paper struct{ W, H measure.MM }

// A4 is ISO 216; Letter is 8.5 by 11 inches.
var (
	A4     = Paper{210, 297}
	Letter = Paper{215.9, 279.4}
)

// Options say how sheets are made.
type Options struct {
	Language string
	Paper    Paper
}

// phoneWidth is the width of a page as a picture for a telephone, in pixels.
const phoneWidth = 1240

// PDF writes all sheets of a plan as one document.
func PDF(w io.Writer, p plan.Plan, o Options) error {
	t, err := lang.For(o.Language)
	if err != nil {
		return err
	}
	pages := 0
	for range 2 { // once to count the pages, once to print their number
		doc := surface.NewPDF(surface.Meta{Title: p.Name, Language: t.Tag})
		b := &book{plan: p, t: t, paper: o.Paper, of: pages}
		b.add = func(string) surface.Surface {
			doc.AddPage(o.Paper.W, o.Paper.H)
			return doc
		}
		if pages == 0 {
			b.add = func(string) surface.Surface { return blank{o.Paper} }
		}
		b.all()
		if pages = b.page; b.of > 0 {
			_, err = doc.WriteTo(w)
		}
	}
	return err
}

// Page is a page as a picture. Name says which sheet it is from, as in
// "2-warp-body".
type Page struct {
	Name string
	PNG  *surface.PNG
}

// Pictures draws every page as a picture for a telephone.
func Pictures(p plan.Plan, o Options, done func(Page) error) error {
	t, err := lang.For(o.Language)
	if err != nil {
		return err
	}
	count := &book{plan: p, t: t, paper: o.Paper, add: func(string) surface.Surface { return blank{o.Paper} }}
	count.all()
	var last *Page
	b := &book{plan: p, t: t, paper: o.Paper, of: count.page}
	b.add = func(name string) surface.Surface {
		if last != nil && err == nil {
			err = done(*last)
		}
		s := surface.NewPNG(o.Paper.W, o.Paper.H, phoneWidth)
		last = &Page{fmt.Sprintf("%d-%s", b.page, name), s}
		return s
	}
	b.all()
	if err == nil && last != nil {
		err = done(*last)
	}
	return err
}

// Names lists the pages of a plan's sheets as Pictures names them.
func Names(p plan.Plan, o Options) ([]string, error) {
	t, err := lang.For(o.Language)
	if err != nil {
		return nil, err
	}
	var names []string
	b := &book{plan: p, t: t, paper: o.Paper}
	b.add = func(name string) surface.Surface {
		names = append(names, name)
		return blank{o.Paper}
	}
	b.all()
	return names, nil
}

// Margin of every page, and the height kept for its foot.
const (
	margin measure.MM = 13
	foot   measure.MM = 9
)

// book is a run of pages. Drawing goes on at y and begins a new page when the
// rest of this one is too short.
type book struct {
	plan  plan.Plan
	t     *lang.Words
	paper Paper
	add   func(name string) surface.Surface
	s     surface.Surface
	page  int
	of    int
	y     measure.MM
	head  func() // drawn again at the top of a page that a sheet runs over to
	name  string
}

func (b *book) all() {
	b.order()
	for i := range b.plan.Warps {
		b.warp(&b.plan.Warps[i])
	}
	for i := range b.plan.Panels {
		b.tied(i)
	}
	for i := range b.plan.Panels {
		b.weaver(i)
	}
	for i := range b.plan.Figures {
		b.chart(&b.plan.Figures[i])
	}
	b.yarns()
	if len(b.plan.Kit) > 0 {
		b.kit()
	}
}

func (b *book) left() measure.MM   { return margin }
func (b *book) right() measure.MM  { return b.paper.W - margin }
func (b *book) wide() measure.MM   { return b.paper.W - 2*margin }
func (b *book) bottom() measure.MM { return b.paper.H - margin - foot }

// sheet begins a sheet on a new page: what it is, of what, and for what.
func (b *book) sheet(name, title, of string) {
	b.name = name
	b.head = func() {
		b.text(b.left(), 5.5, title, surface.Font{Size: 4.4, Colour: accent})
		f := surface.Font{Size: 7.5, Bold: true, Colour: draw.Ink}
		b.text(b.left(), 13.5, of, surface.Fit(of, f, b.wide()-45))
		right := surface.Font{Size: 3.6, Colour: draw.Ink, Align: surface.Right}
		b.text(b.right(), 5.5, b.plan.Name, right)
		b.text(b.right(), 11, b.t.N("pieces", b.plan.Pieces, nil), right)
		b.y += 17
		b.s.Path(surface.Polyline(b.left(), b.y, b.right(), b.y), surface.Line(accent, 0.5))
		b.y += 5
	}
	b.next()
}

// accent is the colour of rules and headings: dyed indigo, dark enough for AA
// on white (8.9:1).
var accent = surface.Colour{R: 43, G: 68, B: 112}

// next begins a page.
func (b *book) next() {
	b.page++
	b.s = b.add(b.name)
	b.y = margin
	f := surface.Font{Size: 3, Colour: draw.Faint.Mix(surface.Black, 0.35)}
	y := b.paper.H - margin
	b.s.Text(b.left(), y, b.t.T("made-with", nil)+" · "+b.plan.Name, f)
	f.Align = surface.Right
	b.s.Text(b.right(), y, b.t.T("page-of", map[string]any{"page": b.page, "pages": max(b.of, b.page)}), f)
	b.head()
}

// room begins a new page when less than h is left.
func (b *book) room(h measure.MM) {
	if b.y+h > b.bottom() {
		b.next()
	}
}

// text writes at a place below the current height.
func (b *book) text(x, below measure.MM, s string, f surface.Font) {
	b.s.Text(x, b.y+below, s, f)
}

// para writes a paragraph and moves on.
func (b *book) para(s string, f surface.Font) {
	for _, line := range surface.Wrap(s, f, b.wide()) {
		b.room(f.Size * 1.35)
		b.text(b.left(), f.Size, line, f)
		b.y += f.Size * 1.35
	}
}

func (b *book) note(s string) { b.para(s, surface.Font{Size: 3.7, Colour: draw.Ink}) }

// heading is a heading within a sheet.
func (b *book) heading(s string) {
	b.room(14)
	b.y += 2.5
	b.text(b.left(), 4.6, s, surface.Font{Size: 4.6, Bold: true, Colour: accent})
	b.y += 7
}

// end closes a sheet: the usual cautions, with a bar beside them, and a line for
// who did it and when. The two stay together.
func (b *book) end(care, sign string) {
	f := surface.Font{Size: 3.3, Colour: draw.Ink}
	lines := surface.Wrap(b.t.T(care, nil), f, b.wide()-5)
	h := f.Size * 1.35 * measure.MM(len(lines))
	b.room(h + 4 + 13)
	b.y += 2
	b.s.Rect(surface.Box{X: b.left(), Y: b.y, W: 1.4, H: h + 1}, surface.Colour{R: 176, G: 58, B: 46})
	for i, line := range lines {
		b.text(b.left()+4, f.Size*(1+1.35*measure.MM(i)), line, f)
	}
	b.y += h + 3
	if sign == "" {
		return
	}
	b.y += 8
	b.text(b.left(), 0, b.t.T(sign, nil), surface.Font{Size: 3.4, Colour: draw.Ink})
	b.s.Path(surface.Polyline(b.left()+32, b.y+0.5, b.left()+120, b.y+0.5), surface.Line(draw.Ink, 0.2))
	b.y += 4
}

// height is how much of a page something takes.
func (b *book) height(write func(*book)) measure.MM {
	c := *b
	c.paper.H, c.y, c.s = 1e6, 0, blank{c.paper}
	write(&c)
	return c.y
}

// facts prints big numbers with a word under each.
func (b *book) facts(pairs ...[2]string) {
	b.room(17)
	w := b.wide() / measure.MM(len(pairs))
	for i, p := range pairs {
		x := b.left() + w*measure.MM(i)
		f := surface.Font{Size: 8, Bold: true, Colour: draw.Ink}
		b.text(x, 7.5, p[0], surface.Fit(p[0], f, w-3))
		b.text(x, 12.5, p[1], surface.Font{Size: 3.4, Colour: draw.Ink})
	}
	b.y += 16
}

// blank is paper on which nothing is drawn: it counts pages.
type blank struct{ paper Paper }

func (k blank) Size() (w, h measure.MM)                         { return k.paper.W, k.paper.H }
func (blank) Rect(surface.Box, surface.Colour)                  {}
func (blank) Path(*surface.Path, surface.Ink)                   {}
func (blank) Text(measure.MM, measure.MM, string, surface.Font) {}
func (blank) Clip(surface.Box)                                  {}
func (blank) Restore()                                          {}
func (blank) Lap() measure.MM                                   { return 0 }
func (blank) Fine() measure.MM                                  { return 1000 }
