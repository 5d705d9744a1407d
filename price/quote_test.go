package price_test

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/govalues/decimal"
	"pgregory.net/rapid"

	"urdir/check"
	"urdir/price"
)

// asked is a quote for the two shawls, at cost.
func asked() price.Asked {
	return price.Asked{Order: shawls(), Channel: price.Channel{Kind: price.OwnShop}, Issued: "2026-11-20", Until: "2026-12-20"}
}

// By hand, on a cost of 149.81: lowest 74.905, so 74.91 a piece; with a markup of 20 %
// 179.772, so 179.78 are to be left, 89.89 a piece, to fives 90.00; 180.00 leave a gain
// of 30.19, which is 20.15 % of the cost and 16.77 % of the price. A deposit of half.
func TestMake_byHand(t *testing.T) {
	a := asked()
	a.Aim.Markup, a.Custom, a.Deposit = percent("20"), price.Customary{Step: 5_00}, percent("50")
	q, ps := price.Make(a)
	if len(ps) != 0 {
		t.Fatal(ps)
	}
	if q.Lowest != usd(74_91) || q.AtFloor != usd(74_91) || q.Each != usd(90_00) || q.Gain != usd(30_19) || q.Deposit != usd(90_00) || q.Balance != usd(90_00) {
		t.Errorf("%+v", q)
	}
	if q.Markup.String() != "20.15" || q.Margin.String() != "16.77" {
		t.Errorf("markup %v, margin %v", q.Markup, q.Margin)
	}
	// Pay from price: 180.00 less 9.00 of overhead by hour and piece are 171.00, over
	// 1.05 162.857; less 27.10 of yarn, fuel and bus 135.757, so 135.75, 5.65 an hour.
	if q.ForWork != usd(135_75) || q.Hourly != usd(5_65) {
		t.Errorf("for work %v, an hour %v", q.ForWork, q.Hourly)
	}
	a.Aim = price.Aim{Margin: percent("25")} // 149.81 / 0.75 = 199.7467
	if q = sound(price.Make(a)); q.Each != usd(100_00) {
		t.Errorf("with margin: %v", q.Each)
	}
}

// By hand: the floor of 5.00 asks 15.00 for laying and 100.00 for weaving, 13.00 more,
// and 5 % of it: direct 147.10, office 7.355, so 7.36; 163.46, 81.73 a piece.
func TestMake_belowTheFloor(t *testing.T) {
	a := asked()
	a.Floors.Workshop = usd(5_00)
	a.Price = usd(80_00)
	q, ps := price.Make(a)
	if ps.Failed() || q.AtFloor != usd(81_73) || !has(ps, check.Caution, "price-below-floor") || !has(ps, check.Caution, "pay-below-floor") {
		t.Errorf("%v, %v", q.AtFloor, ps)
	}
	a.Price = usd(81_73)
	if _, ps = price.Make(a); has(ps, check.Caution, "price-below-floor") {
		t.Errorf("at the price that does: %v", ps)
	}
	a.Price = usd(74_90)
	_, ps = price.Make(a)
	if !has(ps, check.Error, "price-below-cost") || ps[len(ps)-1].Args["lowest"] != usd(74_91) || ps[len(ps)-1].Args["short"] != usd(1) {
		t.Errorf("below cost: %v", ps)
	}
	a.Price, a.Floors.Legal = usd(80_00), usd(4_60)
	if _, ps = price.Make(a); !has(ps, check.Error, "pay-below-legal") {
		t.Errorf("below the law's floor: %v", ps)
	}
}

// By hand: from ten pieces 10 % off 100.00 are 90.00, and 5 % off that 85.50.
func TestMake_stepsAndDiscount(t *testing.T) {
	a := asked()
	a.Price, a.Off, a.Steps = usd(100_00), percent("5"), []price.Step{{From: 2, Off: percent("10")}, {From: 5, Off: percent("20")}}
	q := sound(price.Make(a))
	if q.Each != usd(85_50) {
		t.Errorf("each %v", q.Each)
	}
	out, ps := q.Discounted(percent("20")) // 68.40: below cost, by 149.81 - 136.80
	if ps.Failed() || !has(ps, check.Caution, "price-below-cost") || out.Gain != usd(-13_01) {
		t.Errorf("discounted: %+v, %v", out, ps)
	}
	if out = sound(q.At(usd(90_00))); out.Gain != usd(30_19) {
		t.Errorf("at 90: %+v", out)
	}
	if _, ps = q.Discounted(percent("100")); !has(ps, check.Error, "percent-out-of-range") {
		t.Errorf("all off: %v", ps)
	}
	a.Steps = []price.Step{{From: 2, Off: percent("60")}}
	if a.Price = usd(400_00); !has(second(price.Make(a)), check.Caution, "step-cheaper") {
		t.Errorf("two cost less than one, and nothing says so")
	}
}

