package web

import (
	"fmt"
	"strings"

	"urdir/internal/workshop"
)

type ordersView struct {
	workshop.Listed[workshop.Order]
	Names map[string]string
	Late  map[string]bool
}

func orderList(v *visit) error {
	l, names, err := v.s.house.Orders(v.r.Context(), v.Person, v.listing())
	if err != nil {
		return err
	}
	late, err := v.s.house.LateOrders(v.r.Context(), v.Person, l.Items)
	if err != nil {
		return err
	}
	return v.page("orders", v.T("orders"), ordersView{l, names, late})
}

type orderView struct {
	workshop.OrderView
	Lots    []workshop.Kept[workshop.Lot]
	Recipes map[string]workshop.RecipeView
	Wishes  map[string][]wishRow   // of each line
	Given   []workshop.PromiseView // the last first
}

// Dated says whether a new date can be asked for.
func (o orderView) Dated() bool {
	return o.Value.Cancelled == "" && o.Value.Done == "" && len(o.Lines) > 0
}

func orderPage(v *visit) error { return v.orderAgain(nil) }

// orderAgain shows an order, with what was wrong with a form on its page.
func (v *visit) orderAgain(wrong error) error {
	ctx := v.r.Context()
	o, err := v.s.house.Order(ctx, v.Person, v.r.PathValue("id"))
	if err != nil {
		return err
	}
	view := orderView{OrderView: o}
	if v.May("ChooseLots") {
		l, _, failed := v.s.house.Lots(ctx, v.Person, workshop.Page{})
		if failed != nil {
			return failed
		}
		view.Lots = l.Items
	}
	recipes, err := v.s.house.Recipes(ctx, v.Person)
	if err != nil {
		return err
	}
	view.Recipes = map[string]workshop.RecipeView{}
	for _, r := range recipes {
		view.Recipes[r.Key] = r
	}
	if view.Given, _, err = v.s.house.Promises(ctx, v.Person, o.ID, workshop.Page{}); err != nil {
		return err
	}
	title := v.T("order-n", "number", itoa(int(o.Value.Number)))
	v.typed(wrong) // before the wishes, which keep what was typed
	view.Wishes = v.wishes(o, recipes)
	if wrong != nil {
		return v.again(wrong, "order", title, view)
	}
	return v.page("order", title, view)
}

// orderFormView is an order to be written, with what can be chosen.
type orderFormView struct {
	workshop.Kept[workshop.Order]
	Customers []workshop.Kept[workshop.Customer]
	Cloths    []workshop.Kept[workshop.Cloth]
	Currency  string
	Date      *dateView // the answer, if its day was asked for
}

func (v *visit) orderFormView(o workshop.Kept[workshop.Order]) (view orderFormView, err error) {
	ctx := v.r.Context()
	view.Kept = o
	cs, err := v.s.house.Customers(ctx, v.Person, workshop.Page{})
	if err != nil {
		return view, err
	}
	ks, err := v.s.house.Cloths(ctx, v.Person, workshop.Page{})
	if err != nil {
		return view, err
	}
	set, err := v.s.house.Settings(ctx, v.Person)
	view.Customers, view.Cloths, view.Currency = cs.Items, ks.Items, set.Value.Currency
	return view, err
}

func orderForm(v *visit) error {
	q := v.r.URL.Query()
	o := workshop.Kept[workshop.Order]{Value: workshop.Order{Customer: q.Get("customer"), Lines: []workshop.Line{{Cloth: q.Get("cloth"), Quantity: 1}}}}
	if id := v.r.PathValue("id"); id != "" {
		was, err := v.s.house.Order(v.r.Context(), v.Person, id)
		if err != nil {
			return err
		}
		o = was.Kept
	}
	view, err := v.orderFormView(o)
	if err != nil {
		return err
	}
	return v.page("order-form", v.titleOf("order-new", view.ID, v.T("order-n", "number", itoa(int(view.Value.Number)))), view)
}

// saveOrder keeps an order; the button "add" only gives the form another line.
func saveOrder(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	view, err := v.orderFormView(workshop.Kept[workshop.Order]{ID: v.r.PathValue("id")})
	if err != nil {
		return err
	}
	view.Value = f.order(view.Currency)
	if view.ID != "" {
		if err = v.goOn(&view.Value); err != nil {
			return err
		}
		view.Revision = f.revision()
	}
	if f.yes("add") {
		view.Value.Lines = append(view.Value.Lines, workshop.Line{Quantity: 1})
		v.Form = v.r.PostForm
		return v.page("order-form", v.titleOf("order-new", view.ID, v.T("order-n", "number", itoa(int(view.Value.Number)))), view)
	}
	title := v.titleOf("order-new", view.ID, v.T("order-n", "number", itoa(int(view.Value.Number))))
	asks, promises := f.yes("ask") && view.ID == "", f.yes("promise") && view.ID == ""
	if err = f.err(); err == nil && (asks || promises) {
		err = v.asksDate(&view)
	}
	if err != nil {
		return v.again(err, "order-form", title, view)
	}
	if asks {
		v.Form = v.r.PostForm
		return v.page("order-form", title, view)
	}
	kept, done, err := v.keepOrder(f, view.Kept, promises)
	if err != nil {
		return v.again(err, "order-form", title, view)
	}
	if f.yes("class") {
		return v.to("/orders/"+kept.ID+"/class/edit", done)
	}
	return v.to("/orders/"+kept.ID, done)
}

