package web

import (
	"context"

	"urdir/internal/workshop"
	"urdir/yarn"
)

type lotsView struct {
	workshop.Listed[workshop.Lot]
	Stock map[string]workshop.LotStock
}

func lotList(v *visit) error {
	l, stock, err := v.s.house.Lots(v.r.Context(), v.Person, v.listing())
	if err != nil {
		return err
	}
	return v.page("lots", v.T("yarn-room"), lotsView{l, stock})
}

func lotPage(v *visit) error { return v.lotAgain(nil) }

// lotAgain shows a lot, with what was wrong with a form on its page.
func (v *visit) lotAgain(wrong error) error {
	view, err := v.lotViewOf(v.r.PathValue("id"))
	if err != nil {
		return err
	}
	if wrong != nil {
		return v.again(wrong, "lot", view.Value.Label, view)
	}
	return v.page("lot", view.Value.Label, view)
}

func lotForm(v *visit) error {
	l := workshop.Kept[workshop.Lot]{Value: workshop.Lot{Fibre: "cotton", Colour: "#c9ccc2"}}
	if id := v.r.PathValue("id"); id != "" {
		s, _, err := v.s.house.Lot(v.r.Context(), v.Person, id)
		if err != nil {
			return err
		}
		l = s.Kept
	}
	return v.page("lot-form", v.titleOf("lot-new", l.ID, l.Value.Label), l)
}

func saveLot(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	l := workshop.Kept[workshop.Lot]{ID: v.r.PathValue("id"), Value: workshop.Lot{
		Label: f.text("label"), Letter: f.text("letter"), Colour: f.text("colour"), Fibre: f.text("fibre"), Count: f.text("count"),
		Skein: f.grams("skein"), Dyed: f.text("dyed"), Waiting: f.yes("waiting"), Note: f.text("note"), Reorder: f.grams("reorder"),
		Dye: workshop.LotDye{Undyed: f.yes("undyed")}}}
	if l.ID != "" {
		l.Revision = f.revision()
	}
	if err = f.err(); err != nil {
		return v.again(err, "lot-form", v.titleOf("lot-new", l.ID, l.Value.Label), l)
	}
	kept, err := v.s.house.SaveLot(v.r.Context(), v.Person, l)
	if err != nil {
		return v.again(err, "lot-form", v.titleOf("lot-new", l.ID, l.Value.Label), l)
	}
	return v.to("/yarn/"+kept.ID, "saved")
}

func receiveLot(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	code, err := v.currency()
	if err != nil {
		return err
	}
	g, cost := f.grams("grams"), f.money("cost", code)
	if err = f.err(); err != nil {
		return v.lotAgain(err)
	}
	id := v.r.PathValue("id")
	_, err = v.once(f, func(ctx context.Context) (string, error) {
		return "", v.s.house.Receive(ctx, v.Person, id, g, cost, f.text("paid-from"))
	})
	if err != nil {
		return v.lotAgain(err)
	}
	return v.to("/yarn/"+id, "received")
}

func discardLot(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	g := f.grams("grams")
	if err := f.err(); err != nil {
		return v.lotAgain(err)
	}
	id := v.r.PathValue("id")
	if err := v.s.house.Discard(v.r.Context(), v.Person, id, g); err != nil {
		return v.lotAgain(err)
	}
	return v.to("/yarn/"+id, "discarded")
}

// Fibres is every fibre, for forms.
func (v *visit) Fibres() []string { return yarn.Fibres() }

// Place says in words where material is.
func (v *visit) Place(place string) string {
	for _, p := range []string{"bag:", "woven:", "piece:", "bath:", "dyed:"} {
		if len(place) > len(p) && place[:len(p)] == p {
			return v.T("place-" + p[:len(p)-1])
		}
	}
	return v.T("place-" + place)
}

// Grams is milligrams as a mass in words.
func (v *visit) Grams(mg int64) string { return v.S(gramsOf(mg)) }