func second[A, B any](_ A, b B) B { return b }

func TestMake_problems(t *testing.T) {
	for _, test := range []struct {
		path, code string
		edit       func(*price.Asked)
	}{
		{"aim", "aim-two", func(a *price.Asked) { a.Aim = price.Aim{Markup: percent("1"), Margin: percent("1")} }},
		{"aim.margin", "percent-out-of-range", func(a *price.Asked) { a.Aim.Margin = percent("100") }},
		{"channel.percent", "fee-percent", func(a *price.Asked) { a.Channel.Percent = percent("100") }},
		{"deposit", "deposit-over-price", func(a *price.Asked) { a.Deposit = percent("101") }},
		{"custom", "customary-step", func(a *price.Asked) { a.Custom = price.Customary{Step: 100, End: 100} }},
		{"steps[1].from", "step-order", func(a *price.Asked) { a.Steps = []price.Step{{From: 5}, {From: 5}} }},
		{"off", "percent-out-of-range", func(a *price.Asked) { a.Off = percent("100") }},
		{"until", "date-unread", func(a *price.Asked) { a.Until = "soon" }},
		{"until", "quote-until", func(a *price.Asked) { a.Until = "2026-11-19" }},
		{"price", "currency-other", func(a *price.Asked) { a.Price = price.Money{Minor: 1, Currency: "EUR"} }},
		{"order.pieces", "order-pieces", func(a *price.Asked) { a.Order.Pieces = 0 }},
		{"order.work[0].minutes", "hours-negative", func(a *price.Asked) { a.Order.Work[0].Minutes = -60 }},
		{"floors.legal", "amount-out-of-range", func(a *price.Asked) { a.Floors.Legal = usd(-1) }},
	} {
		a := asked()
		test.edit(&a)
		_, ps := price.Make(a)
		found := false
		for _, p := range ps {
			found = found || p.Path == test.path && p.Code == test.code
		}
		if !found || !ps.Failed() {
			t.Errorf("want %s at %s: %v", test.code, test.path, ps)
		}
	}
}

func TestAccept(t *testing.T) {
	a := asked()
	a.Price, a.Deposit = usd(100_00), percent("50")
	q := sound(price.Make(a))
	if ps := q.Accept("2026-12-20", usd(100_00)); ps != nil {
		t.Errorf("on the last day: %v", ps)
	}
	for _, test := range []struct {
		on       string
		deposit  price.Money
		severity check.Severity
		code     string
	}{
		{"2026-12-21", usd(100_00), check.Error, "quote-past"},
		{"2026-12-01", usd(200_01), check.Error, "deposit-over-price"},
		{"2026-12-01", usd(99_99), check.Caution, "deposit-short"},
		{"2026-12-01", price.Money{Minor: 100_00, Currency: "EUR"}, check.Error, "currency-other"},
		{"2026-12-01", usd(-1), check.Error, "amount-out-of-range"},
		{"tomorrow", usd(100_00), check.Error, "date-unread"},
	} {
		if ps := q.Accept(test.on, test.deposit); !has(ps, test.severity, test.code) {
			t.Errorf("%s, %v: %v, want %s", test.on, test.deposit, ps, test.code)
		}
	}
}

// anyAsked draws a quote of any sort that is not below cost.
func anyAsked(t *rapid.T) price.Asked {
	a := asked()
	a.Order.Pieces = rapid.IntRange(1, 12).Draw(t, "pieces")
	a.Order.Work[1].Minutes = rapid.Int64Range(0, 9000).Draw(t, "minutes")
	a.Order.Work[1].By = rapid.SampledFrom([]string{"Ana", "Luz"}).Draw(t, "by")
	a.Aim.Markup = percentOf(t, 80_00, "markup")
	a.Custom = rapid.SampledFrom([]price.Customary{{}, {Step: 5_00}, {Step: 1_00, End: 90}}).Draw(t, "custom")
	a.Channel = price.Channel{Kind: price.Online, Percent: percentOf(t, 60_00, "fee"), Fixed: usd(rapid.Int64Range(0, 99).Draw(t, "fixed"))}
	a.Tax = price.Tax{Percent: percentOf(t, 20_00, "tax"), Included: rapid.Bool().Draw(t, "included")}
	a.Deposit = percentOf(t, 100_00, "deposit")
	a.Floors.Workshop = usd(rapid.Int64Range(0, 9_00).Draw(t, "floor"))
	return a
}

