package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"slices"
	"strings"

	"urdir/check"
	"urdir/clothfile"
	"urdir/figure"
	"urdir/figure/photo"
	"urdir/internal/screen"
	"urdir/internal/workshop"
	"urdir/measure"
	"urdir/plan"
)

// photoPath is the one address that takes more than a form: a picture.
const photoPath = "/figures/photo"

// maxPhoto bounds a picture that is sent, maxPixels what is made of it in
// memory, four bytes each.
const (
	maxPhoto  = 12 << 20
	maxPixels = 40_000_000
)

// nearEnough is how far apart in Oklab a colour of a picture and a yarn may be
// for the one to be named after the other: about three times what is just seen
// to differ (0.02; B. Ottosson, 2020), from memory.
const nearEnough = 0.06

// photoChart makes a chart of a picture that was sent. The page's script is
// answered with the figure's text and what is to be said of it; others with the
// figure's form, with the text filled in.
func photoChart(v *visit) error {
	f, err := v.read()
	if _, tooBig := errors.AsType[*http.MaxBytesError](err); tooBig {
		f = &form{v: v}
		f.ps.Wrong("picture", "photo-file-large", check.Args{"megabytes": float64(maxPhoto >> 20)})
	} else if err != nil {
		return err
	}
	k := workshop.Kept[workshop.Figure]{Value: workshop.Figure{Sale: "yes"}}
	if id := f.text("id"); id != "" {
		if k, err = v.s.house.Figure(v.r.Context(), v.Person, id); err != nil {
			return err
		}
	}
	text, ps, err := v.charted(f)
	if err != nil {
		return err
	}
	if v.r.Header.Get("Accept") == "application/json" {
		said := screen.Sayings(v.Words, ps)
		return v.send("application/json", "", func(w io.Writer) error {
			return json.NewEncoder(w).Encode(map[string]any{"text": text, "problems": said})
		})
	}
	v.Problems = ps
	if text != "" {
		k.Value.Text = text
	} else if like := f.text("like"); like != "" {
		k.Value.Text = like
	}
	status := http.StatusOK
	if ps.Failed() {
		status = http.StatusUnprocessableEntity
	}
	v.Title, v.Data = v.titleOf("figure-new", k.ID, k.Value.Name), k
	return v.s.render(v, status, "figure-form")
}

// charted is the figure's text made of the picture; empty if there is none.
func (v *visit) charted(f *form) (string, check.Problems, error) {
	columns, colours := f.whole("columns"), f.whole("colours")
	like := likeOf(f.text("like"))
	sett, picks := f.density("sett", plan.AloneSett), f.density("picks", plan.AlonePicks)
	file, _, err := v.r.FormFile("picture")
	if err != nil {
		if !f.ps.Failed() {
			f.ps.Wrong("picture", "photo-empty", nil)
		}
		return "", f.ps, nil
	}
	defer func() { _ = file.Close() }() // only read
	if f.ps.Failed() {
		return "", f.ps, nil
	}
	v.s.pictures.Lock() // one at a time: each may fill a good part of a small computer
	defer v.s.pictures.Unlock()
	img, ps := photo.Decode(file, photo.Limits{Bytes: maxPhoto, Pixels: maxPixels})
	if ps.Failed() {
		return "", ps, nil
	}
	o := photo.NewOptions(columns)
	o.Colours, o.Islands = colours, f.text("clean") == ""
	if !o.Islands && columns > 1 {
		o.Run = 2
	}
	o.CellWidth = (measure.CM(float64(like.Chart.Cell.Ends) / float64(sett))).MM()
	o.CellHeight = (measure.CM(float64(like.Chart.Cell.Picks) / float64(picks))).MM()
	if f.text("ground") == "lightest" {
		found, more := photo.Colours(img, colours)
		if more.Failed() {
			return "", more, nil
		}
		o.Ground = photo.Lightest(found)
	}
	g, ps := photo.Chart(img, o)
	if ps.Failed() {
		return "", ps, nil
	}
	yarns, err := v.yarns()
	if err != nil {
		return "", nil, err
	}
	return figureOf(g, like, yarnsFor(g.Symbols, yarns), ps)
}

// figureOf writes a chart as a figure woven like another.
func figureOf(g photo.Grid, like plan.Figure, yarns []string, ps check.Problems) (string, check.Problems, error) {
	c, more := g.Figure(yarns)
	if c.Kind = like.Chart.Kind; c.Kind == figure.PickUp && len(yarns) > 2 {
		more.Wrong("colours", "design-pick-up-colours", check.Args{"colours": len(yarns)})
	}
	if ps = append(ps, more...); ps.Failed() {
		return "", ps, nil
	}
	c.Way, c.Cell, c.Limit = like.Chart.Way, like.Chart.Cell, like.Chart.Limit
	like.Chart = c
	return clothfile.WriteFigure(like), ps, nil
}

// likeOf is the figure on the board, whose kind and cell the new chart takes; a
// blank one if it cannot be read.
func likeOf(text string) plan.Figure {
	c, ps := clothfile.ReadFigure("figure", strings.ReplaceAll(text, "\r\n", "\n"))
	if ps.Failed() || len(c.Figures) != 1 || len(text) > clothfile.MaxBytes {
		plain, _ := blank(figure.Brocade, 1, 1, nil)
		c, _ = clothfile.ReadFigure("figure", plain)
	}
	return c.Figures[0]
}

// yarnsFor names the colours of a picture after the yarns of the shelf they look
// like, each yarn once; others get a name of their own.
func yarnsFor(found []photo.Symbol, yarns []screen.Chip) (out []string) {
	left := slices.Clone(yarns)
	for i, c := range found {
		var hexes []string
		for _, y := range left {
			hexes = append(hexes, y.Colour)
		}
		n, apart := photo.Nearest(c.Hex, hexes)
		if n >= 0 && apart <= nearEnough {
			out = append(out, left[n].Yarn)
			left = slices.Delete(left, n, n+1)
			continue
		}
		out = append(out, fmt.Sprintf("figure-%d", i+1))
	}
	return out
}

// density reads a number of threads a centimetre; empty is the usual one.
func (f *form) density(field string, usual measure.PerCM) measure.PerCM {
	s := strings.TrimSpace(f.text(field))
	if s == "" {
		return usual
	}
	n, code := measure.ParseNumber(s)
	switch {
	case code != "":
		f.ps.Wrong(field, code, check.Args{"text": s, "unit": "/cm", "want": []string{"/cm"}})
	case n < 1 || n > 100:
		f.ps.Wrong(field, "out-of-range", check.Args{"value": n, "low": 1.0, "high": 100.0})
	default:
		return measure.PerCM(n)
	}
	return usual
}
