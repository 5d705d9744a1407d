package pricefile

import (
	"strings"

	"github.com/govalues/decimal"

	"urdir/check"
	"urdir/internal/yamlfile"
	"urdir/measure"
	"urdir/price"
)

// MaxBytes is the most that a quote file may have.
const MaxBytes = 1 << 16

// Version is the number a file gives in its first field, quote.
const Version = 1

var fileKind = yamlfile.Kind{First: "quote", Version: Version, Bytes: MaxBytes, Depth: 20, Entries: 1500, List: 200}

// Source knows where each field of a file stands.
type Source = yamlfile.Source

// Quote is what a file says.
type Quote struct {
	Name     string // of what is sold
	Customer string
	Terms    string
	Asked    price.Asked
}

// Read reads a quote file. The Quote is only good when the problems have not Failed;
// what it means is for price.Make to judge, whose paths Source knows too.
func Read(text []byte) (Quote, Source, check.Problems) {
	r := reader{}
	source, ps := yamlfile.Read(text, fileKind, r.top)
	return r.quote, source, ps
}

// reader reads a file. Amounts wait until the currency is known, wherever it stands.
type reader struct {
	quote Quote
	later []func()
}

func (r *reader) top(n *yamlfile.Node) {
	a := &r.quote.Asked
	o := &a.Order
	yamlfile.Fields{
		"quote":    fileKind.CheckVersion,
		"name":     yamlfile.ToText(&r.quote.Name),
		"customer": yamlfile.ToText(&r.quote.Customer),
		"terms":    yamlfile.ToText(&r.quote.Terms),
		"currency": yamlfile.ToText(&o.Currency),
		"pieces":   yamlfile.ToCount(&o.Pieces),
		"issued":   yamlfile.ToText(&a.Issued),
		"until":    yamlfile.ToText(&a.Until),
		"rates":    yamlfile.ToList(&o.Rates, toRate),
		"materials": r.list(func(n *yamlfile.Node) {
			o.Materials = append(o.Materials, price.Material{})
			r.material(n, len(o.Materials)-1)
		}),
		"work": r.list(func(n *yamlfile.Node) { o.Work = append(o.Work, price.Work{}); r.work(n, len(o.Work)-1) }),
		"expenses": r.list(func(n *yamlfile.Node) {
			o.Expenses = append(o.Expenses, price.Expense{})
			r.expense(n, len(o.Expenses)-1)
		}),
		"overhead": r.list(func(n *yamlfile.Node) {
			o.Overhead = append(o.Overhead, price.Overhead{})
			r.overhead(n, len(o.Overhead)-1)
		}),
		"floors": yamlfile.Fields{"workshop": r.amount(func(m price.Money) { a.Floors.Workshop = m }), "legal": r.amount(func(m price.Money) { a.Floors.Legal = m }),
			"allowance": toPercent(&a.Floors.Allowance)}.Read,
		"channel": r.channel,
		"tax":     yamlfile.Fields{"name": yamlfile.ToText(&a.Tax.Name), "percent": toPercent(&a.Tax.Percent), "included": yamlfile.ToYesNo(&a.Tax.Included)}.Read,
		"aim":     yamlfile.Fields{"markup": toPercent(&a.Aim.Markup), "margin": toPercent(&a.Aim.Margin)}.Read,
		"price":   r.amount(func(m price.Money) { a.Price = m }),
		"steps": yamlfile.ToList(&a.Steps, func(s *price.Step) func(*yamlfile.Node) {
			return yamlfile.Fields{"from": yamlfile.ToCount(&s.From), "off": toPercent(&s.Off)}.Read
		}),
		"off": toPercent(&a.Off),
		"round": yamlfile.Fields{"step": r.amount(func(m price.Money) { a.Custom.Step = m.Minor }),
			"end": r.amount(func(m price.Money) { a.Custom.End = m.Minor })}.Read,
		"deposit": toPercent(&a.Deposit),
	}.Read(n)
	if !price.Known(o.Currency) {
		n.Part("currency").Refuse("currency-unknown", check.Args{"text": yamlfile.Clip(o.Currency)})
		return
	}
	for _, read := range r.later {
		read()
	}
}

func (r *reader) list(item func(*yamlfile.Node)) func(*yamlfile.Node) {
	return func(n *yamlfile.Node) { n.List(item) }
}

// amount reads "12.50", or "EUR 12.50", once the currency is known.
func (r *reader) amount(to func(price.Money)) func(*yamlfile.Node) {
	return yamlfile.FromText(func(n *yamlfile.Node, s string) {
		r.later = append(r.later, func() {
			code, text := r.quote.Asked.Order.Currency, strings.TrimSpace(s)
			if before, after, two := strings.Cut(text, " "); two {
				code, text = before, strings.TrimSpace(after)
			}
			m, err := price.Parse(text, code)
			if err != nil {
				n.Refuse("amount-unread", check.Args{"text": yamlfile.Clip(s), "currency": code})
				return
			}
			to(m)
		})
	})
}

