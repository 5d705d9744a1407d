package web

import (
	"cmp"
	"image"
	"image/color"
	"image/png"
	"io"
	"slices"
	"sync"
	"time"

	"urdir/clothfile"
	"urdir/figure"
	"urdir/internal/screen"
	"urdir/internal/workshop"
	"urdir/plan"
	"urdir/surface"
)

// looks remembers for a short while how the yarns of workshops look, for lists
// of pictures that all ask at once.
type looks struct {
	mu sync.Mutex
	of map[string]look // by workshop
}

type look struct {
	until time.Time
	yarns []screen.Chip
}

const (
	looksLast  = 20 * time.Second
	looksMost  = 1000 // workshops; then all are forgotten
	clothsRead = 30   // for the names of yarns
)

// yarns are those a figure's colours may be, by the names they have in cloth
// files, each name once: what lies on the shelf, then what cloths name, as most
// of them do.
func (v *visit) yarns() ([]screen.Chip, error) {
	out, seen := []screen.Chip{}, map[string]bool{}
	add := func(c screen.Chip) {
		if !seen[c.Yarn] && c.Colour != "" {
			seen[c.Yarn] = true
			out = append(out, c)
		}
	}
	lots, _, err := v.s.house.Lots(v.r.Context(), v.Person, workshop.Page{})
	if err != nil {
		return out, err
	}
	for _, l := range lots.Items {
		key := workshop.Figure{Name: l.Value.Label}.Key() // names of all things are made so
		add(screen.Chip{Yarn: key, Letter: l.Value.Letter, Colour: l.Value.Colour, Label: l.Value.Label})
	}
	cloths, err := v.s.house.Cloths(v.r.Context(), v.Person, workshop.Page{Limit: clothsRead})
	for _, c := range namedMost(cloths.Items) {
		add(c)
	}
	return out, err
}

// namedMost is the yarns of cloths, each first in the looks most cloths give it.
func namedMost(cloths []workshop.Kept[workshop.Cloth]) (out []screen.Chip) {
	times := map[screen.Chip]int{}
	for _, c := range cloths {
		read, _, _ := clothfile.Read([]byte(c.Value.Text)) // one with faults may still name yarns
		for _, y := range read.Yarns {
			is := screen.Chip{Yarn: y.Key, Colour: y.Colour, Label: cmp.Or(y.Label, y.Key)}
			if times[is]++; times[is] == 1 {
				out = append(out, is)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b screen.Chip) int { return times[b] - times[a] })
	return out
}

// dye gives a figure by itself the colours of the yarns it names.
func (v *visit) dye(p *plan.Plan) error {
	l := &v.s.looks
	l.mu.Lock()
	known, ok := l.of[v.Person.Workshop]
	l.mu.Unlock()
	if !ok || time.Now().After(known.until) {
		yarns, err := v.yarns()
		if err != nil {
			return err
		}
		known = look{time.Now().Add(looksLast), yarns}
		l.mu.Lock()
		if l.of == nil || len(l.of) > looksMost {
			l.of = map[string]look{}
		}
		l.of[v.Person.Workshop] = known
		l.mu.Unlock()
	}
	for i := range p.Yarns {
		for _, y := range known.yarns {
			if y.Yarn == p.Yarns[i].Key {
				p.Yarns[i].Label, p.Yarns[i].Colour = y.Label, y.Colour
			}
		}
	}
	return nil
}

// figureSmall is the figure as it looks in a list: its cells only, in their
// proportion.
func figureSmall(v *visit) error {
	k, err := v.s.house.Figure(v.r.Context(), v.Person, v.r.PathValue("id"))
	if err != nil {
		return err
	}
	p, c, ok := k.Value.Drawn()
	if !ok {
		return &workshop.Error{Code: workshop.NotFound}
	}
	if err := v.dye(&p); err != nil {
		return err
	}
	yarns := color.Palette{color.White}
	for _, y := range p.Yarns {
		rgb := surface.ParseColour(y.Colour)
		yarns = append(yarns, color.RGBA{rgb.R, rgb.G, rgb.B, 255})
	}
	const side = 192.0 // pixels of the longer side
	by := side / max(float64(c.Width), float64(c.Height))
	w, h := max(1, int(by*float64(c.Width))), max(1, int(by*float64(c.Height)))
	img := image.NewPaletted(image.Rect(0, 0, w, h), yarns)
	for i := range img.Pix {
		row, column := i/w*c.Rows/h, i%w*c.Columns/w
		img.Pix[i] = uint8(c.Chart.At(row, column))
		if up := c.Chart.Up(row, column) + 1; c.Kind == figure.PickUp && up < len(yarns) {
			img.Pix[i] = uint8(up)
		}
	}
	return v.send("image/png", "", func(to io.Writer) error { return png.Encode(to, img) })
}
