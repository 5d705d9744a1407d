package price_test

import (
	"testing"

	"pgregory.net/rapid"

	"urdir/check"
	"urdir/price"
)

// Worked examples of accounting texts. Sources:
//
//	[A] course notes of managerial accounting, chapter 13 (coursehero.com): cost 100,
//	    markup 25 %, price 125
//	[B] dictionary of commerce (cidian.kuaisou.com): cost 10, margin 60 %, price 25;
//	    markup 60 %, price 16
//	[C] textbook exercise: cost 100, margin 30 % of the price; answer reckoned by hand
//	[D] bought for 100, sold for 150: markup 50 %, margin 33.33 %
func TestMarkupAndMargin_workedExamples(t *testing.T) {
	for _, test := range []struct {
		source, markup, margin string
		cost, price            int64
	}{
		{"A", "25", "", 100_00, 125_00},
		{"B", "60", "", 10_00, 16_00},
		{"B", "", "60", 10_00, 25_00},
		{"C", "", "30", 100_00, 142_86}, // 142.857, up
		{"D", "50", "", 100_00, 150_00},
	} {
		var got price.Money
		var ps check.Problems
		if test.markup != "" {
			got, ps = price.WithMarkup(usd(test.cost), percent(test.markup))
		} else {
			got, ps = price.WithMargin(usd(test.cost), percent(test.margin))
		}
		if ps != nil || got != usd(test.price) {
			t.Errorf("[%s] %v, %v; want %d", test.source, got, ps, test.price)
		}
	}
	if m, g := price.Markup(usd(100_00), usd(150_00)), price.Margin(usd(100_00), usd(150_00)); m.String() != "50.00" || g.String() != "33.33" {
		t.Errorf("[D] markup %v, margin %v", m, g)
	}
}

// The table any accounting text has (from memory, and by hand): margin = markup /
// (1 + markup).
func TestMarkupAndMargin_conversion(t *testing.T) {
	for markup, margin := range map[string]string{"25": "20.00", "50": "33.33", "100": "50.00", "150": "60.00"} {
		p := sound(price.WithMarkup(usd(1_000_000), percent(markup)))
		if got := price.Margin(usd(1_000_000), p).String(); got != margin {
			t.Errorf("markup of %s %% is a margin of %s, want %s", markup, got, margin)
		}
	}
}

func TestMarkupAndMargin_outOfBounds(t *testing.T) {
	for _, text := range []string{"-1", "1000.01"} {
		if _, ps := price.WithMarkup(usd(1), percent(text)); !has(ps, check.Error, "percent-out-of-range") {
			t.Errorf("markup %s: %v", text, ps)
		}
	}
	for _, text := range []string{"-0.01", "100", "250"} {
		if _, ps := price.WithMargin(usd(1), percent(text)); !has(ps, check.Error, "percent-out-of-range") {
			t.Errorf("margin %s: %v", text, ps)
		}
	}
	if price.Markup(usd(0), usd(5)).String() != "0" || price.Margin(usd(5), usd(0)).String() != "0" {
		t.Error("per cents of nothing")
	}
}

// A price with a margin gains at least it, and a unit less does not.
func TestWithMargin_isTheLowest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cost := rapid.Int64Range(0, 1_000_000).Draw(t, "cost")
		hundredths := rapid.Int64Range(0, 99_99).Draw(t, "hundredths")
		p := percent(price.Money{Minor: hundredths, Currency: "USD"}.Plain())
		got := sound(price.WithMargin(usd(cost), p)).Minor
		enough := func(price int64) bool { return price*(10_000-hundredths) >= cost*10_000 }
		if !enough(got) || got > 0 && enough(got-1) {
			t.Fatalf("cost %d, margin %v %%: price %d", cost, p, got)
		}
	})
}
