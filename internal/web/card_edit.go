package web

import (
	"urdir/internal/workshop"
	"urdir/label"
)

func pieceCard(v *visit) error { return v.pieceCardAgain(nil) }

func (v *visit) pieceCardAgain(wrong error) error {
	c, err := v.s.house.PieceCard(v.r.Context(), v.Person, v.r.PathValue("id"))
	if err != nil {
		return err
	}
	view := v.cardView(c)
	view.Picture, view.Photo = "/orders/"+c.Value.Order+"/"+c.Value.Line+"/cloth.svg", ""
	if c.Value.Photo != "" {
		view.Photo = "/pictures/" + c.Value.Photo
	}
	if c.Value.Card != "" {
		view.QR, view.QRSize = qrPath(view.At)
	}
	title := v.T("card-of", "number", itoa(int(c.Value.Number)))
	if wrong != nil {
		return v.again(wrong, "card-piece", title, view)
	}
	return v.page("card-piece", title, view)
}

func (v *visit) actCard(done string, do func(f *form, id string) error) error {
	f, err := v.read()
	if f, err = v.tooBig(f, err, "photo"); err != nil {
		return err
	}
	id := v.r.PathValue("id")
	if err := do(f, id); err != nil {
		return v.pieceCardAgain(err)
	}
	return v.to("/cards/"+id, done)
}

func showCard(v *visit) error {
	return v.actCard("cards-shown", func(_ *form, id string) error {
		_, err := v.s.house.ShowCards(v.r.Context(), v.Person, []string{id})
		return err
	})
}

func hideCard(v *visit) error {
	return v.actCard("card-hidden", func(f *form, id string) error {
		_, err := v.s.house.HideCard(v.r.Context(), v.Person, id, f.revision())
		return err
	})
}

func offerPiece(v *visit) error {
	return v.actCard("saved", func(f *form, id string) error {
		set, err := v.s.house.Settings(v.r.Context(), v.Person)
		if err != nil {
			return err
		}
		ask := f.money("ask", set.Value.Currency)
		if err = f.err(); err != nil {
			return err
		}
		_, err = v.s.house.OfferPiece(v.r.Context(), v.Person, id, f.revision(), ask)
		return err
	})
}

func photoPiece(v *visit) error {
	return v.actCard("saved", func(f *form, id string) error {
		pic := f.photo("photo")
		if err := f.err(); err != nil {
			return err
		}
		_, err := v.s.house.PhotoPiece(v.r.Context(), v.Person, id, f.revision(), pic)
		return err
	})
}

func cardSettings(v *visit) error {
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	return v.page("card-settings", v.T("card-settings"), workshop.MoneyOf(set))
}

func saveCardSettings(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	m := workshop.MoneyOf(set)
	m.Revision = f.revision()
	m.Value.Country, m.Value.Card = f.text("country"), f.text("card")
	m.Value.Cards = workshop.CardHouse{Region: f.text("region"), Rule: label.Rule(f.text("rule")), Hours: f.yes("hours")}
	if _, _, err := v.s.house.SaveMoneyHouse(v.r.Context(), v.Person, m); err != nil {
		return v.again(err, "card-settings", v.T("card-settings"), m)
	}
	return v.to("/cards", "saved")
}
