package web

import (
	"errors"
	"slices"
	"strings"

	"urdir/internal/workshop"
)

// supplyRow is all there is of one substance or plant.
type supplyRow struct {
	workshop.SupplyGroup
	Is      stuff
	Use     []workshop.SupplyStock // in the order to use them
	Expired bool                   // something on the shelf is
}

// suppliesView is the store of the dye house.
type suppliesView struct {
	Rows  []supplyRow
	Empty []supplyRow // bags that are used up
}

func supplyList(v *visit) error {
	groups, err := v.s.house.Supplies(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	all, err := v.stuffs()
	if err != nil {
		return err
	}
	var view suppliesView
	asked := strings.Fields(workshop.Fold(cut(v.Query())))
	for _, g := range groups {
		row, empty := supplyRow{SupplyGroup: g, Is: stuffOf(all, g.What)}, supplyRow{Is: stuffOf(all, g.What)}
		for _, b := range g.Bags {
			if b.OnShelf == 0 {
				empty.Use = append(empty.Use, b)
				continue
			}
			row.Use = append(row.Use, b)
			row.Expired = row.Expired || b.Expired
		}
		slices.SortStableFunc(row.Use, goodFirst)
		if !row.says(asked) || v.State() == "low" && !row.Low() || v.State() == "expired" && !row.Expired {
			continue
		}
		if len(row.Use) > 0 || row.Reorder > 0 {
			view.Rows = append(view.Rows, row)
		}
		if len(empty.Use) > 0 && v.State() == "" {
			view.Empty = append(view.Empty, empty)
		}
	}
	workshop.SortByName(view.Rows, func(r supplyRow) string { return r.Is.Name })
	return v.page("supplies", v.T("supplies"), view)
}

// goodFirst puts what is past its date behind the rest.
func goodFirst(a, b workshop.SupplyStock) int {
	switch {
	case a.Expired == b.Expired:
		return 0
	case b.Expired:
		return -1
	}
	return 1
}

// says whether all words stand in what a row says.
func (r supplyRow) says(words []string) bool {
	text := r.Is.Key + " " + r.Is.Name
	for _, b := range r.Bags {
		text += " " + b.Value.Name + " " + b.Value.Gathered + " " + b.Value.By
	}
	text = workshop.Fold(text)
	return !slices.ContainsFunc(words, func(w string) bool { return !strings.Contains(text, w) })
}

// supplyView is one bag.
type supplyView struct {
	workshop.SupplyView
	Is       stuff
	First    bool // to be used before the others of its kind
	Paid     workshop.Money
	Currency string
	Today    string
}

func supplyPage(v *visit) error { return v.supplyAgain(nil) }

// supplyAgain shows a bag, with what was wrong with a form on its page.
func (v *visit) supplyAgain(wrong error) error {
	ctx := v.r.Context()
	s, err := v.s.house.Supply(ctx, v.Person, v.r.PathValue("id"))
	if err != nil {
		return err
	}
	view := supplyView{SupplyView: s, Today: v.today()}
	all, err := v.stuffs()
	if err != nil {
		return err
	}
	view.Is = stuffOf(all, s.Value.What)
	set, err := v.s.house.Settings(ctx, v.Person)
	if err != nil {
		return err
	}
	view.Currency = set.Value.Currency
	for _, p := range s.Purchases {
		if view.Paid.Currency == "" || view.Paid.Currency == p.Value.Cost.Currency {
			view.Paid.Minor, view.Paid.Currency = view.Paid.Minor+p.Value.Cost.Minor, p.Value.Cost.Currency
		}
	}
	groups, err := v.s.house.Supplies(ctx, v.Person)
	if err != nil {
		return err
	}
	for _, g := range groups {
		if g.What == s.Value.What && len(g.Bags) > 1 {
			view.First = s.OnShelf > 0 && slices.SortedStableFunc(slices.Values(g.Bags), goodFirst)[0].ID == s.ID
		}
	}
	if wrong != nil {
		return v.again(wrong, "supply", view.title(), view)
	}
	return v.page("supply", view.title(), view)
}

func (s supplyView) title() string {
	if s.Value.Name != "" {
		return s.Value.Name
	}
	return s.Is.Name
}

// Title is what the bag is called.
func (s supplyView) Title() string { return s.title() }

// today is the date by the house's clock.
func (v *visit) today() string { return v.s.house.Now().Format("2006-01-02") }

// supplyForm is a supply and what forms about it need.
type supplyForm struct {
	workshop.Kept[workshop.Supply]
	All      []stuff
	Currency string
	Today    string
}

// supplyFormOf gathers what the form of a supply needs.
func (v *visit) supplyFormOf(k workshop.Kept[workshop.Supply]) (out supplyForm, err error) {
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	if err != nil {
		return out, err
	}
	out = supplyForm{Kept: k, Currency: set.Value.Currency, Today: v.today()}
	out.All, err = v.stuffs()
	return out, err
}

// What is how a field shows what it is.
func (s supplyForm) What() string { return stuffOf(s.All, s.Value.What).Typed() }

func newSupply(v *visit) error {
	view, err := v.supplyFormOf(workshop.Kept[workshop.Supply]{Value: workshop.Supply{What: cut(v.r.URL.Query().Get("what")), Day: v.today()}})
	if err != nil {
		return err
	}
	return v.page("supply-form", v.T("supply-new"), view)
}

func supplyEdit(v *visit) error {
	s, err := v.s.house.Supply(v.r.Context(), v.Person, v.r.PathValue("id"))
	if err != nil {
		return err
	}
	view, err := v.supplyFormOf(s.Kept)
	if err != nil {
		return err
	}
	return v.page("supply-form", v.titleOf("supply-new", s.ID, view.What()), view)
}

// supply reads what is said of a supply.
func (f *form) supply(all []stuff) workshop.Supply {
	return workshop.Supply{What: stuffTyped(all, f.text("what")), Name: f.text("name"), Gathered: f.text("gathered"), By: f.text("by"),
		Day: f.text("day"), Expires: f.text("expires"), Note: f.text("note")}
}

// purchase reads what was bought, and what it cost.
func (f *form) purchase(is stuff, currency string) workshop.Purchase {
	return workshop.Purchase{Day: f.text("bought"), From: f.text("from"), Mass: f.held("grams", is), Cost: f.money("cost", currency), Paid: f.text("paid-from"), Note: f.text("purchase-note")}
}

// saveSupply keeps a supply; a new one with what came in of it.
func saveSupply(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	k := workshop.Kept[workshop.Supply]{ID: v.r.PathValue("id")}
	view, err := v.supplyFormOf(k)
	if err != nil {
		return err
	}
	k.Value = f.supply(view.All)
	view.Kept = k
	title := v.titleOf("supply-new", k.ID, view.What())
	var kept workshop.Kept[workshop.Supply]
	if k.ID != "" {
		k.Revision = f.revision()
		kept, err = v.s.house.SaveSupply(v.r.Context(), v.Person, k)
	} else {
		b := f.purchase(stuffOf(view.All, k.Value.What), view.Currency)
		if err = f.err(); err == nil {
			kept, err = v.s.house.Buy(v.r.Context(), v.Person, k, b)
		}
	}
	if err != nil {
		return v.again(err, "supply-form", title, view)
	}
	return v.to("/supplies/"+kept.ID, "saved")
}

// buyMore adds to a bag.
func buyMore(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	s, err := v.s.house.Supply(v.r.Context(), v.Person, v.r.PathValue("id"))
	if err != nil {
		return err
	}
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	b := f.purchase(stuffOf(nil, s.Value.What).known(), set.Value.Currency)
	if err = f.err(); err == nil {
		_, err = v.s.house.Buy(v.r.Context(), v.Person, s.Kept, b)
	}
	if err != nil {
		return v.supplyAgain(err)
	}
	return v.to("/supplies/"+s.ID, "received")
}

// undoBuy takes back what was told of a purchase.
func undoBuy(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	id, purchase := v.r.PathValue("id"), f.text("purchase")
	if !strings.HasPrefix(purchase, id+".") { // of another bag
		f.ps.Wrong("", "nothing-to-undo", nil)
		return v.supplyAgain(f.err())
	}
	if err := v.s.house.UndoBuy(v.r.Context(), v.Person, purchase, f.revision()); err != nil {
		return v.supplyAgain(err)
	}
	return v.to("/supplies/"+id, "undone")
}

// spoilSupply takes what is spoiled off the shelf.
func spoilSupply(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	s, err := v.s.house.Supply(v.r.Context(), v.Person, v.r.PathValue("id"))
	if err != nil {
		return err
	}
	g := f.held("spoiled", stuffOf(nil, s.Value.What).known())
	if err = f.err(); err == nil {
		err = v.s.house.Spoil(v.r.Context(), v.Person, s.ID, g)
	}
	if e, ok := errors.AsType[*workshop.Error](err); ok {
		for i := range e.Problems {
			e.Problems[i].Path = "spoiled" // the one field of its form
		}
	}
	if err != nil {
		return v.supplyAgain(err)
	}
	return v.to("/supplies/"+s.ID, "discarded")
}
