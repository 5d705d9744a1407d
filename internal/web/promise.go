package web

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"urdir/check"
	"urdir/internal/workshop"
	"urdir/measure"
)

// Sureties are the probabilities that can be asked for, in times of a hundred.
func (v *visit) Sureties() []int { return []int{50, 70, 80, 90, 95} }

// dateView is a day that can be promised, and all that stands behind it.
type dateView struct {
	workshop.Answer
	Order   workshop.OrderView // without a record: it is not written down yet
	Sure    int                // asked for, in times of a hundred
	By      string             // a day the customer asks for
	Choices []dateChoice
	Spread  spread
	Chain   []workshop.Link // from now to its last task
	Earlier []workshop.Try
	Tried   bool
	Found   bool // a day was found
}

// Date is the day by which it is ready.
func (d dateView) Date() string { return workshop.DateOf(d.Day) }

// Promised is the day that can be promised, when something is ready by a date: of a
// class that on which it can be held.
func (d dateView) Promised(ready string) string {
	switch {
	case d.Class == nil:
		return ready
	case d.Class.Day != "":
		return d.Class.Day
	}
	return d.HeldAfter(ready)
}

// ChanceOf is the probability that a day can be kept: that of a class asks for all to be
// ready the evening before.
func (d dateView) ChanceOf(day string) measure.Ratio {
	if d.Class != nil {
		day = dayOn(day, -1)
	}
	return d.Chance(day)
}

// Hopeless says whether the day the customer asks for is not to be chosen, since in
// no run was all ready by then.
func (d dateView) Hopeless() bool { return d.By != "" && d.ChanceOf(d.By) == 0 }

// dateChoice is a day that can be promised.
type dateChoice struct {
	Day    string
	By     measure.Ratio // probability that it is ready by then
	Chosen bool
	Asked  bool // by the customer
}

// Value is the choice as its form sends it.
func (c dateChoice) Value() string {
	return c.Day + " " + strconv.FormatFloat(float64(c.By), 'f', 4, 64)
}

// Hundred is a probability in times of a hundred; never none and never all, since
// nobody can know that.
func (v *visit) Hundred(p measure.Ratio) int {
	return min(max(int(math.Round(100*float64(p))), 1), 99)
}

// OnDay writes the day of a time.
func (v *visit) OnDay(t time.Time) string { return v.Words.Date(t) }

// answerFor finds the day that can be promised.
func (v *visit) answerFor(a workshop.Ask, by string, sure int) (d dateView, err error) {
	if d.Sure = sure; !slices.Contains(v.Sureties(), sure) {
		d.Sure = int(100 * workshop.UsualPromise)
	}
	a.Probability = measure.Ratio(d.Sure) / 100
	if d.Answer, err = v.s.house.PromiseFor(v.r.Context(), v.Person, a); err != nil {
		return d, err
	}
	d.Found = true
	d.Chain = slices.Clone(d.Why)
	slices.Reverse(d.Chain)
	if _, err := time.Parse(time.DateOnly, by); err == nil {
		d.By = by
	}
	d.Choices = choicesOf(d)
	d.Spread = spreadOf(d.Days, d.Date(), v)
	return d, nil
}

// choicesOf is the days that can be promised, by date: as likely as not, as sure as
// was asked for, all but sure, and the one the customer asks for.
func choicesOf(d dateView) (out []dateChoice) {
	add := func(c dateChoice) {
		if i := slices.IndexFunc(out, func(o dateChoice) bool { return o.Day == c.Day }); i >= 0 {
			out[i].Chosen, out[i].Asked = out[i].Chosen || c.Chosen, out[i].Asked || c.Asked
			return
		}
		out = append(out, c)
	}
	first := d.Promised(d.Date())
	add(dateChoice{Day: first, By: d.ChanceOf(first), Chosen: true})
	other := func(ready string) {
		day := d.Promised(ready)
		if by := d.ChanceOf(day); by > 0 {
			add(dateChoice{Day: day, By: by})
		}
	}
	other(workshop.DateOf(d.Likely.Day))
	other(workshop.DateOf(d.Answer.Sure.Day)) // of a day that there is not nothing is known
	if d.By != "" {
		if by := d.ChanceOf(d.By); by > 0 {
			add(dateChoice{Day: d.By, By: by, Asked: true})
		}
	}
	slices.SortFunc(out, func(a, b dateChoice) int { return strings.Compare(a.Day, b.Day) })
	return out
}

