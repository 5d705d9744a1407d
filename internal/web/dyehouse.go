package web

import (
	"slices"
	"strings"

	"urdir/check"
	"urdir/dye"
	"urdir/dye/lots"
	"urdir/internal/workshop"
	"urdir/measure"
)

// calendarDays is how far ahead the dye house looks: four weeks.
const calendarDays = 28

// dyeHouseView is the dye house.
type dyeHouseView struct {
	Today    workshop.CalendarDay
	Hands    []dyeHand
	Plan     workshop.DyeProposal
	New      int // wants that are in no plan yet
	Steps    int
	Longer   int // steps of a longer look; 0 if it was the longest
	Lots     map[int]workshop.DyeWant
	Calendar workshop.DyeCalendar
	Proposed workshop.DyeCalendar
	Late     []lateWant
	Recent   []workshop.Kept[workshop.Dyeing]
}

// dyeHand is a dyeing that waits for hands.
type dyeHand struct {
	workshop.Kept[workshop.Dyeing]
	What string // key of the words
	Next *workshop.DyeDay
	Due  string
	Late bool
}

// lateWant is a want that would be dry after it is due.
type lateWant struct {
	lots.Late
	Want workshop.DyeWant
	Dry  string
}

func dyeHouse(v *visit) error { return v.dyeHouseAgain(nil) }

// dyeHouseAgain shows the dye house, with why a plan was not accepted.
func (v *visit) dyeHouseAgain(wrong error) error {
	ctx := v.r.Context()
	view := dyeHouseView{Steps: v.steps(), Lots: map[int]workshop.DyeWant{}}
	var err error
	if view.Plan, err = v.s.house.ProposeDye(ctx, v.Person, view.Steps); err != nil {
		return err
	}
	if view.Calendar, err = v.s.house.DyeCalendar(ctx, v.Person, calendarDays); err != nil {
		return err
	}
	open, err := v.s.house.Dyeings(ctx, v.Person, workshop.Page{State: strings.Join(dyeOpen, ",")})
	if err != nil {
		return err
	}
	recent, err := v.s.house.Dyeings(ctx, v.Person, workshop.Page{Limit: 8})
	if err != nil {
		return err
	}
	view.Recent = recent.Items
	view.fill(open.Items)
	if wrong != nil {
		return v.again(wrong, "dyehouse", v.T("dyehouse"), view)
	}
	return v.page("dyehouse", v.T("dyehouse"), view)
}

// dyeOpen is the states in which a dyeing waits for something.
var dyeOpen = []string{string(workshop.DyePlanned), string(workshop.DyeBegun), string(workshop.DyeOut)}

// fill makes what the page shows of the plan and of the dyeings that are open.
func (d *dyeHouseView) fill(open []workshop.Kept[workshop.Dyeing]) {
	d.Today = d.Calendar.Days[0]
	d.Proposed = d.Calendar.With(d.Plan)
	for _, w := range d.Plan.Wants {
		if w.Dyeing == "" {
			d.New++
		}
	}
	for _, l := range d.Plan.Plan.Lots {
		d.Lots[l.Number] = d.Plan.Want(l.Wants[0].Want)
	}
	for _, l := range d.Plan.Plan.Late {
		late := lateWant{Late: l, Want: d.Plan.Want(l.Want)}
		for _, lot := range d.Plan.Plan.Lots {
			if lot.Number == l.Lot {
				late.Dry = d.Plan.Day(lot.Dry)
			}
		}
		d.Late = append(d.Late, late)
	}
	if d.Longer = min(2*d.Steps, workshop.DyeMost); d.Longer == d.Steps || d.Plan.Plan.Proven {
		d.Longer = 0
	}
	for _, k := range slices.Backward(open) {
		if h := handOf(k, d.Today.Date); h.Due <= d.Today.Date {
			d.Hands = append(d.Hands, h)
		}
	}
}

// handOf says what a dyeing that is open waits for, and when.
func handOf(k workshop.Kept[workshop.Dyeing], today string) dyeHand {
	h := dyeHand{Kept: k}
	switch n := k.Value.StagesDone(); {
	case k.Value.State() == workshop.DyeOut:
		h.What = "errand-judge"
	case n >= len(k.Value.Days):
		h.What, h.Due = "errand-dry", k.Value.Dry
	default:
		h.What, h.Next, h.Due = "errand-bath", &k.Value.Days[n], k.Value.Days[n].Day
	}
	h.Late = h.Due != "" && h.Due < today
	return h
}

// steps is how long the plan is looked for.
func (v *visit) steps() int {
	f := form{v: v}
	n := f.wholeOf("steps", v.r.FormValue("steps"))
	if f.ps.Failed() || n < 1 {
		return workshop.DyeSteps
	}
	return min(n, workshop.DyeMost)
}

// acceptDye makes the plan that was shown the dye house's.
func acceptDye(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	if _, err := v.s.house.AcceptDye(v.r.Context(), v.Person, f.text("mark"), v.steps()); err != nil {
		return v.dyeHouseAgain(err)
	}
	return v.to("/dye", "planned")
}

// DyeStates is every state of a dyeing, for the list.
func (v *visit) DyeStates() []string {
	return append(slices.Clone(dyeOpen), string(workshop.DyeAccepted), string(workshop.DyeRejected))
}

func dyeingList(v *visit) error {
	l, err := v.s.house.Dyeings(v.r.Context(), v.Person, v.listing())
	if err != nil {
		return err
	}
	return v.page("dyeings", v.T("dyeings"), l)
}

// DyeWhy is why a lot of a plan is as it is: day numbers become dates.
func (v *visit) DyeWhy(p workshop.DyeProposal, r lots.Reason) string {
	args := check.Args{}
	for name, value := range r.Args {
		if n, ok := value.(int); ok && name == "day" {
			value = v.Date(p.Day(n))
		}
		args[name] = value
	}
	return v.Words.T(r.Key, args)
}

// SubstanceName is the name of a substance or plant, as a supply or a need knows it.
func (v *visit) SubstanceName(what string) string {
	if dye.SubstanceOf(what) != nil {
		return v.T("substance-" + what)
	}
	return what
}

// Kilos is a dry mass on the line, without its unit.
func (v *visit) Kilos(g measure.Gram) string { return v.Words.Num(float64(g)/1000, 1) }
