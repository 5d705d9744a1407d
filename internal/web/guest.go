package web

import (
	"io"

	"urdir/internal/workshop"
	"urdir/plan"
	"urdir/sheet"
)

// Pages for people who do not sign in: a customer's, by a link only she has.

// linkView is the link of an order's customer, to be made and revoked.
type linkView struct {
	Order workshop.OrderView
	Links []workshop.Kept[workshop.GuestLink]
	New   string // address of a new link, shown once
	QR    string
	Size  int
}

// Live is the link that holds now, or nil.
func (l linkView) Live() *workshop.Kept[workshop.GuestLink] {
	for i, k := range l.Links {
		if k.Value.Ended == "" {
			return &l.Links[i]
		}
	}
	return nil
}

func (v *visit) linkView() (view linkView, err error) {
	id := v.r.PathValue("id")
	if view.Order, err = v.s.house.Order(v.r.Context(), v.Person, id); err != nil {
		return view, err
	}
	l, err := v.s.house.OrderLinks(v.r.Context(), v.Person, id)
	view.Links = l.Items
	return view, err
}

func linkPage(v *visit) error {
	view, err := v.linkView()
	if err != nil {
		return err
	}
	return v.page("link", v.T("customer-page"), view)
}

// makeLink makes a link and shows it once.
func makeLink(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	key, _, refused := v.s.house.MakeLink(v.r.Context(), v.Person, v.r.PathValue("id"), f.text("until"), f.yes("price"))
	view, err := v.linkView()
	if err != nil {
		return err
	}
	if refused != nil {
		return v.again(refused, "link", v.T("customer-page"), view)
	}
	view.New = v.address() + "/c/" + key
	view.QR, view.Size = qrPath(view.New)
	return v.page("link", v.T("customer-page"), view)
}

func dropLink(v *visit) error {
	if err := v.s.house.DropLink(v.r.Context(), v.Person, v.r.PathValue("id")); err != nil {
		return err
	}
	return v.to("/orders/"+v.r.PathValue("id")+"/link", "link-ended")
}

// guest is the order behind the link's key. Whoever asks sees it as its customer
// does, in her language unless another was chosen; a key that opens nothing is a page
// that is not there. Nobody else is told of it: search engines, pages it leads to.
func (v *visit) guest() (workshop.Guest, error) {
	v.alone()
	g, err := v.s.house.GuestBy(v.r.Context(), v.r.PathValue("key"))
	if err == nil {
		v.asGuest(g.Shop, g.Language)
	}
	return g, err
}

// alone keeps the address of a page from others.
func (v *visit) alone() {
	h := v.w.Header()
	h.Set("X-Robots-Tag", "noindex, nofollow, noarchive")
	h.Set("Referrer-Policy", "no-referrer")
}

// asGuest makes the visit one of somebody who is not signed in, whoever she is.
func (v *visit) asGuest(shop, language string) {
	v.Person, v.Guest = workshop.Person{}, shop
	v.Words = v.s.stranger(v.r).Words
	if _, err := v.r.Cookie("lang"); err != nil {
		v.speak(workshop.Person{Lang: language})
	}
}

func guestPage(v *visit) error {
	g, err := v.guest()
	if err != nil {
		return err
	}
	return v.page("guest", g.Shop, g)
}

// guestAccept writes down that the customer accepts the quote she saw.
func guestAccept(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	key := v.r.PathValue("key")
	g, err := v.guest()
	if err != nil {
		return err
	}
	if err := v.mayTry(f, "by", "link "+key); err != nil {
		return v.again(err, "guest", g.Shop, g)
	}
	if err := v.s.house.AcceptByLink(v.r.Context(), key, f.text("quote"), f.text("by")); err != nil {
		return v.again(err, "guest", g.Shop, g)
	}
	return v.to("/c/"+key, "guest-accepted")
}

// guestQuote sends the quote as a document.
func guestQuote(v *visit) error {
	g, err := v.guest()
	if err != nil {
		return err
	}
	if g.Quote == nil {
		return &workshop.Error{Code: workshop.NotFound}
	}
	paper := sheet.QuotePaper{Maker: sheet.Maker{Name: g.Shop, Lines: g.Maker}, Ready: g.Due}
	if len(g.Lines) > 0 && !g.Lines[0].Made.Failed() {
		paper.Cloth = &g.Lines[0].Made.Plan
	}
	o := sheet.Options{Language: v.Words.Tag, Paper: sheet.A4}
	if g.Paper == "letter" {
		o.Paper = sheet.Letter
	}
	return v.sendQuote(g.Quote.Value, paper, o)
}

// guestCloth sends the picture of what was ordered.
func guestCloth(v *visit) error {
	g, err := v.guest()
	if err != nil {
		return err
	}
	for _, l := range g.Lines {
		if l.ID == v.r.PathValue("line") {
			return v.publicCloth(l.Made)
		}
	}
	return &workshop.Error{Code: workshop.NotFound}
}

// publicCloth sends a cloth as strangers see it: in pixels too coarse to count its
// ends.
func (v *visit) publicCloth(m workshop.Planned) error {
	if m.Failed() {
		return &workshop.Error{Code: workshop.NotFound}
	}
	return v.send("image/png", "", func(w io.Writer) error { return sheet.Coarse(w, m.Plan) })
}

// Key is the key in the address of the page.
func (v *visit) Key() string { return v.r.PathValue("key") }

// Materials is the fibres of a piece in words.
func (v *visit) Materials(p plan.Plan) string { return sheet.Materials(v.Words, p) }