// ClassToBe says whether the order that is written will be a class.
func (v *visit) ClassToBe() bool { return v.r.FormValue("class") != "" }

// keepOrder keeps an order, and the day that was promised for it at once.
func (v *visit) keepOrder(f *form, o workshop.Kept[workshop.Order], promises bool) (workshop.Kept[workshop.Order], string, error) {
	if !promises {
		kept, err := v.s.house.SaveOrder(v.r.Context(), v.Person, o)
		return kept, "saved", err
	}
	day, p := f.promised("day")
	if err := f.err(); err != nil {
		return o, "", err
	}
	o.Value.Due = day
	kept, err := v.s.house.SaveOrder(v.r.Context(), v.Person, o)
	if err == nil {
		_, err = v.s.house.GivePromise(v.r.Context(), v.Person, kept.ID, kept.Revision, day, p)
	}
	return kept, "promised", err
}

// goOn takes over from the order as it is what its form does not show: its
// number, and the lots and the dyeing chosen for lines whose cloth is the same.
func (v *visit) goOn(o *workshop.Order) error {
	was, err := v.s.house.Order(v.r.Context(), v.Person, v.r.PathValue("id"))
	if err != nil {
		return err
	}
	o.Number = was.Value.Number
	for i := range o.Lines {
		for _, l := range was.Value.Lines {
			if l.ID == o.Lines[i].ID && l.Cloth == o.Lines[i].Cloth {
				o.Lines[i].Lots, o.Lines[i].Dye = l.Lots, l.Dye
			}
		}
	}
	return nil
}

// order reads an order from its form; lines without a cloth are left out, and
// the form counts those that stay anew.
func (f *form) order(currency string) workshop.Order {
	o := workshop.Order{Customer: f.text("customer"), Taken: f.text("taken"), Due: f.text("due"), Wishes: f.text("wishes"),
		Deposit: f.money("deposit", currency)}
	for i := range 100 {
		at := fmt.Sprintf("lines[%d]", i)
		if _, there := f.v.r.PostForm[at+".cloth"]; !there {
			break
		}
		typed := map[string][]string{}
		for _, field := range []string{".id", ".cloth", ".quantity", ".wishes"} {
			typed[field] = f.texts(at + field)
			delete(f.v.r.PostForm, at+field)
		}
		if strings.Join(typed[".cloth"], "") == "" && i > 0 {
			continue
		}
		at = fmt.Sprintf("lines[%d]", len(o.Lines))
		for field, values := range typed {
			if len(values) > 0 {
				f.v.r.PostForm[at+field] = values
			}
		}
		o.Lines = append(o.Lines, workshop.Line{ID: f.text(at + ".id"), Cloth: f.text(at + ".cloth"), Quantity: f.whole(at + ".quantity"), Wishes: f.text(at + ".wishes")})
	}
	return o
}

func (v *visit) actOrder(done string, do func(f *form, id string) error) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	id := v.r.PathValue("id")
	if err := do(f, id); err != nil {
		return v.orderAgain(err)
	}
	return v.to("/orders/"+id, done)
}

func confirmOrder(v *visit) error {
	return v.actOrder("confirmed", func(f *form, id string) error {
		_, err := v.s.house.ConfirmOrder(v.r.Context(), v.Person, id, f.revision())
		return err
	})
}

func cancelOrder(v *visit) error {
	return v.actOrder("cancelled", func(f *form, id string) error {
		_, err := v.s.house.CancelOrder(v.r.Context(), v.Person, id, f.revision())
		return err
	})
}

func chooseLots(v *visit) error {
	return v.actOrder("lots", func(f *form, id string) error {
		chosen := map[string]string{}
		for field := range v.r.PostForm {
			if len(field) > 4 && field[:4] == "lot." {
				chosen[field[4:]] = f.text(field)
			}
		}
		_, err := v.s.house.ChooseLots(v.r.Context(), v.Person, id, v.r.PathValue("line"), f.revision(), chosen)
		return err
	})
}
