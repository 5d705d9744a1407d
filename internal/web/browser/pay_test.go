package browser_test

import (
	"testing"

	"github.com/chromedp/chromedp"

	"urdir/internal/workshop"
)

// TestPay_monthOnHerPhone: the head pays the month, one member is left out; the member
// sees it on her phone, line by line, with the slip.
func TestPay_monthOnHerPhone(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	month := w.house.Now().AddDate(0, 0, 1-w.house.Now().Day()).Format("2006-01")
	all, err := w.house.Pay(t.Context(), w.head, month)
	if err != nil {
		t.Fatal(err)
	}
	var hers, left workshop.Statement
	for _, s := range all {
		switch {
		case s.Member.Value.Name == "Benita Solórzano":
			hers = s
		case len(s.Open) > 0:
			left = s
		}
	}
	if len(hers.Open) == 0 || left.Month == "" {
		t.Fatalf("the demo owes Benita nothing in %s", month)
	}
	head := &visitor{world: w, screen: desk, tab: w.open(t, desk)}
	head.signIn(workshop.Head)
	head.follow(head.T("pay-room"))
	head.sound(t)
	box := head.find(`main input[name="pay"][value="`+left.Member.ID+`"]`, "", false)
	head.do("untick", chromedp.MouseClickXY(box.X, box.Y))
	head.press(head.T("pay-out"))
	head.says(t, head.T("done-paid-out"))
	head.sound(t)
	now, err := w.house.Statement(t.Context(), w.head, hers.Member.ID, month)
	if err != nil || len(now.Open) > 0 || now.Payouts[len(now.Payouts)-1].Value.Paid != hers.Due {
		t.Fatalf("after paying: %+v, %v", now.Payouts, err)
	}
	if other, failed := w.house.Statement(t.Context(), w.head, left.Member.ID, month); failed != nil || len(other.Open) != len(left.Open) {
		t.Errorf("who was not ticked was paid: %v", failed)
	}
	her := &visitor{world: w, screen: telephone, tab: w.open(t, telephone)}
	her.signIn(workshop.MemberRole)
	her.follow(her.T("pay-mine"))
	paid := now.Payouts[len(now.Payouts)-1].Value
	her.says(t, paid.Number)
	her.says(t, her.words.S(paid.Paid))
	her.sound(t)
	for _, path := range []string{"/books", "/books/journal", "/books/entries/new", "/books/close", "/settings/money", "/pay/" + hers.Member.ID + "?month=" + month} {
		head.visit(path)
		head.sound(t)
	}
}
