package web

import (
	"slices"

	"urdir/internal/workshop"
)

type peopleView struct {
	Accounts []workshop.Account
	Members  map[string]string
}

func (v *visit) people() (view peopleView, err error) {
	view.Members = map[string]string{}
	if view.Accounts, err = v.s.house.Accounts(v.r.Context(), v.Person); err != nil {
		return view, err
	}
	ms, err := v.s.house.Members(v.r.Context(), v.Person, workshop.Page{})
	for _, m := range ms.Items {
		view.Members[m.ID] = m.Value.Name
	}
	return view, err
}

func peoplePage(v *visit) error {
	view, err := v.people()
	if err != nil {
		return err
	}
	return v.page("people", v.T("people"), view)
}

type accountView struct {
	workshop.Account
	Members []workshop.Kept[workshop.Member]
	Card    string // the link of a new card, shown once
	Feed    string // the link of her calendar, made anew, shown once
	Invite  string // the link of a new invitation, shown once
	QR      string
	QRSize  int
}

func (v *visit) accountView(id string) (view accountView, err error) {
	ms, err := v.s.house.Members(v.r.Context(), v.Person, workshop.Page{})
	if err != nil {
		return view, err
	}
	view.Members = ms.Items
	view.Lang, view.Role = v.Words.Base, workshop.MemberRole
	if id == "" {
		return view, nil
	}
	all, err := v.s.house.Accounts(v.r.Context(), v.Person)
	if err != nil {
		return view, err
	}
	i := slices.IndexFunc(all, func(a workshop.Account) bool { return a.ID == id })
	if i < 0 {
		return view, &workshop.Error{Code: workshop.NotFound}
	}
	view.Account = all[i]
	return view, nil
}

// accountTitle is the title of an account's form.
func (v *visit) accountTitle(view accountView) string {
	if view.ID == "" {
		return v.T("account-new")
	}
	return v.T("people") + ": " + view.Name
}

func accountForm(v *visit) error {
	view, err := v.accountView(v.r.PathValue("id"))
	if err != nil {
		return err
	}
	return v.page("account-form", v.accountTitle(view), view)
}

// Roles is every role, for forms.
func (v *visit) Roles() []workshop.Role { return workshop.Roles }

func saveAccount(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	id := v.r.PathValue("id")
	view, err := v.accountView(id)
	if err != nil {
		return err
	}
	view.Account = workshop.Account{ID: id, Login: f.text("login"), Name: f.text("name"), Role: workshop.Role(f.text("role")),
		Member: f.text("member"), Lang: f.text("lang"), Closed: f.yes("closed")}
	if _, err := v.s.house.SaveAccount(v.r.Context(), v.Person, view.Account, f.text("passphrase")); err != nil {
		return v.again(err, "account-form", v.accountTitle(view), view)
	}
	return v.to("/people", "saved")
}

// makeCard shows a new card once: its link as a QR code.
func makeCard(v *visit) error {
	id := v.r.PathValue("id")
	key, err := v.s.house.MakeCard(v.r.Context(), v.Person, id)
	if err != nil {
		return err
	}
	view, err := v.accountView(id)
	if err != nil {
		return err
	}
	view.Card = v.address() + "/card/" + key
	view.QR, view.QRSize = qrPath(view.Card)
	return v.page("account-form", v.accountTitle(view), view)
}

// giveFeed shows the link of somebody's calendar once, to be printed or opened on
// her telephone.
func giveFeed(v *visit) error {
	id := v.r.PathValue("id")
	key, err := v.s.house.GiveFeed(v.r.Context(), v.Person, id)
	if err != nil {
		return err
	}
	view, err := v.accountView(id)
	if err != nil {
		return err
	}
	view.Feed = v.feedAddress(key)
	view.QR, view.QRSize = qrPath(view.Feed)
	return v.page("account-form", v.accountTitle(view), view)
}

func endFeed(v *visit) error {
	if err := v.s.house.EndFeed(v.r.Context(), v.Person, v.r.PathValue("id")); err != nil {
		return err
	}
	return v.to("/people", "feed-dropped")
}

// address is under which this server is reached.
func (v *visit) address() string {
	if v.s.opt.Address != "" {
		return v.s.opt.Address
	}
	scheme := "http"
	if v.s.opt.Secure {
		scheme = "https"
	}
	return scheme + "://" + v.r.Host
}

func dropCards(v *visit) error {
	if err := v.s.house.DropCards(v.r.Context(), v.Person, v.r.PathValue("id")); err != nil {
		return err
	}
	return v.to("/people", "card-dropped")
}
