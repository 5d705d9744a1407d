package sheet

import (
	"fmt"
	"io"
	"time"

	"urdir/draw"
	"urdir/internal/lang"
	"urdir/measure"
	"urdir/plan"
	"urdir/price"
	"urdir/surface"
)

// Maker is who a paper is from: the workshop, and the lines that say where it is.
type Maker struct {
	Name  string
	Lines []string
}

// paperwork is a paper for people outside: a quote, an invoice, a receipt, a pay
// slip. It is laid out twice, once to count its pages.
type paperwork struct {
	*book
	failed error // what a picture said
}

// document writes a paper as a document.
func document(w io.Writer, o Options, title string, lay func(*paperwork)) error {
	t, err := lang.For(o.Language)
	if err != nil {
		return err
	}
	pages := 0
	for range 2 {
		doc := surface.NewPDF(surface.Meta{Title: title, Language: t.Tag})
		p := &paperwork{book: &book{t: t, paper: o.Paper, of: pages}}
		p.add = func(string) surface.Surface {
			doc.AddPage(o.Paper.W, o.Paper.H)
			return doc
		}
		if pages == 0 {
			p.add = func(string) surface.Surface { return blank{o.Paper} }
		}
		lay(p)
		if p.failed != nil {
			return p.failed
		}
		if pages == 0 {
			pages = p.page
			continue
		}
		_, err = doc.WriteTo(w)
	}
	return err
}

// documentPictures draws every page of a paper as a picture for a telephone.
func documentPictures(o Options, name string, lay func(*paperwork), done func(Page) error) error {
	t, err := lang.For(o.Language)
	if err != nil {
		return err
	}
	count := &paperwork{book: &book{t: t, paper: o.Paper, add: func(string) surface.Surface { return blank{o.Paper} }}}
	lay(count)
	var pages []Page
	p := &paperwork{book: &book{t: t, paper: o.Paper, of: count.page}}
	p.add = func(string) surface.Surface {
		s := surface.NewPNG(o.Paper.W, o.Paper.H, phoneWidth)
		pages = append(pages, Page{fmt.Sprintf("%d-%s", p.page, name), s})
		return s
	}
	lay(p)
	if p.failed != nil {
		return p.failed
	}
	for _, page := range pages {
		if err := done(page); err != nil {
			return err
		}
	}
	return nil
}

// begin begins the paper: who it is from, what it is with its number, for whom.
func (p *paperwork) begin(m Maker, title, number, to string) {
	p.plan.Name = m.Name // at the foot
	p.head = func() {
		f := surface.Font{Size: 5.4, Bold: true, Colour: draw.Ink}
		p.text(p.left(), 5.4, m.Name, surface.Fit(m.Name, f, p.wide()*0.55))
		right := surface.Font{Size: 4.4, Colour: accent, Align: surface.Right}
		p.text(p.right(), 4.4, title, right)
		right = surface.Font{Size: 5.4, Bold: true, Colour: draw.Ink, Align: surface.Right}
		p.text(p.right(), 11, number, surface.Fit(number, right, p.wide()*0.4))
		small := surface.Font{Size: 3.4, Colour: draw.Ink}
		y := measure.MM(10.4)
		for _, l := range m.Lines {
			p.text(p.left(), y, l, surface.Fit(l, small, p.wide()*0.55))
			y += small.Size * 1.35
		}
		p.y += max(y-small.Size*1.35, 11) + 4
		p.s.Path(surface.Polyline(p.left(), p.y, p.right(), p.y), surface.Line(accent, 0.5))
		p.y += 6
		if to != "" && p.page == 1 {
			f := surface.Font{Size: 4.6, Colour: draw.Ink}
			p.text(p.left(), f.Size, to, surface.Fit(to, f, p.wide()))
			p.y += 8.5
		}
	}
	p.next()
}

// day is a date in words, or as it is written if it is none.
func (p *paperwork) day(text string) string {
	if d, err := time.Parse(time.DateOnly, text); err == nil {
		return p.t.Date(d)
	}
	return text
}

