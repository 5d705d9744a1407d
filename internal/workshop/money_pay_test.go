package workshop

import (
	"strings"
	"testing"

	"urdir/price/books"
)

// By hand: floors of 3.50 and 3.00. Two hours for 5.00 need 7.00, half an hour for 1.00
// needs 1.75; an hour for 4.00 is enough. What is paid is not raised.
func TestPay_raise(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := moneyShop(t, address)
		h := s.h
		tell := func(minutes, cents int64) Kept[Work] {
			return must(h.TellWork(ctx, s.keeper, Work{Member: s.weaver.Member, Kind: "teach", Minutes: minutes, Pay: usd(cents), Name: "clase"}))
		}
		first := tell(120, 500)
		st := must(h.Statement(ctx, s.keeper, s.weaver.Member, "2031-05"))
		if len(st.Low) != 1 || st.Low[0].Least != usd(700) || st.Low[0].Hourly != usd(250) {
			t.Fatalf("low: %+v", st.Low)
		}
		must(h.PayOut(ctx, s.keeper, s.weaver.Member, "2031-05", st.Due, ""))
		_, err := h.RaisePay(ctx, s.keeper, s.weaver.Member, "2031-05")
		wantProblem(t, "what is paid", err, "", "pay-raised-none")
		second, third := tell(30, 100), tell(60, 400)
		if n := must(h.RaisePay(ctx, s.keeper, s.weaver.Member, "2031-05")); n != 1 {
			t.Errorf("raised %d, want 1", n)
		}
		pays := map[string]Money{}
		st = must(h.Statement(ctx, s.weaver, s.weaver.Member, "2031-05"))
		for _, w := range st.Works {
			pays[w.ID] = w.Value.Pay
		}
		if pays[first.ID] != usd(500) || pays[second.ID] != usd(175) || pays[third.ID] != usd(400) || st.Due != usd(575) {
			t.Errorf("pays: %v, due %v", pays, st.Due)
		}
		s.wantHolds("raised", map[string]int64{books.Cash: -500, books.MembersPay: 1075, books.Payable: -575})
		over := must(h.PayOver(ctx, s.keeper, "2031-04", "2031-06"))
		if len(over) != 1 || over[0].Works != 3 || over[0].Earned.Earned != usd(1075) || over[0].Paid != usd(500) {
			t.Errorf("over three months: %+v", over)
		}
		if mine := must(h.PayOver(ctx, s.other, "2031-05", "2031-05")); len(mine) != 0 {
			t.Errorf("another member sees %+v", mine)
		}
		_, err = h.PayOver(ctx, s.keeper, "2029-01", "2031-05")
		wantProblem(t, "too many months", err, "to", "months-too-many")
		_, err = h.PayOver(ctx, s.keeper, "2031-05", "2031-04")
		wantProblem(t, "backwards", err, "to", "period-order")
		s.balanced()
	})
}

// Words are found in texts and documents, without accents, a page at a time, and an
// entry says by name what it is about.
func TestJournal_words(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := moneyShop(t, address)
		post := func(text, document string) int64 {
			return must(s.h.PostEntry(ctx, s.keeper, books.Entry{Date: "2031-05-01", Text: text, Document: document, Lines: []books.Line{
				debit(books.Overhead, usd(500), map[string]string{"member": s.weaver.Member, "season": "2031"}), credit(books.Cash, usd(500), nil)}}))
		}
		for range 3 {
			post("Leña", "")
		}
		n := post("Camión de añil", "B-7")
		find := func(words, after string, limit int) (texts []string, next string) {
			es, next, err := s.h.Journal(ctx, s.keeper, JournalPage{Find: words, After: after, Limit: limit})
			if err != nil {
				t.Fatal(err)
			}
			for _, e := range es {
				texts = append(texts, e.Text)
			}
			return texts, next
		}
		for words, want := range map[string]int{"camion añil": 1, "b-7": 1, "LEÑA": 3, "camion leña": 0} {
			if got, _ := find(words, "", 10); len(got) != want {
				t.Errorf("%q: found %v, want %d", words, got, want)
			}
		}
		got, next := find("leña", "", 2)
		more, end := find("leña", next, 2)
		if len(got) != 2 || next == "" || len(more) != 1 || end != "" {
			t.Errorf("pages: %v %q, then %v %q", got, next, more, end)
		}
		e := must(s.h.Entry(ctx, s.keeper, n))
		if len(e.About) != 2 || e.About[0].Name != "2031" || e.About[1].Name != "Benita" || e.About[1].ID != s.weaver.Member {
			t.Errorf("about: %+v", e.About)
		}
		_, err := s.h.Entry(ctx, s.keeper, 9999)
		wantCode(t, "no such entry", err, NotFound)
		b := must(s.h.Books(ctx, s.keeper, ""))
		if len(b.Standing) != 1 || b.Standing[0].Assets != b.Standing[0].Sources() || !strings.Contains(b.Standing[0].Spent[0].Account, "expenses") {
			t.Errorf("standing: %+v", b.Standing)
		}
	})
}
