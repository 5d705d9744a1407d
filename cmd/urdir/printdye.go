package main

import (
	"fmt"
	"strings"

	"urdir/check"
	"urdir/dye"
	"urdir/internal/lang"
	"urdir/measure"
	"urdir/sheet"
)

// printDye prints a recipe made for a lot, for a person.
func (a *app) printDye(b dye.Batch, o dye.Order, moon *dye.Moon) {
	w, r := a.words, b.Recipe
	fmt.Fprintln(a.out, a.strong(w.T("dye-title", check.Args{"name": r.Name.In(w.Tag), "shade": r.Shade.In(w.Tag)})))
	if r.Sample {
		fmt.Fprintln(a.out, w.T("dye-sample", nil))
	}
	if note := r.Note.In(w.Tag); note != "" {
		fmt.Fprintln(a.out, fold(note, helpWidth))
	}
	for _, m := range r.Materials {
		fmt.Fprintf(a.out, "%s: %s\n", m.Name.In(w.Tag), m.Latin)
	}
	a.printLot(b, o, moon)
	t := table{indent: 2}
	for _, x := range b.Amounts {
		t.add(sheet.DyeWeight(w, x), sheet.DyeWhat(w, r, x.What))
	}
	fmt.Fprintf(a.out, "\n%s\n", a.heading("dye-weigh"))
	t.print(a.out)
	fmt.Fprintf(a.out, "\n%s\n", a.heading("dye-steps-title"))
	day := 0
	for i := range b.Steps {
		if day == 0 || b.Steps[i].NextDay {
			day++
			fmt.Fprintf(a.out, "  %s\n", w.T("dye-day-n", check.Args{"n": day}))
		}
		a.printStep(b, i)
	}
	a.printDyeTotals(b)
	a.printCautions(b)
}

func (a *app) printLot(b dye.Batch, o dye.Order, moon *dye.Moon) {
	w, d := a.words, b.Division
	t := table{indent: 2}
	t.add(w.T("dye-fibre-label", nil), w.T("dye-fibre-"+string(b.Recipe.Fibre), check.Args{"mass": b.Mass}))
	baths := w.N("dye-baths", d.Baths, nil)
	if d.Rounds > 1 {
		baths += ", " + w.N("dye-rounds", d.Rounds, nil)
	}
	t.add(w.T("dye-baths-label", nil), baths)
	for _, s := range d.Sizes {
		fibre := w.S(s.Fibre)
		if s.Skeins > 0 {
			fibre = w.N("dye-size-skeins", s.Skeins, nil) + ", " + fibre
		}
		t.add("", w.T("dye-size", check.Args{"baths": w.N("dye-baths", s.Baths, nil), "fibre": fibre, "bath": s.Bath}))
	}
	t.add(w.T("dye-boils", nil), w.S(b.Boils)+" ("+w.S(o.Place.Height)+")")
	if moon != nil {
		t.add(w.T("dye-moon", nil), moonWords(w, *moon))
	}
	fmt.Fprintf(a.out, "\n%s\n", a.heading("dye-lot"))
	t.print(a.out)
	if d.Baths > 1 {
		fmt.Fprintf(a.out, "  %s\n", w.T("dye-mix-once", nil))
	}
}

func moonWords(w *lang.Words, m dye.Moon) string {
	return w.T("dye-moon-lit", check.Args{"phase": w.T("moon-"+string(m.Phase), nil), "lit": w.Num(float64(m.Lit)*100, 0) + "\u202f%"})
}

// printStep prints what is done, and below it what goes into each bath with the
// recipe's own amount and its source.
func (a *app) printStep(b dye.Batch, i int) {
	w, s := a.words, b.Steps[i]
	words := []string{w.T("step-"+string(s.Kind), nil)}
	add := func(text string) {
		if text != "" {
			words = append(words, text)
		}
	}
	if s.Same {
		add(w.T("dye-same", nil))
	}
	for _, q := range s.Portions {
		if q.Water > 0 {
			add(w.T("dye-new-water", check.Args{"water": q.Water / measure.Litre(s.Times)}))
		}
	}
	if s.Times > 1 {
		add(w.N("dye-waters", s.Times, nil))
	}
	add(sheet.DyeHeat(w, s.Step.Heat))
	if s.Step.Work > 0 {
		add(w.T("dye-work", check.Args{"time": s.Step.Work}))
	}
	if s.Step.Stand > 0 {
		add(w.T("dye-stand", check.Args{"time": s.Step.Stand}))
	}
	if s.Step.Wait > 0 {
		add(w.T("dye-wait", check.Args{"time": s.Step.Wait}))
	}
	for k, line := range strings.Split(fold(words[0]+suffix(words[1:]), helpWidth-6), "\n") {
		number := "    "
		if k == 0 {
			number = fmt.Sprintf("  %2d", i+1)
		}
		fmt.Fprintf(a.out, "%s  %s\n", number, line)
	}
	t := table{indent: 6}
	for k, amount := range s.Step.Amounts {
		rule := sheet.DyeRule(w, amount)
		if amount.High > 0 {
			rule += " (" + w.T("dye-range-of", check.Args{"low": amount.Low, "high": amount.High}) + ")"
		}
		t.add(perBath(w, s, k), sheet.DyeWhat(w, b.Recipe, amount.What), rule, sheet.DyeSource(w, amount.Source))
	}
	a.vatRows(&t, b, s)
	t.print(a.out)
	if note := s.Step.Note.In(w.Tag); note != "" {
		for line := range strings.SplitSeq(fold(note, helpWidth-6), "\n") {
			fmt.Fprintf(a.out, "      %s\n", line)
		}
	}
}

