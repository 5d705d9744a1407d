package web

import (
	"net/http"
	"net/url"
	"sync"
	"testing"

	"urdir/internal/workshop"
	"urdir/price/books"
)

// formTo is the fields of the form on a page of the bookkeeper's that is sent to an
// address.
func (s *site) formTo(page, action string) url.Values {
	s.Helper()
	for _, f := range s.page(page, "bookkeeper").mainForms() {
		if f.attr["action"] == action {
			return f.fields()
		}
	}
	s.Fatalf("%s has no form for %s", page, action)
	return nil
}

// A payment of a part that is sent twice, as by a button pushed twice, is one receipt,
// also when both arrive at once; the form of a page asked for anew is another payment.
func TestPayment_sentTwice(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	head := s.people["head"]
	var paper string
	for _, k := range must(s.house.Papers(ctx, head, workshop.Page{State: string(workshop.InvoicePaper)})).Items {
		if must(s.house.Paper(ctx, head, k.ID)).Open.Minor > 300 {
			paper = "/papers/" + k.ID
		}
	}
	receipts := func() int {
		return len(must(s.house.Papers(ctx, head, workshop.Page{State: string(workshop.ReceiptPaper)})).Items)
	}
	before := receipts()
	form := s.formTo(paper, paper+"/pay")
	form.Set("paid", "1.00")
	form.Set("into", books.Bank)
	var went sync.WaitGroup
	to := make([]string, 3)
	for i := range to {
		went.Go(func() { to[i] = s.post(paper+"/pay", "bookkeeper", form).Header().Get("Location") })
	}
	went.Wait()
	if n := receipts() - before; n != 1 || to[0] == "" || to[1] != to[0] || to[2] != to[0] {
		t.Errorf("%d receipts, sent to %q", n, to)
	}
	all := must(s.house.Papers(ctx, head, workshop.Page{State: string(workshop.ReceiptPaper)})).Items
	if last := all[0].Value; last.Account != books.Bank || last.Total.Minor != 100 {
		t.Errorf("the receipt is of %v into %s", last.Total, last.Account)
	}
	again := s.formTo(paper, paper+"/pay")
	again.Set("paid", "1.00")
	s.want("another of the same", s.post(paper+"/pay", "bookkeeper", again), http.StatusSeeOther)
	if n := receipts() - before; n != 2 {
		t.Errorf("%d receipts, want 2", n)
	}
	s.noFaults()
}

// An advance, work that is told and an entry by hand are not booked twice either.
func TestBooked_sentTwice(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	head := s.people["head"]
	entries := func() int64 { // numbers have no gaps
		last, _, err := s.house.Journal(ctx, head, workshop.JournalPage{Limit: 1})
		return must(last, err)[0].N
	}
	pay := "/pay/" + s.ours["earner"]
	advance := s.formTo(pay, pay+"/advance")
	advance.Set("amount", "5")
	advance.Set("share", "10")
	told := s.formTo(pay, pay+"/told")
	told.Set("minutes", "1")
	told.Set("name", "Junta")
	written := recordForm(s.page("/books/entries/new", "bookkeeper")).fields()
	for field, v := range map[string]string{"text": "Luz", "lines[0].account": books.Overhead, "lines[0].in": "12.50", "lines[1].account": books.Cash, "lines[1].out": "12.50"} {
		written.Set(field, v)
	}
	for _, x := range []struct {
		path string
		form url.Values
	}{{pay + "/advance", advance}, {pay + "/told", told}, {"/books/entries/new", written}} {
		before := entries()
		for range 2 {
			s.want(x.path, s.post(x.path, "bookkeeper", x.form), http.StatusSeeOther)
		}
		if n := entries() - before; n != 1 {
			t.Errorf("%s twice: %d entries", x.path, n)
		}
	}
	s.noFaults()
}
