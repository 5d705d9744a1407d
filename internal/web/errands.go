package web

import (
	"slices"
	"time"

	"urdir/internal/workshop"
)

// errandGroup is what needs hands by one time: late, today, week, later, undated.
type errandGroup struct {
	When string
	Rows []errandRow
}

// errandRow is errands that read the same; the link leads to the first of them.
type errandRow struct {
	workshop.Errand
	N int
}

// errandGroups are a day's errands by when they are due, without those that stand in
// its hours already. Those that read the same, six small warps of a class, are one
// row with their number.
func errandGroups(d workshop.Day, today string) (groups []errandGroup) {
	for _, e := range d.Errands {
		if slices.ContainsFunc(d.Clock, func(l workshop.ClockLine) bool {
			return e.Kind == "errand-turn-"+string(l.Task) && e.Where == l.Where && e.ID == l.ID
		}) {
			continue
		}
		when := errandWhen(e, today)
		g := slices.IndexFunc(groups, func(g errandGroup) bool { return g.When == when })
		if g < 0 {
			g = len(groups)
			groups = append(groups, errandGroup{When: when})
		}
		rows := &groups[g].Rows
		same := slices.IndexFunc(*rows, func(r errandRow) bool {
			return r.Kind == e.Kind && r.Where == e.Where && r.Name == e.Name && r.Due == e.Due && r.Share == e.Share
		})
		if same >= 0 {
			(*rows)[same].N++
			continue
		}
		*rows = append(*rows, errandRow{e, 1})
	}
	order := []string{"late", "today", "week", "later", "undated"}
	slices.SortStableFunc(groups, func(a, b errandGroup) int { return slices.Index(order, a.When) - slices.Index(order, b.When) })
	return groups
}

// errandWhen is the group an errand belongs to; dates sort as words (ISO 8601).
func errandWhen(e workshop.Errand, today string) string {
	day, err := time.Parse(time.DateOnly, today)
	switch {
	case e.Due == "" || err != nil:
		return "undated"
	case e.Late:
		return "late"
	case e.Due <= today:
		return "today"
	case e.Due <= day.AddDate(0, 0, 7).Format(time.DateOnly):
		return "week"
	}
	return "later"
}
