package web

import (
	"strings"

	"urdir/colour"
	"urdir/internal/workshop"
)

// shelfView is the yarn of the shelf by colour: those with a hue, the greys, and
// with a wish the nearest.
type shelfView struct {
	Hues   []workshop.ShelfLot
	Greys  []workshop.ShelfLot
	Near   []workshop.ShelfLot // the nearest first
	Wish   *colour.Lab
	Picked string // what the picker shows
}

// nearShown is how many lots are shown for a wish.
const nearShown = 8

func shelfPage(v *visit) error {
	f := v.asked()
	view := shelfView{Picked: "#a8442f"}
	if s := strings.TrimSpace(f.text("picked")); s != "" && f.text("by") == "picked" {
		view.Wish = f.wished("picked", s)
	}
	if s := strings.TrimSpace(f.text("wish")); s != "" && view.Wish == nil {
		view.Wish = f.wished("wish", s)
	}
	v.Problems = f.ps
	if view.Wish != nil {
		view.Picked = view.Wish.Show().SRGB.String()
		near, err := v.s.house.ColourShelf(v.r.Context(), v.Person, view.Wish)
		if err != nil {
			return err
		}
		view.Near = near[:min(nearShown, len(near))]
	}
	all, err := v.s.house.ColourShelf(v.r.Context(), v.Person, nil)
	if err != nil {
		return err
	}
	for _, l := range all {
		if l.Lab.LCh().C < colour.DefaultGrey {
			view.Greys = append(view.Greys, l)
		} else {
			view.Hues = append(view.Hues, l)
		}
	}
	return v.page("shelf", v.T("shelf"), view)
}

// wished reads a colour that is wished for; nil if it cannot be read.
func (f *form) wished(field, s string) *colour.Lab {
	c, err := colour.Parse(cut(s))
	if err == nil && !(c.L >= 0 && c.L <= 100) {
		err = &colour.ParseError{Code: "colour-range", Text: s}
	}
	if f.unread(field, err); err != nil {
		return nil
	}
	return &c
}

// How far apart two colours are, in words. What a trained eye sees side by side is
// about 1, what is seen at a glance about 5 (from memory; CIEDE2000 was fitted to
// differences up to that).
var apartWords = []struct {
	most colour.DeltaE
	key  string
}{{1, "apart-none"}, {2, "apart-hardly"}, {5, "apart-seen"}, {10, "apart-clear"}}

// HowFar says how far apart two colours are.
func (v *visit) HowFar(d colour.DeltaE) string {
	for _, w := range apartWords {
		if d <= w.most {
			return v.T(w.key)
		}
	}
	return v.T("apart-other")
}

// DeltaE writes a colour difference.
func (v *visit) DeltaE(d colour.DeltaE) string { return "ΔE " + v.Words.Fixed(float64(d), 1) }