// pairs writes lines of a word and what it is.
func (p *paperwork) pairs(rows ...[2]string) {
	f := surface.Font{Size: 3.9, Colour: draw.Ink}
	bold := f
	bold.Bold = true
	for _, r := range rows {
		if r[1] == "" {
			continue
		}
		lines := surface.Wrap(r[1], bold, p.wide()-45)
		p.room(f.Size * 1.5 * measure.MM(len(lines)))
		p.text(p.left(), f.Size, r[0], surface.Fit(r[0], f, 43))
		for _, l := range lines {
			p.text(p.left()+45, f.Size, l, bold)
			p.y += f.Size * 1.5
		}
	}
}

// column is a column of a table: its words and how much of the width it has.
type column struct {
	head  string
	share measure.MM
	right bool
}

// rows writes a table. A text too long for its column is broken into lines.
func (p *paperwork) rows(cols []column, rows [][]string) {
	line := func(cells []string, f surface.Font) {
		text, high := make([][]string, len(cells)), 1
		for i, c := range cells {
			text[i] = surface.Wrap(c, f, p.wide()*cols[i].share-3)
			high = max(high, len(text[i]))
		}
		h := measure.MM(high)*f.Size*1.35 + 1.6
		p.room(h)
		x := p.left()
		for i, lines := range text {
			g, at := f, x
			if cols[i].right {
				g.Align, at = surface.Right, x+p.wide()*cols[i].share
			}
			for n, l := range lines {
				p.text(at, f.Size*(1+1.35*measure.MM(n)), l, surface.Fit(l, g, p.wide()*cols[i].share-1))
			}
			x += p.wide() * cols[i].share
		}
		p.y += h
		p.s.Path(surface.Polyline(p.left(), p.y-0.4, p.right(), p.y-0.4), surface.Line(draw.Hair, 0.2))
		p.y += 0.8
	}
	heads := make([]string, len(cols))
	for i, c := range cols {
		heads[i] = c.head
	}
	p.room(16)
	line(heads, surface.Font{Size: 3.2, Colour: accent})
	for _, r := range rows {
		line(r, surface.Font{Size: 3.7, Colour: draw.Ink})
	}
}

// sum is an amount with its words.
type sum struct {
	words  string
	amount string
	strong bool
}

// sums writes amounts under each other, at the right; those of nothing are left out
// by whoever calls it.
func (p *paperwork) sums(all ...sum) {
	for _, s := range all {
		f := surface.Font{Size: 4, Colour: draw.Ink, Bold: s.strong}
		if s.strong {
			f.Size = 5.2
		}
		p.room(f.Size * 1.6)
		wide := p.wide() * 0.42
		p.text(p.right()-p.wide()*0.62, f.Size, s.words, surface.Fit(s.words, f, wide-4))
		g := f
		g.Align = surface.Right
		p.text(p.right(), f.Size, s.amount, surface.Fit(s.amount, g, p.wide()*0.22))
		p.y += f.Size * 1.6
	}
}

// money writes an amount.
func (p *paperwork) money(m price.Money) string { return p.t.S(m) }

// sign is a line for a signature, with words under it.
func (p *paperwork) sign(words string) {
	p.room(19)
	p.y += 13
	p.s.Path(surface.Polyline(p.left(), p.y, p.left()+80, p.y), surface.Line(draw.Ink, 0.25))
	p.text(p.left(), 4.4, words, surface.Font{Size: 3.4, Colour: draw.Ink})
	p.y += 6
}

// picture draws the whole cloth in the middle of a box.
func (p *paperwork) picture(room surface.Box, c *plan.Plan) {
	box := shaped(room, *c)
	switch s := p.s.(type) {
	case *surface.PDF:
		p.failed = s.Picture(box, coarse(box, *c))
	case *surface.PNG:
		s.Picture(box, coarse(box, *c))
	}
}