// datePage shows which day can be promised for an order.
func datePage(v *visit) error { return v.dateAgain(nil) }

// dateAgain shows it again, with what was wrong with the promise.
func (v *visit) dateAgain(wrong error) error {
	ctx, q := v.r.Context(), v.r.URL.Query()
	o, err := v.s.house.Order(ctx, v.Person, v.r.PathValue("id"))
	if err != nil {
		return err
	}
	title := v.T("promise-title", "number", itoa(int(o.Value.Number)))
	if o.Value.Class != nil {
		title = v.T("class-sure") + " " + v.classTitle(o)
	}
	by := q.Get("by")
	if by == "" && o.Value.Promise == "" {
		by = o.Value.Due
	}
	sure, _ := strconv.Atoi(q.Get("sure")) // what is no number is not among them
	ask := workshop.Ask{Order: o.ID}
	d, err := v.answerFor(ask, by, sure)
	if d.Order = o; err == nil && q.Has("earlier") && d.Class == nil {
		d.Tried = true
		d.Earlier, err = v.s.house.EarlierFor(ctx, v.Person, ask)
	}
	if e, ok := errors.AsType[*workshop.Error](err); ok && e.Code == workshop.Invalid && wrong == nil {
		v.Problems = e.Problems // why there is no day stands on the page, with what would mend it
		return v.page("promise", title, d)
	}
	if err != nil {
		return err
	}
	if wrong != nil {
		return v.again(wrong, "promise", title, d)
	}
	return v.page("promise", title, d)
}

// givePromise keeps the day that was promised to the customer.
func givePromise(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	day, p := f.promised("day")
	if err = f.err(); err == nil {
		_, err = v.s.house.GivePromise(v.r.Context(), v.Person, v.r.PathValue("id"), f.revision(), day, p)
	}
	if err != nil {
		return v.dateAgain(err)
	}
	return v.to("/orders/"+v.r.PathValue("id"), "promised")
}

// promised reads a chosen day and its probability.
func (f *form) promised(field string) (day string, p measure.Ratio) {
	day, share, _ := strings.Cut(f.text(field), " ")
	if day == "" {
		f.ps.Wrong(field, "promise-choose", nil)
		return "", 0
	}
	n, err := strconv.ParseFloat(share, 64)
	if err != nil {
		f.ps.Wrong(field, "promise-choose", check.Args{})
	}
	return day, measure.Ratio(n)
}

// asksDate answers the form of a new order that asks for its day: the order is not
// kept, and what was typed stays.
func (v *visit) asksDate(view *orderFormView) error {
	ask := workshop.Ask{Class: v.ClassToBe()}
	var ps check.Problems
	for i, l := range view.Value.Lines {
		c := slices.IndexFunc(view.Cloths, func(k workshop.Kept[workshop.Cloth]) bool { return k.ID == l.Cloth })
		if c < 0 {
			ps.Wrong(fmt.Sprintf("lines[%d].cloth", i), "field-empty", nil)
			continue
		}
		ask.Lines = append(ask.Lines, workshop.AskLine{Text: view.Cloths[c].Value.Text, Quantity: l.Quantity})
	}
	if ps.Failed() {
		return &workshop.Error{Code: workshop.Invalid, Problems: ps}
	}
	d, err := v.answerFor(ask, view.Value.Due, 0)
	if err != nil {
		return err
	}
	view.Date = &d
	return nil
}
