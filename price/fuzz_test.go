package price_test

import (
	"testing"

	"urdir/price"
)

// FuzzParse_amount: an amount that is read is in bounds, and is read again as it is
// printed.
func FuzzParse_amount(f *testing.F) {
	for _, s := range []string{"1250.50", "0", "1.234", "99999999999999999999", ".", "-1", "1e3", "00.10"} {
		f.Add(s, "USD")
	}
	f.Add("12", "CLP")
	f.Add("12", "")
	f.Fuzz(func(t *testing.T, text, code string) {
		m, err := price.Parse(text, code)
		if err != nil {
			return
		}
		again, err := price.Parse(m.Plain(), code)
		if err != nil || again != m || m.Minor < 0 || m.Minor > price.MaxMinor {
			t.Errorf("%q in %s: %v, printed and read again %v, %v", text, code, m, again, err)
		}
	})
}

// FuzzParsePercent: a share that is read is read again as it is printed.
func FuzzParsePercent(f *testing.F) {
	for _, s := range []string{"12", "12.5", "0", "-3", "1e9", "%", "1.005", "-0"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		p, err := price.ParsePercent(text)
		if err != nil {
			return
		}
		if again, err := price.ParsePercent(p.String()); err != nil || again != p {
			t.Errorf("%q: %v, printed and read again %v, %v", text, p, again, err)
		}
	})
}
