package web

import (
	"fmt"
	"strings"

	"urdir/check"
	"urdir/internal/workshop"
	"urdir/price"
)

// pricesView is the price lists and how the workshop sells.
type pricesView struct {
	Money    workshop.Kept[workshop.MoneyHouse]
	Currency string
	Lists    []priceList
}

// priceList is the wares of one list.
type priceList struct {
	Name  string
	Wares []workshop.Kept[workshop.Ware]
}

func (v *visit) pricesView() (view pricesView, err error) {
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	if err != nil {
		return view, err
	}
	view.Money, view.Currency = workshop.MoneyOf(set), set.Value.Currency
	all, err := v.s.house.Wares(v.r.Context(), v.Person, workshop.Page{})
	for _, w := range all.Items {
		at := -1
		for i, l := range view.Lists {
			if l.Name == w.Value.List {
				at = i
			}
		}
		if at < 0 {
			at = len(view.Lists)
			view.Lists = append(view.Lists, priceList{Name: w.Value.List})
		}
		view.Lists[at].Wares = append(view.Lists[at].Wares, w)
	}
	return view, err
}

// ChannelKinds is every way to sell.
func (pricesView) ChannelKinds() []price.ChannelKind {
	return []price.ChannelKind{price.OwnShop, price.Fair, price.Wholesale, price.Online, price.Consignment}
}

// Channels is the channels with room for one more.
func (p pricesView) Channels() []price.Channel {
	return append(append([]price.Channel{}, p.Money.Value.Channels...), price.Channel{})
}

// Steps is the steps with room for one more.
func (p pricesView) Steps() []price.Step {
	return append(append([]price.Step{}, p.Money.Value.Steps...), price.Step{})
}

func pricesPage(v *visit) error {
	view, err := v.pricesView()
	if err != nil {
		return err
	}
	return v.page("prices", v.T("prices"), view)
}

func channelsPage(v *visit) error {
	view, err := v.pricesView()
	if err != nil {
		return err
	}
	return v.page("channels", v.T("channels-edit"), view)
}

// saveChannels keeps channels, steps, rounding and what is usual in a quote. A channel
// or step that is empty is taken away.
func saveChannels(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	view, err := v.pricesView()
	if err != nil {
		return err
	}
	m := view.Money
	m.Revision = f.revision()
	m.Value.Channels, m.Value.Steps = f.channels(view.Currency), f.steps()
	m.Value.Custom = price.Customary{Step: f.money("custom-step", view.Currency).Minor, End: f.money("custom-end", view.Currency).Minor}
	m.Value.Deposit, m.Value.Valid = f.per("deposit"), f.whole("valid")
	m.Value.Tax = price.Tax{Name: strings.TrimSpace(f.text("tax-name")), Percent: f.per("tax-percent"), Included: f.yes("tax-included")}
	m.Value.Aim = price.Aim{}
	switch aim := f.per("aim"); f.text("aim-of") {
	case "markup":
		m.Value.Aim.Markup = aim
	case "margin":
		m.Value.Aim.Margin = aim
	}
	view.Money = m
	if err := f.err(); err != nil {
		return v.again(err, "channels", v.T("channels-edit"), view)
	}
	if _, _, err := v.s.house.SaveMoneyHouse(v.r.Context(), v.Person, m); err != nil {
		return v.again(atSettings(err), "channels", v.T("channels-edit"), view)
	}
	return v.to("/prices", "saved")
}

// channels reads the channels of the form, and counts those that stay anew.
func (f *form) channels(currency string) (out []price.Channel) {
	for i := range 30 {
		at := fmt.Sprintf("channels[%d]", i)
		if _, there := f.v.r.PostForm[at+".name"]; !there {
			break
		}
		name := strings.TrimSpace(f.text(at + ".name"))
		if name == "" {
			continue
		}
		out = append(out, price.Channel{Kind: price.ChannelKind(f.text(at + ".kind")), Name: name, Percent: f.per(at + ".percent"), Fixed: f.money(at+".fixed", currency),
			Stall: f.money(at+".stall", currency), Expect: f.whole(at + ".expect")})
	}
	return out
}

