package pricefile_test

import (
	"strings"
	"testing"

	"urdir/price"
	"urdir/pricefile"
)

const whole = `quote: 1
name: Rebozo
pieces: 2
floors: {workshop: 4.00, legal: EUR 3.50, allowance: 20 %}
rates: [{from: EUR, to: USD, rate: 1.10, on: 2026-11-27, source: bank}]
materials: [{name: cotton, used: 600 g, lot: 1 kg, cost: 20.00}]
work: [{step: weave, by: Benita, time: 32 h, pay: {piece: 80.00}}]
expenses: [{kind: fuel, name: wood, amount: 1.50}]
overhead: [{name: rent, per: hour, rate: 0.40}, {name: looms, per: cost, percent: 2}]
channel: {kind: fair, name: Feria, percent: 10, fixed: 0.25, stall: 20.00, expect: 20}
tax: {name: IVA, percent: 12, included: yes}
aim: {margin: 25}
steps: [{from: 10, off: 5}]
off: 1.5 %
round: {step: 5.00, end: 4.50}
deposit: 50
issued: 2026-11-28
until: 2026-12-28
currency: USD
`

// Every field of docs/price.md is read, and the currency may stand last.
func TestRead(t *testing.T) {
	q, source, ps := pricefile.Read([]byte(whole))
	if ps != nil {
		t.Fatal(ps)
	}
	a := q.Asked
	usd := func(cents int64) price.Money { return price.Money{Minor: cents, Currency: "USD"} }
	for _, c := range []struct {
		name      string
		got, want any
	}{
		{"floor", a.Floors.Workshop, usd(400)}, {"legal", a.Floors.Legal, price.Money{Minor: 350, Currency: "EUR"}}, {"allowance", a.Floors.Allowance.String(), "20"},
		{"rate", a.Order.Rates[0].Rate.String(), "1.10"}, {"material", a.Order.Materials[0], price.Material{Name: "cotton", Used: 600_000, Lot: 1_000_000, Cost: usd(2000)}},
		{"work", a.Order.Work[0], price.Work{Step: "weave", By: "Benita", Minutes: 1920, Pay: price.Pay{Per: price.PerPiece, Rate: usd(8000)}}},
		{"expense", a.Order.Expenses[0], price.Expense{Kind: price.Fuel, Name: "wood", Amount: usd(150)}}, {"rent", a.Order.Overhead[0].Rate, usd(40)},
		{"looms", a.Order.Overhead[1].Percent.String(), "2"}, {"stall", a.Channel.Stall, usd(2000)}, {"fixed", a.Channel.Fixed, usd(25)}, {"expect", a.Channel.Expect, 20},
		{"tax", a.Tax.Included, true}, {"margin", a.Aim.Margin.String(), "25"}, {"step", a.Steps[0].From, 10}, {"off", a.Off.String(), "1.5"},
		{"round", a.Custom, price.Customary{Step: 500, End: 450}}, {"deposit", a.Deposit.String(), "50"}, {"until", a.Until, "2026-12-28"},
	} {
		if c.got != c.want {
			t.Errorf("%s: got %v, want %v", c.name, c.got, c.want)
		}
	}
	if _, ps := price.Make(a); ps.Failed() {
		t.Error(ps)
	}
	if at, ok := source.Locate("work[0].time"); !ok || at.Line != 7 {
		t.Errorf("work[0].time stands at %v", at)
	}
}

func TestRead_wrong(t *testing.T) {
	for _, c := range []struct{ was, is, path, code string }{
		{"currency: USD", "currency: gold", "currency", "currency-unknown"},
		{"currency: USD\n", "", "currency", "currency-unknown"},
		{"cost: 20.00", "cost: 20.001", "materials[0].cost", "amount-unread"},
		{"cost: 20.00", "cost: -20", "materials[0].cost", "amount-unread"},
		{"off: 1.5 %", "off: lots", "off", "percent-unread"},
		{"rate: 1.10", "rate: one", "rates[0].rate", "rate-unread"},
		{"kind: fair", "kind: bazaar", "channel.kind", "value-choice"},
		{"used: 600 g", "used: 600 m", "materials[0].used", "quantity-unit"},
		{"pay: {piece: 80.00}", "pay: {day: 80.00}", "work[0].pay.day", "field-unknown"},
		{"quote: 1", "quote: 2", "quote", "file-version"},
	} {
		_, _, ps := pricefile.Read([]byte(strings.Replace(whole, c.was, c.is, 1)))
		found := false
		for _, p := range ps {
			found = found || p.Path == c.path && p.Code == c.code
		}
		if !found {
			t.Errorf("%s: got %v, want %s: %s", c.is, ps, c.path, c.code)
		}
	}
	// Hours below nothing are read, and refused as such.
	q, _, ps := pricefile.Read([]byte(strings.Replace(whole, "32 h", "-32 h", 1)))
	if ps != nil || q.Asked.Order.Work[0].Minutes != -1920 {
		t.Errorf("-32 h: %d minutes, %v", q.Asked.Order.Work[0].Minutes, ps)
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(whole))
	f.Add([]byte("quote: 1\nwork:\n  - {time: -}\n"))
	f.Fuzz(func(_ *testing.T, text []byte) {
		if q, _, ps := pricefile.Read(text); !ps.Failed() {
			_, _ = price.Make(q.Asked)
		}
	})
}