// toPercent reads "12.5", or "12.5 %".
func toPercent(to *price.Percent) func(*yamlfile.Node) {
	return yamlfile.FromText(func(n *yamlfile.Node, s string) {
		p, err := price.ParsePercent(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(s), "%")))
		if err != nil {
			n.Refuse("percent-unread", check.Args{"text": yamlfile.Clip(s)})
			return
		}
		*to = p
	})
}

func toRate(e *price.Exchange) func(*yamlfile.Node) {
	return yamlfile.Fields{
		"from": yamlfile.ToText(&e.From), "to": yamlfile.ToText(&e.To), "on": yamlfile.ToText(&e.On), "source": yamlfile.ToText(&e.Source),
		"rate": yamlfile.FromText(func(n *yamlfile.Node, s string) {
			d, err := decimal.Parse(strings.TrimSpace(s))
			if err != nil {
				n.Refuse("rate-unread", check.Args{"text": yamlfile.Clip(s)})
				return
			}
			e.Rate = d
		}),
	}.Read
}

// milligrams is a mass in whole milligrams.
func milligrams(to *int64) func(*yamlfile.Node) {
	return yamlfile.To(func(s string) (int64, error) {
		g, err := measure.ParseMass(s)
		return int64(float64(g)*1000 + 0.5), err
	}, to)
}

func (r *reader) material(n *yamlfile.Node, i int) {
	m := &r.quote.Asked.Order.Materials[i]
	at := func() *price.Material { return &r.quote.Asked.Order.Materials[i] } // the list may move
	yamlfile.Fields{"name": yamlfile.ToText(&m.Name), "used": milligrams(&m.Used), "lot": milligrams(&m.Lot),
		"cost": r.amount(func(c price.Money) { at().Cost = c })}.Read(n)
}

// pays is the words for how work is paid, each with its amount.
var pays = []price.Per{price.PerHour, price.PerPiece, price.PerStep}

func (r *reader) work(n *yamlfile.Node, i int) {
	w := &r.quote.Asked.Order.Work[i]
	pay := yamlfile.Fields{}
	for _, per := range pays {
		pay[string(per)] = r.amount(func(m price.Money) { r.quote.Asked.Order.Work[i].Pay = price.Pay{Per: per, Rate: m} })
	}
	yamlfile.Fields{"step": yamlfile.ToText(&w.Step), "by": yamlfile.ToText(&w.By), "pay": pay.Read,
		"time": yamlfile.To(func(s string) (int64, error) {
			if rest, negative := strings.CutPrefix(strings.TrimSpace(s), "-"); negative { // told by its own problem
				m, err := measure.ParseMinutes(rest)
				return -int64(m + 0.5), err
			}
			m, err := measure.ParseMinutes(s)
			return int64(m + 0.5), err
		}, &w.Minutes)}.Read(n)
}

func (r *reader) expense(n *yamlfile.Node, i int) {
	e := &r.quote.Asked.Order.Expenses[i]
	yamlfile.Fields{"kind": yamlfile.ToChoice(&e.Kind, price.Fuel, price.Transport, price.Fees, price.Other), "name": yamlfile.ToText(&e.Name),
		"amount": r.amount(func(m price.Money) { r.quote.Asked.Order.Expenses[i].Amount = m })}.Read(n)
}

func (r *reader) overhead(n *yamlfile.Node, i int) {
	v := &r.quote.Asked.Order.Overhead[i]
	yamlfile.Fields{"name": yamlfile.ToText(&v.Name), "per": yamlfile.ToChoice(&v.Per, price.PerHour, price.PerPiece, price.PerCost),
		"rate": r.amount(func(m price.Money) { r.quote.Asked.Order.Overhead[i].Rate = m }), "percent": toPercent(&v.Percent)}.Read(n)
}

func (r *reader) channel(n *yamlfile.Node) {
	c := &r.quote.Asked.Channel
	yamlfile.Fields{"kind": yamlfile.ToChoice(&c.Kind, price.OwnShop, price.Fair, price.Wholesale, price.Online, price.Consignment), "name": yamlfile.ToText(&c.Name),
		"percent": toPercent(&c.Percent), "fixed": r.amount(func(m price.Money) { c.Fixed = m }), "stall": r.amount(func(m price.Money) { c.Stall = m }),
		"expect": yamlfile.ToCount(&c.Expect)}.Read(n)
}
