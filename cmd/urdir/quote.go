package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"urdir/check"
	"urdir/price"
	"urdir/pricefile"
	"urdir/sheet"
)

func newQuoteCommand(a *app) *cobra.Command {
	w := a.words
	return &cobra.Command{
		Use:                   "quote " + w.T("quote-args", nil),
		Short:                 w.T("quote-about", nil),
		Long:                  w.T("quote-about-long", nil),
		Example:               "  urdir quote rebozo.yaml\n  urdir quote rebozo.yaml --json",
		DisableFlagsInUseLine: true,
		Args:                  arguments(1, 1),
		RunE:                  func(_ *cobra.Command, args []string) error { return a.quote(args[0]) },
	}
}

// quote reckons a quote file: costs in, price out.
func (a *app) quote(file string) error {
	text, err := a.read(file)
	if err != nil {
		return err
	}
	asked, source, ps := pricefile.Read(text)
	var q price.Quote
	if !ps.Failed() {
		var more check.Problems
		q, more = price.Make(asked.Asked)
		ps = append(ps, more...)
		if ps.Failed() { // what is wrong with the order too, if that was not looked at
			ps = append(ps, unsaid(ps, asked.Asked.Order.Validate())...)
		}
	}
	found := inQuote(file, source, ps)
	if ps.Failed() {
		return found
	}
	if a.json {
		return a.printJSON(quoteReport{asked.Name, asked.Customer, a.problems(found), q})
	}
	a.printQuote(asked, q)
	a.tell(found)
	return nil
}

// unsaid is the problems that are not among others, whatever their paths begin with.
func unsaid(said, ps check.Problems) (out check.Problems) {
	for _, p := range ps {
		if !slices.ContainsFunc(said, func(x check.Problem) bool { return x.Code == p.Code && strings.HasSuffix(x.Path, p.Path) }) {
			out = append(out, p)
		}
	}
	return out
}

// quoteReport is the result of the command as JSON.
type quoteReport struct {
	Name     string      `json:"name,omitempty"`
	Customer string      `json:"customer,omitempty"`
	Problems []problem   `json:"problems"`
	Quote    price.Quote `json:"quote"`
}

// inQuote says where in the file problems are; those of the order are a level up in
// it.
func inQuote(file string, source pricefile.Source, ps check.Problems) (out stopped) {
	for _, p := range ps {
		l := located{File: file, Problem: p}
		if at, ok := source.Locate(strings.TrimPrefix(p.Path, "order.")); ok {
			l.Line, l.Column = at.Line, at.Column
		}
		out = append(out, l)
	}
	return out
}

func (a *app) printQuote(f pricefile.Quote, q price.Quote) {
	w := a.words
	money := func(m price.Money) string { return w.S(m) }
	if f.Name != "" {
		fmt.Fprintln(a.out, a.strong(f.Name))
	}
	costs := table{indent: 2, numbers: true}
	for _, l := range q.Costing.Lines {
		name := w.T("cost-"+string(l.Kind), nil)
		if said := a.stepName(l.Kind, l.Name); said != "" {
			name += ": " + said
		}
		if l.By != "" {
			name += ", " + l.By
		}
		hours := ""
		if l.Minutes > 0 {
			hours = sheet.WorkTime(w, l.Minutes)
		}
		costs.add(name, hours, money(l.Amount))
	}
	costs.add(w.T("quote-total", nil), "", money(q.Costing.Total))
	fmt.Fprintln(a.out, a.heading("quote-costs"))
	costs.print(a.out)
	fmt.Fprintln(a.out, "\n"+a.heading("quote-price"))
	sums := table{indent: 2, numbers: true}
	for _, row := range []struct {
		key string
		m   price.Money
	}{{"quote-lowest", q.Lowest}, {"quote-at-floor", q.AtFloor}, {"quote-each", q.Each}, {"quote-all", q.Sale.Price}, {"quote-tax", q.Sale.Tax}, {"quote-paid", q.Sale.Paid},
		{"quote-fee", q.Sale.Fee}, {"quote-left", q.Sale.Left}, {"quote-gain", q.Gain}, {"quote-deposit", q.Deposit}, {"quote-balance", q.Balance}} {
		sums.add(w.T(row.key, nil), money(row.m))
	}
	sums.add(w.T("quote-markup", nil), w.S(q.Markup))
	sums.add(w.T("quote-margin", nil), w.S(q.Margin))
	sums.print(a.out)
	fmt.Fprintln(a.out, "\n"+a.heading("quote-parts"))
	parts := table{indent: 2, numbers: true}
	for _, p := range q.Parts {
		name := w.T("cost-"+string(p.Kind), nil)
		if said := a.stepName(p.Kind, p.Name); said != "" {
			name += ": " + said
		}
		parts.add(name, money(p.Amount), fmt.Sprintf("%d\u202f%%", p.Percent))
	}
	parts.print(a.out)
	fmt.Fprintln(a.out, "\n"+w.T("quote-valid", check.Args{"until": q.Asked.Until}))
}

// stepName is what a line is called: a step in the reader's language if it is one
// that has a word.
func (a *app) stepName(kind price.Kind, name string) string {
	if kind == price.Labour && a.words.Has("paywork-"+name) {
		return a.words.T("paywork-"+name, nil)
	}
	return name
}
