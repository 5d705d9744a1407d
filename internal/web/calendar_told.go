package web

import (
	"cmp"
	"slices"
	"strings"

	"urdir/internal/workshop"
)

// toldView is what was told to whom.
type toldView struct {
	Said   workshop.Listed[workshop.Retelling]
	People []toldPerson
	Can    string // the telling that can be taken back: the last one that stands
}

// toldPerson is what one person knows she is to do.
type toldPerson struct {
	Name  string
	Turns []workshop.TurnView
}

func toldPage(v *visit) error { return v.toldAgain(nil) }

func (v *visit) toldAgain(wrong error) error {
	ctx := v.r.Context()
	said, err := v.s.house.Retellings(ctx, v.Person, workshop.Page{Limit: 20})
	if err != nil {
		return err
	}
	turns, err := v.s.house.Turns(ctx, v.Person)
	if err != nil {
		return err
	}
	view := toldView{Said: said}
	for _, k := range said.Items {
		if !k.Value.Undone {
			view.Can = k.ID
			break
		}
	}
	by := map[string]int{}
	for _, t := range turns {
		if t.Member == "" {
			continue
		}
		if _, ok := by[t.Member]; !ok {
			by[t.Member] = len(view.People)
			view.People = append(view.People, toldPerson{Name: t.Name})
		}
		p := &view.People[by[t.Member]]
		p.Turns = append(p.Turns, t)
	}
	slices.SortStableFunc(view.People, func(a, b toldPerson) int { return cmp.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name)) })
	if wrong != nil {
		return v.again(wrong, "calendar-told", v.T("timetable-said"), view)
	}
	return v.page("calendar-told", v.T("timetable-said"), view)
}

// loadPage shows the hours everybody has beside those she offers, and how fairly
// they are shared.
func loadPage(v *visit) error {
	n := v.look()
	t, err := v.s.house.Timetable(v.r.Context(), v.Person, n)
	if err != nil {
		return err
	}
	view := v.calendarOf(t)
	view.Show, view.By = showSeason, byPeople
	view.First = monday(view.Today)
	view.Weeks, view.Rows, view.Days = nil, nil, nil
	for i := range loadWeeks {
		view.Weeks = append(view.Weeks, dayOn(view.First, 7*i))
	}
	view.rows(v)
	return v.page("calendar-hours", v.T("timetable-hours"), view)
}

// loadWeeks is the weeks over which work is shared: those ahead (see the schedule).
const loadWeeks = 8
