package sheet

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"time"

	"urdir/draw"
	"urdir/internal/lang"
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
)

// Share is what a customer is shown of a cloth: one page, its picture large, and
// of its facts only what is chosen. Numbers that are the workshop's own are on
// it only with Numbers.
type Share struct {
	Options
	Workshop  string
	Day       time.Time
	Name      bool
	Size      bool
	Materials bool
	Weight    bool
	Numbers   bool // ends, sett, picks, stripes, yarn and lots
}

// closest is how fine the cloth is drawn for those who do not get the numbers, in
// pixels an end: too coarse to count ends, and fine enough to see stripes and
// figures. finest bounds it, in pixels a centimetre.
const (
	closest = 0.6
	finest  = 20
)

// SharePDF writes the page as a document. Without Numbers the cloth is in it as
// pixels, since lines in a document can be counted and measured.
func SharePDF(w io.Writer, p plan.Plan, o Share) error {
	t, err := lang.For(o.Language)
	if err != nil {
		return err
	}
	meta := surface.Meta{Title: o.Workshop, Language: t.Tag}
	if o.Name {
		meta.Title = p.Name
	}
	doc := surface.NewPDF(meta)
	doc.AddPage(o.Paper.W, o.Paper.H)
	var failed error
	o.draw(doc, t, p, func(box surface.Box) {
		if o.Numbers {
			draw.Cloth(doc, box, p)
			return
		}
		failed = doc.Picture(box, coarse(box, p))
	})
	if failed != nil {
		return failed
	}
	_, err = doc.WriteTo(w)
	return err
}

// SharePNG writes the page as a picture for a telephone.
func SharePNG(w io.Writer, p plan.Plan, o Share) error {
	t, err := lang.For(o.Language)
	if err != nil {
		return err
	}
	page := surface.NewPNG(o.Paper.W, o.Paper.H, phoneWidth)
	o.draw(page, t, p, func(box surface.Box) {
		if o.Numbers {
			draw.Cloth(page, box, p)
			return
		}
		page.Picture(box, coarse(box, p))
	})
	_, err = page.WriteTo(w)
	return err
}

// longest is the longer side of a picture of a cloth by itself.
const longest measure.MM = 240

// Coarse writes the picture of a cloth for people outside: true, and in pixels too
// coarse to count its ends.
func Coarse(w io.Writer, p plan.Plan) error {
	aspect := measure.MM(draw.Aspect(p))
	box := surface.Box{W: longest * aspect, H: longest}
	if box.W > longest {
		box.W, box.H = longest, longest/aspect
	}
	box.W, box.H = max(box.W, 6), max(box.H, 6)
	_, err := coarse(box, p).WriteTo(w)
	return err
}

// coarse is the cloth in pixels, filling a box whose shape it has.
func coarse(box surface.Box, p plan.Plan) *surface.PNG {
	wide, _ := draw.Size(p)
	perCM := float64(finest)
	for _, w := range p.Warps {
		perCM = min(perCM, closest*float64(w.Sett))
	}
	s := surface.NewPNG(box.W, box.H, int(float64(wide)*perCM))
	draw.Cloth(s, surface.Box{W: box.W, H: box.H}, p)
	return s
}

// draw lays out the page; cloth draws the cloth into a box of its shape.
func (o Share) draw(s surface.Surface, t *lang.Words, p plan.Plan, cloth func(surface.Box)) {
	b := &book{plan: p, t: t, paper: o.Paper, s: s, y: margin, page: 1, of: 1}
	lines := o.lines(t, p)
	if o.Name {
		f := surface.Font{Size: 9, Bold: true, Colour: draw.Ink}
		b.text(b.left(), 8, p.Name, surface.Fit(p.Name, f, b.wide()))
		b.y += 14
	}
	body := surface.Font{Size: 4.4, Colour: draw.Ink}
	var text []string
	for _, l := range lines {
		text = append(text, surface.Wrap(l, body, b.wide())...)
	}
	below := measure.MM(len(text))*body.Size*1.4 + 6
	room := surface.Box{X: b.left(), Y: b.y, W: b.wide(), H: max(40, b.bottom()-b.y-below)}
	cloth(shaped(room, p))
	b.y = room.Y + room.H + 6
	for _, l := range text {
		b.text(b.left(), body.Size, l, body)
		b.y += body.Size * 1.4
	}
	foot := surface.Font{Size: 3.6, Colour: draw.Ink}
	y := b.paper.H - margin
	s.Text(b.left(), y, o.Workshop, surface.Fit(o.Workshop, foot, b.wide()*0.7))
	foot.Align = surface.Right
	s.Text(b.right(), y, t.Date(o.Day), foot)
}

// shaped is the largest box of the cloth's shape in the middle of another.
func shaped(room surface.Box, p plan.Plan) surface.Box {
	aspect := measure.MM(draw.Aspect(p))
	w, h := room.W, room.W/aspect
	if h > room.H {
		w, h = room.H*aspect, room.H
	}
	return surface.Box{X: room.X + (room.W-w)/2, Y: room.Y + (room.H-h)/2, W: w, H: h}
}

// lines is what the page says below the picture.
func (o Share) lines(t *lang.Words, p plan.Plan) (out []string) {
	add := func(key, value string) {
		if value != "" {
			out = append(out, t.T(key, map[string]any{"value": value}))
		}
	}
	if o.Size {
		add("share-size", t.S(p.Piece.Width)+" × "+t.S(p.Piece.Overall))
	}
	if o.Materials {
		add("share-materials", Materials(t, p))
	}
	if o.Weight {
		add("share-weight", t.S(p.Piece.Mass))
	}
	for _, f := range p.Figures {
		add("share-origin", f.Origin)
		add("share-owner", f.Owner)
	}
	out = slices.Compact(out)
	if o.Numbers {
		out = append(out, own(t, p)...)
	}
	return out
}

// Materials is the fibres of a piece with their part of its yarn, the most first.
func Materials(t *lang.Words, p plan.Plan) string {
	mass, all := map[string]measure.Gram{}, measure.Gram(0)
	var fibres []string
	for _, y := range p.Yarns {
		if y.Fibre == "" || y.Mass <= 0 {
			continue
		}
		if mass[y.Fibre] == 0 {
			fibres = append(fibres, y.Fibre)
		}
		mass[y.Fibre] += y.Mass
		all += y.Mass
	}
	slices.SortStableFunc(fibres, func(a, b string) int { return int(math.Copysign(1, float64(mass[b]-mass[a]))) })
	var parts []string
	for _, f := range fibres {
		part := t.T("fibre-"+f, nil)
		if len(fibres) > 1 {
			part = t.Num(math.Round(float64(mass[f]/all)*100), 0) + "\u202f% " + part
		}
		parts = append(parts, part)
	}
	return strings.Join(parts, ", ")
}

// own is the workshop's own numbers.
func own(t *lang.Words, p plan.Plan) (out []string) {
	for _, w := range p.Warps {
		out = append(out, fmt.Sprintf("%s: %s, %s, %s", w.Key, t.N("ends-n", w.Ends, nil), t.S(w.Sett), t.N("share-stripes", len(w.Stripes), nil)))
	}
	for _, x := range p.Panels {
		out = append(out, fmt.Sprintf("%s: %s", x.Key, t.N("picks", x.Picks, nil)))
	}
	for _, y := range p.Yarns {
		parts := []string{y.Label, y.Count, t.S(y.Mass)}
		out = append(out, strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), ", "))
	}
	return out
}
