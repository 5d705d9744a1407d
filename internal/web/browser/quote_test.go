package browser_test

import (
	"strings"
	"testing"

	"urdir/internal/workshop"
)

// TestQuote_acceptedOnHerPhone: the seller makes a quote and a link, the customer
// accepts on her telephone without signing in, and the seller takes the deposit and
// ends the link. What each of them sees is checked as every page is.
func TestQuote_acceptedOnHerPhone(t *testing.T) {
	w := newWorld(t)
	all, _, err := w.house.Orders(t.Context(), w.head, workshop.Page{State: "open"})
	if err != nil {
		t.Fatal(err)
	}
	order := ""
	for _, o := range all.Items {
		if o.Value.Number == 19 {
			order = o.ID
		}
	}
	v := &visitor{world: w, screen: telephone, tab: w.open(t, telephone)}
	v.signIn(workshop.Seller)
	v.visit("/orders/" + order)
	v.follow(v.T("money-of"))
	v.write(v.T("ask-price"), "0.01")
	v.press(v.T("reckon"))
	v.says(t, v.T("below-cost"))
	v.sound(t)
	v.write(v.T("ask-price"), "")
	v.write(v.T("paper-terms"), "El resto, al entregar.")
	v.press(v.T("make-quote"))
	v.says(t, v.T("done-quote-made"))
	quote := v.path()
	v.follow(v.T("customer-page"))
	v.press(v.T("link-make"))
	v.says(t, v.T("link-once"))
	v.sound(t)
	_, link, found := strings.Cut(v.text(), w.url)
	if link, _, _ = strings.Cut(link, "\n"); !found || !strings.HasPrefix(link, "/c/") {
		t.Fatalf("no link on the page:\n%s", v.text())
	}

	her := &visitor{world: w, screen: telephone, tab: w.open(t, telephone)} // another telephone, without a session
	her.visit(strings.TrimSpace(link))
	her.says(t, "El resto, al entregar.")
	her.sound(t)
	her.write(her.T("guest-name"), "Salvadora Nudo")
	her.click(`main form button`, "")
	her.says(t, her.T("done-guest-accepted"))
	her.says(t, "Salvadora Nudo")

	v.visit(quote)
	v.says(t, v.T("accepted-link"))
	v.press(v.T("take-deposit"))
	v.says(t, v.T("done-deposit"))
	v.follow(v.T("customer-page"))
	v.press(v.T("link-end"))
	her.refused(strings.TrimSpace(link), 404)
}