func (f *form) steps() (out []price.Step) {
	for i := range 30 {
		at := fmt.Sprintf("steps[%d]", i)
		if _, there := f.v.r.PostForm[at+".from"]; !there {
			break
		}
		if s := (price.Step{From: f.whole(at + ".from"), Off: f.per(at + ".off")}); s.From != 0 || !s.Off.IsZero() {
			out = append(out, s)
		}
	}
	return out
}

// settingFields is where in the form something is wrong, by the path it has where
// prices are tried.
var settingFields = []struct{ begins, field string }{{"tax", "tax-percent"}, {"aim", "aim"}, {"custom", "custom-step"}}

func atSettings(err error) error {
	ps := problemsOf(err)
	if ps == nil {
		return err
	}
	var out check.Problems
	for _, p := range ps {
		for _, m := range settingFields {
			if p.Severity == check.Error && strings.HasPrefix(p.Path, m.begins) {
				p.Path = m.field
			}
		}
		if strings.HasSuffix(p.Path, "]") { // a channel as a whole: what it keeps in another currency
			p.Path += ".fixed"
		}
		out = append(out, p)
	}
	return &workshop.Error{Code: workshop.Invalid, Problems: out, Err: err}
}

// wareView is a line of a price list.
type wareView struct {
	workshop.Kept[workshop.Ware]
	Currency string
}

func (v *visit) wareView(id string) (view wareView, err error) {
	all, err := v.pricesView()
	if err != nil {
		return view, err
	}
	view.Currency = all.Currency
	if id == "" {
		return view, nil
	}
	for _, l := range all.Lists {
		for _, w := range l.Wares {
			if w.ID == id {
				view.Kept = w
				return view, nil
			}
		}
	}
	return view, &workshop.Error{Code: workshop.NotFound}
}

// wareTitle tells a price from the cloth of the same name.
func (v *visit) wareTitle(view wareView) string {
	title := v.titleOf("ware-new", view.ID, view.Value.Name)
	if view.ID != "" {
		title += " (" + v.T("money-room") + ")"
	}
	return title
}

func wareForm(v *visit) error {
	view, err := v.wareView(v.r.PathValue("id"))
	if err != nil {
		return err
	}
	return v.page("ware-form", v.wareTitle(view), view)
}

func saveWare(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	view, err := v.wareView(v.r.PathValue("id"))
	if err != nil {
		return err
	}
	title := v.wareTitle(view)
	if view.ID != "" {
		view.Revision = f.revision()
	}
	view.Value = workshop.Ware{Name: f.text("name"), List: f.text("list"), Price: f.money("price", view.Currency), From: f.text("from"), Note: f.text("note")}
	if err := f.err(); err != nil {
		return v.again(err, "ware-form", title, view)
	}
	if _, err := v.s.house.SaveWare(v.r.Context(), v.Person, view.Kept); err != nil {
		return v.again(err, "ware-form", title, view)
	}
	return v.to("/prices", "saved")
}

func dropWare(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	if err := v.s.house.DropWare(v.r.Context(), v.Person, v.r.PathValue("id"), f.revision()); err != nil {
		return err
	}
	return v.to("/prices", "ware-dropped")
}

// AimOf and AimPer are an aim as a form shows it.
func (v *visit) AimOf(a price.Aim) string {
	switch {
	case !a.Markup.IsZero():
		return "markup"
	case !a.Margin.IsZero():
		return "margin"
	}
	return ""
}

// AimPer is described with AimOf.
func (v *visit) AimPer(a price.Aim) string {
	if !a.Markup.IsZero() {
		return v.Per(a.Markup)
	}
	return v.Per(a.Margin)
}

// Small is an amount in smallest units as a field shows it.
func (v *visit) Small(minor int64, currency string) string {
	return v.Amount(workshop.Money{Minor: minor, Currency: currency})
}