func suffix(words []string) string {
	if len(words) == 0 {
		return ""
	}
	return ": " + strings.Join(words, "; ")
}

// perBath is an amount for a bath; where baths differ, for each kind of bath.
func perBath(w *lang.Words, s dye.StepPlan, k int) string {
	var out []string
	for _, q := range s.Portions {
		out = append(out, sheet.DyeWeight(w, q.Amounts[k]))
	}
	return strings.Join(out, " / ")
}

// vatRows prints the vat of a step.
func (a *app) vatRows(t *table, b dye.Batch, s dye.StepPlan) {
	w, v := a.words, s.Step.Vat
	if v == nil {
		return
	}
	for _, q := range s.Portions {
		t.add(w.T("dye-vat-line", check.Args{"bath": q.Vat.Bath, "warm": q.Vat.Warm, "strength": v.Strength}))
		t.add(w.T("dye-vat-each", check.Args{"dips": w.N("dye-vat-dips", v.Dips, nil), "dip": v.Dip, "airing": v.Airing}))
		row := func(weight, what, source string) {
			t.add("  " + weight + "  " + sheet.DyeWhat(w, b.Recipe, what) + " · " + sheet.DyeSource(w, source))
		}
		row(w.Weight(q.Vat.Dye), v.Dye, v.Source)
		for i, x := range q.Vat.Stock {
			row(sheet.DyeWeight(w, x), x.What, v.Stock[i].Source)
		}
		t.add(w.T("dye-vat-taken", check.Args{"taken": q.Vat.Taken, "share": q.Vat.Share, "left": q.Vat.Left}))
	}
}

func (a *app) printDyeTotals(b dye.Batch) {
	w := a.words
	t := table{indent: 2}
	t.add(w.T("dye-water", nil), w.S(b.Water))
	t.add(w.T("dye-heat", nil), w.S(b.Heat))
	t.add(w.T("dye-fuel-"+string(b.Burns), nil), w.S(b.Fuel))
	t.add(w.T("dye-work-label", nil), w.S(b.Work))
	t.add(w.T("dye-fire", nil), w.S(b.Fire))
	t.add(w.T("dye-standing", nil), w.S(b.Stand))
	t.add(w.T("dye-days-label", nil), w.N("dye-days", b.Days, nil))
	line := w.S(b.Drying.Line)
	if b.Drying.Time > 0 {
		line = w.T("dye-shade-time", check.Args{"mass": b.Drying.Line, "time": b.Drying.Time})
	}
	t.add(w.T("dye-line", nil), line)
	fmt.Fprintf(a.out, "\n%s\n", a.heading("dye-totals"))
	t.print(a.out)
	if len(b.After) == 0 {
		return
	}
	fmt.Fprintf(a.out, "\n%s\n", a.heading("dye-after"))
	for _, x := range b.After {
		var shares []string
		for _, e := range x.Shares {
			shares = append(shares, w.T("dye-share-of", check.Args{"share": e.Share, "what": sheet.DyeWhat(w, b.Recipe, e.What)}))
		}
		fmt.Fprintf(a.out, "  %s\n", w.T("dye-after-line", check.Args{"n": x.Number, "strength": x.Strength, "shares": shares}))
	}
}

// printCautions prints what to mind, what the labels of the chemicals say, and
// where the baths go.
func (a *app) printCautions(b dye.Batch) {
	w := a.words
	list := func(text string) {
		for i, line := range strings.Split(fold(text, helpWidth-4), "\n") {
			fmt.Fprintf(a.out, "  %s %s\n", [2]string{"-", " "}[min(i, 1)], line)
		}
	}
	fmt.Fprintf(a.out, "\n%s\n", a.heading("dye-cautions"))
	for _, h := range b.Hazards {
		list(w.T("hazard-"+string(h), nil))
	}
	list(w.T("dye-waste-law", nil))
	t := table{indent: 2}
	for _, x := range b.Amounts {
		if s := dye.SubstanceOf(x.What); s != nil && len(s.GHS) > 0 {
			var says []string
			for _, code := range s.GHS {
				says = append(says, code+" "+w.T("ghs-"+code, nil))
			}
			t.add(w.T("substance-"+x.What, nil), strings.Join(says, "; "))
			t.add("", sheet.DyeSource(w, s.Source))
		}
	}
	if len(t.rows) > 0 {
		fmt.Fprintf(a.out, "\n%s\n", a.heading("dye-labels"))
		t.print(a.out)
	}
	fmt.Fprintf(a.out, "\n%s\n", a.heading("dye-waste-title"))
	t = table{indent: 2}
	for i, s := range b.Steps {
		if s.Waste != "" && (i+1 == len(b.Steps) || !b.Steps[i+1].Same) {
			t.add(w.Int(i+1), w.T("step-"+string(s.Kind), nil), w.T("waste-"+string(s.Waste), nil))
		}
	}
	t.print(a.out)
	fmt.Fprintf(a.out, "  %s\n", w.T("dye-waste-law", nil))
}
