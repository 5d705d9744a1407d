package web

import (
	"strconv"
	"strings"

	"urdir/internal/workshop"
	"urdir/price"
	"urdir/price/books"
)

// pays names a work that is to be paid, a pay that was handed out, an advance, and
// entries of the demo, and makes the same in the second workshop.
func (s *season) pays(h *workshop.House, head, other workshop.Person) {
	earner := s.people["member"].Member
	s.ours["earner"], s.ours["month"] = earner, "2027-02"
	for _, month := range []string{"2026-11", "2026-12", "2027-01", "2027-02", "2027-03"} {
		st := must(h.Statement(ctx, head, earner, month))
		for _, w := range st.Works {
			if _, open := st.Open[w.ID]; open && w.Value.Where == "" {
				s.ours["work line"], s.ours["month"] = w.ID, month
			}
		}
		for _, p := range st.Payouts {
			s.ours["payout"] = p.ID
		}
		for _, a := range st.Advances {
			s.ours["advance"] = a.ID
		}
	}
	es, _, err := h.Journal(ctx, head, workshop.JournalPage{Limit: 2000})
	if err != nil {
		panic(err)
	}
	for _, e := range es {
		n := strconv.FormatInt(e.N, 10)
		switch {
		case e.Closes != "":
			s.ours["closing"] = n
		case e.Source == "" && e.Undone == 0 && e.Reverses == 0 && s.ours["by hand"] == "":
			s.ours["by hand"] = n
		}
	}
	m := s.theirs["member"]
	s.theirs["earner"] = m
	day := theDay.Format("2006-01-02")
	capital := books.Entry{Date: day, Text: "Ajena", Lines: []books.Line{{Account: books.Cash, Amount: price.Money{Minor: 50000, Currency: "USD"}}, {Account: books.Savings, Amount: price.Money{Minor: -50000, Currency: "USD"}}}}
	must(h.PostEntry(ctx, other, capital))
	s.theirs["advance"] = must(h.GiveAdvance(ctx, other, workshop.Advance{Member: m, Amount: price.Money{Minor: 500, Currency: "USD"}, Share: price.PerCent(10)}, "")).ID
	tell := workshop.Work{Member: m, Kind: "meet", Minutes: 60, Name: "Ajena", Pay: price.Money{Minor: 400, Currency: "USD"}}
	must(h.TellWork(ctx, other, tell))
	st := must(h.Statement(ctx, other, m, day[:7]))
	s.theirs["payout"] = must(h.PayOut(ctx, other, m, day[:7], st.Due, "")).ID
	s.theirs["work line"] = must(h.TellWork(ctx, other, tell)).ID
}

// badPay are forms about pay, books and money with one thing wrong.
func (s *site) badPay() []bad {
	pay, long := "/pay/"+s.ours["earner"], strings.Repeat("ñ", 5000)
	told := func(v ...string) bad {
		f := pairs("month", s.ours["month"], "kind", "meet", "at", "2027-02-20", "minutes", "1.5", "name", "Junta", "pay", "")
		for i := 0; i+1 < len(v); i += 2 {
			f.Set(v[i], v[i+1])
		}
		return bad{pay + "/told", v[0], f}
	}
	entry := func(v ...string) bad {
		f := pairs("text", "Luz", "date", "2027-02-20", "lines[0].account", "expenses:overhead", "lines[0].in", "12.50", "lines[1].account", "assets:cash", "lines[1].out", "12.50")
		for i := 1; i+1 < len(v); i += 2 {
			f.Set(v[i], v[i+1])
		}
		return bad{"/books/entries/new", v[0], f}
	}
	house := func(field, value string) bad {
		f := recordForm(s.page("/settings/money", "head")).fields()
		f.Set(field, value)
		return bad{"/settings/money", field, f}
	}
	line := pay + "/work/" + s.ours["work line"]
	on := []string{"month", s.ours["month"], "work", s.ours["work line"]}
	return []bad{
		told("kind", "siesta"), told("at", "ayer"), told("at", "2027-03-09"), told("minutes", "-3"), told("minutes", "mucho"), told("pay", "1.234,50"), told("name", long),
		{pay + "/advance", "amount", pairs("month", s.ours["month"], "amount", "0", "share", "20")},
		{pay + "/advance", "amount", pairs("month", s.ours["month"], "amount", "diez", "share", "20")},
		{pay + "/advance", "share", pairs("month", s.ours["month"], "amount", "10", "share", "120")},
		{pay + "/advance", "share", pairs("month", s.ours["month"], "amount", "10", "share", "mitad")},
		{pay + "/advance", "lent-from", pairs("month", s.ours["month"], "amount", "10", "share", "10", "lent-from", "income:sales")},
		{pay + "/out", "box", pairs("month", s.ours["month"], "due", s.due(), "box", "income:sales")},
		{line + "/count", "counted", pairs(append(on, "revision", "1", "counted", "")...)},
		{line + "/count", "counted", pairs(append(on, "revision", "1", "counted", "-2")...)},
		{line + "/drop", "why", pairs(append(on, "revision", "1", "why", " ")...)},
		entry("text", "text", " "), entry("date", "date", "2027-12-01"), entry("date", "date", "mañana"), entry("lines[0].in", "lines[1].out", "12.49"),
		entry("lines[0].in", "lines[0].in", "doce"), entry("lines[0].in", "lines[0].out", "3"), entry("document", "document", long),
		{"/books/entries/" + s.ours["by hand"] + "/reverse", "why", pairs("why", "")},
		{"/books/close", "ends", pairs("key", "2099", "begins", "2027-01-01", "ends", "2099-01-01", "into", "equity:savings")},
		{"/yarn/" + s.ours["lot"] + "/receive", "cost", pairs("grams", "500", "cost", "gratis")},
		house("floors.workshop", "mucho"), house("floors.legal", "1.234,50"), house("floors.allowance", "veinte"), house("pay-day", "31"), house("pay-day", "lunes"),
		house("pay-weave", "-4"), house("per-weave", "gramo"), house("overhead[0].rate", "algo"),
		house("fund", "-1"), house("kilo", "algodón"), house("rates[0].rate", "cero"), house("rates[0].from", "XQZ"),
		house("rates[0].on", "ayer"), house("accounts", "assets:cash"), house("accounts", "Renta"), house("minutes.meet", "mucho"), house("season", long), house("fuel", "cara"),
	}
}

// due is what is due to the earner, as a page says it.
func (s *site) due() string {
	st := must(s.house.Statement(ctx, s.people["head"], s.ours["earner"], s.ours["month"]))
	return (&visit{}).DueTyped(st.Due)
}
