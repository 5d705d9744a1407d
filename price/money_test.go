package price_test

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/bojanz/currency"
	xcurrency "golang.org/x/text/currency"
	"golang.org/x/text/language"
	"golang.org/x/text/message"
	"golang.org/x/text/number"
	"pgregory.net/rapid"

	"urdir/check"
	"urdir/price"
)

func usd(minor int64) price.Money { return price.Money{Minor: minor, Currency: "USD"} }

// sound gives a value that has no errors beside it.
func sound[T any](v T, ps check.Problems) T {
	if ps.Failed() {
		panic(ps)
	}
	return v
}

// has reports whether there is a problem of a code, and how severe.
func has(ps check.Problems, severity check.Severity, code string) bool {
	return slices.ContainsFunc(ps, func(p check.Problem) bool { return p.Code == code && p.Severity == severity })
}

// ISO 4217's minor units that are not 2 (from memory), and 2 for some of the rest.
func TestDigits_iso4217(t *testing.T) {
	for digits, codes := range map[int]string{
		0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF",
		2: "ARS BOB BRL CAD CHF COP CRC DOP EUR GBP GTQ HNL MXN NIO PAB PEN USD UYU",
		3: "BHD IQD JOD KWD LYD OMR TND",
		4: "CLF UYW",
	} {
		for code := range strings.FieldsSeq(codes) {
			if got, ok := price.Digits(code); !ok || got != digits {
				t.Errorf("%s: %d, %v; want %d", code, got, ok, digits)
			}
		}
	}
	for _, code := range []string{"", "XXQ", "usd", "US"} {
		if _, ok := price.Digits(code); ok || price.Known(code) {
			t.Errorf("%q is a currency", code)
		}
	}
}

// practice is where CLDR, whose digits golang.org/x/text has, gives those of daily
// prices and ISO 4217 those of the unit: there small coins are out of use.
const practice = "AFN ALL AMD COP GYD IDR IQD IRR KPW LAK LBP MGA MMK MNT MUR PKR RSD SOS SYP TZS UZS YER"

// Every currency against another library's tables, those of CLDR 32.
func TestDigits_asOtherTables(t *testing.T) {
	known := 0
	for _, code := range currency.GetCurrencyCodes() {
		u, err := xcurrency.ParseISO(code)
		if err != nil {
			continue // younger than those tables
		}
		known++
		want, _ := xcurrency.Standard.Rounding(u)
		got, ok := price.Digits(code)
		if strings.Contains(practice, code) {
			if want != 0 || got < 2 {
				t.Errorf("%s: %d digits, in CLDR %d: no exception any more", code, got, want)
			}
		} else if !ok || got != want {
			t.Errorf("%s: %d digits, in CLDR %d", code, got, want)
		}
	}
	if known < 150 {
		t.Errorf("only %d currencies compared", known)
	}
}

// The digits of an amount are grouped and parted as the printer of
// golang.org/x/text does, which has its own CLDR tables. Spanish leaves four digits
// together, which that printer does not know (CLDR's minimumGroupingDigits, from
// memory), so that amounts there have five.
func TestIn_asOtherTables(t *testing.T) {
	for _, tag := range []string{"en", "en-US", "es", "es-ES", "es-MX", "es-419", "es-AR", "es-CO", "es-PE"} {
		p := message.NewPrinter(language.MustParse(tag))
		for _, m := range []price.Money{usd(5), usd(100), usd(99999), usd(1234567), usd(123456789012), {Minor: 12345, Currency: "JPY"}, {Minor: 12345678, Currency: "KWD"}} {
			digits, _ := price.Digits(m.Currency)
			want := p.Sprint(number.Decimal(float64(m.Minor)/math.Pow10(digits), number.Scale(digits)))
			got := m.In(tag)
			if bare := strings.Trim(strings.ReplaceAll(got, m.Currency, ""), "\u00a0 "); bare != want || !strings.Contains(got, m.Currency) {
				t.Errorf("%s: %s is %q; the other library writes %q", tag, m, got, want)
			}
		}
	}
	for tag, want := range map[string]string{"es": "1250,50\u00a0USD", "es-MX": "USD\u00a01,250.50", "en": "USD\u00a01,250.50"} {
		if got := usd(125050).In(tag); got != want {
			t.Errorf("%s: %q; want %q", tag, got, want)
		}
	}
	if got := (price.Money{Minor: 7, Currency: "shells"}).In("es"); got != "shells 7" {
		t.Errorf("no currency: %q", got)
	}
}

func TestParse(t *testing.T) {
	for text, want := range map[string]int64{"0": 0, "1250.50": 125050, "1250.5": 125050, "7": 700, "007": 700, "10000000000": price.MaxMinor} {
		if got, err := price.Parse(text, "USD"); err != nil || got != usd(want) {
			t.Errorf("%q: %v, %v", text, got, err)
		}
	}
	for _, text := range []string{"", ".", "1.", ".5", "1,5", "1.234", "1e3", "-1", "+1", "1 000", "1.2.3", "10000000000.01", strings.Repeat("9", 40)} {
		if got, err := price.Parse(text, "USD"); !errors.Is(err, price.ErrAmount) {
			t.Errorf("%q is read as %v, %v", text, got, err)
		}
	}
	if _, err := price.Parse("1", "XXQ"); !errors.Is(err, price.ErrAmount) {
		t.Error("an amount of no currency is read")
	}
	rapid.Check(t, func(t *rapid.T) {
		code := rapid.SampledFrom([]string{"USD", "JPY", "KWD", "CLF"}).Draw(t, "code")
		m := price.Money{Minor: rapid.Int64Range(0, price.MaxMinor).Draw(t, "minor"), Currency: code}
		if got, err := price.Parse(m.Plain(), code); err != nil || got != m {
			t.Fatalf("%s is read as %v, %v", m.Plain(), got, err)
		}
	})
}

func TestParsePercent(t *testing.T) {
	for _, text := range []string{"12.5", "0", "-3", "100", "0.25"} {
		if p, err := price.ParsePercent(text); err != nil || p.String() != text {
			t.Errorf("%q: %v, %v", text, p, err)
		}
	}
	for _, text := range []string{"", "1.255", "12,5", "1e1", "12.5%", "x"} {
		if p, err := price.ParsePercent(text); !errors.Is(err, price.ErrAmount) {
			t.Errorf("%q is read as %v, %v", text, p, err)
		}
	}
	if got := percent("12.50").In("es"); got != "12,5\u202f%" {
		t.Errorf("in Spanish: %q", got)
	}
}

func percent(text string) price.Percent {
	p, err := price.ParsePercent(text)
	if err != nil {
		panic(err)
	}
	return p
}

func TestSum(t *testing.T) {
	if got, ok := price.Sum(usd(1), usd(-3), usd(5)); !ok || got != usd(3) {
		t.Errorf("%v, %v", got, ok)
	}
	for _, of := range [][]price.Money{{usd(1), {Minor: 1, Currency: "EUR"}}, {usd(math.MaxInt64), usd(1)}, {usd(math.MinInt64), usd(-1)}} {
		if got, ok := price.Sum(of...); ok {
			t.Errorf("%v add up to %v", of, got)
		}
	}
}