// Where the money goes adds up to what the customer pays, for all and for a piece; no
// quote is below its cost; and pay found from the price can be paid from it.
func TestMake_addsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := sound(price.Make(anyAsked(t)))
		sum, percents := int64(0), 0
		for _, p := range q.Parts {
			sum, percents = sum+p.Amount.Minor, percents+p.Percent
			if p.Amount.Minor <= 0 {
				t.Fatalf("%s is %v", p.Kind, p.Amount)
			}
		}
		if sum != q.Sale.Paid.Minor || percents != 100 {
			t.Fatalf("parts are %d, %d %%; paid %v", sum, percents, q.Sale.Paid)
		}
		one := usd(rapid.Int64Range(0, 500_00).Draw(t, "one"))
		sum = 0
		for _, p := range sound(price.PartsEach(one, q.Parts)) {
			sum += p.Amount.Minor
		}
		if sum != one.Minor {
			t.Fatalf("parts of %v are %d", one, sum)
		}
		if q.Gain.Minor < 0 || q.Each.Minor < q.Lowest.Minor || q.AtFloor.Minor < q.Lowest.Minor || q.Deposit.Minor+q.Balance.Minor != q.Sale.Paid.Minor {
			t.Fatalf("%+v", q)
		}
		paid := q.Asked.Order
		paid.Work = []price.Work{{Step: "all", Minutes: q.Costing.Minutes, Pay: price.Pay{Per: price.PerStep, Rate: q.ForWork}}}
		if c := sound(price.Cost(paid)); c.Total.Minor > q.Sale.Left.Minor || c.Total.Minor+2 < q.Sale.Left.Minor {
			t.Fatalf("paying %v for work costs %v of %v", q.ForWork, c.Total, q.Sale.Left)
		}
	})
}

// A quote that is kept as JSON is the same quote when it is read, per cents and rates
// to the last decimal.
func TestQuote_isKept(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := anyAsked(t)
		a.Order.Rates = []price.Exchange{{From: "GTQ", To: "USD", Rate: decimal.MustParse("0.1279999999999999"), On: "2026-11-20", Source: "the bank"}}
		kept, err := json.Marshal(sound(price.Make(a)))
		if err != nil {
			t.Fatal(err)
		}
		var q price.Quote
		if err = json.Unmarshal(kept, &q); err != nil {
			t.Fatal(err)
		}
		again, err := json.Marshal(sound(price.Make(q.Asked)))
		if err != nil || !bytes.Equal(kept, again) {
			t.Fatalf("%v\n%s\n%s", err, kept, again)
		}
	})
}

// By hand: weaving took 22 h and the yarn of 1.5 kg, 27.00; an extra bus of 1.00.
func TestCompare(t *testing.T) {
	a := asked()
	a.Price = usd(90_00)
	q := sound(price.Make(a))
	took := shawls()
	took.Materials[0].Used = 1_500_000
	took.Work[1].Minutes = 22 * 60
	took.Expenses = append(took.Expenses, price.Expense{Kind: price.Transport, Name: "second bus", Amount: usd(1_00)})
	took.Overhead = took.Overhead[:2] // the office took nothing
	c := sound(price.Compare(q, took))
	if c.Planned != usd(149_81) || c.Took != usd(150_00) || c.More != usd(19) || c.Minutes != 120 || c.Gain != usd(30_00) || c.Hourly != usd(4_11) || c.PlannedHourly != usd(4_45) {
		t.Errorf("%+v", c)
	}
	more := map[string]int64{}
	sum := int64(0)
	for _, l := range c.Lines {
		more[l.Name], sum = l.More.Minor, sum+l.More.Minor
	}
	if more["cotton"] != 5_40 || more["second bus"] != 1_00 || more["rent"] != 50 || more["office"] != -6_71 || more["weave"] != 0 || sum != c.More.Minor {
		t.Errorf("%v", more)
	}
	took.Currency = "EUR"
	if _, ps := price.Compare(q, took); !has(ps, check.Error, "currency-other") {
		t.Errorf("another currency: %v", ps)
	}
}
