package web

import (
	"fmt"
	"strings"

	"urdir/internal/workshop"
	"urdir/measure"
)

// keptView is how promises were kept.
type keptView struct {
	All   keptRow
	Rows  []keptRow
	Given []workshop.PromiseView // the last first
	Next  string
}

// keptRow is how some promises were kept, and where it stands in the picture.
type keptRow struct {
	Promises, Kept           int
	Said, Share, Low, High   int // times of a hundred
	Verdict                  string
	Loss                     float64 // days
	Shift                    int     // days
	X, Y, YLow, YHigh, Round float64 // in the picture
}

// Sides of the picture of said against kept, in its own units.
const (
	keptSide = 300.0
	keptEdge = 34.0
)

func promisesPage(v *visit) error {
	ctx := v.r.Context()
	c, err := v.s.house.PromisesKept(ctx, v.Person)
	if err != nil {
		return err
	}
	var view keptView
	row := func(r workshop.KeptRecord) keptRow {
		hundred := func(x measure.Ratio) int { return int(100*float64(x) + 0.5) }
		y := func(x measure.Ratio) float64 { return keptEdge + keptSide*(1-float64(x)) }
		return keptRow{Promises: r.Promises, Kept: r.Kept, Said: hundred(r.Promised), Share: hundred(r.Share), Low: hundred(r.Low), High: hundred(r.High),
			Verdict: r.Verdict, Loss: r.Loss, Shift: r.Shift, X: keptEdge + keptSide*float64(r.Promised), Y: y(r.Share), YLow: y(r.Low), YHigh: y(r.High),
			Round: 4 + min(6, float64(r.Promises)/4)}
	}
	view.All = row(c.All)
	for _, r := range c.Rows {
		view.Rows = append(view.Rows, row(r))
	}
	if view.Given, view.Next, err = v.s.house.Promises(ctx, v.Person, "", v.listing()); err != nil {
		return err
	}
	return v.page("promises", v.T("promises"), view)
}

// Back is days sooner as they are said.
func (k keptView) Back(shift int) int { return -shift }

// Ladder is the marks of the picture's sides, in times of a hundred.
func (k keptView) Ladder() []int { return []int{0, 25, 50, 75, 100} }

// Across is where a mark stands from left to right, Down from above.
func (k keptView) Across(n int) float64 { return keptEdge + keptSide*float64(n)/100 }

// Down is described with Across.
func (k keptView) Down(n int) float64 { return keptEdge + keptSide*(1-float64(n)/100) }

// Path is the intervals of all rows, a line each.
func (k keptView) Path() string {
	var b strings.Builder
	for _, r := range k.Rows {
		fmt.Fprintf(&b, "M%.1f %.1fV%.1f", r.X, r.YLow, r.YHigh)
	}
	return b.String()
}
