package web

import (
	"errors"
	"strings"

	"github.com/govalues/decimal"

	"urdir/check"
	"urdir/internal/workshop"
	"urdir/price"
)

// amount reads an amount that is written with or without its code.
func (f *form) amount(field, code string) workshop.Money {
	s := strings.TrimSpace(f.text(field))
	if s == "" {
		return workshop.Money{}
	}
	if _, known := price.Digits(code); !known {
		return workshop.Money{} // the code is said to be wrong
	}
	return f.money(field, code)
}

// per reads per cents to two decimals; empty is nothing.
func (f *form) per(field string) price.Percent {
	s := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(f.text(field)), "%"))
	if s == "" {
		return price.Percent{}
	}
	p, err := price.ParsePercent(strings.TrimSpace(strings.ReplaceAll(s, ",", ".")))
	if err != nil {
		f.ps.Wrong(field, "percent-unread", check.Args{"text": s})
	}
	return p
}

// Per is per cents as a field shows them.
func (v *visit) Per(p price.Percent) string {
	if p.IsZero() {
		return ""
	}
	return p.Trim(0).String()
}

// asking reads what is asked for in a quote; own is the workshop's currency.
func (f *form) asking(own string) workshop.Asking {
	code := strings.ToUpper(strings.TrimSpace(f.text("currency")))
	if code == "" {
		code = own
	}
	if !price.Known(code) {
		f.ps.Wrong("currency", "currency-unknown", check.Args{"text": code})
	}
	a := workshop.Asking{Channel: f.text("channel"), Off: f.per("off"), Until: f.text("until"), Currency: code, Terms: f.text("terms"), Parts: f.yes("parts"),
		Price: f.amount("price", code), Hourly: f.amount("hourly", code)}
	if rate := strings.TrimSpace(f.text("rate")); rate != "" {
		d, err := decimal.Parse(strings.ReplaceAll(rate, ",", "."))
		if err != nil {
			f.ps.Wrong("rate", "rate-unread", check.Args{"text": rate})
		}
		a.Rates = []price.Exchange{{From: code, To: own, Rate: d, On: f.text("rate-on"), Source: strings.TrimSpace(f.text("rate-source"))}}
	}
	switch aim := f.per("aim"); f.text("aim-of") {
	case "markup":
		a.Aim = &price.Aim{Markup: aim}
	case "margin":
		a.Aim = &price.Aim{Margin: aim}
	}
	if m := f.amount("expense", code); m.Minor > 0 {
		a.Expenses = []price.Expense{{Kind: price.Kind(f.text("expense-kind")), Name: strings.TrimSpace(f.text("expense-name")), Amount: m}}
	}
	return a
}

// moneyFields is the field of the form in which something is wrong, by the path it
// has where a price is reckoned; the first that a path begins with.
var moneyFields = []struct{ begins, field string }{
	{"channel", "channel"}, {"aim", "aim"}, {"off", "off"}, {"until", "until"}, {"issued", "until"}, {"order.rates", "rate"}, {"rates", "rate"},
	{"order.currency", "currency"}, {"order.expenses", "expense"}, {"price", "price"},
}

// atFields puts problems at the fields of the form, each once: without a rate, every
// line of the costs is without.
func atFields(ps check.Problems) (out check.Problems) {
	seen := map[string]bool{}
	for _, p := range ps {
		for _, m := range moneyFields {
			if p.Severity == check.Error && strings.HasPrefix(p.Path, m.begins) {
				p.Path = m.field
				break
			}
		}
		if p.Code == "currency-without-rate" {
			p.Path = "rate"
		}
		if key := p.Path + p.Code; p.Severity != check.Error || !seen[key] {
			seen[key] = true
			out = append(out, p)
		}
	}
	return out
}

// atField is a refusal with its problems at the fields of the form.
func atField(err error) error {
	if ps := problemsOf(err); ps != nil {
		return &workshop.Error{Code: workshop.Invalid, Problems: atFields(ps), Err: err}
	}
	return err
}

// problemsOf is the problems of a refusal, or nil of any other error.
func problemsOf(err error) check.Problems {
	if e, ok := errors.AsType[*workshop.Error](err); ok && e.Code == workshop.Invalid {
		return e.Problems
	}
	return nil
}
