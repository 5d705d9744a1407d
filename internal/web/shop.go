package web

import (
	"io"

	"urdir/internal/workshop"
)

// shopView is what is for sale.
type shopView struct {
	Cards []cardView
	LD    map[string]any
}

// offers is the cards of the pieces that are for sale.
func (v *visit) offers() (out []workshop.Card, _ error) {
	all, err := v.s.house.Cards(v.r.Context(), v.Person, workshop.Page{State: string(workshop.Finished)})
	if err != nil {
		return nil, err
	}
	for _, x := range all.Items {
		if !x.Value.Offered() {
			continue
		}
		c, err := v.s.house.PieceCard(v.r.Context(), v.Person, x.ID)
		if err != nil {
			return nil, err
		}
		out = append(out, c)
	}
	return out, nil
}

func shopPage(v *visit) error {
	cards, err := v.offers()
	if err != nil {
		return err
	}
	var view shopView
	for _, c := range cards {
		x := v.cardView(c)
		x.Picture = "/orders/" + c.Value.Order + "/" + c.Value.Line + "/cloth.svg"
		if x.Photo = ""; c.Value.Photo != "" {
			x.Photo = "/pictures/" + c.Value.Photo
		}
		view.Cards = append(view.Cards, x)
	}
	return v.page("shop", v.T("shop"), view)
}

// shopZip sends what is for sale for another shop: a table, the same as linked data,
// and pictures.
func shopZip(v *visit) error {
	cards, err := v.offers()
	if err != nil {
		return err
	}
	return v.sendZip("shop.zip", func(put func(string, []byte) error) error {
		x := exporter{s: v.s, words: v.Words, at: v.address(), put: put, photo: v.photoOf}
		return x.shop(v.r.Context(), cards)
	})
}

// shopLD sends what is for sale as linked data.
func shopLD(v *visit) error {
	cards, err := v.offers()
	if err != nil {
		return err
	}
	x := exporter{s: v.s, words: v.Words, at: v.address()}
	body, err := x.linked(cards)
	if err != nil {
		return err
	}
	return v.send("application/ld+json", "shop.jsonld", func(w io.Writer) error {
		_, err := w.Write(body)
		return err
	})
}

// photoOf is the photograph of a piece.
func (v *visit) photoOf(c workshop.Card) (workshop.Picture, error) {
	return v.s.house.Picture(v.r.Context(), v.Person, c.Value.Photo)
}
